// SPDX-License-Identifier: BSL-1.0
#include "tapewright/parts/part_bans.hpp"

#include <doctest/doctest.h>

#include <memory>
#include <string>
#include <vector>

#include "support/random_job.hpp"
#include "support/small_job.hpp"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

struct room {
  std::vector<cable> cables;
  std::vector<connector> connectors;
  std::vector<controller> controllers;
  std::vector<driver> drivers;
  std::vector<overcurrent_device> devices;

  explicit room(const catalogue& all)
      : cables(all.cables.size()),
        connectors(all.connectors.size()),
        controllers(all.controllers.size()),
        drivers(all.drivers.size()),
        devices(all.overcurrent_devices.size()) {}
  catalogue_space space() { return {cables, connectors, controllers, drivers, devices}; }
};

}  // namespace

TEST_CASE("catalogue_without: leaves out what is named and shares the rest") {
  room r{small_job::parts};
  const part_ref bans[] = {{part_kind::cable, 0}, {part_kind::driver, 1}};
  const auto rest = catalogue_without(small_job::parts, bans, r.space());
  REQUIRE(rest.ok());
  REQUIRE(rest->cables.size() == 2);
  CHECK(rest->cables[0].code == "K-2x2.5");
  CHECK(rest->cables[1].code == "K-6x1.5");
  REQUIRE(rest->drivers.size() == 1);
  CHECK(rest->drivers[0].code == "D-100");
  CHECK(rest->controllers.data() == small_job::parts.controllers.data());
  CHECK(rest->tapes.data() == small_job::parts.tapes.data());
}

TEST_CASE("catalogue_without: refuses what points at nothing, a tape, and too little room") {
  room r{small_job::parts};
  const part_ref nothing[] = {{part_kind::cable, 0}, {part_kind::driver, 2}};
  const auto unknown = catalogue_without(small_job::parts, nothing, r.space());
  REQUIRE(!unknown.ok());
  CHECK(unknown.why().code == fault_code::unknown_reference);
  CHECK(unknown.why().item == 1);
  const part_ref tape_ban[] = {{part_kind::tape, 0}};
  const auto tape = catalogue_without(small_job::parts, tape_ban, r.space());
  REQUIRE(!tape.ok());
  CHECK(tape.why().code == fault_code::contradiction);
  const part_ref one[] = {{part_kind::driver, 0}};
  const auto narrow = catalogue_without(small_job::parts, one, {});
  REQUIRE(!narrow.ok());
  CHECK(narrow.why().code == fault_code::no_room);
  CHECK(narrow.why().least == static_cast<double>(small_job::parts.drivers.size()) - 1);
}

TEST_CASE("catalogue_without: a part out of stock is never ordered") {
  random_source r{20261201};
  MESSAGE("seed " << r.seed());
  const auto one = std::make_unique<plan_storage<8, 4000>>(), two = std::make_unique<plan_storage<8, 4000>>();
  int banned = 0;
  for (int round = 0; round < 200; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o);
    const job j = o.question();
    const catalogue all = o.parts();
    const auto before = make_plan(j, all, one->space());
    REQUIRE(before.ok());
    for (const order_line& l : before->order) {
      if (l.part.kind == part_kind::tape || l.part.kind == part_kind::service) continue;
      const part_ref bans[] = {l.part};
      const std::string code{code_of(all, l.part)};
      room space{all};
      const auto rest = catalogue_without(all, bans, space.space());
      REQUIRE(rest.ok());
      const auto after = make_plan(j, *rest, two->space());
      REQUIRE(after.ok());
      for (const order_line& left : after->order) CHECK(code_of(*rest, left.part) != code);
      ++banned;
      break;
    }
  }
  CHECK(banned > 100);
}
