// SPDX-License-Identifier: BSL-1.0
// Copper: its resistivity at 20 degC and how its resistance follows the temperature.
#pragma once

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"

namespace tapewright {

/// Resistivity of standard annealed copper at 20 degC, ohm mm2/m. Source: IEC 60028:1925, 1/58.
inline constexpr ohm_square_millimetres_per_metre rho_20{1.0 / 58};

/// Temperature coefficient of its resistance at constant mass, per kelvin, based on 20 degC.
/// Source: IEC 60028:1925. (IEC 60228 rounds it to 0.004 in its correction table.)
inline constexpr double alpha_20 = 0.00393;

namespace detail {
constexpr double resistance_ratio(celsius t) noexcept { return 1 + alpha_20 * (t - celsius{20}).v; }
}  // namespace detail

namespace formula {
constexpr ohms_per_metre resistance_at(ohms_per_metre at_20, celsius t) noexcept {
  return at_20 * detail::resistance_ratio(t);
}
}  // namespace formula

/// Resistance of a copper conductor at a temperature, from that at 20 degC.
///
/// @param at_20  ohm/m; 0..1000.
/// @param t      conductor temperature, degC; -60..200.
/// @return       ohm/m. Faults: out_of_range of resistance_per_metre or temperature.
/// Formula  r = r20 (1 + alpha20 (T - 20))
/// Source   IEC 60028:1925.
/// Example  0.0133 ohm/m at 70 degC -> 0.01591 ohm/m
constexpr outcome<ohms_per_metre> resistance_at(ohms_per_metre at_20, celsius t) noexcept {
  if (const fault f = first_fault(refuse(field::resistance_per_metre, at_20), refuse(field::temperature, t)))
    return f;
  return formula::resistance_at(at_20, t);
}

/// The inverse: a resistance measured at a temperature, reduced to 20 degC.
///
/// @param measured  ohm/m; 0..1000.
/// @param t         conductor temperature while measuring, degC; -60..200.
/// Formula  r20 = r / (1 + alpha20 (T - 20))
/// Source   IEC 60028:1925.
constexpr outcome<ohms_per_metre> resistance_at_20(ohms_per_metre measured, celsius t) noexcept {
  if (const fault f =
          first_fault(refuse(field::resistance_per_metre, measured), refuse(field::temperature, t)))
    return f;
  return measured / detail::resistance_ratio(t);
}

/// Resistivity of copper at a temperature, ohm mm2/m.
///
/// @param t  -60..200 degC.
/// Example  30 degC -> 0.017919 ohm mm2/m
constexpr outcome<ohm_square_millimetres_per_metre> resistivity_at(celsius t) noexcept {
  if (const fault f = refuse(field::temperature, t)) return f;
  return rho_20 * detail::resistance_ratio(t);
}

static_assert(*resistance_at(ohms_per_metre{0.0133}, celsius{20}) == ohms_per_metre{0.0133});

}  // namespace tapewright
