// SPDX-License-Identifier: BSL-1.0
// Ranges of copper, and which factor multiplies what.
#include "tapewright/network/tolerance_box.hpp"

#include <doctest/doctest.h>

#include "support/close.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

TEST_CASE("copper_range") {
  const auto r = copper_range(20_degC, 20_degC, 70_degC, 0.1);
  REQUIRE(r.ok());
  CHECK(close_rel(r->least, 0.9, 1e-15));
  CHECK(close_rel(r->most, 1.1 * (1 + 0.00393 * 50), 1e-15));
  CHECK_FALSE(copper_range(20_degC, 30_degC, 70_degC).ok());
  CHECK_FALSE(copper_range(20_degC, 10_degC, 15_degC).ok());
  CHECK_FALSE(copper_range(20_degC, 20_degC, 70_degC, 0.3).ok());
}

TEST_CASE("multiplied: every factor moves its own inputs and no others") {
  run_stretch parts[2];
  for (run_stretch& s : parts) {
    s.line.channels = 2;
    s.line.pitch = 1_m;
    s.line.common = ohms{1};
    s.link_common = ohms{2};
    for (std::size_t c = 0; c < 2; ++c) {
      s.line.channel[c] = ohms{3};
      s.link_channel[c] = ohms{4};
    }
    s.line.law[0] = *fitted_law(load_kind::regulated, watts{24}, volts{24}, volts{12});
    s.line.law[1] = *fitted_law(load_kind::constant_power, watts{5}, volts{24}, volts{12});
  }
  const feed_point feeds[2] = {{0, ohms{5}, {ohms{6}, ohms{6}}}, {2, ohms{7}, {ohms{8}, ohms{8}}}};
  fed_run run;
  run.stretches = parts;
  run.feeds = feeds;
  run.common = ohms{9};
  const feed_hub hub{ohms{10}, {ohms{11}, ohms{11}}};
  const feed_network n{volts{24}, ohms{12}, {&hub, 1}, {&run, 1}};
  REQUIRE(first_factor_of_run(n, 0) == 4);
  REQUIRE(factor_count(n) == 10);
  feed_hub hubs[1];
  fed_run runs[1];
  run_stretch stretches[2];
  feed_point points[2];
  const tolerance_space space{hubs, runs, stretches, points, {}, {}, {}, {}};
  constexpr double by[] = {1.01, 1.02, 1.03, 1.04, 1.05, 1.06, 1.07, 1.08, 1.09, 1.10};
  const feed_network m = multiplied(
      n, [&](std::size_t p) { return by[p]; }, space);
  constexpr double rounding = 1e-15;
  CHECK(close_rel(m.source.v, 24 * by[0], rounding));
  CHECK(close_rel(m.lead.v, 12 * by[1], rounding));
  CHECK(close_rel(m.hubs[0].supply.v, 10 * by[2], rounding));
  CHECK(close_rel(m.hubs[0].channel[1].v, 11 * by[3], rounding));
  const run_stretch& part = m.runs[0].stretches[1];
  CHECK(close_rel(part.line.common.v, 1 * by[4] * by[5], rounding));
  CHECK(close_rel(part.line.channel[1].v, 3 * by[4] * by[5], rounding));
  CHECK(close_rel(m.runs[0].feeds[1].common.v, 7 * by[6], rounding));
  CHECK(close_rel(m.runs[0].feeds[0].channel[1].v, 6 * by[6], rounding));
  CHECK(close_rel(m.runs[0].common.v, 9 * by[6], rounding));
  CHECK(close_rel(part.link_common.v, 2 * by[7], rounding));
  CHECK(close_rel(part.link_channel[0].v, 4 * by[7], rounding));
  CHECK(close_rel(part.line.law[0].ceiling.v, 1 * by[8] * by[5], rounding));
  CHECK(close_rel(part.line.law[0].slope.v, 1 * by[8] * by[5] / 12, rounding));
  CHECK(close_rel(part.line.law[1].power.v, 5 * by[9] * by[5], rounding));
}
