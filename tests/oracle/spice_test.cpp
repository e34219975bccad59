// SPDX-License-Identifier: BSL-1.0
// Installations against ngspice: every kind of feed, every load law, one to six channels, up to 400 segments.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/random_network.hpp"
#include "support/spice.hpp"

using namespace tapewright;
using namespace tapewright::test;

TEST_CASE("solve_network: agrees with ngspice") {
  // 1e-6 V everywhere is the bound asked for; ngspice's own equations are stiff sums of conductances that
  // differ by up to 1e9, whose rounding is the rest. The relative bound is on the voltage of each load.
  constexpr law_mix mixes[] = {law_mix::resistor_limited, law_mix::regulated, law_mix::constant_power,
                               law_mix::monotone, law_mix::any};
  constexpr feeding ways[] = {feeding::one_end, feeding::both_ends, feeding::middle, feeding::points,
                              feeding::ring};
  random_source r{20261127};
  MESSAGE("seed " << r.seed());
  int compared = 0, relative = 0, collapsed = 0;
  double worst = 0, worst_share = 0;
  for (int round = 0; round < 330; ++round) {
    CAPTURE(round);
    const std::int64_t most = round % 10 == 0 ? 400 : 80;
    const owned_network n = random_network(r, mixes[round % 5], 1 + round / 5 % 6, round % 2 == 0 ? 1 : 3,
                                           most, {ways[round / 30 % 5]});
    const solved_network got{n.net};
    if (!got.all.ok()) {
      CHECK(got.all.why().code == fault_code::no_operating_point);
      ++collapsed;
      continue;
    }
    const oracle_network o = oracle_of(n);
    std::vector<std::string> lines = spice::netlist(o.net);
    spice& ng = spice::the();
    ng.load(lines);
    ng.run();
    double here = 0;
    for (std::size_t run = 0; run < o.load.size(); ++run)
      for (std::size_t k = 0; k < o.load[run].size(); ++k) {
        if (o.load[run][k] < 0) continue;
        const auto [a, b] = o.net.load_nodes(o.load[run][k]);
        const double want = ng.voltage(a) - ng.voltage(b), gap = std::fabs(want - got.v[run][k].v);
        here = std::max(here, gap);
      }
    ng.forget();
    CHECK(here <= 1e-6);
    CHECK(here <= 1e-9 * n.net.source.v);
    worst = std::max(worst, here);
    worst_share = std::max(worst_share, here / n.net.source.v);
    ++compared;
    if (here <= 1e-9 * n.net.source.v) ++relative;
  }
  MESSAGE(compared << " compared (" << relative << " to 1e-9 of the source), " << collapsed
                   << " collapsed; worst " << worst << " V, " << worst_share << " of the source");
  CHECK(compared >= 300);
}
