// SPDX-License-Identifier: BSL-1.0
// The derivations of questions about networks, recalculated from what they print.
#include "tapewright/plan/explain_network.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "tapewright/network/collapse.hpp"
#include "tests/support/pocket_calculator.hpp"
#include "tests/support/random_network.hpp"
#include "tests/support/random_tape.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

template <class Explain>
std::string text_of_call(const Explain& explain) {
  std::vector<char> room(200'000);
  text_sink out{room};
  explain(out);
  REQUIRE(out.wanted() <= room.size());
  return {room.data(), out.wanted()};
}
bool says(const std::string& text, std::string_view words) { return text.find(words) != std::string::npos; }

/// A network with everything that questions about it need.
struct asked_network {
  solved_network solved;
  std::vector<run_sensitivity> runs;
  std::vector<hub_sensitivity> hubs;
  std::vector<lead_sensitivity> leads;
  std::vector<double> doubles;

  explicit asked_network(const feed_network& n)
      : solved{n},
        runs(n.runs.size()),
        hubs(n.hubs.size()),
        doubles(std::max(network_workspace(n), sensitivity_workspace(n))) {
    std::size_t points = 0;
    for (const fed_run& r : n.runs) points += r.feeds.size();
    leads.resize(points);
  }
};

}  // namespace

TEST_CASE("what moves a lamp: every figure recalculated, with a source under each") {
  random_source r{40561};
  MESSAGE("seed " << r.seed());
  int expressions = 0;
  for (int round = 0; round < 80; ++round) {
    CAPTURE(round);
    const owned_network n =
        random_network(r, law_mix::monotone, 1 + round % 5, 3, 40,
                       {feeding::one_end, feeding::both_ends, feeding::points, feeding::ring});
    asked_network q{n.net};
    if (!q.solved.all.ok()) continue;
    const auto at = static_cast<std::size_t>(r.integer(0, static_cast<std::int64_t>(n.runs.size()) - 1));
    load_place asked = dimmest_load(n.net.runs[at], q.solved.figures[at], q.solved.profiles[at]);
    asked.run = static_cast<std::int32_t>(at);
    const auto load = sensitivity_of(n.net, q.solved.profiles, asked, q.doubles, q.runs, q.hubs, q.leads);
    REQUIRE(load.ok());
    const std::string text = text_of_call([&](text_sink& out) {
      explain_sensitivity(n.net, q.solved.profiles, asked, *load, q.runs, q.hubs, q.leads, out);
    });
    CAPTURE(text);
    const recalculation seen = recalculated(text);
    CHECK(seen.figures == seen.sources);
    CHECK(says(text, "\nwhat moves one lamp of run " + std::to_string(at + 1) + ": channel " +
                         std::to_string(asked.channel + 1) + ", segment " +
                         std::to_string(asked.segment + 1) + "\n"));
    expressions += seen.expressions;
  }
  CHECK(expressions > 300);
}

TEST_CASE("what moves a lamp: one lamp behind one resistance, written out") {
  // 24 V, 1 ohm, a lamp of 5 ohm: U = 20 V, I = 4 A; dU/dR = -V Rl / (R + Rl)^2 = -24 x 5 / 36
  run_stretch s;
  s.line.law[0] = {load_kind::resistor_limited, {}, siemens{0.2}, amps{infinity}, {}, {}};
  feed_point point;
  point.common = 1_ohm;
  fed_run run;
  run.stretches = {&s, 1};
  run.feeds = {&point, 1};
  const feed_hub hub;
  const feed_network n{24_V, {}, {&hub, 1}, {&run, 1}};
  asked_network q{n};
  const auto load = sensitivity_of(n, q.solved.profiles, {}, q.doubles, q.runs, q.hubs, q.leads);
  REQUIRE(load.ok());
  constexpr std::string_view codes[] = {"shelf"};
  const std::string text = text_of_call([&](text_sink& out) {
    explain_sensitivity(n, q.solved.profiles, {}, *load, q.runs, q.hubs, q.leads, out, codes);
  });
  CAPTURE(text);
  CHECK(says(text, "what moves one lamp of shelf: channel 1, segment 1\n"));
  CHECK(says(text, "  V for each volt more of the source\n"));
  CHECK(says(text, "    0.833333333\n"));  // 5 / 6
  CHECK(says(text, "    = -4 * 0.833333333\n    = -3.3333\n"));
  CHECK(says(text, "    = 1 * -3.33333333\n    = -3.3333 V\n"));
}

namespace {

/// What light_sensitivity_of tells, and its derivation.
struct explained_light {
  std::vector<run_light_sensitivity> runs;
  std::vector<hub_light_sensitivity> hubs;
  std::vector<lead_light_sensitivity> leads;
  light_sensitivity light;
  std::string text;

  explained_light(const feed_network& n, asked_network& q, std::int32_t run, std::int32_t channel,
                  light_share which)
      : runs(q.runs.size()), hubs(q.hubs.size()), leads(q.leads.size()) {
    const auto told =
        light_sensitivity_of(n, q.solved.profiles, run, channel, which, q.doubles, runs, hubs, leads);
    REQUIRE(told.ok());
    light = *told;
    text = text_of_call([&](text_sink& out) {
      explain_light_sensitivity(n, q.solved.profiles, run, channel, which, light, runs, hubs, leads, out);
    });
  }
};

}  // namespace

TEST_CASE("what moves a share of light: every figure recalculated, with a source under each") {
  random_source r{40565};
  MESSAGE("seed " << r.seed());
  int expressions = 0;
  for (int round = 0; round < 80; ++round) {
    CAPTURE(round);
    const owned_network n =
        random_network(r, round % 4 == 0 ? law_mix::constant_power : law_mix::monotone, 1 + round % 5, 3, 40,
                       {feeding::one_end, feeding::both_ends, feeding::points, feeding::ring});
    asked_network q{n.net};
    if (!q.solved.all.ok()) continue;
    const auto at = static_cast<std::size_t>(r.integer(0, static_cast<std::int64_t>(n.runs.size()) - 1));
    const std::int32_t channel =
        dimmest_load(n.net.runs[at], q.solved.figures[at], q.solved.profiles[at]).channel;
    const light_share which = round % 2 == 0 ? light_share::dimmest : light_share::mean;
    const explained_light told{n.net, q, static_cast<std::int32_t>(at), channel, which};
    CAPTURE(told.text);
    const recalculation seen = recalculated(told.text);
    CHECK(seen.figures == seen.sources);
    CHECK(says(told.text, "\nwhat moves the light of run " + std::to_string(at + 1) + ": channel " +
                              std::to_string(channel + 1) + ", "));
    expressions += seen.expressions;
  }
  CHECK(expressions > 300);
}

TEST_CASE("what moves a share of light: two lamps behind one resistance, written out") {
  // 24 V, 1 ohm, lamp of 5 ohm, 2 ohm of trace, lamp of 5 ohm: S = 5 / 7 whatever the source and the ohm before both
  run_stretch s;
  s.line.segments = 2;
  s.line.common = 2_ohm;
  s.line.law[0] = {load_kind::resistor_limited, {}, siemens{0.2}, amps{infinity}, {}, {}};
  feed_point point;
  point.common = 1_ohm;
  fed_run run;
  run.stretches = {&s, 1};
  run.feeds = {&point, 1};
  const feed_hub hub;
  const feed_network n{24_V, {}, {&hub, 1}, {&run, 1}};
  asked_network q{n};
  const explained_light dimmest{n, q, 0, 0, light_share::dimmest};
  CAPTURE(dimmest.text);
  CHECK(says(dimmest.text, "what moves the light of run 1: channel 1, dimmest lamp over the brightest\n"));
  CHECK(says(dimmest.text, "  light Lb of the brightest lamp, segment 1\n"));
  CHECK(says(dimmest.text, "  light L of the dimmest lamp, segment 2\n"));
  CHECK(says(dimmest.text, "    = 0.71429\n"));  // 5 / 7
  // dS / d(ln r) = -r 5 / (5 + r)^2 = -10 / 49, all of the trace between the lamps
  CHECK(says(dimmest.text, "    = -0.20408\n"));
  const explained_light mean{n, q, 0, 0, light_share::mean};
  CAPTURE(mean.text);
  CHECK(says(mean.text, "all lamps' mean over the brightest\n"));
  CHECK(says(mean.text, "    = 0.85714\n"));  // (1 + 5 / 7) / 2
  CHECK(says(mean.text, "    = -0.10204\n"));
}

TEST_CASE("what moves a share of light: a channel without light has nothing to tell") {
  run_stretch s;
  s.line.law[0] = {load_kind::regulated, {}, siemens{0.2}, amps{0}, {}, {}};
  feed_point point;
  fed_run run;
  run.stretches = {&s, 1};
  run.feeds = {&point, 1};
  const feed_hub hub;
  const feed_network n{24_V, {}, {&hub, 1}, {&run, 1}};
  volts v{24};
  amps i{0};
  feed_current feed;
  const fed_run_profile dark{{&v, 1}, {&i, 1}, {&feed, 1}};
  const std::string text = text_of_call([&](text_sink& out) {
    explain_light_sensitivity(n, {&dark, 1}, 0, 0, light_share::dimmest, {}, {}, {}, {}, out);
  });
  CHECK(says(text, "    it gives no light\n"));
  CHECK(recalculated(text).figures == 0);
}

TEST_CASE("bounds: each side told with how it was found and at which corner") {
  random_source r{40562};
  MESSAGE("seed " << r.seed());
  network_tolerances t;
  t.source = {0.98, 1.02};
  t.load = {0.95, 1.05};
  t.cable = {0.9, 1.2};
  int corners = 0;
  for (int round = 0; round < 20; ++round) {
    CAPTURE(round);
    const owned_network n =
        random_network(r, law_mix::monotone, 1 + round % 3, 2, 15, {feeding::one_end, feeding::middle});
    const tolerance_needs need = tolerance_space_for(n.net);
    std::vector<feed_hub> hubs(need.hubs);
    std::vector<fed_run> runs(need.runs);
    std::vector<run_stretch> stretches(need.stretches);
    std::vector<feed_point> feeds(need.feeds);
    std::vector<fed_run_figures> figures(need.runs);
    std::vector<fed_run_profile> profiles(need.runs);
    std::vector<volts> voltages(need.loads);
    std::vector<double> doubles(need.doubles);
    std::vector<run_bounds> told(need.runs);
    const auto all =
        bounds_of(n.net, t, {hubs, runs, stretches, feeds, figures, profiles, voltages, doubles}, told);
    REQUIRE(all.ok());
    const std::string text = text_of_call([&](text_sink& out) { explain_bounds(n.net, t, 0, told[0], out); });
    CAPTURE(text);
    const recalculation seen = recalculated(text);
    const auto lit = static_cast<int>(tapewright::detail::lit_of(n.net.runs[0].stretches[0].line).count);
    CHECK(seen.expressions == 2);  // the source
    CHECK(seen.figures == 2 + 8 * lit);
    CHECK(seen.sources == seen.figures);
    CHECK(says(text, "    W/m 0.95 to 1.05 times\n"));
    CHECK_FALSE(says(text, "trace 1 to 1"));
    CHECK_FALSE(says(text, "joints"));  // exact, so of no corner
    for (const std::string& line : lines_of(text)) {
      if (!line.starts_with("    at most: ") && !line.starts_with("    at least: ")) continue;
      ++corners;
      CHECK(says(line, "source"));
    }
    if (told[0].lowest_load[tapewright::detail::lit_of(n.net.runs[0].stretches[0].line).of[0]].least.by ==
        bound_method::monotone)
      CHECK(says(text, "every input moves it one way"));
  }
  CHECK(corners > 100);
}

TEST_CASE("another cable: the first order recalculated, and the figures of both networks") {
  random_source r{40563};
  MESSAGE("seed " << r.seed());
  int told = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const owned_network n =
        random_network(r, law_mix::monotone, 1 + round % 5, 3, 40, {feeding::one_end, feeding::both_ends});
    asked_network q{n.net};
    if (!q.solved.all.ok()) continue;
    std::vector<fed_run> runs(n.net.runs.size());
    std::vector<feed_point> feeds(2);
    std::vector<fed_run_figures> before(runs.size()), after(runs.size());
    const feeder_swap swap{0, r.one_in(2) ? -1 : 0, ohms{r.uniform(0.001, 0.05)}};
    const auto effect = swap_feeder(
        n.net, swap, {runs, feeds, before, after, q.solved.profiles, q.doubles, q.runs, q.hubs, q.leads});
    REQUIRE(effect.ok());
    const std::string text = text_of_call([&](text_sink& out) { explain_feeder_swap(swap, *effect, out); });
    CAPTURE(text);
    const recalculation seen = recalculated(text);
    CHECK(seen.expressions == 1);
    CHECK(seen.figures == seen.sources);
    ++told;
  }
  CHECK(told > 40);
  const std::string same = text_of_call([](text_sink& out) { explain_feeder_swap({}, swap_effect{}, out); });
  CHECK(recalculated(same).expressions == 0);
}

TEST_CASE("distance to collapse: the power at the brink, and what has none") {
  run_stretch s;
  s.line.law[0] = {load_kind::constant_power, {}, {}, amps{infinity}, 36_W, {}};
  feed_point point;
  point.common = 1_ohm;
  fed_run run;
  run.stretches = {&s, 1};
  run.feeds = {&point, 1};
  const feed_hub hub;
  const feed_network n{24_V, {}, {&hub, 1}, {&run, 1}};
  std::vector<double> room(network_workspace(n));
  const std::string text =
      text_of_call([&](text_sink& out) { explain_collapse(n, *collapse_factor(n, room), out); });
  CAPTURE(text);
  CHECK(recalculated(text).expressions == 1);
  CHECK(says(text, "    = 144 W\n"));  // V^2 / 4R
  const std::string none = text_of_call([&](text_sink& out) { explain_collapse(n, infinity, out); });
  CHECK(says(none, "no power of theirs is too much"));
}

TEST_CASE(
    "closed lines: every figure recalculated, by hyperbolic functions where the lamps follow the voltage") {
  random_source r{40564};
  MESSAGE("seed " << r.seed());
  int closed = 0, flat = 0;
  for (int round = 0; round < 300; ++round) {
    CAPTURE(round);
    const tape t = random_tape(r, 1, round % 3 == 0 ? law_mix::any : law_mix::monotone);
    const tape_line line = *line_of(t, r.integer(1, 400), 30_degC);
    const line_feed feed = random_feed(r, t);
    std::vector<double> room(line_workspace(line.segments, 1));
    const auto got = closed_line(line, feed, room);
    fault why;
    const std::string text =
        text_of_call([&](text_sink& out) { why = explain_closed_line(line, feed, out); });
    CAPTURE(text);
    CHECK(why == fault{});
    if (says(text, "none applies")) continue;
    REQUIRE(got.ok());
    CHECK(got->steps == 0);
    const recalculation seen = recalculated(text);
    CHECK(seen.sources == seen.expressions);
    CHECK(seen.figures == seen.expressions);
    if (says(text, "cosh")) ++closed;
    else ++flat;
  }
  MESSAGE(closed << " with slope, " << flat << " without");
  CHECK(closed > 50);
  CHECK(flat > 10);
}
