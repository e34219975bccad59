// SPDX-License-Identifier: BSL-1.0
#include "tapewright/plan/proof/price_bound.hpp"

#include <doctest/doctest.h>

#include <memory>

#include "support/plan_room.hpp"
#include "support/random_job.hpp"
#include "support/small_job.hpp"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::test;

TEST_CASE("wiring_at_least: the small job by hand") {
  const auto storage = std::make_unique<plan_storage<3>>();
  const job question = small_job::question();
  draft d = tapewright::detail::empty_draft(question, small_job::parts, storage->space());
  REQUIRE(!stage::cut_runs(d));
  // Slack of 0.3 m at both ends, cables by the metre, nothing that is upstream looked at. Of each length what a sale
  // forgives is taken off and what is left of a minor unit, so that whole ones are one less.
  // A: 3.6 m of K-2x1.5 at 90, J-2 at 180. B: 4.6 m of K-6x1.5 at 260, C: 3.1 m; no connector has six poles, so that
  // both are soldered for 450. Z1: A may hang straight on its driver, by 2 m more. Z2: 2.1 m of K-2x1.5 for a hub; a
  // second hub costs as much again, a splice of six conductors 6 J-S3 at 45.
  constexpr int feeds = 323 + 180 + 1195 + 450 + 805 + 450;
  CHECK(wiring_at_least(d).price.minor == feeds + 179 + 188 + 188);
  const std::int32_t window[] = {1, 2};
  const hub_bound b = hub_bound_of(d, window);
  CHECK(b.hub.price.minor == 188);
  CHECK(b.splice.price.minor == 6 * 45);
  CHECK(b.at_least(2).price.minor == 188 + 188);
  CHECK(run_at_least(d, d.runs[1]).price.minor == 1195 + 450);
}

TEST_CASE(
    "no order that holds every rule costs less than its bound, bent runs and hurried searches as well") {
  random_source r{20261128};
  MESSAGE("seed " << r.seed());
  int kept = 0, near = 0;
  for (int round = 0; round < cases(1500); ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 12, .longest_m = 8});
    if (r.one_in(2)) bend_runs(r, o);
    if (r.one_in(3)) o.rules.search_steps = r.integer(1, 500);
    if (r.one_in(3)) o.rules.join = join_preference::soldered_first;
    o.rules.cut_fee = {r.one_in(2) ? 0 : r.integer(1, 400)};
    const job question = o.question();
    const catalogue parts = o.parts();
    const auto need = space_for(question, parts);
    REQUIRE(need.ok());
    plan_room room{*need, 4000};
    draft d = tapewright::detail::empty_draft(question, parts, room.space());
    d.first_hubs = r.one_in(2);
    REQUIRE(!tapewright::detail::decide(d));
    const cost whole = tapewright::detail::judged(d);
    if (whole.unbuildable > 0 || whole.unpriced > 0) continue;
    ++kept;
    d.tally.add(wiring_cost(d), wiring_at_least(d));
    const cost least = d.tally.price_at_least;
    CHECK(least.unpriced == 0);
    CHECK(least.price <= whole.price);
    near += least.price * 10 > whole.price * 9;
  }
  MESSAGE(kept << " orders, " << near << " within a tenth of their bound");
  if (every_case) CHECK(kept >= 300);
  CHECK(near >= kept * 3 / 4);
}
