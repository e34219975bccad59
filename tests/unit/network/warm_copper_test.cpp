// SPDX-License-Identifier: BSL-1.0
// Warm copper against closed forms, and against a solve by nodes at the temperatures told.
#include "tapewright/network/warm_copper.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random_network.hpp"
#include "support/refusals.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

struct warm_answer {
  std::vector<celsius> trace;
  std::vector<fed_run_figures> figures;
  std::vector<std::vector<volts>> v;
  outcome<warm_figures> all{fault{fault_code::not_listed, field::none, 0, 0, 0, -1}};

  warm_answer(const feed_network& n, const std::vector<tape_surroundings>& around) {
    std::size_t stretches = 0;
    std::vector<fed_run_profile> profiles;
    for (const fed_run& r : n.runs) {
      stretches += r.stretches.size();
      v.emplace_back(static_cast<std::size_t>(segments_of(r) * r.stretches[0].line.channels));
    }
    for (std::vector<volts>& each : v) profiles.push_back({each, {}, {}});
    std::vector<double> workspace(network_workspace(n));
    std::vector<fed_run> runs(n.runs.size());
    std::vector<run_stretch> copies(stretches);
    trace.resize(n.runs.size());
    figures.resize(n.runs.size());
    all = solve_warm(n, around, {workspace, runs, copies}, trace, figures, profiles);
  }
};

/// One run of regulated loads that always carry their full current.
struct constant_current_run {
  run_stretch stretch;
  feed_point at;
  fed_run run;
  feed_hub hub;

  constant_current_run(std::int64_t segments, double load_a, double common_ohm, double own_ohm,
                       double pitch_m) {
    stretch.line.segments = segments;
    stretch.line.channels = 1;
    stretch.line.pitch = metres{pitch_m};
    stretch.line.common = ohms{common_ohm};
    stretch.line.channel[0] = ohms{own_ohm};
    stretch.line.law[0] = *fitted_law(load_kind::regulated, watts{load_a * 24}, 24_V, 1_V);
  }
  feed_network network() {
    run = {.hub = 0, .stretches = {&stretch, 1}, .feeds = {&at, 1}, .common = {}, .channel = {}};
    return {.source = 24_V, .lead = {}, .hubs = {&hub, 1}, .runs = {&run, 1}};
  }
};

const std::vector<feeding> every_way = {feeding::one_end, feeding::both_ends, feeding::middle,
                                        feeding::points, feeding::ring};

}  // namespace

TEST_CASE("solve_warm: a constant-current tape has a closed form") {
  // Loads in the middle of their segments: half a pitch with all N loads, then one load less a pitch.
  // Heat per metre p20 (1 + a (T - 20)), so that T = (Ta + w p20 (1 - 20 a)) / (1 - w p20 a).
  for (const double warming : {0.0, 1.0, 5.0, 20.0, 60.0}) {
    CAPTURE(warming);
    constexpr std::int64_t segments = 60;
    constexpr double load_a = 0.05, ohm_a_pitch = 0.002, pitch_m = 0.05, ambient = 28;
    constant_current_run tape{segments, load_a, ohm_a_pitch / 2, ohm_a_pitch / 2, pitch_m};
    double squares = 0;
    for (std::int64_t k = 0; k < segments; ++k) {
      const auto before = static_cast<double>(segments - k), after = before - 1;
      squares += 0.5 * load_a * load_a * (before * before + after * after);
    }
    const double p20 = squares * ohm_a_pitch / (segments * pitch_m);
    const double want = (ambient + warming * p20 * (1 - 20 * alpha_20)) / (1 - warming * p20 * alpha_20);
    const warm_answer got{tape.network(),
                          {{.ambient = celsius{ambient},
                            .built_at = 20_degC,
                            .warming = kelvin_metres_per_watt{warming},
                            .lamp_share = 0}}};
    REQUIRE(got.all.ok());
    CHECK(close_abs(got.trace[0].v, want, 1e-9));  // settled to 1e-10 K, slope of the map below 0.56
    CHECK(got.all->rounds < 40);
  }
}

TEST_CASE("solve_warm: random installations, solved again by nodes at the temperatures told") {
  random_source r{83021};
  MESSAGE("seed " << r.seed());
  int compared = 0, refused = 0, most_rounds = 0;
  double hottest = 0;
  for (int round = 0; round < 120; ++round) {
    CAPTURE(round);
    const law_mix mix = round % 4 == 3 ? law_mix::any : law_mix::monotone;
    owned_network n = random_network(r, mix, 1 + round % 6, 3, 40, every_way);
    std::vector<tape_surroundings> around;
    for (owned_run& run : n.runs) {
      tape_surroundings s;
      s.ambient = celsius{r.uniform(-20, 60)};
      s.built_at = celsius{r.uniform(-20, 90)};
      s.warming = kelvin_metres_per_watt{r.one_in(4) ? 0.0 : r.log_uniform(0.1, 10)};
      s.lamp_share = r.one_in(2) ? 0.0 : r.uniform(0, 0.3);
      around.push_back(s);
      for (std::size_t p = 0; p < run.stretches.size(); ++p) {
        const run_stretch& old = run.stretches[p];
        run.stretches[p].line = *line_of(run.tapes[p], old.line.segments, s.built_at, old.line.lit);
      }
    }
    n.close();
    const warm_answer got{n.net, around};
    if (!got.all.ok()) {
      const fault f = got.all.why();
      CHECK((f.code == fault_code::no_operating_point ||
             (f.code == fault_code::out_of_range && f.field == field::temperature)));
      ++refused;
      continue;
    }
    ++compared;
    most_rounds = std::max(most_rounds, static_cast<int>(got.all->rounds));
    for (std::size_t k = 0; k < n.runs.size(); ++k)
      for (celsius& t : n.runs[k].trace) t = got.trace[k];
    oracle_network o = oracle_of(n);
    o.net.solve();
    for (std::size_t k = 0; k < n.runs.size(); ++k) {
      const owned_run& run = n.runs[k];
      const std::size_t channels = run.tapes[0].channels.size();
      double lamps = 0, length = 0;
      std::size_t at = 0;
      for (std::size_t p = 0; p < run.stretches.size(); ++p) {
        length += static_cast<double>(run.stretches[p].line.segments) * run.tapes[p].cut_pitch.v;
        for (std::int64_t s = 0; s < run.stretches[p].line.segments; ++s)
          for (std::size_t c = 0; c < channels; ++c, ++at) {
            if (o.load[k][at] < 0) continue;
            const long double v = o.net.load_voltage(o.load[k][at]);
            CHECK(close_abs(got.v[k][at].v, static_cast<double>(v), 1e-9));  // bound of the design
            lamps += static_cast<double>(v * oracle_law(run.tapes[p], c).at(v).current);
          }
      }
      CHECK(close_abs(got.figures[k].lamps.v, lamps, 1e-8));  // 1e-9 V times some ten amperes
      const double heat = got.figures[k].trace_loss.v + around[k].lamp_share * lamps;
      const double want = around[k].ambient.v + around[k].warming.v * heat / length;
      // 1e-10 K settled, and 1e-8 W on a length of a pitch or more, ten kelvin a W/m
      CHECK(close_abs(got.trace[k].v, want, 1e-9 + 1e-7 / length));
      CHECK(got.trace[k] >= around[k].ambient);
      hottest = std::max(hottest, got.trace[k].v);
    }
    const network_figures& all = got.all->network;
    const double given = n.net.source.v * all.total.v;
    const double taken = (all.lamps + all.trace_loss + all.feeder_loss + all.switch_loss + all.supply_loss).v;
    CHECK(close_rel(taken, given, 1e-12));  // bound of the design
  }
  MESSAGE(compared << " compared, " << refused << " refused, " << most_rounds << " rounds at most, hottest "
                   << hottest << " degC");
  CHECK(compared >= 80);
  CHECK(hottest > 100);
}

TEST_CASE(
    "solve_warm: without warming it is solve_network at the ambient's copper, bit by bit where nothing "
    "moves") {
  random_source r{83022};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 20; ++round) {
    const owned_network n = random_network(r, law_mix::monotone, 1 + round % 6, 3, 40, every_way);
    const std::vector<tape_surroundings> around(
        n.runs.size(), {.ambient = 35_degC, .built_at = 35_degC, .warming = {}, .lamp_share = 0.5});
    const warm_answer got{n.net, around};
    const solved_network plain{n.net};
    REQUIRE(got.all.ok());
    CHECK(got.all->rounds == 1);
    CHECK(got.all->network.total == plain.all->total);
    for (std::size_t k = 0; k < n.runs.size(); ++k) {
      CHECK(got.trace[k] == 35_degC);
      CHECK(got.figures[k].least_evenness == plain.figures[k].least_evenness);
    }
  }
}

TEST_CASE("solve_warm: more warming is never cooler, where loads keep their current") {
  double before = 0;
  for (const double warming : {0.0, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0}) {
    constant_current_run tape{80, 0.04, 0.001, 0.001, 0.05};
    const warm_answer got{tape.network(),
                          {{.ambient = 25_degC,
                            .built_at = 40_degC,
                            .warming = kelvin_metres_per_watt{warming},
                            .lamp_share = 0.2}}};
    REQUIRE(got.all.ok());
    CHECK(got.trace[0].v > before);
    before = got.trace[0].v;
  }
}

TEST_CASE("solve_warm: what gets too hot, runs away or never settles is refused, with what was reached") {
  constant_current_run tape{60, 0.05, 0.002, 0.002, 0.05};
  const warm_answer hot{
      tape.network(),
      {{.ambient = 30_degC, .built_at = 20_degC, .warming = kelvin_metres_per_watt{100}, .lamp_share = 0.3}}};
  CHECK(hot.all.why().code == fault_code::out_of_range);
  CHECK(hot.all.why().field == field::temperature);
  CHECK(hot.all.why().item == 0);
  CHECK(hot.all.why().given > 200);
  CHECK(hot.all.why().most == 200);

  // constant power near its collapse: cold it works, warm it asks for more than the copper can deliver
  run_stretch s;
  s.line.segments = 40;
  s.line.channels = 1;
  s.line.pitch = 0.05_m;
  s.line.common = s.line.channel[0] = 0.02_ohm;
  s.line.law[0] = *fitted_law(load_kind::constant_power, watts{3.4}, 24_V, 1_V);
  feed_point at;
  fed_run run{.hub = 0, .stretches = {&s, 1}, .feeds = {&at, 1}, .common = {}, .channel = {}};
  feed_hub hub;
  const feed_network n{.source = 24_V, .lead = {}, .hubs = {&hub, 1}, .runs = {&run, 1}};
  const warm_answer cold{n, {{.ambient = 20_degC, .built_at = 20_degC, .warming = {}, .lamp_share = 0}}};
  CHECK(cold.all.ok());
  const warm_answer away{
      n, {{.ambient = 20_degC, .built_at = 20_degC, .warming = kelvin_metres_per_watt{5}, .lamp_share = 0}}};
  CHECK(away.all.why().code == fault_code::no_operating_point);
}

TEST_CASE("solve_warm: refusals and room") {
  constant_current_run tape{4, 0.05, 0.002, 0.002, 0.05};
  const feed_network n = tape.network();
  std::vector<double> workspace(network_workspace(n));
  fed_run runs[1];
  run_stretch stretches[1];
  celsius trace[1];
  fed_run_figures figures[1];
  const warm_room room{workspace, runs, stretches};
  tape_surroundings around[1] = {
      {.ambient = 25_degC, .built_at = 25_degC, .warming = kelvin_metres_per_watt{1}, .lamp_share = 0}};
  const auto ask = [&] { return solve_warm(n, around, room, trace, figures).why(); };
  REQUIRE(ask() == fault{});
  const auto with = [&](field which, auto&& set) {
    const tape_surroundings kept = around[0];
    check_field_range(which, [&](double bad) {
      set(bad);
      const fault f = ask();
      around[0] = kept;
      return f;
    });
  };
  with(field::ambient, [&](double bad) { around[0].ambient = celsius{bad}; });
  with(field::temperature, [&](double bad) { around[0].built_at = celsius{bad}; });
  with(field::warming_per_load, [&](double bad) { around[0].warming = kelvin_metres_per_watt{bad}; });
  with(field::share, [&](double bad) { around[0].lamp_share = bad; });
  const auto no_room = [](const fault& f) { return f.code == fault_code::no_room && f.given + 1 == f.least; };
  CHECK(no_room(solve_warm(n, {}, room, trace, figures).why()));
  CHECK(no_room(solve_warm(n, around, {workspace, {}, stretches}, trace, figures).why()));
  CHECK(no_room(solve_warm(n, around, {workspace, runs, {}}, trace, figures).why()));
  CHECK(no_room(solve_warm(n, around, room, {}, figures).why()));
  CHECK(no_room(solve_warm(n, around, room, trace, {}).why()));
  CHECK(no_room(solve_warm(n, around, {std::span{workspace}.first(workspace.size() - 1), runs, stretches},
                           trace, figures)
                    .why()));
}

TEST_CASE("warm_conductor: at its rating it is at its limit; otherwise as its own fixed point, or refused") {
  const conductor_rating rated{16_A, 30_degC, 70_degC};
  CHECK(close_abs(warm_conductor(16_A, rated, 30_degC)->v, 70, 1e-12));  // four roundings of 70
  CHECK(*warm_conductor(0_A, rated, 41_degC) == 41_degC);
  random_source r{83023};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 1000; ++round) {
    const conductor_rating q{amps{r.uniform(1, 100)}, celsius{r.uniform(20, 40)},
                             celsius{r.uniform(60, 105)}};
    const amps current = q.current * r.uniform(0, 1.3);
    const celsius ambient{r.uniform(-20, 60)};
    double t = ambient.v;
    for (int k = 0; k < 300; ++k)
      t = ambient.v + (q.limit - q.ambient).v * (current / q.current) * (current / q.current) *
                          (1 + alpha_20 * (t - 20)) / (1 + alpha_20 * (q.limit.v - 20));
    const auto got = warm_conductor(current, q, ambient);
    if (t > 200) CHECK(got.why().field == field::temperature);
    else CHECK(close_rel(got->v, t, 1e-11));  // the bound of some tens of roundings near 0 degC
  }
  CHECK(warm_conductor(200_A, rated, 30_degC).why() ==
        fault{fault_code::out_of_range, field::temperature, infinity, -60, 200, -1});
  check_field_range(field::current,
                    [&](double bad) { return warm_conductor(amps{bad}, rated, 30_degC).why(); });
  check_range(field::ampacity, 0.001, 1e4, [&](double bad) {
    return warm_conductor(1_A, {amps{bad}, 30_degC, 70_degC}, 30_degC).why();
  });
  check_field_range(field::ambient,
                    [&](double bad) { return warm_conductor(1_A, rated, celsius{bad}).why(); });
  check_field_range(field::conductor_limit, [&](double bad) {
    return warm_conductor(1_A, {16_A, 30_degC, celsius{bad}}, 30_degC).why();
  });
  CHECK(warm_conductor(1_A, {16_A, 70_degC, 70_degC}, 30_degC).why().code == fault_code::contradiction);
}

namespace {

constexpr double warm_in_a_constant_expression() {
  run_stretch s[1];
  s[0].line.segments = 4;
  s[0].line.channels = 1;
  s[0].line.pitch = 0.05_m;
  s[0].line.common = s[0].line.channel[0] = 0.05_ohm;
  s[0].line.law[0] = *fitted_law(load_kind::resistor_limited, 6_W, 24_V, 18_V);
  const feed_point at[1] = {};
  const fed_run run[1] = {{.hub = 0, .stretches = s, .feeds = at, .common = {}, .channel = {}}};
  const feed_hub hub[1] = {};
  const feed_network n{.source = 24_V, .lead = {}, .hubs = hub, .runs = run};
  double workspace[600] = {};
  fed_run runs[1];
  run_stretch copies[1];
  celsius trace[1];
  fed_run_figures figures[1];
  const tape_surroundings around[1] = {{25_degC, 20_degC, kelvin_metres_per_watt{8}, 0.1}};
  const auto got = solve_warm(n, around, {workspace, runs, copies}, trace, figures);
  return got.ok() ? trace[0].v : -1.0;
}

}  // namespace

TEST_CASE("solve_warm: same bits in a constant expression") {
  constexpr double early = warm_in_a_constant_expression();
  static_assert(early > 26);
  CHECK(early == warm_in_a_constant_expression());
}
