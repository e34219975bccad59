// SPDX-License-Identifier: BSL-1.0
#include "tapewright/plan/what_if/plan_changes.hpp"

#include <doctest/doctest.h>

#include <memory>
#include <vector>

#include "support/random_job.hpp"
#include "support/small_job.hpp"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

std::vector<plan_change> changes(const answered_job& a, const answered_job& b) {
  std::vector<plan_change> room(change_room(a.answer, b.answer));
  const auto n = plan_changes(a, b, room);
  REQUIRE(n.ok());
  room.resize(*n);
  return room;
}

money told(const std::vector<plan_change>& all) {
  money sum{};
  for (const plan_change& c : all) sum += c.price_after - c.price_before;
  return sum;
}

}  // namespace

TEST_CASE("plan_changes: a run grows by 0.8 m") {
  const auto one = std::make_unique<plan_storage<3>>(), two = std::make_unique<plan_storage<3>>();
  const job was = small_job::question();
  run runs[] = {small_job::runs[0], small_job::runs[1], small_job::runs[2]};
  job is = was;
  is.runs = runs;
  const auto before = make_plan(was, small_job::parts, one->space());
  REQUIRE(before.ok());
  SUBCASE("nothing changed, nothing is told") {
    const auto same = make_plan(is, small_job::parts, two->space());
    REQUIRE(same.ok());
    CHECK(changes({was, small_job::parts, *before}, {is, small_job::parts, *same}).empty());
  }
  SUBCASE("the shelf is longer") {
    runs[0].measured = runs[0].measured + 0.8_m;  // 2.33 m -> 3.13 m: 46 -> 62 pitches of 50 mm
    const auto after = make_plan(is, small_job::parts, two->space());
    REQUIRE(after.ok());
    const auto all = changes({was, small_job::parts, *before}, {is, small_job::parts, *after});
    bool line = false, length = false;
    for (const plan_change& c : all) {
      if (c.kind == change_kind::order_line && c.before == part_ref{part_kind::tape, 0}) {
        line = true;  // sold by whole metres: 3 before, 4 after
        CHECK(c.quantity_before == 3);
        CHECK(c.quantity_after == 4);
        CHECK(c.price_after - c.price_before == small_job::white_24.price);
      }
      if (c.kind == change_kind::run_length) {
        length = true;
        CHECK(c.index == 0);
        CHECK(c.quantity_before == 46);
        CHECK(c.quantity_after == 62);
      }
      CHECK(c.kind != change_kind::run_added);
      CHECK(c.kind != change_kind::run_removed);
    }
    CHECK(line);
    CHECK(length);
    CHECK(told(all) == after->price - before->price);
  }
  SUBCASE("a run is new and one is gone") {
    runs[2].code = "D";
    const auto after = make_plan(is, small_job::parts, two->space());
    REQUIRE(after.ok());
    const auto all = changes({was, small_job::parts, *before}, {is, small_job::parts, *after});
    REQUIRE(all.size() == 2);
    CHECK(all[0].kind == change_kind::run_added);
    CHECK(all[0].index == 2);
    CHECK(all[1].kind == change_kind::run_removed);
    CHECK(all[1].length_before == before->runs[2].cut.length);
  }
  SUBCASE("the feeder's cable is gone from the catalogue") {
    catalogue parts = small_job::parts;
    parts.cables = parts.cables.subspan(1);  // without the two-core 1.5 mm2: places move, codes stay
    const auto after = make_plan(is, parts, two->space());
    REQUIRE(after.ok());
    const auto all = changes({was, small_job::parts, *before}, {is, parts, *after});
    int feeders = 0;
    for (const plan_change& c : all)
      if (c.kind == change_kind::run_feeder) {
        ++feeders;
        CHECK(small_job::parts.cables[static_cast<std::size_t>(c.before.index)].code == "K-2x1.5");
        CHECK(parts.cables[static_cast<std::size_t>(c.after.index)].code == "K-2x2.5");
      }
    CHECK(feeders == 1);
    CHECK(told(all) == after->price - before->price);
  }
}

TEST_CASE("plan_changes: too little room is a fault that tells the need") {
  const auto one = std::make_unique<plan_storage<3>>();
  const job was = small_job::question();
  const auto before = make_plan(was, small_job::parts, one->space());
  REQUIRE(before.ok());
  const auto none = plan_changes({was, small_job::parts, *before}, {was, small_job::parts, *before}, {});
  REQUIRE(!none.ok());
  CHECK(none.why().code == fault_code::no_room);
  CHECK(none.why().least == static_cast<double>(change_room(*before, *before)));
}

TEST_CASE("plan_changes: the lines add up to the difference in price, and back again") {
  random_source r{20261127};
  MESSAGE("seed " << r.seed());
  const auto one = std::make_unique<plan_storage<8, 4000>>(), two = std::make_unique<plan_storage<8, 4000>>();
  int told_any = 0;
  for (int round = 0; round < 200; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o);
    const job was = o.question();
    const catalogue parts = o.parts();
    std::vector<run> runs = o.runs;
    for (run& u : runs) u.measured = u.measured * r.uniform(0.8, 1.3);
    job is = was;
    is.runs = runs;
    if (check(is, parts)) continue;  // a run shorter than a pitch is another question
    const auto before = make_plan(was, parts, one->space());
    const auto after = make_plan(is, parts, two->space());
    REQUIRE(before.ok());
    REQUIRE(after.ok());
    const auto there = changes({was, parts, *before}, {is, parts, *after});
    const auto back = changes({is, parts, *after}, {was, parts, *before});
    CHECK(told(there) == after->price - before->price);
    CHECK(told(back) == before->price - after->price);
    CHECK(there.size() == back.size());
    told_any += !there.empty();
  }
  CHECK(told_any > 100);
}
