// SPDX-License-Identifier: BSL-1.0
// Fuses and breakers: preferred ratings, conventional operating currents, instantaneous bands.
#pragma once

#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/parts/overcurrent_device.hpp"
#include "tapewright/rules/source.hpp"

namespace tapewright {

/// gG fuses, A. Source: IEC 60269-1:2006, preferred ratings (R10 series), from memory.
inline constexpr double fuse_gg_ratings_a[] = {2,  4,  6,  8,   10,  12,  16,  20,  25,  32, 40,
                                               50, 63, 80, 100, 125, 160, 200, 250, 315, 400};

/// Circuit breakers for households, A. Source: IEC 60898-1:2015, preferred values, 6 and up; 1 to 4 A are
/// commonly made, not in the preferred list.
inline constexpr double breaker_ratings_a[] = {1,  2,  3,  4,  6,  10, 13,  16, 20,
                                               25, 32, 40, 50, 63, 80, 100, 125};
inline constexpr double least_preferred_breaker_a = 6;

/// Blade fuses, A. Source: ISO 8820-3.
inline constexpr double blade_fuse_ratings_a[] = {1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40};

/// Cartridge fuse-links, A. Source: IEC 60127-1, R10 series and R20 where R10 is wide, 32 mA to 10 A.
inline constexpr double cartridge_fuse_ratings_a[] = {
    0.032, 0.035, 0.04, 0.045, 0.05,  0.056, 0.063, 0.071, 0.08,  0.09, 0.1,  0.112, 0.125,
    0.14,  0.16,  0.18, 0.2,   0.224, 0.25,  0.28,  0.315, 0.355, 0.4,  0.45, 0.5,   0.56,
    0.63,  0.71,  0.8,  0.9,   1,     1.12,  1.25,  1.4,   1.6,   1.8,  2,    2.24,  2.5,
    2.8,   3.15,  3.55, 4,     4.5,   5,     5.6,   6.3,   7.1,   8,    9,    10};

/// Fuse-links of BS 1362 for plugs, A: 3 and 13 are preferred.
inline constexpr double plug_fuse_ratings_a[] = {1, 2, 3, 5, 7, 10, 13};

/// Overcurrent device and conductors for a load of three hours or more. Source: NEC 210.19(A), 210.20(A).
inline constexpr double nec_continuous_factor = 1.25;

/// I2 may be at most so many times Iz. Source: IEC 60364-4-43 cl. 433.1, from memory.
inline constexpr double greatest_operating_share = 1.45;

namespace detail {
constexpr fault check(overcurrent_family family) noexcept {
  return refuse(field::overcurrent_family, static_cast<double>(family));
}
}  // namespace detail

/// The ratings of a family, A, rising; empty for an unknown number.
constexpr std::span<const double> preferred_ratings_a(overcurrent_family family) noexcept {
  switch (family) {
    case overcurrent_family::fuse_gg: return fuse_gg_ratings_a;
    case overcurrent_family::breaker_b:
    case overcurrent_family::breaker_c:
    case overcurrent_family::breaker_d: return breaker_ratings_a;
    case overcurrent_family::blade_fuse: return blade_fuse_ratings_a;
    case overcurrent_family::cartridge_fuse: return cartridge_fuse_ratings_a;
  }
  return {};
}

/// The publication behind a family's ratings; none for an unknown number.
constexpr source source_of(overcurrent_family family) noexcept {
  switch (family) {
    case overcurrent_family::fuse_gg: return source::iec_60269_1;
    case overcurrent_family::breaker_b:
    case overcurrent_family::breaker_c:
    case overcurrent_family::breaker_d: return source::iec_60898_1;
    case overcurrent_family::blade_fuse: return source::iso_8820_3;
    case overcurrent_family::cartridge_fuse: return source::iec_60127_1;
  }
  return source::none;
}

/// The least rating of a family that is not below a current.
///
/// @param at_least  A; 0..10000.
/// @return          Faults: out_of_range of overcurrent_family or current; not_listed of fuse_rating where
///                  the family ends below it.
/// Example  blade fuse, 6 A -> 7.5 A
constexpr outcome<amps> preferred_rating(overcurrent_family family, amps at_least) noexcept {
  if (const fault f = first_fault(detail::check(family), refuse(field::current, at_least))) return f;
  const std::span<const double> ratings = preferred_ratings_a(family);
  for (const double a : ratings)
    if (a >= at_least.v) return amps{a};
  return fault{fault_code::not_listed, field::fuse_rating, at_least.v, ratings.front(), ratings.back(), -1};
}

/// I2 / In: the current that opens a device within its conventional time, over its rating.
///
/// @param rated  In, A; 0.01..400.
/// @return       gG fuse: 2.1 up to 4 A, 1.9 below 16 A, 1.6 from 16 A (IEC 60269-1, from memory);
///               breaker: 1.45 within 1 h, 2 h above 63 A (IEC 60898-1);
///               blade fuse: 1.35 within 600 s (ISO 8820-3, from memory);
///               cartridge fuse: 2.1 within 30 min (IEC 60127-2, from memory).
///               Faults: out_of_range of overcurrent_family or fuse_rating.
constexpr outcome<double> operating_factor(overcurrent_family family, amps rated) noexcept {
  if (const fault f = first_fault(detail::check(family), refuse(field::fuse_rating, rated))) return f;
  switch (family) {
    case overcurrent_family::fuse_gg: return rated.v <= 4 ? 2.1 : rated.v < 16 ? 1.9 : 1.6;
    case overcurrent_family::blade_fuse: return 1.35;
    case overcurrent_family::cartridge_fuse: return 2.1;
    default: return 1.45;
  }
}

/// A current below `lower` x In does not trip a breaker at once; above `upper` x In it does, within 0.1 s.
struct trip_band {
  double lower = __builtin_nan(""), upper = __builtin_nan("");
};

/// The instantaneous band of a breaker: B 3..5, C 5..10, D 10..20 times In.
///
/// @return  Faults: out_of_range of overcurrent_family for an unknown number; not_listed for a fuse,
///          which has no such band.
/// Source   IEC 60898-1:2015. The values are those of alternating current; with direct current the
///          band lies higher (its maker tells how much).
constexpr outcome<trip_band> instantaneous_band(overcurrent_family family) noexcept {
  if (const fault f = detail::check(family)) return f;
  switch (family) {
    case overcurrent_family::breaker_b: return trip_band{3, 5};
    case overcurrent_family::breaker_c: return trip_band{5, 10};
    case overcurrent_family::breaker_d: return trip_band{10, 20};
    default: break;
  }
  return fault{fault_code::not_listed,
               field::overcurrent_family,
               static_cast<double>(family),
               static_cast<double>(overcurrent_family::breaker_b),
               static_cast<double>(overcurrent_family::breaker_d),
               -1};
}

/// The largest overcurrent device for a small copper conductor.
///
/// @param gauge  18, 16, 14, 12 or 10 AWG.
/// @return       A. Faults: out_of_range of gauge; not_listed of gauge for the sizes that the clause
///               does not limit.
/// Source   NEC 240.4(D); 18 and 16 AWG (with its conditions) and 10 AWG from memory.
constexpr outcome<amps> nec_small_conductor_limit(int gauge) noexcept {
  if (const fault f = refuse(field::gauge, gauge)) return f;
  switch (gauge) {
    case 18: return amps{7};
    case 16: return amps{10};
    case 14: return amps{15};
    case 12: return amps{20};
    case 10: return amps{30};
    default: return fault{fault_code::not_listed, field::gauge, static_cast<double>(gauge), 10, 18, -1};
  }
}

static_assert(*preferred_rating(overcurrent_family::blade_fuse, amps{6}) == amps{7.5});
static_assert(*operating_factor(overcurrent_family::fuse_gg, amps{16}) == 1.6);

}  // namespace tapewright
