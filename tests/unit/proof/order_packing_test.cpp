// SPDX-License-Identifier: BSL-1.0
// What a whole order costs, beside every way there is to share runs and hubs out.
#include "tapewright/plan/proof/order_packing.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <memory>
#include <vector>

#include "support/random_job.hpp"
#include "tapewright/plan/planner.hpp"
#include "tapewright/plan/run_load.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

std::size_t at(std::int64_t i) { return static_cast<std::size_t>(i); }

/// Every way: runs dealt out to hubs of their own group, each hub with every controller that may stand there,
/// hubs dealt out to outputs that may carry them, each output with every driver that carries it. Knows the checks of
/// single controllers and drivers, and nothing of searches and bounds. Each way is completed to a whole order by the
/// planner's own stages of cables, joints and protection; plans that these make are judged in planner_test.cpp by a
/// checker that does not know them. Ways whose controllers and drivers alone cost as much as a known order with all
/// its tape are passed over.
class every_way {
 public:
  /// `tape`: what every order pays for tape.
  every_way(const job& j, const catalogue& parts, const plan_space& space, long long tape)
      : j_{j}, parts_{parts}, space_{space}, tape_{tape} {}

  /// The least price of a whole order that holds every rule; no_way where there is none, too_many where more than
  /// `most` whole orders would have to be made.
  long long least(int most) {
    left_ = most;
    place_run(0);
    return left_ < 0 ? too_many : best_;
  }
  static constexpr long long no_way = 1LL << 60, too_many = -1;

 private:
  struct hub {
    std::vector<std::size_t> runs;
    std::int32_t controller = -1;
    controller_duty duty{};
    watts load{};
  };

  const tape& tape_of(std::size_t run) const { return parts_.tapes[at(j_.runs[run].tape)]; }
  const zone& zone_of(const hub& h) const { return j_.zones[at(j_.runs[h.runs[0]].zone)]; }
  volts nominal_of(const hub& h) const { return tape_of(h.runs[0]).nominal; }
  bool switched(std::size_t run) const {
    const zone& z = j_.zones[at(j_.runs[run].zone)];
    return z.wants_controller || !z.features.empty() || tape_of(run).channels.size() > 1;
  }
  bool alike(std::size_t a, std::size_t b) const {
    return j_.runs[a].zone == j_.runs[b].zone && tape_of(a).nominal == tape_of(b).nominal &&
           tape_of(a).common == tape_of(b).common && switched(a) == switched(b);
  }

  void place_run(std::size_t run) {
    if (run == j_.runs.size()) return choose_controller(0, 0);
    for (std::size_t h = 0; h < hubs_.size(); ++h)
      if (alike(hubs_[h].runs[0], run)) {
        hubs_[h].runs.push_back(run);
        place_run(run + 1);
        hubs_[h].runs.pop_back();
      }
    hubs_.push_back({.runs = {run}});
    place_run(run + 1);
    hubs_.pop_back();
  }

  /// Fills in what a hub carries with a controller (or none); false where the controller does not carry it.
  bool load_hub(hub& h, std::int32_t with) const {
    h.controller = with;
    const controller* c = with < 0 ? nullptr : &parts_.controllers[at(with)];
    h.load = {};
    h.duty = {
        .input = nominal_of(h), .common = tape_of(h.runs[0]).common, .ambient = zone_of(h).driver_ambient};
    for (const std::size_t r : h.runs) {
      const tape& t = tape_of(r);
      const auto cut = cut_to_pitch(j_.runs[r].measured, t.cut_pitch);
      const auto load =
          sized_load(t, cut->length, j_.rules.drop_to_lamp, c != nullptr && c->enforces_all_on_limit);
      for (std::int32_t k = 0; k < load->channels; ++k) {
        if (at(k) < h.duty.channel_current.size()) h.duty.channel_current[at(k)] += load->channel_current[k];
        else h.duty.channel_current.push(load->channel_current[k]);
      }
      h.duty.total += load->total_sized;
      h.load += load->sized;
    }
    if (c == nullptr) return true;
    const auto check = check_controller(*c, h.duty);
    return check.ok() && check->fits;
  }

  /// The leader of a group is the same for all its hubs; what follows it is more of the same or a repeater.
  bool may_stand(const hub& h, std::int32_t c) const {
    const controller& one = parts_.controllers[at(c)];
    if (one.is_repeater) return true;
    std::size_t channels = 0;
    for (std::size_t r = 0; r < j_.runs.size(); ++r)
      if (alike(h.runs[0], r)) channels = std::max(channels, tape_of(r).channels.size());
    if (!meets(one.features, zone_of(h).features) || at(one.channels) < channels) return false;
    for (const hub& other : hubs_)
      if (&other < &h && alike(other.runs[0], h.runs[0]) &&
          !parts_.controllers[at(other.controller)].is_repeater && other.controller != c)
        return false;
    return true;
  }

  void choose_controller(std::size_t at_hub, long long price) {
    if (price + tape_ >= best_ || left_ < 0) return;
    if (at_hub == hubs_.size()) {
      for (const hub& h : hubs_) {  // every group has a leader
        if (h.controller < 0) continue;
        bool led = false;
        for (const hub& o : hubs_)
          led = led || (alike(o.runs[0], h.runs[0]) && !parts_.controllers[at(o.controller)].is_repeater);
        if (!led) return;
      }
      return place_hub(0, price);
    }
    hub& h = hubs_[at_hub];
    if (!switched(h.runs[0])) {
      load_hub(h, -1);
      return choose_controller(at_hub + 1, price);
    }
    for (std::int32_t c = 0; at(c) < parts_.controllers.size(); ++c)
      if (may_stand(h, c) && load_hub(h, c))
        choose_controller(at_hub + 1, price + parts_.controllers[at(c)].price.minor);
  }

  bool drives(const driver& s, const std::vector<std::size_t>& output) const {
    const hub& first = hubs_[output[0]];
    watts load;
    amps current;
    for (const std::size_t h : output) {
      load += hubs_[h].load;
      current += hubs_[h].duty.total;
    }
    if (s.output_connector.v > 0 && output.size() > 1) return false;
    const auto check = check_driver(s, duty_for(j_.rules, zone_of(first), nominal_of(first), load, current));
    return check.ok() && check->fits;
  }

  void place_hub(std::size_t h, long long price) {
    if (h == hubs_.size()) return choose_driver(0, price);
    for (std::size_t o = 0; o < outputs_.size(); ++o) {
      const hub &a = hubs_[outputs_[o][0]], &b = hubs_[h];
      const bool same_zone = &zone_of(a) == &zone_of(b);
      if (!(same_zone || may_share_driver(zone_of(a), zone_of(b))) || nominal_of(a) != nominal_of(b))
        continue;
      outputs_[o].push_back(h);
      place_hub(h + 1, price);
      outputs_[o].pop_back();
    }
    outputs_.push_back({h});
    place_hub(h + 1, price);
    outputs_.pop_back();
  }

  /// An output costs at least its share of the driver.
  void choose_driver(std::size_t o, long long price) {
    if (price + tape_ >= best_ || left_ < 0) return;
    if (o == outputs_.size()) return complete();
    for (std::int32_t s = 0; at(s) < parts_.drivers.size(); ++s) {
      const driver& one = parts_.drivers[at(s)];
      if (!drives(one, outputs_[o])) continue;
      drivers_.push_back(s);
      choose_driver(o + 1, price + one.price.minor / one.outputs);
      drivers_.pop_back();
    }
  }

  void complete() {
    --left_;
    given_order way;
    for (std::size_t h = 0; h < hubs_.size(); ++h) {
      std::int32_t lead = 0;
      while (
          !alike(hubs_[at(lead)].runs[0], hubs_[h].runs[0]) ||
          (hubs_[at(lead)].controller >= 0 && parts_.controllers[at(hubs_[at(lead)].controller)].is_repeater))
        ++lead;
      way.hubs.push({.zone = j_.runs[hubs_[h].runs[0]].zone,
                     .controller = hubs_[h].controller,
                     .follows = at(lead) == h ? -1 : lead,
                     .output = 0});
      for (const std::size_t r : hubs_[h].runs) way.hub_of[r] = static_cast<std::int32_t>(h);
    }
    for (std::size_t o = 0; o < outputs_.size(); ++o) {
      for (const std::size_t h : outputs_[o]) way.hubs[h].output = static_cast<std::int32_t>(o);
      way.outputs.push(drivers_[o]);
    }
    draft d = tapewright::detail::empty_draft(j_, parts_, space_);
    if (tapewright::detail::decide(d, &way)) return;
    const cost sum = tapewright::detail::judged(d);
    if (sum.unbuildable == 0 && sum.unpriced == 0) best_ = std::min<long long>(best_, sum.price.minor);
  }

  const job& j_;
  const catalogue& parts_;
  plan_space space_;
  long long tape_, best_ = no_way;
  std::vector<hub> hubs_;
  std::vector<std::vector<std::size_t>> outputs_;
  std::vector<std::int32_t> drivers_;
  int left_ = 0;
};

long long price_of(const plan& p, part_kind kind) {
  long long sum = 0;
  for (const order_line& l : p.order)
    if (l.part.kind == kind) sum += l.total.minor;
  return sum;
}

/// A job of at most five runs whose parts all have a price.
void fill_tiny_job(random_source& r, owned_job& o) {
  fill_random_job(r, o, {.runs = 5, .zones = 2, .tapes = 2, .controllers = 4, .drivers = 6, .longest_m = 9});
  for (tape& t : o.tapes)
    if (t.price.minor == 0) t.price = {r.integer(300, 2000)};
  for (controller& c : o.controllers)
    if (c.price.minor == 0) c.price = {r.integer(2000, 12000)};
  for (driver& d : o.drivers)
    if (d.price.minor == 0) d.price = {r.integer(2000, 12000)};
  if (o.rules.solder_fee.minor == 0) o.rules.solder_fee = {1};
}

}  // namespace

TEST_CASE("whole orders: no way there is costs less than the bound, nor than what is proven") {
  random_source r{20261201};
  MESSAGE("seed " << r.seed());
  const auto storage = std::make_unique<plan_storage<8, 4000>>();
  int weighed = 0, by_search = 0, hurried_proven = 0, gaps = 0, left_out = 0;
  for (int round = 0; weighed < cases(400) && round < 4000; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_tiny_job(r, o);
    const auto p = make_plan(o.question(), o.parts(), storage->space());
    REQUIRE(p.ok());
    if (!p->fits) continue;
    const plan found = *p;
    const long long tape = price_of(found, part_kind::tape);
    o.rules.search_steps = r.integer(1, 2000);
    const auto q = make_plan(o.question(), o.parts(), storage->space());
    REQUIRE(q.ok());
    const plan hurried = *q;
    o.rules.search_steps = design_rules{}.search_steps;
    const job question = o.question();
    const catalogue parts = o.parts();
    const long long least = every_way{question, parts, storage->space(), tape}.least(20'000);
    if (least == every_way::too_many) {
      ++left_out;
      continue;
    }
    ++weighed;
    CHECK(found.proven);  // up to five runs always are
    CHECK(found.price.minor == least);
    CHECK(found.price_at_least == found.price);
    // with few steps: dearer perhaps, the bound as true
    if (!hurried.fits) continue;
    CHECK(hurried.price.minor >= least);
    CHECK(hurried.price_at_least.minor <= least);
    if (hurried.proven) CHECK(hurried.price.minor == least);
    hurried_proven += hurried.proven;
    gaps += !hurried.proven;
    by_search += hurried.price > found.price;
  }
  MESSAGE(weighed << " jobs, all proven; in a hurry " << hurried_proven << " proven, " << gaps << " not, "
                  << by_search << " of these dearer; " << left_out << " had too many ways");
  if (every_case) CHECK(weighed >= 300);
  CHECK(left_out < weighed / 10);
  if (every_case) CHECK(hurried_proven >= 100);  // a bound that never proves anything has not been tested
  if (every_case) CHECK(gaps >= 50);
  CHECK(by_search >= 1);
}

TEST_CASE("whole orders: a cheaper part never makes one dearer while both are proven") {
  random_source r{20261203};
  MESSAGE("seed " << r.seed());
  const auto storage = std::make_unique<plan_storage<8, 4000>>();
  int compared = 0, cheaper = 0;
  for (int round = 0; compared < cases(300) && round < 3000; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_tiny_job(r, o);
    const auto first = make_plan(o.question(), o.parts(), storage->space());
    REQUIRE(first.ok());
    const plan was = *first;
    money& price =
        r.one_in(2)
            ? o.drivers[at(r.integer(0, static_cast<std::int64_t>(o.drivers.size()) - 1))].price
            : o.controllers[at(r.integer(0, static_cast<std::int64_t>(o.controllers.size()) - 1))].price;
    price = {price.minor / 2};
    const auto second = make_plan(o.question(), o.parts(), storage->space());
    REQUIRE(second.ok());
    if (!was.proven || !second->proven) continue;
    CHECK(second->price <= was.price);
    ++compared;
    cheaper += second->price < was.price;
  }
  MESSAGE(compared << " pairs, " << cheaper << " cheaper");
  CHECK(compared >= cases(300));
  if (every_case) CHECK(cheaper >= 30);
}
