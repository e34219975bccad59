// SPDX-License-Identifier: BSL-1.0
// One tape fed at one end as bare numbers: N equal rungs of C loads that share one conductor.
#pragma once

#include <cstdint>

#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/load_law.hpp"

namespace tapewright::detail {

/// Residual at which a solution is taken as settled, volts: 5e-13 of the source, and the rounding of `segments`
/// additions, half an ulp of the source each at most.
constexpr double settled_volts(double source, double segments) noexcept {
  return source * (5e-13 + 0x1p-53 * segments);
}

/// The lit channels of a tape line and what feeds it; volts, amperes, ohms.
///
/// Written for the voltages u[c] ACROSS the loads and the channel currents j[c] beyond them, counted
/// k = 0 at the feed. With s = sum of j and R v = common * sum(v) + channel * v:
///     u(k) - u(k+1) = R j(k),   j(k-1) - j(k) = i(u(k)),   j(N-1) = 0.
/// The first load stands half a pitch from the feed point, the last one half a pitch from the end.
template <int C>
struct ladder {
  std::int64_t segments = 1;
  double source = 0;                             ///< voltage behind the feeder
  double common = 0, channel[C] = {};            ///< trace of one pitch
  double feed_common = 0, feed_channel[C] = {};  ///< in series before the feed point
  double dark_below[C] = {}, slope[C] = {}, ceiling[C] = {};
  double power[C] = {}, cut_off[C] = {};  ///< power 0 = not a constant-power load

  /// Resistance between the source and the first load: the feeder and half a pitch of trace.
  constexpr double first_common() const noexcept { return feed_common + 0.5 * common; }
  constexpr double first_channel(int c) const noexcept { return feed_channel[c] + 0.5 * channel[c]; }

  constexpr bool only_power_loads() const noexcept {
    bool only = true;
    for (int c = 0; c < C; ++c) only = only && power[c] > 0;
    return only;
  }

  constexpr double tolerance() const noexcept { return settled_volts(source, static_cast<double>(segments)); }
};

struct rung_load {
  double current, slope;
};

/// The load of channel c at v. `Power` false leaves the constant-power branch out: the inner loop of
/// the common case has no jump. The same laws as tapewright::at(load_law, volts).
template <bool Power, int C>
constexpr rung_load load_at(const ladder<C>& l, int c, double v) noexcept {
  if constexpr (Power) {
    if (l.power[c] > 0) {
      if (!(v >= l.cut_off[c] && v > 0)) return {0, 0};
      const double i = l.power[c] / v;
      return {i, -(i / v)};
    }
  }
  const double rising = l.slope[c] * (v - l.dark_below[c]);
  const double positive = rising > 0 ? rising : 0.0;
  return {positive < l.ceiling[c] ? positive : l.ceiling[c],
          rising > 0 && !(rising > l.ceiling[c]) ? l.slope[c] : 0.0};
}

}  // namespace tapewright::detail
