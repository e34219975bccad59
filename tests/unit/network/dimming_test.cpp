// SPDX-License-Identifier: BSL-1.0
// Dimmed installations against closed forms, and against a clock that solves every moment by nodes.
#include "tapewright/network/dimming.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random_network.hpp"
#include "support/refusals.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

/// A dimmed network's answer with room for everything.
struct dimmed_answer {
  std::vector<dimmed_run> runs;
  std::vector<core_currents> hubs;
  std::vector<std::vector<double>> light;
  std::vector<std::vector<core_currents>> feeds;
  outcome<dimmed_figures> all{fault{fault_code::not_listed, field::none, 0, 0, 0, -1}};

  dimmed_answer(const feed_network& n, const std::vector<pwm_timing>& timings) {
    const dimming_counts need = dimming_room_for(n);
    std::vector<double> workspace(need.doubles);
    std::vector<fed_run> run_room(need.runs);
    std::vector<fed_run_figures> figures(need.runs);
    std::vector<fed_run_profile> profile_room(need.runs);
    std::vector<run_stretch> stretches(need.stretches);
    std::vector<amps> loads(need.loads);
    std::vector<feed_current> points(need.feeds);
    std::vector<dimmed_profile> profiles;
    for (const fed_run& r : n.runs) {
      light.emplace_back(static_cast<std::size_t>(segments_of(r) * r.stretches[0].line.channels));
      feeds.emplace_back(r.feeds.size());
    }
    for (std::size_t r = 0; r < n.runs.size(); ++r) profiles.push_back({light[r], feeds[r]});
    runs.resize(n.runs.size());
    hubs.resize(n.hubs.size());
    all = solve_dimmed(n, timings, {workspace, run_room, figures, profile_room, stretches, loads, points},
                       runs, hubs, profiles);
  }
};

std::vector<pwm_timing> random_timings(random_source& r, std::size_t hubs, int ticks, bool aligned) {
  std::vector<pwm_timing> out(hubs);
  for (pwm_timing& t : out)
    for (std::size_t c = 0; c < max_channels; ++c) {
      t.duty[c] = static_cast<double>(r.integer(0, ticks)) / ticks;
      if (!aligned) t.phase[c] = static_cast<double>(r.integer(0, ticks)) / ticks;
    }
  return out;
}

/// The network as it is lit at tick k of a clock.
owned_network lit_at(const owned_network& n, const std::vector<pwm_timing>& timings, int tick, int ticks) {
  owned_network now = n;
  for (owned_run& r : now.runs) {
    const pwm_timing& t = timings[static_cast<std::size_t>(r.run.hub)];
    std::uint32_t on = 0;
    for (std::size_t c = 0; c < max_channels; ++c) {
      const int from = static_cast<int>(std::lround(t.phase[c] * ticks));
      const int on_for = static_cast<int>(std::lround(t.duty[c] * ticks));
      if (((tick - from) % ticks + ticks) % ticks < on_for) on |= 1u << c;
    }
    for (run_stretch& s : r.stretches) s.line.lit &= on;
  }
  now.close();
  return now;
}

const std::vector<feeding> every_way = {feeding::one_end, feeding::both_ends, feeding::middle,
                                        feeding::points, feeding::ring};

struct clocked {
  double mean = 0, square = 0, peak = 0;
  void add(double share, double i) {
    mean += share * i;
    square += share * i * i;
    peak = std::max(peak, std::fabs(i));
  }
  bool is(const pulsed_current& p, double bound) const {
    return close_abs(p.mean.v, mean, bound) && close_abs(p.rms.v, std::sqrt(square), bound) &&
           close_abs(p.peak.v, peak, bound);
  }
};

}  // namespace

TEST_CASE("solve_dimmed: as a clock that solves every tick of the period by nodes") {
  random_source r{70311};
  MESSAGE("seed " << r.seed());
  constexpr int ticks = 12;
  int compared = 0, collapsed = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const law_mix mix = round % 4 == 3 ? law_mix::any : law_mix::monotone;
    owned_network n = random_network(r, mix, 1 + round % 6, 3, 30, every_way);
    const auto timings = random_timings(r, n.hubs.size(), ticks, round % 2 == 0);
    const dimmed_answer got{n.net, timings};
    if (!got.all.ok()) {
      CHECK(got.all.why().code == fault_code::no_operating_point);
      ++collapsed;
      continue;
    }
    clocked total;
    std::vector<std::vector<double>> light;
    for (const owned_run& run : n.runs)
      light.emplace_back(static_cast<std::size_t>(segments_of(run.run)) * run.tapes[0].channels.size());
    for (int k = 0; k < ticks; ++k) {
      owned_network now = lit_at(n, timings, k, ticks);
      oracle_network o = oracle_of(now);
      o.net.solve();
      double sum = 0;
      for (std::size_t run = 0; run < now.runs.size(); ++run) {
        const std::size_t channels = now.runs[run].tapes[0].channels.size();
        std::size_t stretch = 0;
        std::int64_t left = now.runs[run].stretches[0].line.segments;
        for (std::size_t at = 0; at < o.load[run].size(); ++at) {
          const auto segment = static_cast<std::int64_t>(at / channels);
          while (segment >= left) left += now.runs[run].stretches[++stretch].line.segments;
          if (o.load[run][at] < 0) continue;
          const std::size_t c = at % channels;
          const nodal_load law = oracle_law(now.runs[run].tapes[stretch], c);
          const long double v = o.net.load_voltage(o.load[run][at]);
          const auto i = static_cast<double>(law.at(v).current);
          sum += i;
          const double full = static_cast<double>(law.at(wide(n.net.source.v)).current);
          const bool power = law.kind == nodal_load::law::constant_power;
          if (full > 0) light[run][at] += (power ? (i > 0 ? 1.0 : 0.0) : i / full) / ticks;
        }
      }
      total.add(1.0 / ticks, sum);
    }
    // currents of up to some ten amperes; the oracle and the library are each good to 1e-12 of them
    CHECK(total.is(got.all->total, 1e-9));
    for (std::size_t run = 0; run < n.runs.size(); ++run)
      for (std::size_t at = 0; at < light[run].size(); ++at)
        CHECK(close_abs(got.light[run][at], light[run][at], 1e-9));
    ++compared;
  }
  MESSAGE(compared << " compared, " << collapsed << " collapsed");
  CHECK(compared >= 45);
}

TEST_CASE("solve_dimmed: every core, feed point and loss as a clock sees them; power balances to 1e-12") {
  random_source r{70312};
  MESSAGE("seed " << r.seed());
  constexpr int ticks = 60;
  int compared = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    owned_network n = random_network(r, law_mix::monotone, 1 + round % 6, 3, 60, every_way);
    const auto timings = random_timings(r, n.hubs.size(), ticks, round % 2 == 0);
    const dimmed_answer got{n.net, timings};
    REQUIRE(got.all.ok());
    ++compared;
    const std::size_t runs = n.runs.size();
    std::vector<clocked> common(runs), supply(n.hubs.size());
    std::vector<std::vector<clocked>> own(runs, std::vector<clocked>(max_channels));
    std::vector<std::vector<clocked>> lead(runs);
    for (std::size_t k = 0; k < runs; ++k) lead[k].resize(n.runs[k].feeds.size() * (1 + max_channels));
    double lamps = 0, copper = 0, trace = 0;
    for (int k = 0; k < ticks; ++k) {
      const owned_network now = lit_at(n, timings, k, ticks);
      const solved_network s{now.net};
      REQUIRE(s.all.ok());
      std::vector<double> drawn(n.hubs.size());
      for (std::size_t run = 0; run < runs; ++run) {
        const fed_run_figures& f = s.figures[run];
        common[run].add(1.0 / ticks, f.total.v);
        drawn[static_cast<std::size_t>(n.runs[run].run.hub)] += f.total.v;
        for (std::size_t c = 0; c < static_cast<std::size_t>(f.channels); ++c)
          own[run][c].add(1.0 / ticks, f.channel_current[c].v);
        for (std::size_t p = 0; p < s.feed[run].size(); ++p) {
          lead[run][p * 7].add(1.0 / ticks, s.feed[run][p].common.v);
          for (std::size_t c = 0; c < max_channels; ++c)
            lead[run][p * 7 + 1 + c].add(1.0 / ticks, s.feed[run][p].channel[c].v);
        }
      }
      for (std::size_t h = 0; h < n.hubs.size(); ++h) supply[h].add(1.0 / ticks, drawn[h]);
      lamps += s.all->lamps.v / ticks;
      trace += s.all->trace_loss.v / ticks;
      copper += (s.all->feeder_loss + s.all->switch_loss + s.all->supply_loss).v / ticks;
    }
    constexpr double bound = 1e-10;  // A and W; sixty roundings of figures up to some hundreds
    for (std::size_t run = 0; run < runs; ++run) {
      CHECK(common[run].is(got.runs[run].feeder.common, bound));
      for (std::size_t c = 0; c < max_channels; ++c) {
        CHECK(own[run][c].is(got.runs[run].feeder.channel[c], bound));
        for (std::size_t p = 0; p < got.feeds[run].size(); ++p) {
          CHECK(lead[run][p * 7].is(got.feeds[run][p].common, bound));
          CHECK(lead[run][p * 7 + 1 + c].is(got.feeds[run][p].channel[c], bound));
        }
      }
      const auto [low, high] = std::minmax_element(got.light[run].begin(), got.light[run].end());
      double dimmest = 1e300, brightest = 0;
      for (std::int32_t c = 0; c < got.runs[run].channels; ++c) {
        dimmest = std::min(dimmest, got.runs[run].dimmest[c]);
        brightest = std::max(brightest, got.runs[run].brightest[c]);
      }
      CHECK(dimmest == *low);
      CHECK(brightest == *high);
    }
    for (std::size_t h = 0; h < n.hubs.size(); ++h) CHECK(supply[h].is(got.hubs[h].common, bound));
    const dimmed_figures& all = *got.all;
    CHECK(close_abs(all.lamps.v, lamps, bound));
    CHECK(close_abs(all.trace_loss.v, trace, bound));
    const double wiring = (all.feeder_loss + all.switch_loss + all.supply_loss).v;
    CHECK(close_abs(wiring, copper, bound));
    // what heats copper is its r.m.s. current: all wiring again, as sum of R I^2
    double heat = n.net.lead.v * all.total.rms.v * all.total.rms.v;
    for (std::size_t h = 0; h < n.hubs.size(); ++h) {
      heat += n.hubs[h].supply.v * got.hubs[h].common.rms.v * got.hubs[h].common.rms.v;
      for (std::size_t c = 0; c < max_channels; ++c)
        heat += n.hubs[h].channel[c].v * got.hubs[h].channel[c].rms.v * got.hubs[h].channel[c].rms.v;
    }
    const auto cable = [&](ohms shared, const ohms(&each)[max_channels], const core_currents& i) {
      heat += shared.v * i.common.rms.v * i.common.rms.v;
      for (std::size_t c = 0; c < max_channels; ++c)
        heat += each[c].v * i.channel[c].rms.v * i.channel[c].rms.v;
    };
    for (std::size_t run = 0; run < runs; ++run) {
      cable(n.runs[run].run.common, n.runs[run].run.channel, got.runs[run].feeder);
      for (std::size_t p = 0; p < n.runs[run].feeds.size(); ++p)
        cable(n.runs[run].feeds[p].common, n.runs[run].feeds[p].channel, got.feeds[run][p]);
    }
    CHECK(close_abs(heat, wiring, bound));
    const double given = n.net.source.v * all.total.mean.v;
    CHECK(close_rel(all.lamps.v + all.trace_loss.v + wiring, given, 1e-12));  // bound of the design
  }
  CHECK(compared == 60);
}

TEST_CASE(
    "solve_dimmed: wiring without resistance gives I D and I sqrt(D), and overlaps in the common core") {
  run_stretch s;
  s.line.segments = 10;
  s.line.channels = 2;
  s.line.law[0] = s.line.law[1] = *fitted_law(load_kind::resistor_limited, 2.4_W, 24_V, 18_V);  // 0.1 A
  feed_point at;
  fed_run run{.hub = 0, .stretches = {&s, 1}, .feeds = {&at, 1}, .common = {}, .channel = {}};
  feed_hub hub;
  const feed_network n{.source = 24_V, .lead = {}, .hubs = {&hub, 1}, .runs = {&run, 1}};
  const dimmed_answer got{n, {{.duty = {0.5, 0.25}, .phase = {0, 0.4}}}};  // both on from 0.4 to 0.5
  REQUIRE(got.all.ok());
  const core_currents& i = got.runs[0].feeder;
  constexpr double bound = 1e-12;  // of 1 A: a few roundings and the solver's residual
  CHECK(close_abs(i.channel[0].mean.v, 0.5, bound));
  CHECK(close_abs(i.channel[0].rms.v, std::sqrt(0.5), bound));
  CHECK(close_abs(i.channel[1].mean.v, 0.25, bound));
  CHECK(close_abs(i.channel[1].rms.v, 0.5, bound));
  CHECK(close_abs(i.common.rms.v, std::sqrt(0.5 + 0.25 + 2 * 0.1), bound));
  CHECK(close_abs(i.common.peak.v, 2, bound));
  CHECK(close_abs(got.runs[0].dimmest[0], 0.5, bound));
  CHECK(close_abs(got.runs[0].brightest[1], 0.25, bound));
  CHECK(close_abs(got.runs[0].least_evenness, 1, bound));
  CHECK(got.all->intervals == 4);
}

TEST_CASE(
    "solve_dimmed: with everything on all the time it is solve_network, with everything off it is dark") {
  random_source r{70313};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 20; ++round) {
    const owned_network n = random_network(r, law_mix::monotone, 1 + round % 6, 3, 60, every_way);
    const solved_network plain{n.net};
    const std::vector<pwm_timing> on(n.hubs.size(), {.duty = {1, 1, 1, 1, 1, 1}, .phase = {}});
    const dimmed_answer got{n.net, on};
    REQUIRE(got.all.ok());
    CHECK(got.all->intervals == 1);
    CHECK(got.all->total.mean == plain.all->total);
    CHECK(got.all->lamps == plain.all->lamps);
    for (std::size_t k = 0; k < n.runs.size(); ++k)
      CHECK(got.runs[k].feeder.common.peak == plain.figures[k].total);
    const dimmed_answer dark{n.net, std::vector<pwm_timing>(n.hubs.size())};
    REQUIRE(dark.all.ok());
    CHECK(dark.all->total.peak == 0_A);
    CHECK(dark.runs[0].least_evenness == 1);
  }
}

TEST_CASE(
    "solve_dimmed: phase-shifted channels heat a run's common core and supply cable less, and burn "
    "brighter") {
  const tape t = [] {
    tape w;
    w.code = "X-1";
    w.nominal = w.highest = 24_V;
    for (int c = 0; c < 4; ++c)
      w.channels.push({"X", 4.8_W_per_m, load_kind::resistor_limited, 18_V, 0.03_ohm_per_m});
    w.common_trace = 0.02_ohm_per_m;
    w.cut_pitch = 0.05_m;
    w.longest_piece = 10_m;
    w.sale_quantum = 1_m;
    w.highest_ambient = 40_degC;
    return w;
  }();
  run_stretch s{.line = *line_of(t, 80, 30_degC), .link_common = {}, .link_channel = {}};
  feed_point at{.at = 0, .common = 0.05_ohm, .channel = {0.05_ohm, 0.05_ohm, 0.05_ohm, 0.05_ohm}};
  fed_run run{.hub = 0, .stretches = {&s, 1}, .feeds = {&at, 1}, .common = {}, .channel = {}};
  feed_hub hub{.supply = 0.1_ohm, .channel = {}};
  const feed_network n{.source = 24_V, .lead = {}, .hubs = {&hub, 1}, .runs = {&run, 1}};
  const pwm_timing aligned{.duty = {0.25, 0.25, 0.25, 0.25}, .phase = {}};
  const dimmed_answer together{n, {aligned}}, apart{n, {evenly_shifted(aligned, 4)}};
  REQUIRE(together.all.ok());
  REQUIRE(apart.all.ok());
  // a quarter each, one after the other: the common core's current is even, half the r.m.s. of four at once
  CHECK(apart.hubs[0].common.rms < 0.6 * together.hubs[0].common.rms);
  CHECK(apart.runs[0].dimmest[0] > together.runs[0].dimmest[0]);
  CHECK(apart.all->supply_loss < 0.4 * together.all->supply_loss);
}

TEST_CASE("solve_dimmed: refusals, room too small for each list, and collapse in one piece of the period") {
  random_source r{70314};
  const owned_network n = random_network(r, law_mix::monotone, 2, 1, 8, {feeding::both_ends});
  const dimming_counts need = dimming_room_for(n.net);
  std::vector<double> workspace(need.doubles);
  std::vector<fed_run> run_room(need.runs);
  std::vector<fed_run_figures> figures(need.runs);
  std::vector<fed_run_profile> profile_room(need.runs);
  std::vector<run_stretch> stretches(need.stretches);
  std::vector<amps> loads(need.loads);
  std::vector<feed_current> points(need.feeds);
  std::vector<dimmed_run> runs(need.runs);
  const dimming_room whole{workspace, run_room, figures, profile_room, stretches, loads, points};
  std::vector<pwm_timing> timings(n.hubs.size(), {.duty = {0.5, 0.5}, .phase = {}});
  const auto ask = [&](const dimming_room& room) { return solve_dimmed(n.net, timings, room, runs).why(); };
  REQUIRE(ask(whole) == fault{});
  const auto short_of = [&](std::size_t needed, auto&& cut) {
    dimming_room room = whole;
    cut(room);
    const fault f = ask(room);
    CHECK(f.code == fault_code::no_room);
    CHECK(f.least == static_cast<double>(needed));
    CHECK(f.given == static_cast<double>(needed - 1));
  };
  const auto less = [](auto& list) { list = list.first(list.size() - 1); };
  short_of(need.doubles, [&](dimming_room& room) { less(room.workspace); });
  short_of(need.runs, [&](dimming_room& room) { less(room.runs); });
  short_of(need.runs, [&](dimming_room& room) { less(room.figures); });
  short_of(need.runs, [&](dimming_room& room) { less(room.profiles); });
  short_of(need.stretches, [&](dimming_room& room) { less(room.stretches); });
  short_of(need.loads, [&](dimming_room& room) { less(room.loads); });
  short_of(need.feeds, [&](dimming_room& room) { less(room.feeds); });
  CHECK(solve_dimmed(n.net, std::span{timings}.first(0), whole, runs).why().code == fault_code::no_room);
  CHECK(solve_dimmed(n.net, timings, whole, std::span{runs}.first(0)).why().code == fault_code::no_room);
  std::vector<double> one_light(1);
  const dimmed_profile small[] = {{one_light, {}}};
  CHECK(solve_dimmed(n.net, timings, whole, runs, {}, small).why().code == fault_code::no_room);
  timings[0].duty[1] = 1.5;
  CHECK(ask(whole).field == field::duty);
  CHECK(ask(whole).item == 1);
  feed_network unsound = n.net;
  unsound.source = volts{-1};
  CHECK(solve_dimmed(unsound, timings, whole, runs).why().field == field::voltage);

  // constant power behind a long thin cable: each channel alone has a steady state, both together have none
  run_stretch s;
  s.line.segments = 4;
  s.line.channels = 2;
  s.line.law[0] = s.line.law[1] = *fitted_law(load_kind::constant_power, 10_W, 24_V, 5_V);
  feed_point at{.at = 0, .common = 2_ohm, .channel = {}};
  fed_run run{.hub = 0, .stretches = {&s, 1}, .feeds = {&at, 1}, .common = {}, .channel = {}};
  feed_hub hub;
  const feed_network power{.source = 24_V, .lead = {}, .hubs = {&hub, 1}, .runs = {&run, 1}};
  const dimmed_answer aligned{power, {{.duty = {0.4, 0.4}, .phase = {}}}};
  CHECK(aligned.all.why().code == fault_code::no_operating_point);
  const dimmed_answer apart{power, {{.duty = {0.4, 0.4}, .phase = {0, 0.5}}}};
  CHECK(apart.all.ok());
}

namespace {

constexpr double dimmed_in_a_constant_expression() {
  run_stretch s[1];
  s[0].line.segments = 3;
  s[0].line.channels = 2;
  s[0].line.common = 0.001_ohm;
  for (std::size_t c = 0; c < 2; ++c) {
    s[0].line.law[c] = *fitted_law(load_kind::resistor_limited, 1.2_W, 24_V, 18_V);
    s[0].line.channel[c] = 0.001_ohm;
  }
  const feed_point at[1] = {{.at = 0, .common = 0.05_ohm, .channel = {0.05_ohm, 0.05_ohm}}};
  const fed_run run[1] = {{.hub = 0, .stretches = s, .feeds = at, .common = {}, .channel = {}}};
  const feed_hub hub[1] = {};
  const feed_network n{.source = 24_V, .lead = {}, .hubs = hub, .runs = run};
  double workspace[1000] = {};
  fed_run runs[1];
  fed_run_figures figures[1];
  fed_run_profile profiles[1];
  run_stretch stretches[1];
  amps loads[6];
  feed_current points[1];
  dimmed_run out[1];
  const pwm_timing t[1] = {{.duty = {0.5, 0.25}, .phase = {0, 0.4}}};
  const auto got = solve_dimmed(n, t, {workspace, runs, figures, profiles, stretches, loads, points}, out);
  return got.ok() ? out[0].feeder.common.rms.v : -1.0;
}

}  // namespace

TEST_CASE("solve_dimmed: same bits in a constant expression") {
  constexpr double early = dimmed_in_a_constant_expression();
  static_assert(early > 0.1 && early < 0.15);
  CHECK(early == dimmed_in_a_constant_expression());
}
