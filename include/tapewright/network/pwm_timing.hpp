// SPDX-License-Identifier: BSL-1.0
// When dimmed channels are on within a period, and what a current does that comes in pulses.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/parts/tape.hpp"

namespace tapewright {

/// Dimming of the channels behind one controller, in shares of its period: channel c is on from phase[c]
/// for duty[c], beyond the end of the period into the next one. Duty 0 is off, 1 is on all the time.
struct pwm_timing {
  double duty[max_channels] = {};   ///< 0..1
  double phase[max_channels] = {};  ///< 0..1
};

/// Refuses a duty or phase outside its range; the fault carries the channel.
constexpr fault check(const pwm_timing& t) noexcept {
  for (std::size_t c = 0; c < max_channels; ++c)
    if (const fault f = first_fault(refuse(field::duty, t.duty[c]), refuse(field::pwm_phase, t.phase[c])))
      return at_item(f, c);
  return {};
}

/// The first `channels` channels of a timing with their starts spread evenly over the period.
/// Formula  phase[c] = c / C.
/// Source   common practice, no source; firmware/phase_plan.hpp finds the best starts for given duties.
constexpr pwm_timing evenly_shifted(pwm_timing t, std::int32_t channels) noexcept {
  for (std::int32_t c = 0; c < channels && c < static_cast<std::int32_t>(max_channels); ++c)
    t.phase[c] = static_cast<double>(c) / static_cast<double>(channels);
  return t;
}

/// A current that comes in pulses. Its mean carries light and charge, its r.m.s. value heats copper.
struct pulsed_current {
  amps mean, rms;
  amps peak;  ///< greatest magnitude
};

/// The cores of a cable, or the leads of a controller.
struct core_currents {
  pulsed_current common;
  pulsed_current channel[max_channels];
};

namespace detail {

/// Edges nearer than this share of a period are one: 1e-12 of a current is below every accuracy told here.
inline constexpr double edge_noise = 1e-12;

constexpr double share_after(double from, double to) noexcept { return to - from - floor_of(to - from); }

constexpr bool is_on(const pwm_timing& t, std::size_t c, double moment) noexcept {
  return t.duty[c] >= 1 || share_after(t.phase[c], moment) < t.duty[c];
}

constexpr std::uint32_t on_at(const pwm_timing& t, double moment) noexcept {
  std::uint32_t on = 0;
  for (std::size_t c = 0; c < max_channels; ++c)
    if (is_on(t, c, moment)) on |= 1u << c;
  return on;
}

/// Calls visit(edge) for each moment at which a channel switches.
template <class Visit>
constexpr void each_edge(std::span<const pwm_timing> timings, const Visit& visit) noexcept {
  for (const pwm_timing& t : timings)
    for (std::size_t c = 0; c < max_channels; ++c) {
      if (!(t.duty[c] > 0 && t.duty[c] < 1)) continue;
      visit(t.phase[c]);
      visit(t.phase[c] + t.duty[c]);
    }
}

/// Splits a period where any channel of any controller switches: calls visit(share, moment) for each piece,
/// `moment` being its middle. At most two pieces a dimmed channel, one if none is; their shares add up to
/// 1. Stops at the first fault. The period starts at an edge, so that no piece is cut by its end.
template <class Visit>
constexpr fault each_interval(std::span<const pwm_timing> timings, const Visit& visit) noexcept {
  double start = 0, done = 0;
  each_edge(timings, [&](double edge) noexcept { start = edge; });
  while (done < 1) {
    double share = 1 - done;
    each_edge(timings, [&](double edge) noexcept {
      const double ahead = share_after(start + done, edge);
      if (ahead > edge_noise && ahead < share - edge_noise) share = ahead;
    });
    if (const fault f = visit(share, start + done + 0.5 * share)) return f;
    done = share + done < 1 - edge_noise ? share + done : 1.0;
  }
  return {};
}

/// A pulsed current while it is gathered: rms holds the mean square until `closed`.
constexpr void add_pulse(pulsed_current& p, double share, amps i) noexcept {
  p.mean += share * i;
  p.rms.v += share * i.v * i.v;
  p.peak = amps{larger(p.peak.v, absolute(i.v))};
}
constexpr void close_pulse(pulsed_current& p) noexcept { p.rms.v = square_root(p.rms.v); }
constexpr void close_pulses(core_currents& cores) noexcept {
  close_pulse(cores.common);
  for (pulsed_current& own : cores.channel) close_pulse(own);
}

}  // namespace detail

}  // namespace tapewright
