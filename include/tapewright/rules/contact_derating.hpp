// SPDX-License-Identifier: BSL-1.0
// Contacts: the current they may carry at an ambient temperature.
#pragma once

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"

namespace tapewright {

/// Working current over the measured base curve. Source: IEC 60512-5-2 test 5b, from memory.
inline constexpr double base_curve_factor = 0.8;

namespace formula {
constexpr amps contact_current(amps rated, celsius rating_ambient, celsius upper_limit, celsius ambient,
                               double curve_factor) noexcept {
  const double rise = larger((upper_limit - ambient).v, 0), rating_rise = (upper_limit - rating_ambient).v;
  return curve_factor * rated * detail::finite_square_root(rise / rating_rise);
}
}  // namespace formula

/// The current one contact may carry at an ambient temperature.
///
/// @param rated           A at `rating_ambient`, all poles loaded; 0.001..10000.
/// @param rating_ambient  ambient of that rating, degC; -20..120, below `upper_limit`.
/// @param upper_limit     upper limiting temperature, degC; 30..250.
/// @param ambient         ambient asked for, degC; -40..120.
/// @param curve_factor    0.8 where `rated` stands on a measured base curve, 1 where its maker has
///                        derated it already; 0.1..1.
/// @return                A; 0 at and above the upper limit. Faults: out_of_range; contradiction of
///                        rating_ambient when it is not below the upper limit.
/// Formula  I = factor x rated x sqrt((Tlimit - Tambient) / (Tlimit - Trating)): the heat I^2 R of a
///          contact of constant resistance is its temperature rise
/// Source   IEC 60512-5-2:2002 test 5b for the curve and the factor; the square law is closed form.
/// Example  10 A at 20 degC, limit 105 degC, at 40 degC with 0.8 -> 6.996 A
constexpr outcome<amps> contact_current(amps rated, celsius rating_ambient, celsius upper_limit,
                                        celsius ambient, double curve_factor) noexcept {
  if (const fault f =
          first_fault(refuse(field::rated_current, rated), refuse(field::rating_ambient, rating_ambient),
                      refuse(field::upper_limit, upper_limit), refuse(field::ambient, ambient),
                      refuse_outside(field::share, curve_factor, 0.1, 1)))
    return f;
  if (rating_ambient >= upper_limit)
    return contradiction(field::rating_ambient, rating_ambient.v, range_of(field::rating_ambient).least,
                         upper_limit.v);
  return formula::contact_current(rated, rating_ambient, upper_limit, ambient, curve_factor);
}

static_assert(*contact_current(amps{10}, celsius{20}, celsius{105}, celsius{20}, 0.8) == amps{8});
static_assert(*contact_current(amps{10}, celsius{20}, celsius{105}, celsius{105}, 1) == amps{0});

}  // namespace tapewright
