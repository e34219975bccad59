// SPDX-License-Identifier: BSL-1.0
// Before the light goes on: is what is connected what was sized? Readings against bands, with hysteresis.
#pragma once

#include <cstdint>
#include <string_view>

#include "tapewright/core/bounded.hpp"
#include "tapewright/firmware/guard_settings.hpp"
#include "tapewright/firmware/whole_fault.hpp"

namespace tapewright {

/// What a reading says. The numbers never change.
enum class startup_code : std::int32_t {
  fits = 0,
  open = 1,           ///< next to nothing flows
  under_current = 2,  ///< less than was sized: a shorter tape, a lost string, a loose joint
  over_current = 3,   ///< more than was sized: a longer tape, another type
  shorted = 4,        ///< far more: switch off
  supply_low = 5,     ///< below the band; also another driver than was sized
  supply_high = 6,    ///< above the band: switch off
};

constexpr std::string_view text_of(startup_code code) noexcept {
  using namespace std::string_view_literals;  // with their lengths: firmware has no strlen
  switch (code) {
    case startup_code::fits: return "is what was sized"sv;
    case startup_code::open: return "next to nothing flows: not connected, or broken"sv;
    case startup_code::under_current: return "draws less than was sized"sv;
    case startup_code::over_current: return "draws more than was sized"sv;
    case startup_code::shorted: return "short circuit: switch off"sv;
    case startup_code::supply_low: return "supply below its band"sv;
    case startup_code::supply_high: return "supply above its band: switch off"sv;
  }
  return {};
}

/// Edges between what readings mean, in counts of the converter, rising. A reading at an edge belongs to what lies
/// above it; `hysteresis` counts beyond an edge are needed to cross it.
struct reading_band {
  std::uint16_t open = 0;   ///< below: open
  std::uint16_t least = 0;  ///< below: under-current, or supply low
  std::uint16_t most = 0;   ///< at or above: over-current, or supply high
  std::uint16_t shorted = 0;
  std::uint16_t hysteresis = 0;
};

/// What should be read with each channel on by itself (or at a stated duty), and how far off it may be.
struct startup_settings {
  std::uint32_t channels = 0;                              ///< 1..8
  std::uint32_t supply_counts = 0;                         ///< 1..65535
  std::uint32_t channel_counts[most_guard_channels] = {};  ///< 0..65535; 0 = nothing is connected there
  std::uint32_t supply_share = 3277;      ///< allowed either way, in 1/65536 of the expected: 5 %
  std::uint32_t current_share = 9830;     ///< the same for currents: 15 %
  std::uint32_t open_share = 6554;        ///< open below this share of the expected: 10 %
  std::uint32_t short_share = 131072;     ///< shorted from this share on: 200 %
  std::uint32_t hysteresis_share = 1311;  ///< 2 %
  std::uint32_t noise_counts = 8;         ///< what an unconnected channel may read; 0..65535
  std::uint32_t steady_samples = 4;       ///< readings in a row that a change needs; 1..255
};

/// What the check compares with; for flash.
struct startup_limits {
  reading_band supply;
  reading_band channel[most_guard_channels];
  std::uint8_t channels = 0;
  std::uint8_t steady_samples = 1;
};

namespace detail {

/// counts * share / 2^16, rounded down, not above 65535. counts below 2^16, share at most 2^18.
constexpr std::uint32_t part_of(std::uint32_t counts, std::uint32_t share) noexcept {
  const std::uint32_t whole = (counts * (share >> 8) + (counts * (share & 255) >> 8)) >> 8;  // < 2^16 * 2^11
  return whole < 65535 ? whole : 65535;
}

constexpr std::uint16_t capped(std::uint32_t counts) noexcept {
  return static_cast<std::uint16_t>(counts < 65535 ? counts : 65535);
}

}  // namespace detail

/// Turns expected readings into edges; for start-up or compile time.
/// @return  out_of_range names field and channel: counts above 65535, a supply of 0, shares that do not rise
///          (open below 1 - current_share; 1 + current_share below short_share, at most 4), samples outside 1..255.
constexpr whole_fault configure(const startup_settings& s, startup_limits& limits) noexcept {
  limits = {};
  if (const auto f = refuse_whole<field::guard_channels>(s.channels)) return f;
  if (s.supply_counts < 1 || s.supply_counts > 65535)
    return {fault_code::out_of_range, field::counts, -1, s.supply_counts, 1, 65535};
  for (std::uint32_t c = 0; c < s.channels; ++c)
    if (const auto f = refuse_whole<field::counts>(s.channel_counts[c], static_cast<std::int32_t>(c)))
      return f;
  if (const auto f = refuse_whole<field::counts>(s.noise_counts)) return f;
  if (const auto f = refuse_whole<field::steadiness>(s.steady_samples)) return f;
  constexpr std::uint32_t one = 65536;
  const auto share = [](std::uint32_t given, std::uint32_t least,
                        std::uint32_t most) noexcept -> whole_fault {
    if (given >= least && given <= most) return {};
    return {fault_code::out_of_range, field::share, -1, given, least, most};
  };
  if (const auto f = share(s.supply_share, 0, one - 1)) return f;
  if (const auto f = share(s.current_share, 0, one - 1)) return f;
  if (const auto f = share(s.open_share, 0, one - s.current_share)) return f;
  if (const auto f = share(s.short_share, one + s.current_share, 4 * one)) return f;
  if (const auto f = share(s.hysteresis_share, 0, one / 2)) return f;

  const auto band = [&s](std::uint32_t expected, std::uint32_t either_way) noexcept {
    const std::uint32_t off = detail::part_of(expected, either_way);
    reading_band b;
    b.least = detail::capped(expected - off);
    b.most = detail::capped(expected + off + 1);  // expected + off is still within
    b.shorted = 65535;
    b.hysteresis = detail::capped(detail::part_of(expected, s.hysteresis_share));
    return b;
  };
  limits.supply = band(s.supply_counts, s.supply_share);
  for (std::uint32_t c = 0; c < s.channels; ++c) {
    const std::uint32_t expected = s.channel_counts[c];
    reading_band& b = limits.channel[c];
    if (expected == 0) {
      b.most = b.shorted = detail::capped(s.noise_counts + 1);
      continue;
    }
    b = band(expected, s.current_share);
    b.open = detail::capped(detail::part_of(expected, s.open_share));
    const std::uint32_t shorted = detail::part_of(expected, s.short_share);
    b.shorted = detail::capped(shorted > b.most ? shorted : b.most);
  }
  limits.channels = static_cast<std::uint8_t>(s.channels);
  limits.steady_samples = static_cast<std::uint8_t>(s.steady_samples);
  return {};
}

/// One figure under watch: what it is taken to be, and what it has looked like lately.
struct watched_reading {
  std::uint8_t zone = 2;     ///< 0 open, 1 under, 2 fits, 3 over, 4 shorted
  std::uint8_t looks = 2;    ///< the zone of the last reading
  std::uint8_t samples = 0;  ///< readings in a row that looked so
  std::uint16_t counts = 0;  ///< the last reading

  /// Takes a reading in. An edge is crossed upwards at edge + hysteresis and downwards below edge - hysteresis, and
  /// only after `steady` readings in a row agree. True while readings still disagree with the zone.
  constexpr bool take(const reading_band& band, std::uint16_t reading, std::uint32_t steady) noexcept {
    const std::uint32_t edges[4] = {band.open, band.least, band.most, band.shorted};
    std::uint8_t now = 0;
    for (std::uint8_t e = 0; e < 4; ++e) {
      const bool above = zone > e;  // on the upper side of this edge so far
      const std::uint32_t edge =
          above ? (edges[e] > band.hysteresis ? edges[e] - band.hysteresis : 0) : edges[e] + band.hysteresis;
      if (reading >= edge) now = static_cast<std::uint8_t>(e + 1);
    }
    counts = reading;
    if (now != looks) {
      looks = now;
      samples = 0;
    }
    if (samples < 255) ++samples;
    if (samples >= steady) zone = looks;
    return zone != looks;
  }
};

/// What a check found of one figure.
struct startup_finding {
  startup_code code = startup_code::fits;
  std::int32_t channel = -1;          ///< -1 = the supply
  std::uint16_t counts = 0;           ///< last reading
  std::uint16_t least = 0, most = 0;  ///< the band it should be in: least <= counts < most
};
using startup_findings = bounded<startup_finding, most_guard_channels + 1>;

/// The check itself: readings in, findings out. Its memory is the caller's.
struct startup_check {
  watched_reading supply;
  watched_reading channel[most_guard_channels];

  /// Takes the supply's reading.
  constexpr void take_supply(const startup_limits& limits, std::uint16_t counts) noexcept {
    supply.take(limits.supply, counts, limits.steady_samples);
  }
  /// Takes a channel's reading; a channel that there is not is ignored.
  constexpr void take_channel(const startup_limits& limits, std::uint32_t c, std::uint16_t counts) noexcept {
    if (c < limits.channels && c < most_guard_channels)
      channel[c].take(limits.channel[c], counts, limits.steady_samples);
  }
  /// True when every figure has been read often enough, and the last readings agree with what is found.
  constexpr bool settled(const startup_limits& limits) const noexcept {
    bool all = supply.samples >= limits.steady_samples;
    for (std::uint32_t c = 0; c < limits.channels && c < most_guard_channels; ++c)
      all = all && channel[c].samples >= limits.steady_samples;
    return all;
  }
  /// What does not fit, the supply first.
  constexpr startup_findings findings(const startup_limits& limits) const noexcept {
    startup_findings found;
    constexpr startup_code of_supply[5] = {startup_code::supply_low, startup_code::supply_low,
                                           startup_code::fits, startup_code::supply_high,
                                           startup_code::supply_high};
    constexpr startup_code of_channel[5] = {startup_code::open, startup_code::under_current,
                                            startup_code::fits, startup_code::over_current,
                                            startup_code::shorted};
    const auto tell = [&found](startup_code code, std::int32_t c, const watched_reading& r,
                               const reading_band& b) {
      if (code != startup_code::fits) found.push({code, c, r.counts, b.least, b.most});
    };
    tell(of_supply[supply.zone], -1, supply, limits.supply);
    for (std::uint32_t c = 0; c < limits.channels && c < most_guard_channels; ++c)
      tell(of_channel[channel[c].zone], static_cast<std::int32_t>(c), channel[c], limits.channel[c]);
    return found;
  }
};

}  // namespace tapewright
