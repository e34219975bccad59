// SPDX-License-Identifier: BSL-1.0
// What a run is divided into: stretches, pieces, sections, and the room that a plan of it needs.
#include "tapewright/plan/sections.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "support/close.hpp"
#include "support/plan_room.hpp"
#include "support/small_job.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

struct planned_job {
  job question;
  plan_room room;
  outcome<plan> answer;
  explicit planned_job(const job& j)
      : question{j},
        room{*space_for(j, small_job::parts)},
        answer{make_plan(j, small_job::parts, room.space())} {}
};

run plain_run() {
  return {.code = "R", .name = "run", .zone = 0, .tape = 0, .measured = 4_m, .from_controller = 1_m};
}

}  // namespace

TEST_CASE("space_for: a job of plain runs needs what its number of runs says, and no network") {
  const auto room = space_for(small_job::question(), small_job::parts);
  REQUIRE(room.ok());
  constexpr plan_counts three = space_for(3);
  CHECK(room->runs == three.runs);
  CHECK(room->findings == three.findings);
  CHECK(room->connections == three.connections);
  CHECK(room->feeds == 0);
  CHECK(room->stretches == 0);
  CHECK(room->network == 0);
}

TEST_CASE("cut_runs: a room with corners, by hand") {
  // pitch 50 mm: 1.23 m -> 24 segments and 30 mm; 2.00 m less a gap of 20 mm -> 39 and 30 mm; 0.80 less 20 -> 15 and 30 mm
  const stretch walls[] = {{1.23_m, {}}, {2.00_m, 0.02_m}, {0.80_m, 0.02_m}};
  run r = plain_run();
  r.measured = 4.03_m;
  r.stretches = walls;
  for (const dark_end dark : {dark_end::far_end, dark_end::near_end, dark_end::shared}) {
    r.dark = dark;
    job j{.zones = small_job::zones, .runs = {&r, 1}};
    const planned_job p{j};
    REQUIRE(p.answer.ok());
    REQUIRE(p.answer->runs.size() == 1);
    const run_plan& u = p.answer->runs[0];
    CHECK(u.cut.segments == 78);
    REQUIRE(u.stretches == 3);
    const std::int64_t segments[] = {24, 39, 15};
    const double near = dark == dark_end::far_end ? 0.0 : dark == dark_end::near_end ? 0.03 : 0.015;
    for (std::size_t s = 0; s < 3; ++s) {
      const stretch_plan& w = p.answer->stretches[s];
      CHECK(w.cut.segments == segments[s]);
      CHECK(w.linked == (s > 0));
      const double gap = s == 0 ? 0.0 : 0.02;
      CHECK(close_abs(w.cut.dark.v, gap + 0.03, 1e-12));
      CHECK(close_abs(w.dark_near.v, gap + near, 1e-12));
    }
    CHECK(close_abs(u.cut.dark.v, 4.03 - 78 * 0.05, 1e-12));
    // no link part in this catalogue: both corners are soldered, told as a service
    int bridges = 0;
    for (const order_line& line : p.answer->order)
      if (line.service == service_kind::soldered_link) bridges += static_cast<int>(line.quantity);
    CHECK(bridges == 2);
  }
}

TEST_CASE(
    "cut_runs: pieces no longer than the maker supplies, sections only where something cannot carry the "
    "whole") {
  run r = plain_run();
  r.reach = feed_reach::anywhere;
  r.to_far_end = 5_m;
  const auto planned = [&](metres measured) {
    r.measured = measured;
    job j{.zones = small_job::zones, .runs = {&r, 1}};
    return planned_job{j};
  };
  // T-W24: 10 m pieces, 9.6 W/m; the largest driver gives 200 W / 1.1: 18.9 m
  const planned_job one = planned(9.9_m);
  REQUIRE(one.answer.ok());
  CHECK(one.answer->runs.size() == 1);
  CHECK(one.answer->runs[0].stretches == 0);
  const planned_job two = planned(18.9_m);
  REQUIRE(two.answer.ok());
  CHECK(two.answer->runs.size() == 1);
  CHECK(two.answer->runs[0].stretches == 2);
  CHECK(two.answer->stretches[0].cut.segments == 189);
  const planned_job three = planned(19_m);
  REQUIRE(three.answer.ok());
  REQUIRE(three.answer->runs.size() == 2);
  CHECK(three.answer->runs[0].sections == 2);
  CHECK(three.answer->runs[0].cut.segments == 190);
  CHECK(three.answer->runs[1].first == 190);
  CHECK(three.answer->runs[1].cut.segments == 190);
  CHECK(three.answer->runs[0].stretches == 0);  // each section is one piece of 9.5 m
  CHECK(three.answer->drivers.size() == 2);
}

TEST_CASE("check(job): stretches, routes and arrangements that make no sense") {
  run r = plain_run();
  const auto refused = [&] {
    job j{.zones = small_job::zones, .runs = {&r, 1}};
    const fault f = check(j, small_job::parts);
    CHECK((!f || f.item == 0));
    return f;
  };
  CHECK(!refused());
  stretch walls[] = {{2_m, {}}, {2_m, {}}};
  r.stretches = walls;
  CHECK(!refused());
  walls[1].measured = 1.5_m;
  CHECK(refused().code == fault_code::contradiction);  // 3.5 m of stretches, 4 m measured
  walls[1].measured = 2_m;
  walls[1].gap = 1.97_m;
  CHECK(refused().field == field::link_gap);
  walls[1].gap = metres{not_a_number};
  CHECK(refused().field == field::link_gap);
  walls[1].gap = {};
  r.to_far_end = metres{-1};
  CHECK(refused().field == field::to_far_end);
  r.to_far_end = {};
  r.between_extra = metres{1001};
  CHECK(refused().field == field::between_extra);
  r.between_extra = {};
  r.reach = static_cast<feed_reach>(3);
  CHECK(refused().field == field::feed_reach);
  r.reach = feed_reach::near_end;
  r.dark = static_cast<dark_end>(-1);
  CHECK(refused().field == field::dark_end);
  r.dark = dark_end::far_end;
  r.arrangements = 0;
  CHECK(refused().field == field::arrangements);
  r.arrangements = bit_of(feed_arrangement::ring);
  CHECK(refused().code == fault_code::contradiction);  // nothing closes it
  r.closes = true;
  CHECK(!refused());
}
