// SPDX-License-Identifier: BSL-1.0
// Many segments at a time against segment by segment: two eliminations, one answer.
#include "tapewright/network/feed_network.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random_network.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

struct settled_network {
  std::vector<double> room;
  std::vector<fed_run_figures> figures;
  std::vector<std::vector<volts>> v;
  double residual = infinity;
  int sweeps = 0;
  bool settled = false;

  template <class Network>
  void gather(const feed_network& n, const Network& network) {
    figures.resize(n.runs.size());
    v.resize(n.runs.size());
    for (std::size_t r = 0; r < n.runs.size(); ++r)
      v[r].resize(static_cast<std::size_t>(segments_of(n.runs[r]) * n.runs[r].stretches[0].line.channels));
    network.each_run([&](const auto& run, const detail::lit_channels& lit, std::size_t r, double*) {
      figures[r] =
          detail::figures_of(n.runs[r], lit, run.room(), detail::tally_of(run),
                             network.hub_volts(static_cast<std::size_t>(n.runs[r].hub)), {v[r], {}, {}});
      return true;
    });
  }
};
settled_network by_blocks(const feed_network& n) {
  settled_network s;
  s.room.resize(network_workspace(n));
  detail::network_blocks<> blocks{n, s.room.data()};
  s.settled = blocks.settle(s.residual, s.sweeps) == detail::settling::settled;
  if (s.settled) s.gather(n, blocks);
  return s;
}
settled_network by_segments(const feed_network& n) {
  settled_network s;
  s.room.resize(network_workspace(n));
  detail::network_newton<> newton{n, s.room.data()};
  s.settled = newton.settle(s.residual, s.sweeps) == detail::settling::settled;
  if (s.settled) s.gather(n, newton);
  return s;
}

/// Everything that is told of a run, volts to 1e-12 of the source.
void check_same(const feed_network& n, const settled_network& a, const settled_network& b) {
  const double volt = 1e-12 * n.source.v;
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    CAPTURE(r);
    double worst = 0;
    for (std::size_t k = 0; k < a.v[r].size(); ++k)
      worst = std::max(worst, std::fabs(a.v[r][k].v - b.v[r][k].v));
    CHECK(worst <= volt);
    const fed_run_figures &x = a.figures[r], &y = b.figures[r];
    double steepest = 0;  // siemens of all loads: what a volt can do to a current
    for (const run_stretch& s : n.runs[r].stretches)
      for (const load_law& l : s.line.law) steepest += l.slope.v * static_cast<double>(s.line.segments);
    const double amp = volt * steepest + 1e-13 * y.total.v, watt = 3 * amp * n.source.v;
    CHECK(close_abs(x.total.v, y.total.v, amp));
    CHECK(close_abs(x.greatest_link_current.v, y.greatest_link_current.v, amp));
    CHECK(close_abs(x.lamps.v, y.lamps.v, watt));
    CHECK(close_abs(x.trace_loss.v, y.trace_loss.v, watt));
    for (std::size_t c = 0; c < static_cast<std::size_t>(y.channels); ++c) {
      CHECK(close_abs(x.lowest_load[c].v, y.lowest_load[c].v, volt));
      CHECK(close_abs(x.highest_load[c].v, y.highest_load[c].v, volt));
      CHECK(close_abs(x.at_terminals[c].v, y.at_terminals[c].v, volt));
      CHECK(close_abs(x.channel_current[c].v, y.channel_current[c].v, amp));
    }
  }
}

const std::vector<feeding> every_way = {feeding::one_end, feeding::both_ends, feeding::middle,
                                        feeding::points, feeding::ring};

}  // namespace

TEST_CASE("network_blocks: is network_newton, on random installations of every kind") {
  random_source r{181};
  MESSAGE("seed " << r.seed());
  int settled = 0, left_alone = 0, several = 0;
  for (int round = 0; round < 3000; ++round) {
    CAPTURE(round);
    const std::int64_t most = round % 10 == 0 ? 1000 : round % 3 == 0 ? 300 : 60;
    const law_mix mix = round % 3 == 0   ? law_mix::resistor_limited
                        : round % 3 == 1 ? law_mix::regulated
                                         : law_mix::monotone;
    const std::int64_t channels = r.integer(1, 6);
    owned_network n = random_network(r, mix, channels, 3, most, every_way);
    // every other one hardly above a knee, so that its loads are on different pieces
    if (r.one_in(2)) n.net.source = n.runs[0].tapes[0].channels[0].knee * r.uniform(1, 1.15);
    const settled_network slow = by_segments(n.net);
    REQUIRE(slow.settled);
    const settled_network fast = by_blocks(n.net);
    if (!fast.settled) {
      ++left_alone;
      continue;
    }
    ++settled;
    if (fast.sweeps > 1) ++several;
    check_same(n.net, fast, slow);
  }
  MESSAGE(settled << " settled, " << several << " of them with changes of pieces, " << left_alone
                  << " left alone");
  CHECK(settled >= 2900);
  CHECK(several >= 100);
}

TEST_CASE("network_blocks: lines so long that a walk along them would forget where it began") {
  random_source r{182};
  MESSAGE("seed " << r.seed());
  int settled = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const std::int64_t channels = r.integer(1, 6);
    const owned_network n = random_network(r, law_mix::resistor_limited, channels, 1, 20000, every_way);
    const settled_network fast = by_blocks(n.net);
    if (!fast.settled) continue;
    ++settled;
    check_same(n.net, fast, by_segments(n.net));
  }
  MESSAGE(settled << " settled");
  CHECK(settled >= 45);
}

TEST_CASE("solve_network: what blocks do not settle is solved all the same") {
  // a regulated tape of a kilometre: twenty changes of pieces are not enough
  tape_line line;
  line.segments = 20000;
  line.common = line.channel[0] = ohms{0.0005};
  line.law[0] = *fitted_law(load_kind::regulated, watts{0.25}, volts{24}, volts{16});
  const run_stretch stretch{line, {}, {}};
  const feed_point points[] = {{0, {}, {}}, {20000, {}, {}}};
  fed_run run;
  run.stretches = {&stretch, 1};
  run.feeds = points;
  const feed_hub hub{};
  const feed_network n{volts{24}, {}, {&hub, 1}, {&run, 1}};
  CHECK_FALSE(by_blocks(n).settled);
  const solved_network got{n};
  REQUIRE(got.all.ok());
  CHECK(got.all->residual.v <= 1e-12 * 24 * 4);
  CHECK(got.figures[0].lowest_load[0].v < 16);
}
