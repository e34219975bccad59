// SPDX-License-Identifier: BSL-1.0
#include "tapewright/plan/proof/place_bound.hpp"

#include <doctest/doctest.h>

#include <memory>

#include "support/random_job.hpp"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::test;

// Whole orders of small jobs are searched one by one, and held to a brute force in cheapest_order_test.cpp: what is said of
// the same jobs place by place is held to these.
TEST_CASE("place by place: no small job has an order below its bound, nor below what is proven") {
  random_source r{20261130};
  MESSAGE("seed " << r.seed());
  const auto storage = std::make_unique<plan_storage<10, 4000>>();
  int bounded = 0, proven = 0, several = 0;
  for (int round = 0; round < cases(4000); ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 7, .zones = 4, .controllers = 4, .drivers = 12});
    for (zone& z : o.zones)
      if (r.one_in(2)) z.driver_place = {};
    const job question = o.question();
    const catalogue parts = o.parts();
    draft d = tapewright::detail::empty_draft(question, parts, storage->space());
    REQUIRE(!tapewright::detail::decide(d));
    REQUIRE(!tapewright::detail::tell(d));
    const cost whole = tapewright::detail::judged(d);
    if (!tapewright::detail::may_be_proven(d, whole)) continue;
    const auto hubs = d.hubs.size(), findings = d.findings.size();
    const bool done = bound_by_places(d, whole.price);
    CHECK(d.hubs.size() == hubs);
    CHECK(d.findings.size() == findings);
    CHECK(tapewright::detail::judged(d) == whole);
    if (!done) continue;
    const money least = d.tally.price_at_least.price;
    CHECK(least <= whole.price);
    const bool places = d.drivers.size() > 1;
    const auto best = make_plan(question, parts, storage->space());
    REQUIRE(best.ok());
    if (!best->proven) continue;
    ++bounded;
    several += places;
    CHECK(least <= best->price);
    if (least == whole.price) {
      CHECK(best->price == whole.price);
      ++proven;
    }
  }
  MESSAGE(bounded << " bounded, " << several << " of several drivers, " << proven << " proven");
  if (every_case) CHECK(bounded >= 200);
  if (every_case) CHECK(several >= 50);
  CHECK(proven >= bounded / 4);
}
