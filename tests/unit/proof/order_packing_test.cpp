// SPDX-License-Identifier: BSL-1.0
// What a whole order costs, beside every way there is to share runs and hubs out.
#include "tapewright/plan/proof/order_packing.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <memory>
#include <vector>

#include "support/every_way.hpp"
#include "support/random_job.hpp"
#include "tapewright/plan/planner.hpp"
#include "tapewright/plan/run_load.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

std::size_t at(std::int64_t i) { return static_cast<std::size_t>(i); }

/// Every way, each output with every driver that carries it, each completed to a whole order by the planner's own stages
/// of cables, joints and protection; plans that these make are judged in planner_test.cpp by a checker that does not know
/// them. Ways whose controllers and drivers alone cost as much as a known order with all its tape are passed over.
class whole_orders : every_way {
 public:
  /// `tape`: what every order pays for tape.
  whole_orders(const job& j, const catalogue& parts, const plan_space& space, long long tape)
      : every_way{j, parts}, space_{space}, tape_{tape} {}

  /// The least price of a whole order that holds every rule; no_way where there is none, too_many where more than
  /// `most` whole orders would have to be made.
  long long least(int most) {
    left_ = most;
    look();
    return left_ < 0 ? too_many : best_;
  }
  using every_way::no_way;
  static constexpr long long too_many = -1;

 private:
  long long price_of(const controller& c, const hub&) const override { return c.price.minor; }
  bool is_hopeless(long long price) const override { return price + tape_ >= best_ || left_ < 0; }
  void with_outputs(long long price) override { choose_driver(0, price); }

  /// An output costs at least its share of the driver.
  void choose_driver(std::size_t o, long long price) {
    if (is_hopeless(price)) return;
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

  plan_space space_;
  long long tape_, best_ = no_way;
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
    const long long least = whole_orders{question, parts, storage->space(), tape}.least(20'000);
    if (least == whole_orders::too_many) {
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
