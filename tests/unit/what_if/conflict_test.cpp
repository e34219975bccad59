// SPDX-License-Identifier: BSL-1.0
#include "tapewright/plan/what_if/conflict.hpp"

#include <doctest/doctest.h>

#include <iterator>
#include <memory>
#include <string>
#include <vector>

#include "support/random_job.hpp"
#include "support/small_job.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

struct storage {
  std::vector<run> runs;
  std::vector<zone> zones;
  std::vector<demand> demands;
  std::vector<relaxation> help;
  std::unique_ptr<plan_storage<8, 4000>> plan = std::make_unique<plan_storage<8, 4000>>();

  conflict_space for_job(const job& j) {
    runs.resize(j.runs.size());
    zones.resize(j.zones.size());
    demands.resize(demand_room(j.runs.size(), j.zones.size()));
    help.resize(demands.size());
    return {runs, zones, demands, help, plan->space()};
  }
};

std::string name_of(const demand& d, const job& j) {
  switch (d.kind) {
    case demand_kind::run: return "run " + std::string{j.runs[static_cast<std::size_t>(d.index)].code};
    case demand_kind::rule: return std::string{rule_table[d.index].name};
    case demand_kind::mount: return "mount";
    case demand_kind::limited_energy: return "limited energy";
    case demand_kind::ingress: return "ingress";
    case demand_kind::features: return "features";
    case demand_kind::driver: return "pinned driver";
    case demand_kind::controller: return "pinned controller";
    case demand_kind::feeder: return "pinned feeder";
  }
  return "?";
}

std::vector<std::string> names(std::span<const demand> core, const job& j) {
  std::vector<std::string> all;
  for (const demand& d : core) all.push_back(name_of(d, j));
  return all;
}

/// The job with the named demands alone: what a customer who gives up on all others would ask.
struct eased_job {
  std::vector<run> runs;
  std::vector<zone> zones;
  job asked;

  eased_job(const job& j, std::span<const demand> demands, std::size_t without) : asked{j} {
    zones.assign(j.zones.begin(), j.zones.end());
    for (zone& z : zones) {
      z.wants_controller = z.wants_controller || !z.features.empty();
      z.mount = fitting_wish::any;
      z.limited_energy = false;
      z.ingress = 0;
      z.features = {};
    }
    for (const tapewright::detail::loosest_rule& l : tapewright::detail::loosest_rules)
      rule_named(l.name)->set(asked.rules, l.value);
    for (std::size_t i = 0; i < demands.size(); ++i) {
      if (i == without) continue;
      const demand& d = demands[i];
      const auto at = static_cast<std::size_t>(d.index);
      switch (d.kind) {
        case demand_kind::run: runs.push_back(j.runs[at]); break;
        case demand_kind::rule: rule_table[at].set(asked.rules, d.value); break;
        case demand_kind::mount: zones[at].mount = j.zones[at].mount; break;
        case demand_kind::limited_energy: zones[at].limited_energy = true; break;
        case demand_kind::ingress: zones[at].ingress = j.zones[at].ingress; break;
        case demand_kind::features: zones[at].features = j.zones[at].features; break;
        case demand_kind::driver:
        case demand_kind::controller:
        case demand_kind::feeder: REQUIRE(false);  // the random jobs here pin nothing: see pins_test.cpp
      }
    }
    asked.runs = runs;
    asked.zones = zones;
  }
  bool fits(const catalogue& parts, const plan_space& space) const {
    if (runs.empty()) return true;
    const auto p = make_plan(asked, parts, space);
    REQUIRE(p.ok());
    return p->fits;
  }
};

}  // namespace

TEST_CASE("find_conflict: a job that fits has none") {
  storage s;
  const job j = small_job::question();
  const conflict_space space = s.for_job(j);
  const auto found = find_conflict(j, small_job::parts, space);
  REQUIRE(found.ok());
  CHECK(!found->conflicting);
  CHECK(found->core.empty());
}

TEST_CASE("find_conflict: a run too far away, and the drop that the rules allow") {
  storage s;
  run runs[] = {small_job::runs[0], small_job::runs[1], small_job::runs[2]};
  runs[0].from_controller = 60_m;  // 22 W at 24 V over 60 m of at most 2.5 mm2
  job j = small_job::question();
  j.runs = runs;
  const conflict_space space = s.for_job(j);
  const auto found = find_conflict(j, small_job::parts, space);
  REQUIRE(found.ok());
  REQUIRE(found->conflicting);
  CHECK(found->smallest);
  const auto core = names(found->core, j);
  CAPTURE(core.size());
  REQUIRE(core.size() == 2);
  CHECK(core[0] == "run A");
  CHECK(core[1] == "drop_to_feed");
  CHECK(found->broken.code == finding_code::drop_to_feed);
  CHECK(found->broken.subject == subject{subject_kind::run, 0});
  CHECK(found->broken.value > found->broken.limit);
  // every relaxation that is told works when it is made, and a little less of it does not
  REQUIRE(!found->help.empty());
  const auto plan_room = std::make_unique<plan_storage<3>>();
  for (const relaxation& r : found->help) {
    CAPTURE(name_of(r.what, j));
    CAPTURE(r.to);
    job eased = j;
    run shorter[] = {runs[0], runs[1], runs[2]};
    const auto fits_at = [&](double to) {
      if (r.what.kind == demand_kind::rule) REQUIRE(!set_rule(eased.rules, rule_table[r.what.index], to));
      else shorter[r.what.index].measured = metres{to};
      eased.runs = shorter;
      const auto p = make_plan(eased, small_job::parts, plan_room->space());
      REQUIRE(p.ok());
      return p->fits;
    };
    CHECK(r.whole_job_fits == fits_at(r.to));
    if (r.what.kind == demand_kind::rule)
      CHECK(!fits_at(r.to - 0.002));  // of a drop's share; the bisection is finer
  }
}

TEST_CASE("find_conflict: two wishes that no part meets together") {
  storage s;
  zone zones[] = {small_job::zones[0], small_job::zones[1]};
  zones[0].mount = fitting_wish::plug_in;  // every driver of this catalogue is hardwired
  job j = small_job::question();
  j.zones = zones;
  const conflict_space space = s.for_job(j);
  const auto found = find_conflict(j, small_job::parts, space);
  REQUIRE(found.ok());
  REQUIRE(found->conflicting);
  CHECK(names(found->core, j) == std::vector<std::string>{"run A", "mount"});
  CHECK(found->broken.level == severity::failed);
  REQUIRE(!found->help.empty());
  CHECK(found->help[0].what.kind == demand_kind::mount);
  CHECK(found->help[0].whole_job_fits);
}

TEST_CASE("find_conflict: nothing of the catalogue suits a run") {
  storage s;
  catalogue parts = small_job::parts;
  parts.drivers = {};
  const job j = small_job::question();
  const conflict_space space = s.for_job(j);
  const auto found = find_conflict(j, parts, space);
  REQUIRE(found.ok());
  REQUIRE(found->conflicting);
  CHECK(names(found->core, j) == std::vector<std::string>{"run A"});
  CHECK(found->help.empty());
}

TEST_CASE("find_conflict: a run longer than its maker allows, where a driver must carry more than one cut") {
  storage s;
  driver drivers[std::size(small_job::drivers)];
  for (std::size_t i = 0; i < std::size(drivers); ++i) {
    drivers[i] = small_job::drivers[i];
    drivers[i].least_load = 10_W;  // one cut of 50 mm has 0.48 W
  }
  catalogue parts = small_job::parts;
  parts.drivers = drivers;
  run runs[] = {small_job::runs[0], small_job::runs[1], small_job::runs[2]};
  runs[0].measured = 8_m;  // 6 m is what the maker of white_24 allows from one feed
  job j = small_job::question();
  j.runs = runs;
  const conflict_space space = s.for_job(j);
  const auto found = find_conflict(j, parts, space);
  REQUIRE(found.ok());
  REQUIRE(found->conflicting);
  CHECK(names(found->core, j) == std::vector<std::string>{"run A"});
  REQUIRE(found->help.size() == 1);
  CHECK(found->help[0].what.kind == demand_kind::run);
  // the longest wall whose tape, cut to the pitch, is 6 m; the bisection ends within 8 m / 2^20 of it
  CHECK(found->help[0].to < 6.05);
  CHECK(found->help[0].to > 6.05 - 1e-5);
}

TEST_CASE("find_conflict: too little room is a fault that tells the list which is too small") {
  storage s;
  const job j = small_job::question();
  const conflict_space enough = s.for_job(j);
  const auto why = [&](const conflict_space& space) {
    return find_conflict(j, small_job::parts, space).why();
  };
  conflict_space space = enough;
  space.demands = space.demands.first(3);
  CHECK(why(space) == refuse_room(3, enough.demands.size()));
  space = enough;
  space.runs = space.runs.first(1);
  CHECK(why(space) == refuse_room(1, j.runs.size()));
  CHECK(why(space).code == fault_code::no_room);
  space = enough;
  space.zones = {};
  CHECK(why(space) == refuse_room(0, j.zones.size()));
}

TEST_CASE("find_conflict: no demand of a core can go, and what is told to help helps") {
  random_source r{20261129};
  MESSAGE("seed " << r.seed());
  storage s;
  const auto again = std::make_unique<plan_storage<8, 4000>>();
  int conflicts = 0, helped = 0, smallest = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 4, .zones = 2});
    const job j = o.question();
    const catalogue parts = o.parts();
    const conflict_space space = s.for_job(j);
    const auto found = find_conflict(j, parts, space);
    REQUIRE(found.ok());
    const auto whole = make_plan(j, parts, again->space());
    REQUIRE(whole.ok());
    CHECK(found->conflicting == !whole->fits);
    if (!found->conflicting) continue;
    ++conflicts;
    smallest += found->smallest;
    CHECK(!found->core.empty());
    CHECK(found->broken.level == severity::failed);
    const std::span<const demand> core = found->core;
    CHECK(!eased_job{j, core, core.size()}.fits(parts, again->space()));
    for (std::size_t i = 0; i < core.size(); ++i) CHECK(eased_job{j, core, i}.fits(parts, again->space()));
    for (const relaxation& h : found->help) {
      if (!h.whole_job_fits) continue;
      job eased = j;
      std::vector<run> runs = o.runs;
      std::vector<zone> zones = o.zones;
      give_way(h, eased.rules, runs, zones);
      eased.runs = runs;
      eased.zones = zones;
      const auto p = make_plan(eased, parts, again->space());
      REQUIRE(p.ok());
      CHECK(p->fits);
      ++helped;
    }
  }
  MESSAGE(conflicts << " conflicts, " << smallest << " of the smallest kind, " << helped << " ways out");
  CHECK(conflicts > 15);
  CHECK(helped > 5);
}
