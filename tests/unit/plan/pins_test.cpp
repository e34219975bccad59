// SPDX-License-Identifier: BSL-1.0
// Parts that a job pins: this driver, that gauge, whatever else would be cheaper.
#include <doctest/doctest.h>

#include <memory>

#include "support/small_job.hpp"
#include "tapewright/plan/what_if/conflict.hpp"

using namespace tapewright;
using namespace tapewright::literals;

namespace {

struct pinned {
  zone zones[2] = {small_job::zones[0], small_job::zones[1]};
  run runs[3] = {small_job::runs[0], small_job::runs[1], small_job::runs[2]};
  std::unique_ptr<plan_storage<3>> room = std::make_unique<plan_storage<3>>();

  job question() const {
    job j = small_job::question();
    j.zones = zones;
    j.runs = runs;
    return j;
  }
  plan made() const {
    const auto p = make_plan(question(), small_job::parts, room->space());
    REQUIRE(p.ok());
    return *p;
  }
};

}  // namespace

TEST_CASE("a pinned driver is the one that is used, and costs more") {
  pinned p;
  const money free = p.made().price;
  REQUIRE(p.made().drivers[0].part == 1);       // 91.44 W and a tenth are more than 100 W: one D-200
  for (zone& z : p.zones) z.pinned_driver = 0;  // D-100: one for each zone
  const plan got = p.made();
  CHECK(got.fits);
  REQUIRE(got.drivers.size() == 2);
  for (const driver_plan& d : got.drivers) CHECK(d.part == 0);
  CHECK(got.price > free);
}

TEST_CASE("zones with different pinned drivers share none") {
  pinned p;
  p.zones[0].pinned_driver = 0;
  p.zones[1].pinned_driver = 1;
  const plan got = p.made();
  CHECK(got.fits);
  REQUIRE(got.drivers.size() == 2);
  for (const run_plan& r : got.runs) {
    const auto output = static_cast<std::size_t>(got.hubs[static_cast<std::size_t>(r.hub)].output);
    const auto driver = static_cast<std::size_t>(got.outputs[output].driver);
    CHECK(got.drivers[driver].part == (r.run == 0 ? 0 : 1));
  }
}

TEST_CASE("a pinned feeder is laid where a thinner one would be cheaper") {
  pinned p;
  REQUIRE(p.made().runs[0].feeder.cable == 0);  // 1.5 mm2
  p.runs[0].pinned_feeder = 1;                  // 2.5 mm2
  const plan got = p.made();
  CHECK(got.runs[0].feeder.cable == 1);
  CHECK(got.runs[1].feeder.cable == 2);  // the others keep theirs
}

TEST_CASE("a pinned controller leads its zone") {
  controller rows[] = {small_job::controllers[0], small_job::controllers[0]};
  rows[1].code = "C-5b";
  rows[1].price = {9900};
  catalogue parts = small_job::parts;
  parts.controllers = rows;
  pinned p;
  p.zones[1].pinned_controller = 1;
  const auto got = make_plan(p.question(), parts, p.room->space());
  REQUIRE(got.ok());
  CHECK(got->fits);
  for (const hub_plan& h : got->hubs)
    if (h.controller >= 0) CHECK(h.controller == 1);
}

TEST_CASE("a pin that points at nothing is refused, and the field told") {
  struct row {
    field what;
    std::int32_t pin;
  };
  for (const row& r : {row{field::pinned_driver, 2},
                       {field::pinned_driver, -2},
                       {field::pinned_controller, 1},
                       {field::pinned_feeder, 3}}) {
    pinned p;
    if (r.what == field::pinned_driver) p.zones[1].pinned_driver = r.pin;
    if (r.what == field::pinned_controller) p.zones[1].pinned_controller = r.pin;
    if (r.what == field::pinned_feeder) p.runs[1].pinned_feeder = r.pin;
    const fault f = check(p.question(), small_job::parts);
    CHECK(f.code == fault_code::unknown_reference);
    CHECK(f.field == r.what);
    CHECK(f.given == r.pin);
    CHECK(f.item == 1);
  }
}

TEST_CASE("pins that cannot be kept are told as what does not go together") {
  pinned p;
  p.runs[1].pinned_feeder = 0;  // two cores for five channels
  const job j = p.question();
  run runs[3];
  zone zones[2];
  demand demands[demand_room(3, 2)];
  relaxation help[demand_room(3, 2)];
  const auto found = find_conflict(j, small_job::parts, {runs, zones, demands, help, p.room->space()});
  REQUIRE(found.ok());
  REQUIRE(found->conflicting);
  REQUIRE(found->core.size() == 2);
  CHECK(found->core[0].kind == demand_kind::run);
  CHECK(found->core[0].index == 1);
  CHECK(found->core[1].kind == demand_kind::feeder);
  CHECK(found->core[1].index == 1);
  CHECK(found->smallest);
  REQUIRE(!found->help.empty());
  CHECK(found->help[0].what.kind == demand_kind::feeder);
  CHECK(found->help[0].whole_job_fits);
}
