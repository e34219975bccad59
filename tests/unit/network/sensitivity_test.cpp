// SPDX-License-Identifier: BSL-1.0
// Derivatives against differences of an independent nodal solve, against differences of our own, and by hand.
#include "tapewright/network/sensitivity.hpp"

#include <doctest/doctest.h>

#include <algorithm>
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
// A share is at most 1 and most move little: 1e-16 / h = 5e-13 of rounding, and room for the terms of h^4.
constexpr double share_agreement = 1e-10;

double number(double x) { return x; }
double number(volts x) { return x.v; }

/// Derivatives without their units, so that one list of inputs serves every figure.
struct derivatives {
  bool ok = false;
  fault why;
  double source = 0, lead = 0, to_kink = 0, share = 0;
  bool at_kink = false;
  std::int64_t dimmest = 0, brightest = 0;
  std::vector<run_light_sensitivity> runs;
  std::vector<hub_light_sensitivity> hubs;
  std::vector<lead_light_sensitivity> leads;

  derivatives(const feed_network& n, solved_network& s, load_place asked) {
    answer<volts, amps>(n, s, [&](auto profiles, auto room, auto run, auto hub, auto lead_list) {
      const auto got = sensitivity_of(n, profiles, asked, room, run, hub, lead_list);
      if (got.ok()) source = got->source, lead = got->lead.v;
      return got;
    });
  }
  derivatives(const feed_network& n, solved_network& s, load_place asked, light_share which) {
    answer<double, siemens>(n, s, [&](auto profiles, auto room, auto run, auto hub, auto lead_list) {
      const auto got =
          light_sensitivity_of(n, profiles, asked.run, asked.channel, which, room, run, hub, lead_list);
      if (!got.ok()) return got;
      source = got->per_volt;
      lead = got->lead.v;
      share = got->share;
      dimmest = got->dimmest;
      brightest = got->brightest;
      return got;
    });
  }

 private:
  template <class Share, class PerOhm, class Ask>
  void answer(const feed_network& n, solved_network& s, const Ask& ask) {
    std::size_t points = 0;
    for (const fed_run& r : n.runs) points += r.feeds.size();
    std::vector<run_influence<Share, PerOhm>> told_runs(n.runs.size());
    std::vector<hub_influence<PerOhm>> told_hubs(n.hubs.size());
    std::vector<lead_influence<PerOhm>> told_leads(points);
    std::vector<double> room(sensitivity_workspace(n));
    const auto got = ask(std::span<const fed_run_profile>{s.profiles}, std::span<double>{room},
                         std::span{told_runs}, std::span{told_hubs}, std::span{told_leads});
    ok = got.ok();
    if (!ok) {
      why = got.why();
      return;
    }
    to_kink = got->to_kink.v;
    at_kink = got->at_kink;
    for (const auto& t : told_runs) {
      run_light_sensitivity out;
      out.trace_common = number(t.trace_common);
      out.length = number(t.length);
      out.copper = number(t.copper);
      out.link_common = siemens{t.link_common.v};
      out.feeder_common = siemens{t.feeder_common.v};
      for (std::size_t c = 0; c < max_channels; ++c) {
        out.trace_channel[c] = number(t.trace_channel[c]);
        out.load[c] = number(t.load[c]);
        out.link_channel[c] = siemens{t.link_channel[c].v};
        out.feeder_channel[c] = siemens{t.feeder_channel[c].v};
      }
      runs.push_back(out);
    }
    const auto plain = [](auto& to, const auto& from) {
      for (std::size_t c = 0; c < max_channels; ++c) to.channel[c] = siemens{from.channel[c].v};
    };
    for (const auto& t : told_hubs) {
      hubs.emplace_back().supply = siemens{t.supply.v};
      plain(hubs.back(), t);
    }
    for (const auto& t : told_leads) {
      leads.emplace_back().common = siemens{t.common.v};
      plain(leads.back(), t);
    }
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
  all.push_back({"source", false, [](owned_network& m, double x) { m.net.source += volts{x}; }, d.source});
  all.push_back({"lead", false, [](owned_network& m, double x) { m.net.lead += ohms{x}; }, d.lead});
  for (std::size_t h = 0; h < n.hubs.size(); ++h) {
    all.push_back({"supply", false, [h](owned_network& m, double x) { m.hubs[h].supply += ohms{x}; },
                   d.hubs[h].supply.v});
    for (std::size_t c = 0; c < n.runs[0].tapes[0].channels.size(); ++c)
      all.push_back({"switch", false, [h, c](owned_network& m, double x) { m.hubs[h].channel[c] += ohms{x}; },
                     d.hubs[h].channel[c].v});
  }
  std::size_t point = 0;
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    const run_light_sensitivity& s = d.runs[r];
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
                   s.trace_common});
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
                   s.length});
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
                   s.copper});
    for (std::size_t c = 0; c < n.runs[r].tapes[0].channels.size(); ++c) {
      all.push_back({"channel trace", true,
                     [stretches, c](owned_network& m, double x) {
                       stretches(m, [x, c](tape& t, run_stretch& part) {
                         t.channels[c].return_trace *= 1 + x;
                         part.line.channel[c] *= 1 + x;
                       });
                     },
                     s.trace_channel[c]});
      all.push_back({"load", true,
                     [stretches, load_times, c](owned_network& m, double x) {
                       stretches(m, [&](tape& t, run_stretch& part) {
                         t.channels[c].load *= 1 + x;
                         load_times(part, c, x);
                       });
                     },
                     s.load[c]});
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

namespace {

/// A figure of a network as the dense oracle sees it; NaN where it finds none.
using oracle_figure = std::function<long double(const owned_network&, const load_place&)>;

struct comparison {
  int networks = 0, checked = 0, moving = 0, near_kink = 0;
  double worst = 0;
  std::string worst_name;
};

/// Seven inputs of each network: the derivative told against a difference of the oracle. All traces have
/// `thinner` times the resistance of the random ones.
template <class Derive>
comparison compare(random_source& r, int wanted, double thinner, double bound, const Derive& derive,
                   const oracle_figure& figure) {
  constexpr law_mix mixes[] = {law_mix::resistor_limited, law_mix::regulated, law_mix::constant_power,
                               law_mix::monotone, law_mix::any};
  comparison sum;
  for (int round = 0; sum.networks < wanted; ++round) {
    REQUIRE(round < 4 * wanted);
    CAPTURE(round);
    owned_network n = random_network(r, mixes[round % 5], 1 + round / 5 % 6, 3, 24, every_way);
    for (owned_run& run : n.runs)
      for (std::size_t p = 0; p < run.stretches.size(); ++p) {
        run.tapes[p].common_trace *= thinner;
        run.stretches[p].line.common *= thinner;
      }
    n.close();
    solved_network s{n.net};
    if (!s.all.ok()) continue;
    const load_place asked = random_load(r, n);
    const derivatives d = derive(n.net, s, asked);
    if (!d.ok) {
      CHECK(d.why.code == fault_code::no_operating_point);
      continue;
    }
    // a difference is a derivative only while no load crosses a corner; steps are as long as that allows
    const std::vector<input> all = inputs_of(n, d);
    ++sum.networks;
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
      const derivatives here = derive(moved.net, there, asked);
      if (!here.ok) continue;
      const double told = inputs_of(moved, here)[static_cast<std::size_t>(&in - all.data())].told;
      // a step changes no voltage by more than its share of the source, or 20 A times its ohms
      constexpr double h = 2e-4;
      if (!(here.to_kink > 2 * h * std::max(n.net.source.v, 20.0))) {
        ++sum.near_kink;
        continue;
      }
      const double want = difference(
          [&](double x) -> long double {
            owned_network m = n;
            in.change(m, base + x);
            m.close();
            return figure(m, asked);
          },
          h);
      if (std::isnan(want)) continue;
      CAPTURE(in.name);
      const double gap = std::fabs(told - want) / (1 + std::fabs(want));
      CHECK(gap <= bound);
      if (gap > sum.worst) sum.worst_name = in.name;
      sum.worst = std::max(sum.worst, gap);
      ++sum.checked;
      sum.moving += std::fabs(want) > 1e4 * bound;
    }
  }
  MESSAGE(sum.networks << " networks, " << sum.checked << " derivatives (" << sum.moving
                       << " above 10,000 times the bound), " << sum.near_kink
                       << " left out near a corner, worst difference " << sum.worst << " (" << sum.worst_name
                       << ")");
  return sum;
}

}  // namespace

TEST_CASE("sensitivity_of: every kind of input, against differences of a dense nodal solve") {
  random_source r{20261127};
  MESSAGE("seed " << r.seed());
  const comparison sum = compare(
      r, cases(320), 1, agreement,
      [](const feed_network& n, solved_network& s, load_place asked) {
        return derivatives{n, s, asked};
      },
      [](const owned_network& m, const load_place& asked) -> long double {
        oracle_network o = oracle_of(m);
        if (!o.net.solve()) return std::nanl("");
        const auto run = static_cast<std::size_t>(asked.run);
        return o.net.load_voltage(
            o.load[run][static_cast<std::size_t>(asked.segment) * m.runs[run].tapes[0].channels.size() +
                        static_cast<std::size_t>(asked.channel)]);
      });
  CHECK(sum.checked >= cases(2000));
}

TEST_CASE("light_sensitivity_of: both shares, against differences of a dense nodal solve") {
  for (const light_share which : {light_share::dimmest, light_share::mean}) {
    random_source r{19760128};
    MESSAGE("seed " << r.seed());
    std::size_t dimmest = 0, brightest = 0;
    const comparison sum = compare(
        r, cases(200), 100, share_agreement,
        [&](const feed_network& n, solved_network& s, load_place asked) {
          derivatives d{n, s, asked, which};
          if (d.ok && which == light_share::dimmest)  // the same voltages, in another order of rounding
            CHECK(close_abs(d.share,
                            s.figures[static_cast<std::size_t>(asked.run)]
                                .evenness[static_cast<std::size_t>(asked.channel)],
                            1e-12));
          dimmest = static_cast<std::size_t>(d.dimmest);
          brightest = static_cast<std::size_t>(d.brightest);
          return d;
        },
        [&](const owned_network& m, const load_place& asked) -> long double {
          oracle_network o = oracle_of(m);
          if (!o.net.solve()) return std::nanl("");
          const auto run = static_cast<std::size_t>(asked.run);
          const auto channel = static_cast<std::size_t>(asked.channel);
          std::vector<long double> lights;
          std::size_t k = 0;
          for (const run_stretch& part : m.runs[run].stretches)
            for (std::int64_t in = 0; in < part.line.segments; ++in, ++k) {
              const load_law& law = part.line.law[channel];
              const long double u =
                  o.net.load_voltage(o.load[run][k * m.runs[run].tapes[0].channels.size() + channel]);
              if (law.kind == load_kind::constant_power) {
                lights.push_back(u >= wide(law.cut_off.v) && u > 0 ? wide(law.power.v) : 0);
                continue;
              }
              const long double rising = wide(law.slope.v) * (u - wide(law.dark_below.v));
              lights.push_back(std::clamp(rising, 0.0L, wide(law.ceiling.v)));
            }
          long double most = 0, least = lights[0], all = 0;
          for (const long double light : lights) {
            most = std::max(most, light);
            least = std::min(least, light);
            all += light;
          }
          if (!(most > 0)) return 0;
          // where another lamp becomes the brightest (or the dimmest) the share has a corner
          if (lights[brightest] < most || (which == light_share::dimmest && lights[dimmest] > least))
            return std::nanl("");
          return (which == light_share::dimmest ? least : all / static_cast<long double>(lights.size())) /
                 most;
        });
    CHECK(sum.checked >= cases(700));
    CHECK(sum.moving >= cases(80));  // regulated and constant-power lamps mostly shine alike
  }
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
    if (!d.ok || !(d.to_kink > 4 * h * n.net.source.v)) continue;
    CHECK_FALSE(d.at_kink);
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

  volts two_u[2];
  amps two_i[2];
  const fed_run_profile two_profile{two_u, two_i, x};
  std::vector<double> two_room;
  const auto room_of = [&](const feed_network& m) {
    two_room.resize(network_workspace(m));
    return std::span{two_room};
  };
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
    CHECK(ask({0, 0, 1}, space.size(), 1).field == field::place);
    part.line.lit = 0;
    const fault dark = ask({0, 0, 0}, space.size(), 1);
    CHECK(dark.code == fault_code::unknown_reference);
    CHECK(dark.field == field::duty);
    CHECK(dark.item == 0);
  }
  SUBCASE("two lamps: the share of the second, by hand") {
    // 24 V, no lead; r = 1 ohm from feed to lamp, then 2 ohm between them; i = g (u - 16), g = 1/8
    part.line.segments = 2;
    REQUIRE(solve_network(n, room_of(n), {&figures, 1}, {&two_profile, 1}).ok());
    std::vector<double> more(sensitivity_workspace(n));
    run_light_sensitivity light;
    hub_light_sensitivity hub_light;
    const auto share = light_sensitivity_of(n, {&two_profile, 1}, 0, 0, light_share::dimmest, more,
                                            {&light, 1}, {&hub_light, 1});
    REQUIRE(share.ok());
    CHECK(share->brightest == 0);
    CHECK(share->dimmest == 1);
    // above 16 V the lamps are 8 ohm each, and the share is a divider: 8 / (8 + 2), whatever feeds them
    CHECK(close_rel(share->share, 0.8, 1e-11));
    CHECK(close_abs(share->per_volt, 0, 1e-11));
    CHECK(close_abs(light.feeder_common.v, 0, 1e-11));
    // S = x / (x + t), x = 8 / P, t = 2 (1 ohm in each conductor): dS/dln t = -S (1 - S), dS/dln P likewise
    CHECK(close_rel(light.trace_common, -0.08, 1e-10));
    CHECK(close_rel(light.trace_channel[0], -0.08, 1e-10));
    CHECK(close_rel(light.load[0], -0.16, 1e-10));
    CHECK(close_rel(light.length, -0.32, 1e-10));
    const auto mean = light_sensitivity_of(n, {&two_profile, 1}, 0, 0, light_share::mean, more, {&light, 1},
                                           {&hub_light, 1});
    REQUIRE(mean.ok());
    CHECK(close_rel(mean->share, 0.9, 1e-11));
    CHECK(close_rel(light.load[0], -0.08, 1e-10));
    CHECK(light_sensitivity_of(n, {&two_profile, 1}, 0, 1, light_share::mean, more, {&light, 1},
                               {&hub_light, 1})
              .why()
              .code == fault_code::unknown_reference);
  }
  SUBCASE("a channel of two laws: the mean follows the voltage where its own lamp does") {
    const load_law laws[] = {*fitted_law(load_kind::resistor_limited, watts{6}, volts{24}, volts{16}),
                             *fitted_law(load_kind::constant_power, watts{6}, volts{24}, volts{8})};
    for (const std::size_t first : {0u, 1u})
      for (const std::int64_t fed_at : {0, 2}) {  // all lamps behind the feed point, and some before it
        CAPTURE(first);
        CAPTURE(fed_at);
        part.line.segments = 3;
        part.line.common = part.line.channel[0] = ohms{0.2};
        run_stretch parts[] = {part, part};
        parts[0].line.law[0] = laws[first];
        parts[1].line.law[0] = laws[1 - first];
        const feed_point in{fed_at, ohms{0.75}, {ohms{0.25}}};
        fed_run both;
        both.stretches = parts;
        both.feeds = {&in, 1};
        run_light_sensitivity light;
        hub_light_sensitivity hub_light;
        const auto mean_at = [&](double source) {
          const feed_network m{volts{source}, ohms{0}, {&hub, 1}, {&both, 1}};
          volts six_u[6];
          amps six_i[6];
          const fed_run_profile six{six_u, six_i, x};
          REQUIRE(solve_network(m, room_of(m), {&figures, 1}, {&six, 1}).ok());
          std::vector<double> more(sensitivity_workspace(m));
          const auto mean =
              light_sensitivity_of(m, {&six, 1}, 0, 0, light_share::mean, more, {&light, 1}, {&hub_light, 1});
          REQUIRE(mean.ok());
          return *mean;
        };
        // voltages are settled to 5e-13 of 24 V; shares move by less than 1/4 a volt, and steps are 0.01 V
        constexpr double settled = 2 * 5e-13 * 24 / 4 / 0.01;
        const double want =
            difference([&](double step) -> long double { return wide(mean_at(24 + step).share); }, 0.01);
        const light_sensitivity told_mean = mean_at(24);
        CHECK(told_mean.to_kink.v > 1);
        CHECK(std::fabs(want) > 1e-3);
        CHECK(close_abs(told_mean.per_volt, want, settled));
      }
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
