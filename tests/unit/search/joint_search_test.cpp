// SPDX-License-Identifier: BSL-1.0
// Controllers and drivers searched together, beside every way there is: a plain enumeration that knows no bound.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <vector>

#include "support/random.hpp"
#include "tapewright/plan/search/joint_search.hpp"
#include "tapewright/plan/search/packing.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

std::size_t at(std::int64_t i) { return static_cast<std::size_t>(i); }

struct driver_kind {
  std::int64_t watts, price;
};

/// Drivers of one output, packed by the search under test's own packing.
struct packed_drivers {
  std::vector<packing_type> types;
  mutable packing_storage<joint_runs, 8> room{};

  explicit packed_drivers(const std::vector<driver_kind>& kinds) {
    for (const driver_kind& k : kinds) types.push_back({.capacity = {k.watts}, .price = {k.price}});
  }
  drivers_cost operator()(std::span<const output_load> loads, bool decided, std::int64_t steps) const {
    std::vector<packing_item> items;
    for (const output_load& l : loads) items.push_back({.load = {static_cast<std::int64_t>(l.watts)}});
    const auto packed = cheapest_packing(
        {.items = items, .types = types, .of_pieces = !decided, .steps = steps}, room.space());
    REQUIRE(packed.ok());
    if (!packed->fits) return {.price_at_least = packed->proven ? no_choice : cost{}, .steps = packed->steps};
    return {true, packed->price, packed->price_at_least, packed->steps};
  }
};

/// Every way: each run on any hub of its group or on a new one, each hub of any kind that holds it, one hub of a
/// group leading; hubs dealt out to drivers in every way. Loads are whole numbers of one kind here.
class every_way {
 public:
  every_way(const joint_question& q, const std::vector<driver_kind>& drivers) : q_{q}, drivers_{drivers} {}

  long long least() {
    place(0, 0);
    return best_;
  }
  static constexpr long long no_way = 1LL << 40;

 private:
  struct hub {
    std::size_t group;
    std::int64_t load = 0;
    double free = 0, kept = 0;
    std::int32_t kind = -1;
  };

  void place(std::size_t g, std::int32_t r) {
    if (g == q_.groups.size()) return choose(0, 0);
    const joint_group& group = q_.groups[g];
    if (r == group.past_run) return place(g + 1, r);
    const joint_run& run = q_.runs[at(r)];
    for (std::size_t h = 0; h <= hubs_.size(); ++h) {
      const bool fresh = h == hubs_.size();
      if (fresh) hubs_.push_back({g});
      if (hubs_[h].group == g) {
        const hub before = hubs_[h];
        hubs_[h].load += run.load[0];
        hubs_[h].free += run.free.watts;
        hubs_[h].kept += run.kept.watts;
        place(g, r + 1);
        hubs_[h] = before;
      }
      if (fresh) {
        hubs_.pop_back();
        return;
      }
    }
  }

  void choose(std::size_t h, long long price) {
    if (h == hubs_.size()) {
      if (all_led()) deal(0, price);
      return;
    }
    const joint_group& group = q_.groups[hubs_[h].group];
    for (std::int32_t k = group.first_kind; k < group.past_kind; ++k) {
      if (hubs_[h].load > q_.kinds[at(k)].capacity[0]) continue;
      hubs_[h].kind = k;
      choose(h + 1, price + q_.kinds[at(k)].price.price.minor);
    }
  }

  /// Every group has hubs of one kind that leads, and of repeaters.
  bool all_led() const {
    for (std::size_t g = 0; g < q_.groups.size(); ++g) {
      std::int32_t lead = -1;
      for (const hub& h : hubs_)
        if (h.group == g && q_.kinds[at(h.kind)].leads) {
          if (lead >= 0 && lead != h.kind) return false;
          lead = h.kind;
        }
      if (lead < 0) return false;
    }
    return true;
  }

  long long cheapest(double watts) const {
    long long least = no_way;
    for (const driver_kind& d : drivers_)
      if (watts <= static_cast<double>(d.watts)) least = std::min<long long>(least, d.price);
    return least;
  }

  void deal(std::size_t h, long long price) {
    if (h == hubs_.size()) {
      for (const double watts : outputs_) price += cheapest(watts);
      best_ = std::min(best_, price);
      return;
    }
    const double watts = q_.kinds[at(hubs_[h].kind)].keeps_limit ? hubs_[h].kept : hubs_[h].free;
    for (std::size_t o = 0; o < outputs_.size(); ++o) {  // the list grows meanwhile
      outputs_[o] += watts;
      deal(h + 1, price);
      outputs_[o] -= watts;
    }
    outputs_.push_back(watts);
    deal(h + 1, price);
    outputs_.pop_back();
  }

  const joint_question& q_;
  const std::vector<driver_kind>& drivers_;
  std::vector<hub> hubs_;
  std::vector<double> outputs_;
  long long best_ = no_way;
};

cost priced(long long minor) { return {.price = {minor}, .parts = 1}; }

/// One or two groups with a leader or two and perhaps a repeater. `group_least` is the leader's own price: a bound.
void fill(random_source& r, joint_question& q) {
  q = joint_question{};
  const std::int64_t groups = r.integer(1, 2);
  for (std::int64_t g = 0; g < groups; ++g) {
    joint_group group;
    group.first_run = static_cast<std::int32_t>(q.runs.size());
    group.first_kind = static_cast<std::int32_t>(q.kinds.size());
    std::vector<joint_run> runs(at(r.integer(1, groups == 1 ? 5 : 3)));
    for (joint_run& run : runs) {
      const std::int64_t load = r.one_in(3) ? 20 : r.integer(5, 60);
      run.load[0] = load;
      run.free.watts = run.kept.watts = static_cast<double>(load);
      if (r.one_in(3)) run.kept.watts = static_cast<double>(load - load / 3);
    }
    std::sort(runs.begin(), runs.end(), [](const joint_run& a, const joint_run& b) {
      return a.load[0] != b.load[0] ? a.load[0] > b.load[0] : a.kept.watts > b.kept.watts;
    });
    for (const joint_run& run : runs) q.runs.push(run);
    std::vector<joint_kind> leaders(at(r.integer(1, 2)));
    for (joint_kind& k : leaders) {
      k.capacity[0] = r.integer(60, 160);
      k.price = k.group_least = priced(r.integer(20, 60));
      k.leads = true;
      k.keeps_limit = r.one_in(2);
    }
    std::sort(leaders.begin(), leaders.end(),
              [](const joint_kind& a, const joint_kind& b) { return a.group_least < b.group_least; });
    for (const joint_kind& k : leaders) q.kinds.push(k);
    if (r.one_in(2)) {
      joint_kind k;
      k.capacity[0] = r.integer(40, 120);
      k.price = priced(r.integer(10, 40));
      k.repeats = true;
      k.keeps_limit = r.one_in(2);
      q.kinds.push(k);
    }
    group.past_run = static_cast<std::int32_t>(q.runs.size());
    group.past_kind = static_cast<std::int32_t>(q.kinds.size());
    q.groups.push(group);
  }
}

}  // namespace

TEST_CASE("joint search: the price of every way there is, and a bound that is never above it") {
  random_source r{20261204};
  MESSAGE("seed " << r.seed());
  int solved = 0, stopped = 0;
  for (int round = 0; round < 1500; ++round) {
    CAPTURE(round);
    joint_question q;
    fill(r, q);
    std::vector<driver_kind> kinds;
    for (std::int64_t k = r.integer(2, 3); k > 0; --k) {
      const std::int64_t watts = r.integer(60, 260);
      kinds.push_back({watts, r.integer(10, 30) + watts / 3});
    }
    const packed_drivers drivers{kinds};
    const long long least = every_way{q, kinds}.least();
    const joint_answer all = search_together(q, drivers, no_choice, 1'000'000);
    CHECK(all.improved == (least < every_way::no_way));
    if (!all.improved) continue;
    ++solved;
    CHECK(all.price.price.minor == least);
    CHECK(all.price_at_least.price == all.price.price);
    CHECK(all.price.unbuildable == 0);

    // what is known to be possible is no worse than what is found, whatever the budget
    const cost known = priced(least + r.integer(0, 40));
    const joint_answer some = search_together(q, drivers, known, r.integer(0, 400));
    CHECK(some.price.price.minor >= least);
    CHECK(some.price.price <= known.price);
    CHECK(some.price_at_least.price.minor <= least);
    CHECK(some.improved == (some.price.price < known.price));
    stopped += some.price_at_least.price < some.price.price;
  }
  MESSAGE(solved << " questions, " << stopped << " stopped before the end");
  CHECK(solved >= 500);
  CHECK(stopped >= 50);
}

TEST_CASE("joint search: a controller more where smaller drivers pay for it") {
  // Two runs of 40 W. One controller at 20 takes both, and a driver of 120 W costs 90: 110. Two of them let each run have
  // a driver of 60 W at 30: 2 x 20 + 2 x 30 = 100.
  joint_question q;
  for (int i = 0; i < 2; ++i) q.runs.push({.load = {40}, .free = {40, 0}, .kept = {40, 0}});
  q.kinds.push({.capacity = {100}, .price = priced(20), .leads = true, .group_least = priced(20)});
  q.groups.push({.past_run = 2, .past_kind = 1});
  const packed_drivers drivers{{{60, 30}, {120, 90}}};
  const joint_answer answer = search_together(q, drivers, priced(110), 1000);
  CHECK(answer.improved);
  CHECK(answer.price.price == money{100});
  CHECK(answer.price_at_least.price == money{100});
  CHECK(q.groups[0].kept_hubs == 2);
  CHECK(q.runs[0].kept_hub != q.runs[1].kept_hub);

  // at 31 a controller they cost 122, one controller and the large driver 121
  q.kinds[0].price = q.kinds[0].group_least = priced(31);
  const joint_answer dearer = search_together(q, drivers, priced(121), 1000);
  CHECK_FALSE(dearer.improved);
  CHECK(dearer.price_at_least.price == money{121});
}
