// SPDX-License-Identifier: BSL-1.0
#include "tapewright/plan/what_if/alternatives.hpp"

#include <doctest/doctest.h>

#include <memory>
#include <vector>

#include "support/plan_checker.hpp"
#include "support/random_job.hpp"
#include "support/small_job.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

struct storage {
  std::vector<zone> zones;
  std::vector<driver> drivers;
  std::vector<cable> cables;
  std::unique_ptr<plan_storage<8, 4000>> plan = std::make_unique<plan_storage<8, 4000>>();

  alternative_space for_job(const job& j, const catalogue& parts) {
    zones.resize(j.zones.size());
    drivers.resize(parts.drivers.size());
    cables.resize(parts.cables.size());
    return {zones, drivers, cables, plan->space()};
  }
};

}  // namespace

TEST_CASE("alternatives: soldered tails beside connectors, at the prices of the catalogue") {
  storage s;
  const job j = small_job::question();
  alternative room[std::size(all_alternatives)];
  const auto n = alternatives(j, small_job::parts, s.for_job(j, small_job::parts), room);
  REQUIRE(n.ok());
  const auto plan_room = std::make_unique<plan_storage<3>>();
  const auto base = make_plan(j, small_job::parts, plan_room->space());
  REQUIRE(base.ok());
  bool soldered = false;
  for (const alternative& a : std::span{room}.first(*n)) {
    CAPTURE(text_of(a.kind));
    if (a.kind != alternative_kind::soldered_tails) continue;
    soldered = true;
    job other = j;
    other.rules.join = join_preference::soldered_first;
    const auto p = make_plan(other, small_job::parts, plan_room->space());
    REQUIRE(p.ok());
    CHECK(p->price == a.price);
    CHECK(a.soldered == 3);
  }
  CHECK(soldered);
}

TEST_CASE("alternatives: one large driver for two small ones") {
  // 22.1 W and 72 W: the two smaller drivers together are cheaper than either that carries both
  driver rows[] = {small_job::drivers[0], small_job::drivers[0], small_job::drivers[1],
                   small_job::drivers[1]};
  rows[0].code = "D-30";
  rows[0].rated = watts{30};
  rows[0].overload_limit = amps{2};
  rows[0].price = {900};
  rows[1].price = {2000};
  rows[2].price = {6100};
  rows[3].code = "A-dearer";  // the other large one again, first by its code
  rows[3].price = {6900};
  catalogue parts = small_job::parts;
  parts.drivers = rows;
  const job j = small_job::question();
  storage s;
  alternative room[std::size(all_alternatives)];
  const auto n = alternatives(j, parts, s.for_job(j, parts), room);
  REQUIRE(n.ok());
  const auto plan_room = std::make_unique<plan_storage<3>>();
  const auto base = make_plan(j, parts, plan_room->space());
  REQUIRE(base.ok());
  REQUIRE(base->fits);
  REQUIRE(base->drivers.size() == 2);
  bool fewer = false;
  for (const alternative& a : std::span{room}.first(*n))
    if (a.kind == alternative_kind::fewer_drivers) {
      fewer = true;
      CHECK(a.drivers == 1);
      CHECK(a.price > base->price);
      CHECK(a.price.minor < 1'000'000'000);  // not the price that forced it
    }
  const auto full = make_alternative(alternative_kind::fewer_drivers, j, parts, {}, s.for_job(j, parts));
  REQUIRE(full.ok());
  money sum;
  for (const order_line& l : full->answer.order) {
    sum += l.total;
    if (l.part.kind != part_kind::driver) continue;
    CHECK(code_of(full->parts, l.part) == rows[2].code);  // the cheaper of the two that carry all
    CHECK(l.unit_price == money{6100});
  }
  CHECK(full->answer.price == sum);
  CHECK(full->answer.to_pay.net == sum);
  CHECK(full->answer.price_at_least <= sum);
  CHECK(fewer);
}

TEST_CASE("alternatives: every one fits before the judge, differs as it says, and they stand by price") {
  random_source r{20261130};
  MESSAGE("seed " << r.seed());
  storage s;
  const auto plan_room = std::make_unique<plan_storage<8, 4000>>();
  int told = 0, of_kind[7] = {};
  for (int round = 0; round < 300; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 5});
    if (r.one_in(2)) o.rules.balanced = {{r.integer(0, 3000)}, {r.integer(0, 900)}, {r.integer(0, 100)}};
    const job j = o.question();
    const catalogue parts = o.parts();
    const alternative_space space = s.for_job(j, parts);
    alternative room[std::size(all_alternatives)];
    const auto n = alternatives(j, parts, space, room);
    REQUIRE(n.ok());
    const auto base = make_plan(j, parts, plan_room->space());
    REQUIRE(base.ok());
    if (!base->fits) CHECK(*n == 0);
    for (std::size_t i = 0; i < *n; ++i) {
      const alternative& a = room[i];
      CAPTURE(text_of(a.kind));
      ++told;
      ++of_kind[static_cast<std::size_t>(a.kind)];
      if (i > 0) CHECK(room[i - 1].price - room[i - 1].capacity_credit <= a.price - a.capacity_credit);
      const auto made = make_alternative(a.kind, j, parts, thickest_conductor(*base), space);
      REQUIRE(made.ok());
      CHECK(made->answer.fits);
      CHECK(made->answer.capacity_credit == a.capacity_credit);
      CHECK(made->answer.price_at_least <= a.price - a.capacity_credit);
      CHECK((!made->answer.proven || made->answer.price_at_least == a.price - a.capacity_credit));
      job asked = j;
      asked.zones = a.kind == alternative_kind::plug_in || a.kind == alternative_kind::hardwired
                        ? std::span<const zone>{s.zones}
                        : j.zones;
      for (const std::string& problem : plan_checker{asked, made->parts, made->answer}.problems()) {
        CAPTURE(problem);
        CHECK(problem.empty());
      }
      switch (a.kind) {
        case alternative_kind::fewer_drivers:
          CHECK(made->answer.drivers.size() < base->drivers.size());
          break;
        case alternative_kind::thinner_cable:
          CHECK(thickest_conductor(made->answer) < thickest_conductor(*base));
          break;
        case alternative_kind::plug_in:
        case alternative_kind::hardwired:
        case alternative_kind::soldered_tails:
        case alternative_kind::connectors: break;
      }
    }
  }
  MESSAGE(told << " alternatives: " << of_kind[1] << " with fewer drivers, " << of_kind[2]
               << " with thinner cable, " << of_kind[3] << " plug-in, " << of_kind[4] << " hardwired, "
               << of_kind[5] << " soldered");
  CHECK(told > 100);
  CHECK(of_kind[2] > 0);
  CHECK(of_kind[3] + of_kind[4] > 0);
}

TEST_CASE("make_alternative: too little room is a fault that tells the list which is too small") {
  storage s;
  const job j = small_job::question();
  const catalogue& parts = small_job::parts;
  const alternative_space enough = s.for_job(j, parts);
  const auto why = [&](const alternative_space& space) {
    return make_alternative(alternative_kind::connectors, j, parts, {}, space).why();
  };
  alternative_space space = enough;
  space.cables = space.cables.first(1);
  CHECK(why(space) == refuse_room(1, parts.cables.size()));
  CHECK(why(space).code == fault_code::no_room);
  space = enough;
  space.zones = {};
  CHECK(why(space) == refuse_room(0, j.zones.size()));
  space = enough;
  space.drivers = {};
  CHECK(why(space) == refuse_room(0, parts.drivers.size()));
}
