// SPDX-License-Identifier: BSL-1.0
// Derivatives against differences of an independent nodal solve, against differences of our own, and by hand.
#include "tapewright/network/sensitivity.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "support/close.hpp"
#include "support/random_network.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

const std::vector<feeding> every_way = {feeding::one_end, feeding::both_ends, feeding::middle,
                                        feeding::points, feeding::ring};

// A difference over steps of h = 2e-4 leaves terms of h^4 ~ 1e-15 times a fifth derivative, which is large for
// the softest constant-power networks alone, and the rounding of the changed inputs, 1e-16 x 48 V / h ~ 2e-11.
constexpr double agreement = 1e-8;

struct derivatives {
  std::vector<run_sensitivity> runs;
  std::vector<hub_sensitivity> hubs;
  std::vector<lead_sensitivity> leads;
  std::vector<double> room;
  outcome<load_sensitivity> load{fault{fault_code::not_listed, field::none, 0, 0, 0, -1}};

  derivatives(const feed_network& n, solved_network& s, load_place asked) {
    std::vector<fed_run_profile> profiles;
    std::size_t points = 0;
    for (std::size_t r = 0; r < n.runs.size(); ++r) {
      profiles.push_back({s.v[r], s.i[r], s.feed[r]});
      points += n.runs[r].feeds.size();
    }
    runs.resize(n.runs.size());
    hubs.resize(n.hubs.size());
    leads.resize(points);
    room.resize(sensitivity_workspace(n));
    load = sensitivity_of(n, profiles, asked, room, runs, hubs, leads);
  }
};

/// One input of an installation: how to change it, and what our derivative says. `share` true: a relative
/// change, else ohms or volts.
struct input {
  std::string name;
  bool share;
  std::function<void(owned_network&, double)> change;
  double told;
};

/// Every input of a network. The oracle reads tapes, the library reads lines: `change` alters both.
std::vector<input> inputs_of(const owned_network& n, const derivatives& d) {
  std::vector<input> all;
  all.push_back(
      {"source", false, [](owned_network& m, double x) { m.net.source += volts{x}; }, d.load->source});
  all.push_back({"lead", false, [](owned_network& m, double x) { m.net.lead += ohms{x}; }, d.load->lead.v});
  for (std::size_t h = 0; h < n.hubs.size(); ++h) {
    all.push_back({"supply", false, [h](owned_network& m, double x) { m.hubs[h].supply += ohms{x}; },
                   d.hubs[h].supply.v});
    for (std::size_t c = 0; c < n.runs[0].tapes[0].channels.size(); ++c)
      all.push_back({"switch", false, [h, c](owned_network& m, double x) { m.hubs[h].channel[c] += ohms{x}; },
                     d.hubs[h].channel[c].v});
  }
  std::size_t point = 0;
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    const run_sensitivity& s = d.runs[r];
    const auto stretches = [r](owned_network& m, auto visit) {
      for (std::size_t p = 0; p < m.runs[r].stretches.size(); ++p)
        visit(m.runs[r].tapes[p], m.runs[r].stretches[p]);
    };
    const auto load_times = [](run_stretch& part, std::size_t c, double x) {
      load_law& law = part.line.law[c];
      law.slope = law.slope * (1 + x);
      if (law.kind == load_kind::regulated) law.ceiling *= 1 + x;
      law.power *= 1 + x;
    };
    all.push_back({"common trace", true,
                   [stretches](owned_network& m, double x) {
                     stretches(m, [x](tape& t, run_stretch& part) {
                       t.common_trace *= 1 + x;
                       part.line.common *= 1 + x;
                     });
                   },
                   s.trace_common.v});
    all.push_back({"length", true,
                   [stretches, load_times](owned_network& m, double x) {
                     stretches(m, [&](tape& t, run_stretch& part) {
                       t.cut_pitch *= 1 + x;
                       part.line.common *= 1 + x;
                       for (std::size_t c = 0; c < t.channels.size(); ++c) {
                         part.line.channel[c] *= 1 + x;
                         load_times(part, c, x);
                       }
                     });
                   },
                   s.length.v});
    all.push_back({"link common", false,
                   [stretches](owned_network& m, double x) {
                     stretches(m, [x](tape&, run_stretch& part) { part.link_common += ohms{x}; });
                   },
                   s.link_common.v});
    all.push_back({"feeder common", false,
                   [r](owned_network& m, double x) { m.runs[r].run.common += ohms{x}; }, s.feeder_common.v});
    all.push_back({"feeder copper", true,
                   [r](owned_network& m, double x) {
                     m.runs[r].run.common *= 1 + x;
                     for (ohms& o : m.runs[r].run.channel) o *= 1 + x;
                     for (feed_point& f : m.runs[r].feeds) {
                       f.common *= 1 + x;
                       for (ohms& o : f.channel) o *= 1 + x;
                     }
                   },
                   s.copper.v});
    for (std::size_t c = 0; c < n.runs[r].tapes[0].channels.size(); ++c) {
      all.push_back({"channel trace", true,
                     [stretches, c](owned_network& m, double x) {
                       stretches(m, [x, c](tape& t, run_stretch& part) {
                         t.channels[c].return_trace *= 1 + x;
                         part.line.channel[c] *= 1 + x;
                       });
                     },
                     s.trace_channel[c].v});
      all.push_back({"load", true,
                     [stretches, load_times, c](owned_network& m, double x) {
                       stretches(m, [&](tape& t, run_stretch& part) {
                         t.channels[c].load *= 1 + x;
                         load_times(part, c, x);
                       });
                     },
                     s.load[c].v});
      all.push_back({"link channel", false,
                     [stretches, c](owned_network& m, double x) {
                       stretches(m, [x, c](tape&, run_stretch& part) { part.link_channel[c] += ohms{x}; });
                     },
                     s.link_channel[c].v});
      all.push_back({"feeder channel", false,
                     [r, c](owned_network& m, double x) { m.runs[r].run.channel[c] += ohms{x}; },
                     s.feeder_channel[c].v});
    }
    for (std::size_t f = 0; f < n.runs[r].feeds.size(); ++f, ++point) {
      all.push_back({"lead common", false,
                     [r, f](owned_network& m, double x) { m.runs[r].feeds[f].common += ohms{x}; },
                     d.leads[point].common.v});
      for (std::size_t c = 0; c < n.runs[r].tapes[0].channels.size(); ++c)
        all.push_back({"lead channel", false,
                       [r, f, c](owned_network& m, double x) { m.runs[r].feeds[f].channel[c] += ohms{x}; },
                       d.leads[point].channel[c].v});
    }
  }
  return all;
}

/// (8 (f(h) - f(-h)) - (f(2h) - f(-2h))) / 12 h: what is left is of the order of h^4.
template <class F>
double difference(F f, double h) {
  const long double near = f(h) - f(-h), far = f(2 * h) - f(-2 * h);
  return static_cast<double>((8 * near - far) / (12 * wide(h)));
}

load_place random_load(random_source& r, const owned_network& n) {
  load_place at;
  at.run = static_cast<std::int32_t>(r.integer(0, static_cast<std::int64_t>(n.runs.size()) - 1));
  const owned_run& run = n.runs[static_cast<std::size_t>(at.run)];
  at.segment = r.integer(0, segments_of(run.run) - 1);
  const tape_line& line = run.stretches[0].line;
  do at.channel = static_cast<std::int32_t>(r.integer(0, line.channels - 1));
  while ((line.lit >> at.channel & 1u) == 0);
  return at;
}

double load_voltage(const owned_network& m, load_place at) {
  const solved_network s{m.net};
  const auto channels = m.runs[static_cast<std::size_t>(at.run)].tapes[0].channels.size();
  return s
      .v[static_cast<std::size_t>(at.run)]
        [static_cast<std::size_t>(at.segment) * channels + static_cast<std::size_t>(at.channel)]
      .v;
}

}  // namespace

TEST_CASE("sensitivity_of: every kind of input, against differences of a dense nodal solve") {
  constexpr law_mix mixes[] = {law_mix::resistor_limited, law_mix::regulated, law_mix::constant_power,
                               law_mix::monotone, law_mix::any};
  random_source r{20261127};
  MESSAGE("seed " << r.seed());
  int networks = 0, checked = 0, near_kink = 0;
  double worst = 0;
  std::string worst_name;
  for (int round = 0; networks < 320; ++round) {
    REQUIRE(round < 600);
    CAPTURE(round);
    const owned_network n = random_network(r, mixes[round % 5], 1 + round / 5 % 6, 3, 24, every_way);
    solved_network s{n.net};
    if (!s.all.ok()) continue;
    const load_place asked = random_load(r, n);
    const derivatives d{n.net, s, asked};
    if (!d.load.ok()) {
      CHECK(d.load.why().code == fault_code::no_operating_point);
      continue;
    }
    // a difference is a derivative only while no load crosses a corner; steps are as long as that allows
    const std::vector<input> all = inputs_of(n, d);
    ++networks;
    for (int pick = 0; pick < 7; ++pick) {
      const input& in =
          all[static_cast<std::size_t>(r.integer(0, static_cast<std::int64_t>(all.size()) - 1))];
      // resistances are moved from a base, for some are zero, and a ring of short leads bends within milliohms
      const double base = in.share || in.name == "source" ? 0 : 0.05;
      owned_network moved = n;
      in.change(moved, base);
      moved.close();
      solved_network there{moved.net};
      if (!there.all.ok()) continue;
      const derivatives here{moved.net, there, asked};
      if (!here.load.ok()) continue;
      const double told = inputs_of(moved, here)[static_cast<std::size_t>(&in - all.data())].told;
      // a step changes no voltage by more than its share of the source, or 20 A times its ohms
      constexpr double h = 2e-4;
      if (!(here.load->to_kink.v > 2 * h * std::max(n.net.source.v, 20.0))) {
        ++near_kink;
        continue;
      }
      bool good = true;
      const double want = difference(
          [&](double x) -> long double {
            owned_network m = n;
            in.change(m, base + x);
            m.close();
            oracle_network o = oracle_of(m);
            good = o.net.solve() && good;
            const std::size_t channels = n.runs[static_cast<std::size_t>(asked.run)].tapes[0].channels.size();
            return o.net.load_voltage(o.load[static_cast<std::size_t>(asked.run)]
                                            [static_cast<std::size_t>(asked.segment) * channels +
                                             static_cast<std::size_t>(asked.channel)]);
          },
          h);
      if (!good) continue;
      CAPTURE(in.name);
      const double gap = std::fabs(told - want) / (1 + std::fabs(want));
      CHECK(gap <= agreement);
      if (gap > worst) worst_name = in.name;
      worst = std::max(worst, gap);
      ++checked;
    }
  }
  MESSAGE(networks << " networks, " << checked << " derivatives, " << near_kink
                   << " left out near a corner, worst difference " << worst << " (" << worst_name << ")");
  CHECK(checked >= 2000);
}

TEST_CASE("sensitivity_of: all inputs of a few networks, against differences of our own solution") {
  random_source r{77};
  MESSAGE("seed " << r.seed());
  double worst = 0;
  int checked = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const owned_network n =
        random_network(r, static_cast<law_mix>(round % 5), 1 + round % 6, 2, 60, every_way);
    solved_network s{n.net};
    if (!s.all.ok()) continue;
    const load_place asked = random_load(r, n);
    const derivatives d{n.net, s, asked};
    constexpr double h = 2e-4;
    if (!d.load.ok() || !(d.load->to_kink.v > 4 * h * n.net.source.v)) continue;
    CHECK_FALSE(d.load->at_kink);
    for (const input& in : inputs_of(n, d)) {
      CAPTURE(in.name);
      if (!in.share && in.name != "source") continue;  // some ohms are 0; the oracle's test moves them
      const double want = difference(
          [&](double x) -> long double {
            owned_network m = n;
            in.change(m, x);
            m.close();
            return wide(load_voltage(m, asked));
          },
          h);
      if (std::isnan(want)) continue;  // a constant-power network that collapses on the way
      // our voltages are settled to 5e-13 of the source, which the difference divides by h
      const double bound = 2 * 5e-13 * n.net.source.v / h + 1e-8 * (1 + std::fabs(want));
      CHECK(close_abs(in.told, want, bound));
      worst = std::max(worst, std::fabs(in.told - want));
      ++checked;
    }
  }
  MESSAGE(checked << " derivatives, worst difference " << worst);
  CHECK(checked >= 300);
}

TEST_CASE("sensitivity_of: one lamp behind resistors, by hand") {
  // 24 V, 1 ohm of lead, a lamp of i = 0.125 A/V above 16 V and 0.5 ohm of trace on each side of the loop:
  // u = 24 - 2 i, i = (u - 16) / 8: u = 22.4 V, i = 0.8 A
  run_stretch part;
  part.line.pitch = 1_m;
  part.line.common = ohms{1};
  part.line.channel[0] = ohms{1};
  part.line.law[0] = *fitted_law(load_kind::resistor_limited, watts{24}, volts{24}, volts{16});
  const feed_point feed{0, ohms{0.75}, {ohms{0.25}}};
  fed_run run;
  run.stretches = {&part, 1};
  run.feeds = {&feed, 1};
  const feed_hub hub{};
  const feed_network n{volts{24}, ohms{0}, {&hub, 1}, {&run, 1}};
  std::vector<double> room(network_workspace(n));
  fed_run_figures figures;
  volts u[1];
  amps i[1];
  feed_current x[1];
  const fed_run_profile profile{u, i, x};
  REQUIRE(solve_network(n, room, {&figures, 1}, {&profile, 1}).ok());
  REQUIRE(close_abs(u[0].v, 22.4, 1e-11));
  std::vector<double> space(sensitivity_workspace(n));
  run_sensitivity told;
  hub_sensitivity at_hub;
  lead_sensitivity lead;
  const auto got = sensitivity_of(n, {&profile, 1}, dimmest_load(run, figures, profile), space, {&told, 1},
                                  {&at_hub, 1}, {&lead, 1});
  REQUIRE(got.ok());
  // du = dV - 2 di - i dR, di = du / 8: du/dV = 0.8, du/dR = -0.8 i = -0.64
  constexpr double rounding = 1e-12;
  CHECK(close_rel(got->source, 0.8, rounding));
  CHECK(close_rel(got->slope.v, 0.125, rounding));
  CHECK(close_rel(got->own.v, 1.6, rounding));
  CHECK(close_rel(got->to_kink.v, 6.4, 1e-11));
  for (const amps per_ohm : {got->lead, at_hub.supply, at_hub.channel[0], told.feeder_common,
                             told.feeder_channel[0], lead.common, lead.channel[0]})
    CHECK(close_rel(per_ohm.v, -0.64, 1e-11));
  CHECK(close_rel(told.trace_common.v, -0.32, 1e-11));  // half a pitch stands before the lamp
  CHECK(close_rel(told.trace_channel[0].v, -0.32, 1e-11));
  CHECK(close_rel(told.copper.v, -0.64, 1e-11));
  CHECK(close_rel(told.load[0].v, -1.6 * 0.8, 1e-11));
  CHECK(close_rel(told.length.v, -0.64 - 1.28, 1e-11));
  CHECK(
      close_rel(per_kelvin(told.trace_common, celsius{40})->v, -0.32 * 0.00393 / (1 + 0.00393 * 20), 1e-11));
  CHECK(per_kelvin(told.trace_common, celsius{1000}).why().field == field::temperature);

  SUBCASE("refusals") {
    const auto ask = [&](load_place at, std::size_t doubles, std::size_t voltages) {
      const fed_run_profile less{std::span<volts>{u, voltages}, i, x};
      return sensitivity_of(n, {&less, 1}, at, std::span{space}.first(doubles), {&told, 1}, {&at_hub, 1})
          .why();
    };
    CHECK(ask({1, 0, 0}, space.size(), 1).code == fault_code::unknown_reference);
    CHECK(ask({-1, 0, 0}, space.size(), 1).code == fault_code::unknown_reference);
    CHECK(ask({0, 1, 0}, space.size(), 1).code == fault_code::unknown_reference);
    CHECK(ask({0, 0, 1}, space.size(), 1).code == fault_code::unknown_reference);
    CHECK(ask({0, 0, 0}, space.size(), 0).code == fault_code::no_room);
    const fault small = ask({0, 0, 0}, space.size() - 1, 1);
    CHECK(small.code == fault_code::no_room);
    CHECK(small.least == static_cast<double>(space.size()));
  }
  SUBCASE("a lamp at its corner says so") {
    part.line.law[0] = *fitted_law(load_kind::resistor_limited, watts{24}, volts{30}, volts{24});
    REQUIRE(solve_network(n, room, {&figures, 1}, {&profile, 1}).ok());
    const auto dark = sensitivity_of(n, {&profile, 1}, {0, 0, 0}, space, {&told, 1}, {&at_hub, 1});
    REQUIRE(dark.ok());
    CHECK(dark->at_kink);
    CHECK(dark->to_kink == volts{0});
  }
}
