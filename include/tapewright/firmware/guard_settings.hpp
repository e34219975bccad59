// SPDX-License-Identifier: BSL-1.0
// What a guard is told, in microamperes, and the words it works with each frame.
#pragma once

#include <cstdint>

#include "tapewright/firmware/whole_fault.hpp"
#include "tapewright/firmware/whole_numbers.hpp"

namespace tapewright {

inline constexpr std::uint32_t most_guard_channels = 8;
inline constexpr std::uint32_t full_duty = 65535;  ///< a channel that is always on

/// The limits of one controller's outputs as stored or measured. All currents in microamperes.
///
/// A limit of 0 keeps what it limits dark; one at or above what is connected never bites. Ranges:
/// core/field.hpp, fields guard_channels to budget_rise. All `full_ua` together are above 0 and at most
/// 2,000,000,000 (2 kA).
struct guard_settings {
  std::uint32_t channels = 0;                       ///< 1..8
  std::uint32_t full_ua[most_guard_channels] = {};  ///< each channel at full duty; 0 = not connected
  std::uint32_t channel_limit_ua[most_guard_channels] = {};
  std::uint32_t total_limit_ua = 0;      ///< the common core, its connector, controller and driver: the least
  std::uint32_t sustained_limit_ua = 0;  ///< on average; at or above the total limit = no other limit
  std::uint32_t average_shift = 10;      ///< time constant of the average: 2^this frames; 1..16
  std::uint32_t softness = 2;            ///< below average_shift: firmware/sustained_limit.hpp
  std::uint32_t rise_ua = 0;  ///< most by which the total may rise from frame to frame; 0 = at once
};

/// What a guard reads each frame: 52 bytes of whole numbers, for flash. Made by `configure` and no one else.
///
/// A load is counted in units of which 32768 * 65535 are a little more than the current of all channels at
/// full duty: load = sum of weight * duty. The weights together are at most 32767, so
///   load <= 32767 * 65535 = 2,147,385,345 < 2^31,
/// which leaves room for twice a load in 32 bits. Every budget below is at most the load of full duty.
struct guard_limits {
  std::uint32_t peak = 0;       ///< greatest load of a frame
  std::uint32_t sustained = 0;  ///< greatest average load; <= peak
  std::uint32_t soft_zone = 0;  ///< nearer to `sustained` than this, the average begins to lower the peak
  std::uint32_t rise = 0;       ///< most by which the budget may rise from frame to frame
  std::uint16_t weight[most_guard_channels] = {};
  std::uint16_t most_duty[most_guard_channels] = {};
  std::uint8_t channels = 0;  ///< 0 = not configured: nothing is let through
  std::uint8_t average_shift = 1;
  std::uint8_t softness = 0;
  std::uint8_t reserved = 0;

  friend constexpr bool operator==(const guard_limits&, const guard_limits&) noexcept = default;
};
static_assert(sizeof(guard_limits) == 52);

namespace detail {

/// Load units of a current, rounded down. `scale` microamperes are 32768 * 65535 units; current < scale <= 2^31.
/// Formula  current / scale * 2^31 * (65535 / 65536); with q for the first two, q - ceil(q / 65536)
constexpr std::uint32_t load_of_current(std::uint32_t current, std::uint32_t scale) noexcept {
  const std::uint32_t q = whole::share_of(current, scale, 31).quotient;
  return q - ((q + 65535) >> 16);
}

/// floor(65535 part / all) for part < all <= 2^31: of 65536 part = q all + rest, one `part` too many.
constexpr std::uint32_t duty_of_share(std::uint32_t part, std::uint32_t all) noexcept {
  const whole::binary_share s = whole::share_of(part, all, 16);
  return s.rest >= part ? s.quotient : s.quotient - 1;
}

/// 32768 part / all, rounded up.
constexpr std::uint32_t weight_of_share(std::uint32_t part, std::uint32_t all) noexcept {
  const whole::binary_share s = whole::share_of(part, all, 15);
  return s.quotient + (s.rest != 0 ? 1 : 0);
}

}  // namespace detail

/// Turns stated limits into the words of a guard; for start-up, not for every frame.
///
/// @param settings  ranges as told at guard_settings.
/// @param limits    written whole; on a fault as made by default, with which a guard lets nothing through.
/// @return          out_of_range names field, channel (`item`) and range. A total limit that is not 0 but so low
///                  that whole weights could lose more than 0.1 % of it is out of range as well: where a
///                  channel has less than 1/16 of the whole load it takes 1/16 of the load for each such
///                  channel, otherwise 1/8192 of the load.
/// Formula  scale = full + full / 2048 + 1, full = sum of full_ua
///          weight = ceil(32768 full_ua / scale): together at most 32768 * 2048 / 2049 + 8 < 32767
///          most_duty = floor(65535 channel_limit / full_ua)
///          peak, sustained, rise = floor(32768 * 65535 limit / scale), or one less
/// Safe     weights up, everything else down, so that load <= peak gives a current <= total_limit:
///          sum full_ua duty / 65535 <= sum weight (scale / 32768) duty / 65535 = load scale / (32768 * 65535)
/// Loss     a weight is less than 1 above the exact one. While a load L is at its limit that is at most
///          sum duty / L: below 1/1024 where every weight is 1024 or more; otherwise at most 1/2048 from the
///          channels with a weight of 2048 or more, and t * 65535 / L < 1/2048 from the t others, since
///          L >= t * 2^27. Both are below 0.1 %.
constexpr whole_fault configure(const guard_settings& settings, guard_limits& limits) noexcept {
  limits = {};
  if (const auto f = refuse_whole<field::guard_channels>(settings.channels)) return f;
  if (const auto f = refuse_whole<field::average_shift>(settings.average_shift)) return f;
  if (settings.softness >= settings.average_shift)
    return {fault_code::out_of_range, field::softness, -1, settings.softness, 0, settings.average_shift - 1};

  std::uint32_t full = 0;
  for (std::uint32_t c = 0; c < settings.channels; ++c) {
    const std::uint32_t left = most_of<field::full_current> - full;  // the sum stays below 2^31
    if (settings.full_ua[c] > left)
      return {fault_code::out_of_range,
              field::full_current,
              static_cast<std::int32_t>(c),
              settings.full_ua[c],
              0,
              left};
    full += settings.full_ua[c];
  }
  if (full == 0)
    return {fault_code::out_of_range, field::full_current, -1, 0, 1, most_of<field::full_current>};

  const std::uint32_t scale = full + (full >> 11) + 1;  // at most 2,000,976,563 < 2^31
  std::uint32_t all_on = 0, small = 0;
  bool fine = true;  // every weight is 1024 or more
  for (std::uint32_t c = 0; c < settings.channels; ++c) {
    const std::uint32_t own = settings.full_ua[c], most = settings.channel_limit_ua[c];
    const std::uint32_t weight = detail::weight_of_share(own, scale);
    limits.weight[c] = static_cast<std::uint16_t>(weight);
    limits.most_duty[c] =
        static_cast<std::uint16_t>(most >= own ? full_duty : detail::duty_of_share(most, own));
    all_on += weight * full_duty;
    if (weight != 0 && weight < 2048) ++small;
    if (weight != 0 && weight < 1024) fine = false;
  }

  const std::uint32_t total = settings.total_limit_ua;
  const std::uint32_t sustained = settings.sustained_limit_ua < total ? settings.sustained_limit_ua : total;
  const std::uint32_t least = fine ? (full >> 13) + 1 : (full >> 4) * small + small;
  const auto too_fine = [least](std::uint32_t limit) noexcept { return limit != 0 && limit < least; };
  whole_fault coarse;
  if (too_fine(sustained))
    coarse = {fault_code::out_of_range, field::guard_sustained_limit, -1, sustained, least, full};
  if (too_fine(total)) coarse = {fault_code::out_of_range, field::guard_total_limit, -1, total, least, full};
  if (coarse) {
    limits = {};
    return coarse;
  }
  const auto load_of = [all_on, full, scale](std::uint32_t limit) noexcept {
    return limit >= full ? all_on : detail::load_of_current(limit, scale);
  };
  limits.peak = load_of(total);
  limits.sustained = load_of(sustained);
  // the exact average may be a unit above the one that is kept; where there is no lower limit it cannot matter
  if (limits.sustained < limits.peak && limits.sustained != 0) --limits.sustained;
  limits.soft_zone = (limits.peak - limits.sustained) >> settings.softness;
  const std::uint32_t rise = settings.rise_ua == 0 ? all_on : load_of(settings.rise_ua);
  limits.rise = rise == 0 ? 1 : rise;
  limits.channels = static_cast<std::uint8_t>(settings.channels);
  limits.average_shift = static_cast<std::uint8_t>(settings.average_shift);
  limits.softness = static_cast<std::uint8_t>(settings.softness);
  return {};
}

}  // namespace tapewright
