// SPDX-License-Identifier: BSL-1.0
// From metres on the wall to cut segments, and from metres needed to metres sold.
#pragma once

#include <cstdint>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"

namespace tapewright {

/// How much of a length is taken for rounding: a micrometre, or a billionth of lengths above 1 km.
/// No tape measure resolves it, and every chain of sums that the library makes stays far below it
/// (2000 runs of up to 1 km: 2000 x 2^-53 x 2000 km < 0.5 um). Source: design rule.
constexpr metres length_noise(metres length) noexcept { return metres{larger(1e-9 * length.v, 1e-6)}; }

/// A run as it is cut.
struct cut_length {
  std::int64_t segments = 0;
  metres length = unset;  ///< segments x pitch
  metres dark = unset;    ///< wall left without light past the last mark; >= 0
};

namespace formula {
constexpr bool a_segment_fits(metres measured, metres pitch) noexcept {
  return measured + length_noise(measured) >= pitch;
}
/// At most a million segments: SSE2 converts whole numbers of 32 bits by the vector, longer ones singly.
constexpr cut_length cut_to_pitch(metres measured, metres pitch) noexcept {
  const auto segments = static_cast<std::int32_t>((measured + length_noise(measured)) / pitch);
  metres length = segments * pitch;
  return {segments, length, metres{larger((measured - length).v, 0)}};
}
}  // namespace formula

/// The longest whole number of cut segments that the wall takes.
///
/// @param measured  length on the wall, m; 0.001..1000 and at least one pitch.
/// @param pitch     distance between cut marks, m; 0.001..5.
/// @return          at least one segment; `length` is never longer than the wall by more than
///                  length_noise (so that 5.0 m measured as 4.9999999999 m are still 100 x 50 mm).
///                  Fault out_of_range of measured_length where not even one segment fits.
/// Formula  floor((measured + noise) / pitch)
/// Source   common practice, no source: tape is cut at its marks only.
/// Example  4.63 m at 50 mm -> 92 segments, 4.60 m, 30 mm dark
constexpr outcome<cut_length> cut_to_pitch(metres measured, metres pitch) noexcept {
  if (const fault f = first_fault(refuse(field::cut_pitch, pitch), refuse(field::measured_length, measured)))
    return f;
  if (!formula::a_segment_fits(measured, pitch))
    return fault{fault_code::out_of_range,
                 field::measured_length,
                 measured.v,
                 pitch.v,
                 range_of(field::measured_length).most,
                 -1};
  return formula::cut_to_pitch(measured, pitch);
}

namespace detail {
constexpr double quanta_needed(metres need, metres quantum) noexcept {
  return larger((need - length_noise(need)).v, 0) / quantum.v;
}
/// Whole quanta that cover a need, as a double; both are known to be in range.
constexpr double whole_quanta(metres need, metres quantum) noexcept {
  return ceil_of(quanta_needed(need, quantum));
}
}  // namespace detail

namespace formula {
/// At most 10 km by the millimetre: SSE2 converts whole numbers of 32 bits by the vector, longer ones singly.
constexpr std::int64_t sale_units(metres need, metres quantum) noexcept {
  const double needed = detail::quanta_needed(need, quantum);
  const double below = static_cast<std::int32_t>(needed);
  const double begun = needed > below ? 1 : 0;
  return static_cast<std::int32_t>(below + begun);
}
}  // namespace formula

/// Whole sale quanta that cover a need; what is sold is never shorter than the need by more than
/// length_noise.
///
/// @param need     m; 0..10000. Nothing needed is nothing sold.
/// @param quantum  length in which it is sold, m; 0.001..1000.
/// Formula  ceil((need - noise) / quantum)
/// Source   common practice, no source: a 4.6 m need sold by whole metres is 5 m.
/// Example  4.6 m by 1 m -> 5; 5.000000001 m by 1 m -> 5; 5.01 m by 1 m -> 6
constexpr outcome<std::int64_t> sale_units(metres need, metres quantum) noexcept {
  if (const fault f = first_fault(refuse(field::length, need), refuse(field::sale_quantum, quantum)))
    return f;
  return formula::sale_units(need, quantum);
}

/// A length as it is sold.
struct sale {
  std::int64_t quanta = 0;    ///< whole sale quanta, those on full reels included
  metres sold = unset;        ///< quanta x quantum
  metres spare = unset;       ///< sold - need; >= 0
  std::int64_t reels = 0;     ///< full reels among it; 0 where it is not sold by the reel
  metres from_reels = unset;  ///< reels x reel length; the rest is cut from the roll
};

/// A need as it is sold: whole quanta, as many of them as possible on full reels.
///
/// @param need     m; 0..10000.
/// @param quantum  m; 0.001..1000.
/// @param reel     m; a whole number of quanta up to 1000 m, or 0 = not sold by the reel.
/// @return         Fault contradiction of reel_length where a reel is no whole number of quanta.
/// Formula  reels = floor(sold / reel)
/// Source   common practice, no source.
/// Example  9.2 m by 1 m, reels of 5 m -> 10 quanta, 10 m sold, 0.8 m spare, 2 reels
constexpr outcome<sale> sale_of(metres need, metres quantum, metres reel) noexcept {
  if (const fault f = first_fault(refuse(field::length, need), refuse(field::sale_quantum, quantum),
                                  refuse(field::reel_length, reel)))
    return f;
  const double quanta_a_reel = round_half_away(reel / quantum);
  if (absolute((quanta_a_reel * quantum - reel).v) > length_noise(reel).v)
    return contradiction(field::reel_length, reel.v, quanta_a_reel * quantum.v, quanta_a_reel * quantum.v);
  sale s;
  const double quanta = detail::whole_quanta(need, quantum);
  s.quanta = static_cast<std::int64_t>(quanta);
  s.sold = quanta * quantum;
  s.spare = metres{larger(0, (s.sold - need).v)};
  s.reels = quanta_a_reel > 0 ? s.quanta / static_cast<std::int64_t>(quanta_a_reel) : 0;
  s.from_reels = static_cast<double>(s.reels) * reel;
  return s;
}

static_assert(cut_to_pitch(metres{4.63}, metres{0.05})->segments == 92);
static_assert(cut_to_pitch(metres{0.04}, metres{0.05}).why() ==
              fault{fault_code::out_of_range, field::measured_length, 0.04, 0.05, 1000, -1});
static_assert(*sale_units(metres{4.6}, metres{1}) == 5);
static_assert(*sale_units(metres{5.000000001}, metres{1}) == 5);
static_assert(*sale_units(metres{5.01}, metres{1}) == 6);
static_assert(sale_of(metres{9.2}, metres{1}, metres{5})->reels == 2);

}  // namespace tapewright
