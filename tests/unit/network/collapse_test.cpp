// SPDX-License-Identifier: BSL-1.0
// Distance to collapse against closed forms and a dense solve just before and just behind it.
#include "tapewright/network/collapse.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random_network.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

struct one_load {
  run_stretch s;
  feed_point point;
  fed_run run;
  feed_hub hub;
  feed_network n;

  one_load(watts power, volts source, ohms resistance, volts limit) {
    s.line.law[0] = {load_kind::constant_power, {}, {}, amps{infinity}, power, limit};
    point.common = resistance;
    run.stretches = {&s, 1};
    run.feeds = {&point, 1};
    n = {source, {}, {&hub, 1}, {&run, 1}};
  }
  double factor() const {
    std::vector<double> room(network_workspace(n));
    return *collapse_factor(n, room);
  }
};

}  // namespace

TEST_CASE("collapse_factor: one load, V^2 / (4 R P), or where its under-voltage limit comes first") {
  for (const double ohm : {0.01, 0.3, 1.0, 7.0})
    for (const double watt : {0.5, 36.0, 100.0}) {
      CAPTURE(ohm);
      CAPTURE(watt);
      // the accuracy that is told: 34 halvings
      CHECK(
          close_rel(one_load{watts{watt}, 24_V, ohms{ohm}, 0_V}.factor(), 24 * 24 / (4 * ohm * watt), 1e-9));
      // at the limit of 18 V the load draws (24 - 18) / R amperes
      CHECK(close_rel(one_load{watts{watt}, 24_V, ohms{ohm}, 18_V}.factor(), 18 * 6 / (ohm * watt), 1e-9));
    }
}

TEST_CASE("collapse_factor: none to come, already there, refusals") {
  one_load l{10_W, 24_V, 1_ohm, 0_V};
  l.s.line.law[0] = *fitted_law(load_kind::resistor_limited, 10_W, 24_V, 16_V);
  CHECK(l.factor() == infinity);
  CHECK(one_load{10_W, 24_V, 0_ohm, 0_V}.factor() == infinity);
  CHECK(one_load{10_W, 24_V, 1_ohm, 25_V}.factor() == infinity);  // its limit is above the source: dark
  std::vector<double> room(network_workspace(l.n) - 1);
  CHECK(collapse_factor(l.n, room).why().code == fault_code::no_room);
  l.n.source = 0_V;
  CHECK(collapse_factor(l.n, room).why().field == field::voltage);
}

TEST_CASE("collapse_factor: a run fed at both ends takes four times what one end takes, for the same total") {
  // uniform line of many loads: r P L^2 is what counts, and each half is a line of half the length
  run_stretch s;
  s.line.segments = 200;
  s.line.common = 0.004_ohm;
  s.line.law[0] = {load_kind::constant_power, {}, {}, amps{infinity}, 1_W, 0_V};
  feed_point points[] = {{0, {}, {}}, {200, {}, {}}};
  fed_run run;
  run.stretches = {&s, 1};
  const feed_hub hub{};
  const feed_network n{24_V, {}, {&hub, 1}, {&run, 1}};
  const auto factor = [&](std::size_t ends) {
    run.feeds = {points, ends};
    std::vector<double> room(network_workspace(n));
    return *collapse_factor(n, room);
  };
  const double one = factor(1), both = factor(2);
  // 100 lumped loads of one end are exactly the half of 200 between two ends
  CHECK(close_rel(both / one, 4, 2e-4));
  s.line.segments = 100;
  CHECK(close_rel(factor(1), both, 2e-9));  // 1e-9 each
}

TEST_CASE("solve_network and collapse_factor: up to the collapse and not beyond, against a dense solve") {
  random_source r{191};
  MESSAGE("seed " << r.seed());
  const std::vector<feeding> ways = {feeding::one_end, feeding::both_ends, feeding::middle, feeding::points,
                                     feeding::ring};
  int compared = 0, several_feeds = 0;
  double worst = 0;
  for (int round = 0; round < cases(120); ++round) {
    CAPTURE(round);
    owned_network n = random_network(r, law_mix::constant_power, 1 + round % 4, 2, 40, ways);
    std::vector<double> room(network_workspace(n.net));
    const auto factor = collapse_factor(n.net, room);
    REQUIRE(factor.ok());
    if (!(*factor > 0 && *factor < 1e4)) continue;
    const auto scaled = [&](double by) {
      owned_network other = n;
      for (owned_run& run : other.runs) {
        for (tape& t : run.tapes)
          for (tape_channel& c : t.channels) c.load *= by;
        for (run_stretch& s : run.stretches)
          for (load_law& l : s.line.law) l.power *= by;
      }
      other.close();
      return other;
    };
    for (const double share : {0.9, 0.999, 1 - 1e-5}) {
      CAPTURE(share);
      const owned_network before = scaled(*factor * share);
      oracle_network o = oracle_of(before);
      REQUIRE(o.net.solve());
      const solved_network got{before.net};
      REQUIRE(got.all.ok());
      double here = 0;
      for (std::size_t run = 0; run < o.load.size(); ++run)
        for (std::size_t k = 0; k < o.load[run].size(); ++k)
          if (o.load[run][k] >= 0)
            here = std::fmax(
                here, std::fabs(static_cast<double>(o.net.load_voltage(o.load[run][k])) - got.v[run][k].v));
      // near the fold an error of the equations counts 1 / sqrt(1 - share) times
      CHECK(here <= 1e-11 / std::sqrt(1 - share) * before.net.source.v);
      worst = std::fmax(worst, here);
    }
    const owned_network behind = scaled(*factor * (1 + 1e-5));
    oracle_network o = oracle_of(behind);
    CHECK_FALSE(o.net.solve());
    CHECK(solved_network{behind.net}.all.why().code == fault_code::no_operating_point);
    ++compared;
    for (const owned_run& run : n.runs)
      if (run.feeds.size() > 1) {
        ++several_feeds;
        break;
      }
  }
  MESSAGE(compared << " compared, " << several_feeds << " with several feed points, worst difference "
                   << worst << " V");
  CHECK(compared >= cases(80));
  CHECK(several_feeds >= cases(50));
}
