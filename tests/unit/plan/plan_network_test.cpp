// SPDX-License-Identifier: BSL-1.0
// The figures a plan was verified on against everything on each driver output, solved at once.
#include "tapewright/plan/plan_network.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "examples/order_sheet/input_folder.hpp"
#include "support/close.hpp"
#include "support/plan_room.hpp"
#include "support/random_job.hpp"
#include "support/small_job.hpp"
#include "tapewright/network/dimming.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

/// The network of an output with room for everything.
struct output_network {
  std::vector<feed_hub> hubs;
  std::vector<fed_run> runs;
  std::vector<run_stretch> stretches;
  std::vector<feed_point> feeds;
  std::vector<std::int32_t> hub_places, run_places;
  outcome<feed_network> net{fault{fault_code::not_listed, field::none, 0, 0, 0, -1}};

  output_network(const job& j, const catalogue& parts, const plan& p, std::int32_t output,
                 const hub_state& state) {
    const output_counts n = output_counts_of(p, output);
    hubs.resize(n.hubs), runs.resize(n.runs), stretches.resize(n.stretches), feeds.resize(n.feeds);
    hub_places.resize(n.hubs), run_places.resize(n.runs);
    net =
        network_of_output(j, parts, p, output, state, {hubs, runs, stretches, feeds, hub_places, run_places});
  }
};

struct tally {
  int outputs = 0, shared = 0, runs = 0, in_parts = 0;
};

/// Every output of a plan, solved at once for the nominal supply and both ends of its tolerance.
void check_outputs(const job& j, const catalogue& parts, const plan& p, tally& seen) {
  constexpr double apart = 1e-9;  // what a plan is asked to be consistent to
  for (std::size_t o = 0; o < p.outputs.size(); ++o) {
    CAPTURE(o);
    const auto output = static_cast<std::int32_t>(o);
    bool solved_plan = true;
    volts nominal;
    for (const run_plan& r : p.runs) {
      if (r.hub < 0 || p.hubs[static_cast<std::size_t>(r.hub)].output != output) continue;
      solved_plan = solved_plan && r.solved;
      nominal = parts.tapes[static_cast<std::size_t>(j.runs[static_cast<std::size_t>(r.run)].tape)].nominal;
    }
    const double tolerance = j.rules.supply_tolerance;
    const hub_state states[] = {{.source = nominal},
                                {.source = nominal * (1 - tolerance), .copper = hot_copper},
                                {.source = nominal * (1 + tolerance), .copper = cold_copper}};
    for (std::size_t s = 0; s < 3; ++s) {
      if (!solved_plan) continue;
      const output_network whole{j, parts, p, output, states[s]};
      REQUIRE(whole.net.ok());
      std::vector<double> room(network_workspace(*whole.net));
      std::vector<fed_run_figures> figures(whole.runs.size());
      const auto solved = solve_network(*whole.net, room, figures);
      REQUIRE(solved.ok());
      std::vector<amps> drawn(whole.hubs.size());
      for (std::size_t k = 0; k < figures.size(); ++k) {
        const run_plan& r = p.runs[static_cast<std::size_t>(whole.run_places[k])];
        drawn[static_cast<std::size_t>(whole.runs[k].hub)] += figures[k].total;
        volts lowest{infinity};
        for (std::int32_t c = 0; c < figures[k].channels; ++c)
          if (figures[k].lowest_load[c] < lowest) lowest = figures[k].lowest_load[c];
        if (s == 1) CHECK(close_rel(r.end_least.v, lowest.v, apart));
        if (s == 2) CHECK(close_rel(r.end_greatest.v, lowest.v, apart));
        if (s != 0) continue;
        ++seen.runs;
        if (is_fed_in_parts(r)) ++seen.in_parts;
        CHECK(close_rel(r.all_on.total.v, figures[k].total.v, apart));
        CHECK(close_rel(r.all_on.lamps.v, figures[k].lamps.v, apart));
        CHECK(close_rel(r.all_on.least_evenness, figures[k].least_evenness, apart));
        for (std::int32_t c = 0; c < figures[k].channels; ++c) {
          CHECK(close_rel(r.all_on.channel_current[c].v, figures[k].channel_current[c].v, apart));
          CHECK(close_rel(r.all_on.last_load[c].v, figures[k].lowest_load[c].v, apart));
        }
      }
      if (s != 0) continue;
      ++seen.outputs;
      if (whole.hubs.size() > 1) ++seen.shared;
      for (std::size_t h = 0; h < whole.hubs.size(); ++h) {
        const volts input = nominal - whole.hubs[h].supply * drawn[h];
        CHECK(close_rel(p.hubs[static_cast<std::size_t>(whole.hub_places[h])].input.v, input.v, apart));
      }
    }
  }
}

}  // namespace

TEST_CASE("a plan's figures are those of each output solved at once") {
  random_source r{50331};
  MESSAGE("seed " << r.seed());
  tally seen;
  for (int round = 0; round < 120; ++round) {
    CAPTURE(round);
    owned_job o;
    fill_random_job(r, o, {.runs = 6, .zones = 3, .longest_m = round % 3 == 0 ? 20.0 : 6.0});
    if (round % 2 == 0) {
      bend_runs(r, o);
      o.rules.drop_to_feed = 0.08;  // so that light alone asks for more feed points
      o.rules.drop_to_lamp = 0.15;
    }
    const job question = o.question();
    const catalogue parts = o.parts();
    const auto counts = space_for(question, parts);
    if (!counts.ok()) continue;
    plan_room room{*counts};
    const auto planned = make_plan(question, parts, room.space());
    if (!planned.ok()) continue;
    check_outputs(question, parts, *planned, seen);
  }
  MESSAGE(seen.outputs << " outputs, " << seen.shared << " with several hubs, " << seen.runs << " runs, "
                       << seen.in_parts << " fed in parts");
  CHECK(seen.outputs > 100);
  CHECK(seen.shared > 10);
  CHECK(seen.in_parts > 5);
}

TEST_CASE("the bookshop: every driver output solved at once") {
  order_sheet::input_folder input;
  order_sheet::problem_list problems;
  order_sheet::read_folder(std::string{TAPEWRIGHT_SOURCE_DIR} + "/examples/order_sheet/bookshop", input,
                           problems);
  REQUIRE(problems.empty());
  const job question = input.job();
  const catalogue parts = input.parts();
  const auto counts = space_for(question, parts);
  REQUIRE(counts.ok());
  plan_room room{*counts};
  const auto planned = make_plan(question, parts, room.space());
  REQUIRE(planned.ok());
  tally seen;
  check_outputs(question, parts, *planned, seen);
  CHECK(seen.runs == static_cast<int>(planned->runs.size()));
  CHECK(seen.outputs == static_cast<int>(planned->outputs.size()));
}

TEST_CASE("the small job: solved at once, and dimmed as its plan stands") {
  const job question = small_job::question();
  const auto counts = space_for(question, small_job::parts);
  REQUIRE(counts.ok());
  plan_room room{*counts};
  const auto planned = make_plan(question, small_job::parts, room.space());
  REQUIRE(planned.ok());
  tally seen;
  check_outputs(question, small_job::parts, *planned, seen);
  CHECK(seen.runs == 3);

  for (std::size_t at = 0; at < planned->outputs.size(); ++at) {
    const output_network whole{
        question, small_job::parts, *planned, static_cast<std::int32_t>(at), {.source = volts{24}}};
    REQUIRE(whole.net.ok());
    const dimming_counts need = dimming_room_for(*whole.net);
    std::vector<double> workspace(need.doubles);
    std::vector<fed_run> runs(need.runs);
    std::vector<fed_run_figures> figures(need.runs);
    std::vector<fed_run_profile> profiles(need.runs);
    std::vector<run_stretch> stretches(need.stretches);
    std::vector<amps> loads(need.loads);
    std::vector<feed_current> points(need.feeds);
    std::vector<dimmed_run> out(need.runs);
    const std::vector<pwm_timing> half(whole.hubs.size(),
                                       {.duty = {0.5, 0.5, 0.5, 0.5, 0.5, 0.5}, .phase = {}});
    const auto dimmed =
        solve_dimmed(*whole.net, half, {workspace, runs, figures, profiles, stretches, loads, points}, out);
    REQUIRE(dimmed.ok());
    amps all_on;
    for (const std::int32_t place : whole.run_places)
      all_on += planned->runs[static_cast<std::size_t>(place)].all_on.total;
    // aligned at one duty: half the time everything is on, as the plan has it, half the time nothing
    CHECK(close_rel(dimmed->total.peak.v, all_on.v, 1e-9));
    CHECK(close_rel(dimmed->total.mean.v, 0.5 * all_on.v, 1e-9));
  }
}

TEST_CASE("networks of a plan: outputs that are not there, and room too small for each list") {
  const job question = small_job::question();
  plan_room room{*space_for(question, small_job::parts)};
  const auto planned = make_plan(question, small_job::parts, room.space());
  REQUIRE(planned.ok());
  const hub_state state{.source = volts{24}};
  for (const std::int32_t outside : {-1, static_cast<std::int32_t>(planned->outputs.size())}) {
    CHECK(output_counts_of(*planned, outside).runs == 0);
    const fault f = network_of_output(question, small_job::parts, *planned, outside, state, {}).why();
    CHECK(f.code == fault_code::unknown_reference);
    CHECK(f.field == field::place);
  }
  const output_counts n = output_counts_of(*planned, 0);
  std::vector<feed_hub> hubs(n.hubs);
  std::vector<fed_run> runs(n.runs);
  std::vector<run_stretch> stretches(n.stretches);
  std::vector<feed_point> feeds(n.feeds);
  std::vector<std::int32_t> hub_places(n.hubs), run_places(n.runs);
  const output_room whole{hubs, runs, stretches, feeds, hub_places, run_places};
  const auto ask = [&](const output_room& given) {
    return network_of_output(question, small_job::parts, *planned, 0, state, given).why();
  };
  CHECK(ask(whole) == fault{});
  const auto short_of = [&](std::size_t needed, auto&& cut) {
    output_room less = whole;
    cut(less);
    const fault f = ask(less);
    CHECK(f.code == fault_code::no_room);
    CHECK(f.least == static_cast<double>(needed));
  };
  const auto cut = [](auto& list) { list = list.first(list.size() - 1); };
  short_of(n.hubs, [&](output_room& r) { cut(r.hubs); });
  short_of(n.hubs, [&](output_room& r) { cut(r.hub_places); });
  short_of(n.runs, [&](output_room& r) { cut(r.runs); });
  short_of(n.runs, [&](output_room& r) { cut(r.run_places); });
  short_of(n.stretches, [&](output_room& r) { cut(r.stretches); });
  short_of(n.feeds, [&](output_room& r) { cut(r.feeds); });
}
