// SPDX-License-Identifier: BSL-1.0
// Cables that are chosen so that the overcurrent device of their output protects them.
#include "tapewright/plan/output_wiring.hpp"

#include <doctest/doctest.h>

#include <memory>
#include <vector>

#include "support/plan_checker.hpp"
#include "support/plan_room.hpp"
#include "support/random_job.hpp"
#include "support/small_job.hpp"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::literals;

namespace {

/// The shelf of the small job alone, its driver's current and its fuses as a test wants them.
struct shelf {
  std::vector<driver> drivers{small_job::drivers[0]};
  std::vector<overcurrent_device> devices;
  std::vector<cable> cables{small_job::cables[0], small_job::cables[1], small_job::cables[2]};
  std::vector<run> runs{small_job::runs[0]};
  std::unique_ptr<plan_storage<3>> storage = std::make_unique<plan_storage<3>>();

  explicit shelf(amps overload_limit) { drivers[0].overload_limit = overload_limit; }
  void fuse(amps rated, money price = {150}) {
    devices.push_back(small_job::devices[0]);
    devices.back().code = rated.v < 10   ? "F-small"
                          : rated.v < 15 ? "F-10"
                          : rated.v < 21 ? "F-20"
                                         : "F-large";
    devices.back().rated = rated;
    devices.back().price = price;
  }
  catalogue parts() const {
    catalogue all = small_job::parts;
    all.drivers = drivers;
    all.cables = cables;
    all.overcurrent_devices = devices;
    return all;
  }
  job question() const {
    job j = small_job::question();
    j.runs = runs;
    return j;
  }
  plan planned() {
    const auto answer = make_plan(question(), parts(), storage->space());
    REQUIRE(answer.ok());
    for (const std::string& problem : test::plan_checker{question(), parts(), *answer}.problems())
      CHECK_MESSAGE(problem.empty(), problem);
    return *answer;
  }
};

std::string_view cable_of(const plan& p) {
  return small_job::cables[static_cast<std::size_t>(p.runs[0].feeder.cable)].code;
}

}  // namespace

TEST_CASE("demand_of: what devices ask of the cables behind them") {
  // rows by hand: factor of rules/overcurrent_ratings.hpp, In, I2 / 1.45, U / I2
  const auto fuse = demand_of({}, small_job::devices[1], 24_V);  // blade fuse, I2 = 1.35 In
  CHECK(fuse.ampacity == 10_A);                                  // 13.5 / 1.45 = 9.31
  CHECK(fuse.greatest_loop.v == 24 / 13.5);
  const overcurrent_device gg{"G-2", "", overcurrent_family::fuse_gg, 2_A, 60_V, {}};
  CHECK(demand_of({}, gg, 24_V).ampacity > 2_A);  // small fuses: I2 = 2.1 In asks for more than In
}

TEST_CASE("a feeder is thickened where the code keeps the only fuse off a small conductor") {
  shelf s{{}};
  s.fuse(20_A);
  job by_nec = s.question();
  by_nec.rules.family = code_family::nec;
  for (cable& k : s.cables) k.conductor_limit = 90_degC;
  const auto answer = make_plan(by_nec, s.parts(), s.storage->space());
  REQUIRE(answer.ok());
  // NEC 240.4(D): 15 A on 14 AWG (2.08 mm2), which 2.5 mm2 counts as; 20 A from 12 AWG (3.31 mm2) on
  CHECK(!answer->fits);
  s.cables[2].cores = 2;
  s.cables[2].core_colours = {};
  s.cables[2].conductor.area = 4_mm2;
  const auto thick = make_plan(by_nec, s.parts(), s.storage->space());
  REQUIRE(thick.ok());
  CHECK(thick->fits);
  CHECK(thick->runs[0].feeder.cable == 2);
}

TEST_CASE("a feeder is thickened where the only fuse is above what the thin cable may carry") {
  shelf plain{{}};
  plain.fuse(10_A);
  CHECK(cable_of(plain.planned()) == "K-2x1.5");

  shelf s{{}};  // the maker states no limit: a fuse is needed
  s.fuse(20_A);
  const plan p = s.planned();
  CHECK(p.fits);
  // IEC 60364-5-52 B2, two loaded, 30 degC: 16.5 A for 1.5 mm2 and 23 A for 2.5 mm2; 20 A fits the second only
  CHECK(cable_of(p) == "K-2x2.5");
  CHECK(p.runs[0].feeder.ruled_by == governed::cable_protection);
  CHECK(s.devices[static_cast<std::size_t>(p.outputs[0].device)].rated == 20_A);
}

TEST_CASE("a feeder is thickened where a short circuit at its far end would not operate the fuse") {
  shelf s{{}};
  s.fuse(10_A);
  s.runs[0].measured = 0.5_m;
  // by hand: 24 V / 13.5 A = 1.778 ohm out and back. Class 5 copper at 70 degC: 13.3 and 7.98 milliohm/m x 1.1965;
  // with 2 m to the hub's place and 0.6 m of slack 1.5 mm2 reaches 55.8 m and 2.5 mm2 93 m
  s.runs[0].from_controller = 53_m;
  CHECK(cable_of(s.planned()) == "K-2x1.5");
  s.runs[0].from_controller = 54_m;
  const plan p = s.planned();
  CHECK(p.fits);
  CHECK(cable_of(p) == "K-2x2.5");
  CHECK(p.runs[0].feeder.ruled_by == governed::fault_current);
}

TEST_CASE(
    "a feeder is thickened until the driver itself cannot overload it, where that is cheaper or the only "
    "way") {
  shelf s{18_A};  // above 16.5 A, below 23 A
  const plan p = s.planned();
  CHECK(p.fits);
  CHECK(cable_of(p) == "K-2x2.5");
  CHECK(p.outputs[0].device == -1);
  CHECK(p.outputs[0].protection.source_protects);

  shelf fused{18_A};
  fused.fuse(10_A);  // the thin cable with a fuse stands where one fits
  CHECK(cable_of(fused.planned()) == "K-2x1.5");
}

TEST_CASE("of the devices that a thicker cable would suit the cheapest order wins, whatever their order") {
  // IEC 60364-5-52 B2, two loaded, 30 degC: both are above the 16.5 A of 1.5 mm2 and below the 23 A of 2.5 mm2
  for (const bool turned : {false, true})
    for (const bool larger_is_cheaper : {false, true}) {
      CAPTURE(turned);
      CAPTURE(larger_is_cheaper);
      const money small_costs{larger_is_cheaper ? 90 : 20}, large_costs{larger_is_cheaper ? 20 : 90};
      shelf s{{}};
      if (turned) s.fuse(22_A, large_costs);
      s.fuse(20_A, small_costs);
      if (!turned) s.fuse(22_A, large_costs);
      const plan p = s.planned();
      CHECK(p.fits);
      CHECK(cable_of(p) == "K-2x2.5");
      CHECK(p.runs[0].feeder.ruled_by == governed::cable_protection);
      REQUIRE(p.outputs[0].device >= 0);
      CHECK(s.devices[static_cast<std::size_t>(p.outputs[0].device)].rated ==
            (larger_is_cheaper ? 22_A : 20_A));
    }
}

TEST_CASE("where no cable is thick enough all stays as it was, and is told") {
  shelf s{{}};
  s.fuse(30_A);  // 2.5 mm2 may carry 23 A
  const auto answer = make_plan(s.question(), s.parts(), s.storage->space());
  REQUIRE(answer.ok());
  CHECK(!answer->fits);
  CHECK(cable_of(*answer) == "K-2x1.5");
  CHECK(answer->findings[0].code == finding_code::no_overcurrent_device);
}

TEST_CASE("what no single cable carries is refused, not laid twice in parallel") {
  shelf s{{}};
  s.fuse(10_A);
  for (cable& k : s.cables) k.rating = 1_A;  // by their maker; 4 m draw 1.6 A
  s.runs[0].measured = 4_m;
  const auto answer = make_plan(s.question(), s.parts(), s.storage->space());
  REQUIRE(answer.ok());
  CHECK(!answer->fits);
  bool told = false;
  for (const finding& each : answer->findings)
    if (each.code == finding_code::no_feeder) {
      told = true;
      CHECK(each.stopped_by == governed::ampacity);
      CHECK(each.help == advice::split_feed);
    }
  CHECK(told);
  int conductors = 0;
  for (const connection& c : answer->connections) conductors += c.to.kind == terminal_kind::tape_common;
  CHECK(conductors == 1);
}

// With one driver for each voltage and no least load the other parts do not change with a run: what is left of a job
// that can be wired can be wired. (Where they change, another driver may have a smaller terminal or ask for a fuse that
// there is not.)
TEST_CASE("law: what is left of a job that plans when a run is taken away plans too") {
  test::random_source r{20261130};
  MESSAGE("seed " << r.seed());
  int fitting = 0, smaller = 0;
  for (int round = 0; round < 600; ++round) {
    CAPTURE(round);
    test::owned_job o;
    test::fill_random_job(r, o, {.runs = 6, .zones = 3});
    for (tape& t : o.tapes) t.all_on_limit = {};
    std::vector<driver> one_each;
    for (driver& s : o.drivers) {
      bool known = false;
      for (const driver& other : one_each) known = known || other.output == s.output;
      if (known) continue;
      s.least_load = {};
      s.output_connector = {};
      s.least_terminal = 0.5_mm2;
      s.greatest_terminal = 6_mm2;
      one_each.push_back(s);
    }
    o.drivers = one_each;
    job question = o.question();
    const catalogue parts = o.parts();
    test::plan_room room{*space_for(question, parts)};
    const auto whole = make_plan(question, parts, room.space());
    REQUIRE(whole.ok());
    if (!whole->fits || o.runs.size() < 2) continue;
    ++fitting;
    for (std::size_t gone = 0; gone < o.runs.size(); ++gone) {
      std::vector<run> left = o.runs;
      left.erase(left.begin() + static_cast<std::ptrdiff_t>(gone));
      question.runs = left;
      const auto part = make_plan(question, parts, room.space());
      REQUIRE(part.ok());
      CAPTURE(gone);
      CHECK(part->fits);
      ++smaller;
    }
  }
  MESSAGE(fitting << " jobs, " << smaller << " of them with a run less");
  CHECK(smaller > 300);
}

TEST_CASE("by NEC no device is above the code's limit of a small conductor, nor below a continuous load") {
  shelf s{{}};
  s.fuse(10_A);
  cable thin[] = {small_job::cables[0]};
  thin[0].conductor = *awg_conductor(18);
  thin[0].conductor_limit = 90_degC;
  const auto planned = [&] {
    catalogue parts = s.parts();
    parts.cables = thin;
    job j = s.question();
    j.rules.family = code_family::nec;
    j.rules.least_conductor = 0.5_mm2;
    const auto answer = make_plan(j, parts, s.storage->space());
    REQUIRE(answer.ok());
    for (const std::string& problem : test::plan_checker{j, parts, *answer}.problems())
      CHECK_MESSAGE(problem.empty(), problem);
    return *answer;
  };
  // 18 AWG at 90 degC carries 14 A (NEC Table 310.16), and takes a device of 7 A at most (240.4(D), from memory)
  const plan large = planned();
  CHECK(!large.fits);
  bool told = false;
  for (const finding& f : large.findings) {
    if (f.code != finding_code::no_overcurrent_device || f.stopped_by != governed::code_maximum) continue;
    told = true;
    CHECK(f.value == 10);
    CHECK(f.limit == 7);
    CHECK(f.from == source::nec_240_4_d);
    CHECK(f.utilisation == utilisation(10.0, 7.0));
  }
  CHECK(told);
  s.fuse(5_A);
  const plan small = planned();
  CHECK(small.fits);
  CHECK(s.devices[static_cast<std::size_t>(small.outputs[0].device)].rated == 5_A);

  // a continuous load counts 1.25 times (NEC 210.20(A)): what is told is that, not the load that 1 A would carry
  s.devices.clear();
  s.fuse(1_A);
  const plan short_of_continuous = planned();
  CHECK(!short_of_continuous.fits);
  const amps load = short_of_continuous.outputs[0].current;
  CHECK(load < 1_A);
  told = false;
  for (const finding& f : short_of_continuous.findings) {
    if (f.code != finding_code::no_overcurrent_device) continue;
    told = true;
    CHECK(f.stopped_by == governed::load_current);
    CHECK(f.value == 1.25 * load.v);
    CHECK(f.limit == 1);
    CHECK(f.utilisation == utilisation(f.value, 1.0));
    CHECK(f.utilisation > 1);
  }
  CHECK(told);
}

TEST_CASE("code_device_limit: the gauges that NEC names, metric sections as the gauge below, none by IEC") {
  design_rules rules;
  const auto limit = [&](const conductor_size& c) { return code_device_limit(rules, *listed(c)).v; };
  const conductor_size thin{conductor_system::awg, {}, 14};
  CHECK(limit(thin) == 0);
  rules.family = code_family::nec;
  // NEC 240.4(D); 18, 16 and 10 AWG from memory
  const struct {
    int gauge;
    double most_a;
  } rows[] = {{20, 0}, {18, 7}, {16, 10}, {14, 15}, {12, 20}, {10, 30}, {8, 0}, {6, 0}};
  for (const auto& row : rows) {
    CAPTURE(row.gauge);
    CHECK(limit({conductor_system::awg, {}, row.gauge}) == row.most_a);
  }
  CHECK(limit({conductor_system::metric_class_5, 1.5_mm2, 0}) == 10);  // 16 AWG has 1.31 mm2, 14 AWG 2.08
  CHECK(limit({conductor_system::metric_class_5, 2.5_mm2, 0}) == 15);
  CHECK(limit({conductor_system::metric_class_5, 10_mm2, 0}) == 0);
}
