// SPDX-License-Identifier: BSL-1.0
// The oracle itself against the textbooks: what checks the library must be checked by others.
#include "support/dense_network.hpp"

#include <doctest/doctest.h>

#include "support/close.hpp"

using namespace tapewright::test;

namespace {
nodal_load draws(long double amps) {  // constant current with a dropout that is never met
  return {nodal_load::law::regulated, amps, 1, 1e-3L};
}
}  // namespace

// V.K. Mehta, R. Mehta, Principles of Power System, chapter 13, and Chakrabarti et al., A Textbook on Power
// System Engineering, part II chapter 18; figures in tests/reference/worked_dc_distributor.csv.

TEST_CASE("dense_network: example 13.12, both ends at unequal voltages") {
  dense_network net;
  const int a = net.node(), b = net.node(), n[] = {net.node(), net.node(), net.node(), net.node()};
  net.fix(a, 440);
  net.fix(b, 430);
  const long double ohm_per_m = 0.0002L, place[] = {0, 150, 300, 350, 450, 600},
                    load[] = {100, 200, 250, 300};
  for (int k = 0; k < 4; ++k) {
    net.resistor(k == 0 ? a : n[k - 1], n[k], (place[k + 1] - place[k]) * ohm_per_m);
    net.load(n[k], 0, draws(load[k]));
  }
  net.resistor(n[3], b, (place[5] - place[4]) * ohm_per_m);
  REQUIRE(net.solve());
  CHECK(close_abs(static_cast<double>(net.current_from(a)), 437.5, 0.05));
  CHECK(close_abs(static_cast<double>(net.current_from(b)), 412.5, 0.05));
}

TEST_CASE("dense_network: example 13.25, a ring with an interconnector") {
  dense_network net;
  const int a = net.node(), b = net.node(), c = net.node(), d = net.node(), e = net.node();
  net.fix(a, 220);
  net.resistor(a, b, 0.075L);
  net.resistor(b, c, 0.025L);
  net.resistor(c, d, 0.01L);
  net.resistor(d, e, 0.05L);
  net.resistor(e, a, 0.1L);
  net.resistor(b, d, 0.05L);
  net.load(b, 0, draws(10));
  net.load(c, 0, draws(30));
  net.load(d, 0, draws(20));
  net.load(e, 0, draws(10));
  REQUIRE(net.solve());
  const auto drop = static_cast<double>(net.voltage(b) - net.voltage(d));
  CHECK(close_abs(drop / 0.05, 9.8, 0.05));
  CHECK(close_abs(drop, 0.49, 0.005));
}

TEST_CASE("dense_network: example 18.1, a star of five sources") {
  dense_network net;
  const int o = net.node();
  const long double volts[] = {225, 210, 230, 230, 240}, ohms[] = {5, 1, 1, 2, 2},
                    amps[] = {0, -15, 5, 2.5L, 7.5L};
  int s[5] = {};
  for (int k = 0; k < 5; ++k) {
    s[k] = net.node();
    net.fix(s[k], volts[k]);
    net.resistor(s[k], o, ohms[k]);
  }
  REQUIRE(net.solve());
  CHECK(close_abs(static_cast<double>(net.voltage(o)), 225, 1e-12));
  for (int k = 0; k < 5; ++k)
    CHECK(close_abs(static_cast<double>(net.current_from(s[k])), static_cast<double>(amps[k]), 1e-12));
}

TEST_CASE("dense_network: conductors without resistance, and a load that asks for too much") {
  dense_network net;
  const int a = net.node(), b = net.node(), c = net.node();
  net.fix(a, 24);
  net.resistor(b, a, 0);
  net.resistor(b, c, 1);
  const int load = net.load(c, 0, {nodal_load::law::constant_power, 143, 24, 2});
  REQUIRE(net.solve());
  // v = (24 + sqrt(24^2 - 4 * 143)) / 2 = 13 V
  CHECK(close_abs(static_cast<double>(net.load_voltage(load)), 13, 1e-12));
  net.load(c, 0, {nodal_load::law::constant_power, 2, 24, 2});
  CHECK_FALSE(net.solve());
}
