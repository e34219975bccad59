// SPDX-License-Identifier: BSL-1.0
// Dimmed installations against ngspice: each set of channels that are on together is a circuit of its own.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/close.hpp"
#include "support/random_network.hpp"
#include "support/spice.hpp"
#include "tapewright/network/dimming.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

/// The amperes that every lamp draws by ngspice, run by run, segment-major; 0 where unlit.
std::vector<std::vector<double>> lamps_by_spice(const owned_network& n) {
  const oracle_network o = oracle_of(n);
  std::vector<std::vector<double>> amps_of(o.load.size());
  std::size_t lit = 0;
  for (std::size_t r = 0; r < o.load.size(); ++r) {
    amps_of[r].resize(o.load[r].size());
    for (const int load : o.load[r]) lit += load >= 0;
  }
  if (lit == 0) return amps_of;
  std::vector<std::string> lines = spice::netlist(o.net);
  spice& ng = spice::the();
  ng.load(lines);
  ng.run();
  for (std::size_t r = 0; r < o.load.size(); ++r) {
    const owned_run& run = n.runs[r];
    const std::size_t channels = run.tapes[0].channels.size();
    std::size_t stretch = 0;
    std::int64_t left = run.stretches[0].line.segments;
    for (std::size_t k = 0; k < o.load[r].size(); ++k) {
      while (static_cast<std::int64_t>(k / channels) >= left) left += run.stretches[++stretch].line.segments;
      if (o.load[r][k] < 0) continue;
      const auto [a, b] = o.net.load_nodes(o.load[r][k]);
      const nodal_load law = oracle_law(run.tapes[stretch], k % channels);
      amps_of[r][k] = static_cast<double>(law.at(wide(ng.voltage(a)) - wide(ng.voltage(b))).current);
    }
  }
  ng.forget();
  return amps_of;
}

/// A period of so many ticks; channels switch on ticks alone, so that each tick has one set of lit channels.
constexpr int ticks = 8;

}  // namespace

TEST_CASE("solve_dimmed: agrees with ngspice, set of lit channels by set") {
  random_source r{20261130};
  MESSAGE("seed " << r.seed());
  int circuits = 0;
  double worst = 0;
  for (int round = 0; round < 60; ++round) {
    CAPTURE(round);
    const owned_network n = random_network(
        r, law_mix::monotone, 1 + round % 6, 2, 60,
        {feeding::one_end, feeding::both_ends, feeding::middle, feeding::points, feeding::ring});
    std::vector<pwm_timing> timings(n.hubs.size());
    std::vector<std::vector<int>> from(n.hubs.size()), on_for(n.hubs.size());
    for (std::size_t h = 0; h < n.hubs.size(); ++h)
      for (std::size_t c = 0; c < max_channels; ++c) {
        from[h].push_back(round % 2 == 0 ? 0 : static_cast<int>(r.integer(0, ticks - 1)));
        on_for[h].push_back(static_cast<int>(r.integer(0, ticks)));
        timings[h].phase[c] = static_cast<double>(from[h][c]) / ticks;
        timings[h].duty[c] = static_cast<double>(on_for[h][c]) / ticks;
      }
    double mean = 0, square = 0, peak = 0;
    std::vector<std::vector<double>> own_square(n.runs.size(), std::vector<double>(max_channels));
    for (int tick = 0; tick < ticks; ++tick) {
      owned_network now = n;
      for (owned_run& run : now.runs) {
        const auto h = static_cast<std::size_t>(run.run.hub);
        std::uint32_t on = 0;
        for (std::size_t c = 0; c < max_channels; ++c)
          if ((tick - from[h][c] + ticks) % ticks < on_for[h][c]) on |= 1u << c;
        for (run_stretch& s : run.stretches) s.line.lit &= on;
      }
      now.close();
      const auto lamps = lamps_by_spice(now);
      ++circuits;
      double total = 0;
      for (std::size_t k = 0; k < lamps.size(); ++k) {
        std::vector<double> own(max_channels);
        for (std::size_t l = 0; l < lamps[k].size(); ++l)
          own[l % n.runs[k].tapes[0].channels.size()] += lamps[k][l];
        for (std::size_t c = 0; c < max_channels; ++c) {
          total += own[c];
          own_square[k][c] += own[c] * own[c] / ticks;
        }
      }
      mean += total / ticks;
      square += total * total / ticks;
      peak = std::max(peak, total);
    }
    const dimming_counts need = dimming_room_for(n.net);
    std::vector<double> workspace(need.doubles);
    std::vector<fed_run> runs(need.runs);
    std::vector<fed_run_figures> figures(need.runs);
    std::vector<fed_run_profile> profiles(need.runs);
    std::vector<run_stretch> stretches(need.stretches);
    std::vector<amps> loads(need.loads);
    std::vector<feed_current> points(need.feeds);
    std::vector<dimmed_run> out(need.runs);
    const auto got =
        solve_dimmed(n.net, timings, {workspace, runs, figures, profiles, stretches, loads, points}, out);
    REQUIRE(got.ok());
    constexpr double share =
        1e-9;  // what networks are held to against ngspice, as a share of the source's voltage
    const auto agree = [&](amps mine, double theirs) {
      const double bound = share * std::max(peak, 1e-3);
      worst = std::max(worst, std::fabs(mine.v - theirs) / std::max(peak, 1e-3));
      return close_abs(mine.v, theirs, bound);
    };
    CHECK(agree(got->total.mean, mean));
    CHECK(agree(got->total.rms, std::sqrt(square)));
    CHECK(agree(got->total.peak, peak));
    for (std::size_t k = 0; k < n.runs.size(); ++k)
      for (std::size_t c = 0; c < max_channels; ++c)
        CHECK(agree(out[k].feeder.channel[c].rms, std::sqrt(own_square[k][c])));
  }
  MESSAGE(circuits << " circuits; worst " << worst << " of the driver's peak");
  CHECK(circuits == 60 * ticks);
}
