// SPDX-License-Identifier: BSL-1.0
// The limit of the average beside that of the moment: what drivers and connectors bear for a while.
#pragma once

#include <cstdint>

#include "tapewright/firmware/guard_settings.hpp"

namespace tapewright {

/// A first-order average of a load with a time constant of 2^shift frames, kept without drift.
///
/// average * 2^shift + rest is the whole sum of the filter, so that nothing is ever rounded away: after any
/// number of frames the average is the exact one rounded down, or one unit (2^-31 of the full load) more.
/// Why: with a the exact average, X = average 2^shift + rest and e = X / 2^shift - a,
///   e' = e + (a - average) / 2^shift = e (1 - 2^-shift) + (rest / 2^shift) / 2^shift,
/// and rest / 2^shift in [0, 1) keeps e in [0, 1) for ever; average = floor(a + e).
struct load_average {
  std::uint32_t average = 0;  ///< load units
  std::uint32_t rest = 0;     ///< below 2^shift

  /// Takes in one frame. load and average are at most 2,147,385,345 and rest is below 65536: every sum below is
  /// within 32 bits with sign. >> of a negative figure rounds down (C++20).
  constexpr void take(std::uint32_t load, unsigned shift) noexcept {
    const std::int32_t before = static_cast<std::int32_t>(average);
    const std::int32_t step = static_cast<std::int32_t>(load) - before + static_cast<std::int32_t>(rest);
    average = static_cast<std::uint32_t>(before + (step >> shift));
    rest = static_cast<std::uint32_t>(step) & ((1u << shift) - 1);
  }
};

/// The load that a frame may have so that the average never passes the sustained limit.
///
/// The whole peak while the average is far below the limit; from `soft_zone` on, 2^softness units of peak less
/// for each unit that the average comes closer. So the budget glides from the peak to the sustained limit, over
/// about 2^(average_shift - softness) frames, instead of falling in one.
/// Formula  room = max(0, sustained - average)
///          budget = min(peak, sustained + room * 2^softness)
/// Safe     average' - average = (load - average) / 2^shift <= room (1 + 2^softness) / 2^shift <= room, since
///          softness < shift: the average never passes the limit. The exact one is less than a unit above
///          the average kept here, which `configure` takes off the limit beforehand.
/// Soft     from frame to frame the budget changes by at most peak / 2^(shift - softness).
/// Bounds   room < soft_zone = (peak - sustained) >> softness: room << softness <= peak - sustained.
constexpr std::uint32_t sustained_budget(const guard_limits& limits, std::uint32_t average) noexcept {
  const std::uint32_t room = average < limits.sustained ? limits.sustained - average : 0;
  return room >= limits.soft_zone ? limits.peak : limits.sustained + (room << limits.softness);
}

}  // namespace tapewright
