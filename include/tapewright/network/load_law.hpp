// SPDX-License-Identifier: BSL-1.0
// How the current of one cut segment of tape follows the voltage across it: three laws, one shape.
#pragma once

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/parts/tape.hpp"

namespace tapewright {

/// The load of one channel over one cut segment, fitted to its nominal power.
///
/// Resistor-limited and regulated loads share one shape: a straight line that starts at
/// `dark_below`, rises with `slope` and stops rising at `ceiling`. Such a current never falls as the
/// voltage rises, which is what makes a network of them have one solution and no other. A
/// constant-power load draws `power / v` down to `cut_off` and nothing below it; its current rises as
/// the voltage falls, and a network of them may have two solutions or none.
struct load_law {
  load_kind kind = load_kind::resistor_limited;
  volts dark_below;               ///< no current up to here (not constant power)
  siemens slope;                  ///< of the straight part (not constant power)
  amps ceiling = amps{infinity};  ///< current above dropout (regulated)
  watts power;                    ///< constant power
  volts cut_off;                  ///< under-voltage limit (constant power)

  friend constexpr bool operator==(const load_law&, const load_law&) noexcept = default;
};

/// A load's current at a voltage, and how steeply it changes there (a one-sided slope at a corner).
struct load_point {
  amps current;
  siemens slope;
};

/// A dropout below this is taken as this: a step in the current would have no slope.
inline constexpr volts least_dropout{1e-3};

/// The law of one segment of one channel.
///
/// @param kind     how the maker limits the current.
/// @param nominal_power  W of this channel in one segment at the nominal voltage; 0..1e6.
/// @param nominal  V, the tape's nominal voltage; 3..60.
/// @param knee     V: dark below it, dropout, or under-voltage limit; 0 <= knee < nominal.
/// @return         Fault out_of_range for a figure outside its range, contradiction for a knee that
///                 is not below nominal, not_listed of load_law for an unknown kind.
/// Formula   i_n = P / v_n.  Resistor-limited: i_n * max(0, (v - v_k) / (v_n - v_k)).
///           Regulated: i_n above v_k, i_n * v / v_k below.  Constant power: P / v, 0 below v_k.
/// Source    closed form: a piecewise-linear fit through the nominal point and the knee (one knee is
///           common practice, no source: a string of LEDs has a soft one).
constexpr outcome<load_law> fitted_law(load_kind kind, watts nominal_power, volts nominal,
                                       volts knee) noexcept {
  if (const fault f = first_fault(refuse(field::power, nominal_power),
                                  refuse(field::nominal_voltage, nominal), refuse(field::knee_voltage, knee)))
    return f;
  if (!(knee < nominal)) return contradiction(field::knee_voltage, knee.v, 0, nominal.v);
  const amps nominal_current = nominal_power / nominal;
  load_law law;
  law.kind = kind;
  switch (kind) {
    case load_kind::resistor_limited:
      law.dark_below = knee;
      law.slope = nominal_current / (nominal - knee);
      return law;
    case load_kind::regulated:
      law.slope = nominal_current / (knee < least_dropout ? least_dropout : knee);
      law.ceiling = nominal_current;
      return law;
    case load_kind::constant_power:
      law.power = nominal_power;
      law.cut_off = knee;
      return law;
  }
  return fault{fault_code::not_listed, field::load_law, static_cast<double>(kind), 0, 2, -1};
}

/// A law made by fitted_law, or one that could have been: refuses anything else.
constexpr fault check(const load_law& law) noexcept {
  const bool capped = law.kind == load_kind::regulated;
  if (const fault f = first_fault(refuse(field::knee_voltage, law.dark_below),
                                  refuse(field::power, law.power), refuse(field::knee_voltage, law.cut_off),
                                  refuse_outside(field::current, law.slope.v, 0, 1e9),
                                  capped ? refuse(field::current, law.ceiling) : fault{}))
    return f;
  if (!capped && law.ceiling.v != infinity)
    return refuse_outside(field::current, law.ceiling.v, infinity, infinity);
  return {};
}

/// Current and slope at a voltage across the load.
/// @param v  V; any finite value, also negative (a load never feeds back: its current is >= 0).
/// At a corner the slope is that of the side where the load is alive and its current still moves.
constexpr load_point at(const load_law& law, volts v) noexcept {
  if (law.kind == load_kind::constant_power) {
    if (!(v >= law.cut_off && v.v > 0)) return {};
    const amps i = law.power / v;
    return {i, -(i / v)};
  }
  const amps rising = law.slope * (v - law.dark_below);
  if (!(rising.v > 0)) return {};
  if (rising > law.ceiling) return {law.ceiling, siemens{}};
  return {rising, law.slope};
}

/// What the eye sees of a load, up to a constant: the LEDs of a resistor-limited or regulated load
/// carry its current; those of a constant-power load are fed by a converter that keeps their power.
/// These constants differ, amperes and watts: a share of light across both kinds has no meaning.
constexpr double light_of(const load_law& law, load_point p) noexcept {
  if (law.kind != load_kind::constant_power) return p.current.v;
  return p.current.v > 0 ? law.power.v : 0.0;
}

/// How that light follows the voltage: a converter keeps it where it is.
constexpr double light_slope_of(const load_law& law, load_point p) noexcept {
  return law.kind != load_kind::constant_power ? p.slope.v : 0.0;
}

/// Voltage above which a regulated load's current rises no more; infinite for every other, and for one without current.
constexpr volts flat_above(const load_law& law) noexcept {
  if (law.kind != load_kind::regulated || !(law.slope.v > 0)) return volts{infinity};
  return law.dark_below + law.ceiling / law.slope;
}

// 1.5 W at 24 V: 62.5 mA; knee at 16 V
static_assert(at(*fitted_law(load_kind::resistor_limited, watts{1.5}, volts{24}, volts{16}), volts{20})
                  .current == amps{0.03125});
static_assert(at(*fitted_law(load_kind::regulated, watts{1.5}, volts{24}, volts{16}), volts{20}).current ==
              amps{0.0625});
static_assert(at(*fitted_law(load_kind::regulated, watts{1.5}, volts{24}, volts{16}), volts{8}).current ==
              amps{0.03125});
static_assert(at(*fitted_law(load_kind::constant_power, watts{1.5}, volts{24}, volts{16}), volts{16})
                  .current == amps{0.09375});
static_assert(at(*fitted_law(load_kind::constant_power, watts{1.5}, volts{24}, volts{16}), volts{15.9})
                  .current == amps{0});
static_assert(flat_above(*fitted_law(load_kind::regulated, watts{1.5}, volts{24}, volts{16})) == volts{16});
static_assert(!fitted_law(load_kind::regulated, watts{1.5}, volts{24}, volts{24}).ok());

}  // namespace tapewright
