// SPDX-License-Identifier: BSL-1.0
// The steady state of everything behind one supply cable: hub, feeders, tapes, solved together.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/network/tape_line.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/rules/conductor_sizes.hpp"

namespace tapewright {

/// Cable copper at the two ends of what it may be, and part-loaded: new and unlit; warm, as it is metered;
/// at the limit of PVC insulation, which no well-used conductor passes. A design rule of this library.
inline constexpr celsius cold_copper{20}, metering_copper{40}, hot_copper{70};

/// Supply and copper for which a hub is solved.
struct hub_state {
  volts source{};               ///< at the driver's output
  celsius copper = hot_copper;  ///< of all cables; the tapes' traces are at the runs' ambients
  std::uint32_t lit = all_lit;
  bool resumed = false;  ///< `figures` hold a solution of this hub with the same channels lit: start there
};

/// Ohms of one core of a laid cable at a temperature; 0 where no cable is laid.
constexpr ohms core_of(const laid_cable& w, celsius copper) noexcept {
  if (w.cable < 0) return {};
  const auto r = resistance_at(w.check.conductor, copper);
  return r.ok() ? *r * w.cut : ohms{unset};
}

namespace detail {

constexpr ohms contact_at(const draft& d, std::int32_t connector) noexcept {
  return connector < 0 ? ohms{} : d.parts.connectors[static_cast<std::size_t>(connector)].contact;
}

/// Current of a hub over that of one of its runs: how much heavier a shared conductor weighs on it.
constexpr double weight_of(amps hub, amps run) noexcept { return run.v > 0 ? hub / run : 1.0; }

/// The currents of a hub: what its runs draw together, channel by channel.
struct hub_currents {
  amps total, channel[max_channels];

  constexpr void add(const line_figures& f) noexcept {
    total += f.total;
    for (std::int32_t k = 0; k < f.channels; ++k) channel[k] += f.channel_current[k];
  }
};

/// How far the currents of several runs grew apart in one round: greatest growth over least, less 1.
/// Where all grow alike the weights stay as they are. (Kept as greatest growth and greatest decline, so
/// that zero is where both start: GCC 12 forgets other defaults in an array of a constant expression.)
struct growth {
  double up = 0, down = 0;

  constexpr void add(amps was, amps is) noexcept {
    if (!(was.v > 0) || !(is.v > 0)) return;
    up = larger(up, is / was);
    down = larger(down, was / is);
  }
  constexpr double apart() const noexcept { return up > 0 ? up * down - 1 : 0.0; }
};

/// A run's nominal currents, as the figures that the first round starts from.
constexpr line_figures nominal_figures(const run_plan& r, std::uint32_t lit) noexcept {
  line_figures f;
  f.channels = r.load.channels;
  f.total = amps{};
  for (std::int32_t k = 0; k < f.channels; ++k) {
    f.channel_current[k] = (lit >> k & 1u) != 0 ? r.load.channel_current[k] : amps{};
    f.total += f.channel_current[k];
  }
  return f;
}

}  // namespace detail

/// Solves a hub. `figures` gets one result a run of the hub, at the run's place in d.runs.
///
/// @param figures  room for d.runs.size() results.
/// @return         voltage between the hub's supply terminals; faults of solve_line, or not_converged.
/// Formula  What the runs share (supply cable, the controller's switch of a channel) is put into each
///          run's own feed at its weight: R I_hub = (R I_hub / I_run) I_run. The weights come from the
///          currents of the round before, at first from the nominal loads, until none moves by more
///          than 1e-12 of itself. A weight changes only as far as the runs differ in the way their
///          currents follow the voltage, times the share of the voltage that is lost upstream: a few
///          hundredths, so that each round gains one or two digits or more.
/// Source   closed form: Kirchhoff's laws.
constexpr outcome<volts> solve_hub(const draft& d, std::int32_t hub, const hub_state& state,
                                   std::span<line_figures> figures) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  const controller* c = d.controller_of(h);
  const ohms supply = 2 * core_of(h.supply, state.copper);
  const ohms splice = detail::contact_at(d, h.splice);
  detail::hub_currents before;
  for (const run_plan& r : d.runs) {
    if (r.hub != hub) continue;
    line_figures& start = figures[static_cast<std::size_t>(r.run)];
    if (!state.resumed) start = detail::nominal_figures(r, state.lit);
    before.add(start);
  }
  for (int round = 0; round < 60; ++round) {
    detail::hub_currents now;
    detail::growth total, channel[max_channels];
    for (const run_plan& r : d.runs) {
      if (r.hub != hub) continue;
      line_figures& f = figures[static_cast<std::size_t>(r.run)];
      const ohms core = core_of(r.feeder, state.copper) + splice + detail::contact_at(d, r.connector);
      line_feed feed{.source = state.source};
      feed.common = core + supply * detail::weight_of(before.total, f.total);
      for (std::int32_t k = 0; k < r.load.channels; ++k) {
        feed.channel[k] = core;
        if (c != nullptr)
          feed.channel[k] +=
              c->switch_resistance * detail::weight_of(before.channel[k], f.channel_current[k]);
      }
      const auto line = line_of(d.tape_of(r), r.cut.segments, d.asked(r).ambient, state.lit);
      if (!line.ok()) return at_item(line.why(), static_cast<std::size_t>(r.run));
      const auto solved = solve_line(*line, feed, {}, d.network);
      if (!solved.ok()) return at_item(solved.why(), static_cast<std::size_t>(r.run));
      total.add(f.total, solved->total);
      for (std::int32_t k = 0; k < r.load.channels; ++k)
        channel[k].add(f.channel_current[k], solved->channel_current[k]);
      f = *solved;
      now.add(f);
    }
    before = now;
    double apart = total.apart();
    for (const detail::growth& g : channel) apart = larger(apart, g.apart());
    if (apart <= 1e-12) return state.source - supply * now.total;
  }
  return fault{fault_code::not_converged, field::voltage, before.total.v, 0, 0, -1};
}

}  // namespace tapewright
