// SPDX-License-Identifier: BSL-1.0
// The derivations, recalculated from what they print; and the names and notes that every list uses.
#include "tapewright/plan/explain.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "tapewright/plan/names.hpp"
#include "tapewright/plan/notes.hpp"
#include "tapewright/plan/planner.hpp"
#include "tests/support/plan_room.hpp"
#include "tests/support/pocket_calculator.hpp"
#include "tests/support/random_job.hpp"
#include "tests/support/small_job.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using tapewright::test::calculator;
using tapewright::test::recalculated;
using tapewright::test::recalculation;

namespace {

/// Two whites on a controller that keeps the tape's limit; one white that hangs straight on its driver,
/// its minus common; a regulated and a constant-power one; a hot driver; a driver that can overload its
/// cable and so has a fuse.
struct mixed_job {
  std::vector<tape> tapes;
  std::vector<cable> cables{std::begin(small_job::cables), std::end(small_job::cables)};
  std::vector<connector> connectors{std::begin(small_job::connectors), std::end(small_job::connectors)};
  std::vector<controller> controllers{std::begin(small_job::controllers), std::end(small_job::controllers)};
  std::vector<driver> drivers{std::begin(small_job::drivers), std::end(small_job::drivers)};
  std::vector<overcurrent_device> devices{std::begin(small_job::devices), std::end(small_job::devices)};
  std::vector<zone> zones;
  std::vector<run> runs;
  design_rules rules = small_job::question().rules;

  mixed_job() {
    tape two = small_job::white_24;
    two.code = "two";
    two.channels.count = 0;
    two.channels.push({"CW", 8_W_per_m, load_kind::resistor_limited, 19.2_V, 0.03_ohm_per_m});
    two.channels.push({"WW", 8_W_per_m, load_kind::resistor_limited, 19_V, 0.03_ohm_per_m});
    two.all_on_limit = 10_W_per_m;
    tape minus = small_job::white_24;
    minus.code = "minus";
    minus.common = polarity::common_negative;
    tape regulated = small_job::white_24;
    regulated.code = "regulated";
    regulated.channels[0].law = load_kind::regulated;
    regulated.channels[0].knee = 23.7_V;
    tape power = small_job::white_24;
    power.code = "power";
    power.channels[0].law = load_kind::constant_power;
    power.channels[0].knee = 12_V;
    tapes = {two, minus, regulated, power};

    cables.push_back({.code = "K-3x1.5",
                      .name = "three core",
                      .cores = 3,
                      .conductor = {conductor_system::metric_class_5, 1.5_mm2, 0},
                      .conductor_limit = 70_degC,
                      .rating = {},
                      .core_colours = {{"BN", "BK", "GY"}, 3},
                      .sale_quantum = 1_m,
                      .stock = {},
                      .price = {150}});
    connectors.push_back(connectors[0]);
    connectors.back().code = "J-3";
    connectors.back().poles = 3;
    controllers[0].enforces_all_on_limit = true;
    controllers[0].highest_ambient = 60_degC;
    drivers[0].overload_limit = 30_A;  // more than any of the cables carries
    drivers[1].overload_limit = 30_A;

    zones = {{.code = "warm",
              .name = "warm",
              .features = {{"wall-panel"}, 1},
              .driver_place = "attic",
              .from_driver = 2_m,
              .driver_ambient = 57_degC},
             {.code = "plain",
              .name = "plain",
              .driver_place = "desk",
              .from_driver = 1_m,
              .driver_ambient = 30_degC},
             {.code = "kept",
              .name = "kept",
              .driver_place = "cellar",
              .from_driver = 1_m,
              .driver_ambient = 20_degC},
             {.code = "even",
              .name = "even",
              .driver_place = "hall",
              .from_driver = 1_m,
              .driver_ambient = 25_degC}};
    runs = {
        {.code = "left", .name = "left", .zone = 0, .tape = 0, .measured = 2.47_m, .from_controller = 3_m},
        {.code = "right", .name = "right", .zone = 0, .tape = 0, .measured = 1.81_m, .from_controller = 2_m},
        {.code = "desk", .name = "", .zone = 1, .tape = 1, .measured = 3.33_m, .from_controller = 1_m},
        {.code = "reg",
         .name = "regulated",
         .zone = 2,
         .tape = 2,
         .measured = 4.12_m,
         .from_controller = 2_m},
        {.code = "pow", .name = "power", .zone = 3, .tape = 3, .measured = 3.2_m, .from_controller = 2_m}};
  }

  job question() const { return {zones, runs, rules}; }
  catalogue parts() const { return {tapes, cables, connectors, controllers, drivers, devices}; }
};

struct mixed_plan {
  mixed_job from;
  job question = from.question();
  catalogue parts = from.parts();
  std::unique_ptr<plan_storage<5, 4000>> storage = std::make_unique<plan_storage<5, 4000>>();
  outcome<plan> made = make_plan(question, parts, storage->space());

  std::string explained(std::int32_t run) const {
    std::string room(60'000, '\0');
    text_sink out{room};
    REQUIRE(explain(*made, question, parts, run, out) == fault{});
    REQUIRE_FALSE(out.cut());
    return std::string{out.view()};
  }
};

template <class Write>
std::string text_from(Write write) {
  char room[200] = {};
  text_sink out{room};
  write(out);
  REQUIRE_FALSE(out.cut());
  return std::string{out.view()};
}

}  // namespace

TEST_CASE("the calculator of this test calculates") {
  CHECK(calculator::result_of("floor((4.6 m + 0.000001 m) / 0.05 m)") == 92);
  CHECK(calculator::result_of("24 V - 2 * 0.5 ohm * (1 A + 2 A)") == 21);
  CHECK(calculator::result_of("0.8 * 10 A * sqrt((105 degC - 41 degC) / (105 degC - 25 degC - 16 degC))") ==
        8);
  CHECK(calculator::result_of("-8 degC - 2 degC") == -10);
  CHECK(calculator::result_of("1 - min(0.5, 0.25) / max(0.5, 0.25)") == 0.5);
  CHECK(std::isnan(calculator::result_of("2 furlongs")));
  CHECK(std::isnan(calculator::result_of("2 *")));
  CHECK(std::isnan(calculator::result_of("(2 + 1")));
}

TEST_CASE("every derivation can be recalculated from what it prints, to the digits it prints") {
  const mixed_plan p;
  REQUIRE(p.made.ok());
  for (std::int32_t run = 0; run < 5; ++run) {
    CAPTURE(run);
    REQUIRE(p.made->runs[static_cast<std::size_t>(run)].solved);
    const recalculation seen = recalculated(p.explained(run));
    CHECK(seen.expressions >= 30);
    CHECK(seen.figures >= 35);
    CHECK(seen.sources == seen.figures);  // no figure without its source
  }
}

TEST_CASE("runs with corners, several feed points, sections and rings are derived alike") {
  test::random_source r{20261131};
  MESSAGE("seed " << r.seed());
  int in_parts = 0;
  for (int round = 0; round < 300; ++round) {
    CAPTURE(round);
    test::owned_job o;
    test::fill_random_job(r, o, {.runs = 3, .zones = 2, .longest_m = 14});
    test::bend_runs(r, o);
    o.rules.drop_to_lamp = 0.2;
    const job question = o.question();
    const catalogue parts = o.parts();
    test::plan_room space{*space_for(question, parts)};
    const auto p = make_plan(question, parts, space.space());
    REQUIRE(p.ok());
    for (const run_plan& u : p->runs) {
      // a run that nothing carries has no sized load; of a drop of a thousandth the nine digits put in leave
      // fewer than the five that are printed
      if (!is_fed_in_parts(u) || !p->fits || u.all_on.least_evenness > 0.99) continue;
      ++in_parts;
      std::string text(30'000, ' ');
      text_sink out{std::span<char>{text}};
      REQUIRE(!explain(*p, question, parts, u.place, out));
      REQUIRE(!out.cut());
      text.resize(out.wanted());
      const recalculation seen = recalculated(text);
      CHECK(seen.expressions >= 15);
      CHECK(seen.sources == seen.figures);
      CHECK(text.find("How it is fed") != text.npos);
      for (std::int32_t k = 2; k <= u.more_feeds + 1; ++k)
        CHECK(text.find("Feeder to feed point " + std::to_string(k)) != text.npos);
    }
  }
  MESSAGE(in_parts << " runs fed in parts");
  CHECK(in_parts > 20);
}

TEST_CASE("each figure of a run stands in its derivation as it stands in the plan") {
  const mixed_plan p;
  REQUIRE(p.made.ok());
  const run_plan& r = p.made->runs[0];
  const hub_plan& h = p.made->hubs[static_cast<std::size_t>(r.hub)];
  const output_plan& o = p.made->outputs[static_cast<std::size_t>(h.output)];
  const std::string text = p.explained(0);
  const double figures[] = {static_cast<double>(r.cut.segments),
                            r.cut.length.v,
                            r.cut.dark.v,
                            r.tape_sale.sold.v,
                            r.load.channel_power[1].v,
                            r.load.channel_current[1].v,
                            r.load.sized.v,
                            r.load.total_sized.v,
                            r.feeder.cut.v,
                            r.feeder.check.resistance.v,
                            r.feeder.check.core_resistance.v,
                            r.feeder.check.drop[0].v,
                            r.feeder.check.ampacity.allowed.v,
                            r.feeder.check.ampacity_utilisation,
                            r.joint.allowed.v,
                            r.joint.utilisation,
                            h.total.v,
                            h.check.channel_utilisation,
                            h.check.total_utilisation,
                            h.supply.check.drop_share,
                            h.input.v,
                            r.all_on.total.v,
                            r.all_on.at_feed[0].v,
                            r.all_on.at_feed[1].v,
                            r.all_on.evenness[0],
                            r.all_on.least_evenness,
                            r.all_on.lightness_step,
                            r.all_on.colour_shift,
                            o.load.v,
                            o.check.share,
                            o.check.capacity.v,
                            o.check.needed.v,
                            o.check.utilisation,
                            o.check.headroom_left,
                            o.protection.operating.v,
                            o.protection.load_utilisation,
                            o.protection.cable_utilisation,
                            o.protection.operating_utilisation,
                            p.made->drivers[static_cast<std::size_t>(o.driver)].mains_current.v};
  for (const double figure : figures) {
    const std::string printed =
        text_from([&](text_sink& out) { add_plain(out, figure, detail::digits_out); });
    CAPTURE(printed);
    const bool found =
        text.find("    = " + printed + "\n") != text.npos || text.find("    = " + printed + " ") != text.npos;
    CHECK(found);
  }
  CHECK(text.find("kept within the tape's limit by the controller") != text.npos);
  CHECK(text.find("straight line between two points of the maker's curve") != text.npos);
  CHECK(p.explained(2).find("Controller\n") == std::string::npos);
  CHECK(p.explained(4).find("at the lowest voltage the rules allow at a lamp") != std::string::npos);
}

TEST_CASE("a run that does not exist is refused, a buffer too small is told") {
  const mixed_plan p;
  REQUIRE(p.made.ok());
  char room[100] = {};
  for (const std::int32_t wrong : {-1, 5, 1000}) {
    text_sink out{room};
    const fault f = explain(*p.made, p.question, p.parts, wrong, out);
    CHECK(f == fault{fault_code::unknown_reference, field::place, static_cast<double>(wrong), 0, 4, -1});
    CHECK(out.wanted() == 0);
  }
  text_sink out{room};
  CHECK_FALSE(explain(*p.made, p.question, p.parts, 0, out));
  CHECK(out.cut());
  CHECK(out.wanted() == p.explained(0).size());
  CHECK(out.view() == p.explained(0).substr(0, sizeof room));
}

TEST_CASE("designations: one letter a kind, counted from one, terminals by their marks") {
  const mixed_plan p;
  REQUIRE(p.made.ok());
  const plan& made = *p.made;
  const auto terminal_text = [&](terminal t) {
    return text_from([&](text_sink& out) { add_terminal_name(out, made, p.question, p.parts, t); });
  };
  const auto hub = [&](std::int32_t h) {
    return text_from([&](text_sink& out) { add_hub_name(out, made, h); });
  };
  CHECK(text_from([](text_sink& out) { add_driver_name(out, 0); }) == "T1");
  CHECK(text_from([](text_sink& out) { add_fuse_name(out, 9); }) == "F10");
  CHECK(text_from([](text_sink& out) { add_cable_name(out, 3); }) == "W3");
  const std::int32_t warm = made.runs[0].hub, desk = made.runs[2].hub;
  CHECK(hub(warm) == "K" + std::to_string(warm + 1));
  CHECK(hub(desk) == "X" + std::to_string(desk + 1));
  CHECK(terminal_text({terminal_kind::hub_common, warm}) == hub(warm) + ":common+");
  CHECK(terminal_text({terminal_kind::hub_channel, warm, 1}) == hub(warm) + ":WW");
  CHECK(terminal_text({terminal_kind::hub_positive, warm}) == hub(warm) + ":+");
  CHECK(terminal_text({terminal_kind::hub_negative, warm}) == hub(warm) + ":-");
  CHECK(terminal_text({terminal_kind::tape_common, 0}) == "left:common+");
  CHECK(terminal_text({terminal_kind::tape_channel, 0, 0}) == "left:CW");
  CHECK(terminal_text({terminal_kind::tape_common, 2}) == "desk:common-");
  CHECK(terminal_text({terminal_kind::fuse_in, 0}) == "F1:in");
  CHECK(terminal_text({terminal_kind::fuse_out, 0}) == "F1:out");
  CHECK(terminal_text({terminal_kind::driver_positive, 0}) == "T1:+");
  CHECK(terminal_text({terminal_kind::driver_negative, 0}) == "T1:-");
  const auto named = [&](subject about) {
    return text_from([&](text_sink& out) { add_subject_name(out, made, p.question, about); });
  };
  CHECK(named({subject_kind::job, 0}) == "job");
  CHECK(named({subject_kind::zone, 1}) == "plain");
  CHECK(named({subject_kind::run, 3}) == "reg");
  CHECK(named({subject_kind::hub, warm}) == hub(warm));
  CHECK(named({subject_kind::driver, 1}) == "T2");
  CHECK(core_colour(p.parts, 2, 6) == "BU");
  CHECK(core_colour(p.parts, 2, 7).empty());
  CHECK(core_colour(p.parts, 2, 0).empty());
  CHECK(core_colour(p.parts, -1, 1).empty());
}

TEST_CASE("two outputs of one driver are told apart, one alone needs no number") {
  plan p;
  const output_plan outputs[] = {
      {.driver = 0, .number = 1}, {.driver = 0, .number = 2}, {.driver = 1, .number = 1}};
  const driver_plan drivers[] = {{.outputs = 2}, {.outputs = 1}};
  p.outputs = outputs;
  p.drivers = drivers;
  const auto named = [&](std::int32_t o) {
    return text_from([&](text_sink& out) { add_output_name(out, p, o); });
  };
  CHECK(named(0) == "T1.1");
  CHECK(named(1) == "T1.2");
  CHECK(named(2) == "T2");
}

TEST_CASE("what points outside its list is named with a question mark and never read") {
  const plan nothing;
  const job no_job;
  const catalogue no_parts;
  CHECK(run_name(no_job, nothing, 0) == "?");
  CHECK(tape_of(nothing, no_job, no_parts, 0) == nullptr);
  CHECK(tape_of_hub(nothing, no_job, no_parts, 0) == nullptr);
  CHECK(text_from([&](text_sink& out) { add_output_name(out, nothing, 0); }) == "T?");
  CHECK(text_from([&](text_sink& out) {
          add_subject_name(out, nothing, no_job, {subject_kind::zone, 7});
        }) == "?");
  CHECK(text_from([&](text_sink& out) {
          add_terminal_name(out, nothing, no_job, no_parts, {terminal_kind::tape_channel, 3, 2});
        }) == "?:3");
}

TEST_CASE("every note has a text of its own and a reader") {
  std::set<std::string_view> texts;
  int electrician = 0, everyone = 0;
  for (std::int32_t i = 1; i <= 40; ++i) {
    const auto code = static_cast<note_code>(i);
    const std::string_view text = text_of(code);
    if (text.empty()) continue;
    CHECK(texts.insert(text).second);
    CHECK(text.find('\n') == text.npos);
    CHECK(text.ends_with('.'));
    (reader_of(code) == note_reader::electrician ? electrician : everyone)++;
  }
  CHECK(everyone == 10);
  CHECK(electrician == 8);
  CHECK(text_of(note_code::none).empty());
  // the cautions that the output of a plan must never be without
  CHECK(text_of(note_code::isolate_first).find("Isolate the mains") != std::string_view::npos);
  CHECK(text_of(note_code::fuse_every_output).find("protective devices") != std::string_view::npos);
  CHECK(text_of(note_code::never_parallel_outputs).find("Never join two driver outputs") !=
        std::string_view::npos);
  CHECK(text_of(note_code::ventilate_drivers).find("free air") != std::string_view::npos);
  CHECK(text_of(note_code::keep_ingress).find("dust or water") != std::string_view::npos);
  CHECK(text_of(note_code::mains_by_qualified_person).find("qualified person") != std::string_view::npos);
  CHECK(text_of(note_code::defer_to_local_code).find("local code") != std::string_view::npos);
}
