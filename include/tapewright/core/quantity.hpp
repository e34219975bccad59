// SPDX-License-Identifier: BSL-1.0
// Strong physical quantities: a double that knows its unit, and the products the trade uses.
#pragma once

#include <compare>

namespace tapewright {

/// What a result holds before it was computed and after it was refused: not a number, in every unit.
struct unset_t {};
inline constexpr unset_t unset{};

/// A number with a unit. There is no way in from a bare double but by naming the unit: `metres{4.6}`.
///
/// @tparam Unit  an empty tag; it only tells quantities apart.
/// `v` is the value in the unit's own scale (SI, but for mm2, degrees Celsius, hours and kilowatt-hours).
/// A default-made quantity is zero; one made from `unset` is NaN, so that an answer which was never
/// given cannot pass for one. No arithmetic here refuses anything: range checks belong to the
/// functions that know the range.
template <class Unit>
struct quantity {
  double v = 0.0;

  constexpr quantity() noexcept = default;
  constexpr explicit quantity(double value) noexcept : v{value} {}
  constexpr quantity(unset_t) noexcept : v{__builtin_nan("")} {}

  friend constexpr bool operator==(quantity, quantity) noexcept = default;
  friend constexpr std::partial_ordering operator<=>(quantity, quantity) noexcept = default;

  constexpr quantity operator-() const noexcept { return quantity{-v}; }
  constexpr quantity& operator+=(quantity b) noexcept {
    v += b.v;
    return *this;
  }
  constexpr quantity& operator-=(quantity b) noexcept {
    v -= b.v;
    return *this;
  }
  constexpr quantity& operator*=(double k) noexcept {
    v *= k;
    return *this;
  }

  friend constexpr quantity operator+(quantity a, quantity b) noexcept { return quantity{a.v + b.v}; }
  friend constexpr quantity operator-(quantity a, quantity b) noexcept { return quantity{a.v - b.v}; }
  friend constexpr quantity operator*(quantity a, double k) noexcept { return quantity{a.v * k}; }
  friend constexpr quantity operator*(double k, quantity a) noexcept { return quantity{k * a.v}; }
  friend constexpr quantity operator/(quantity a, double k) noexcept { return quantity{a.v / k}; }
  /// The plain ratio of two of a kind.
  friend constexpr double operator/(quantity a, quantity b) noexcept { return a.v / b.v; }
};

namespace unit {
struct metre;
struct volt;
struct amp;
struct watt;
struct volt_amp;
struct ohm;
struct siemens;
struct ohm_per_metre;
struct watt_per_metre;
struct amp_per_metre;
struct square_millimetre;
struct ohm_square_millimetre_per_metre;
struct kelvin;
struct kelvin_per_watt;
struct kelvin_metre_per_watt;
struct second;
struct hertz;
struct hour;
struct kilowatt_hour;
}  // namespace unit

using metres = quantity<unit::metre>;
using volts = quantity<unit::volt>;
using amps = quantity<unit::amp>;
using watts = quantity<unit::watt>;
using volt_amps = quantity<unit::volt_amp>;
using ohms = quantity<unit::ohm>;
using siemens = quantity<unit::siemens>;
using ohms_per_metre = quantity<unit::ohm_per_metre>;
using watts_per_metre = quantity<unit::watt_per_metre>;
using amps_per_metre = quantity<unit::amp_per_metre>;
using square_millimetres = quantity<unit::square_millimetre>;
using ohm_square_millimetres_per_metre = quantity<unit::ohm_square_millimetre_per_metre>;
using kelvins = quantity<unit::kelvin>;  ///< a temperature DIFFERENCE
using kelvins_per_watt = quantity<unit::kelvin_per_watt>;
using kelvin_metres_per_watt = quantity<unit::kelvin_metre_per_watt>;
using seconds = quantity<unit::second>;
using hertz = quantity<unit::hertz>;
using hours = quantity<unit::hour>;
using kilowatt_hours = quantity<unit::kilowatt_hour>;

/// A point on the Celsius scale. Two points differ by kelvins; they do not add.
struct celsius {
  double v = 0.0;

  constexpr celsius() noexcept = default;
  constexpr explicit celsius(double value) noexcept : v{value} {}
  constexpr celsius(unset_t) noexcept : v{__builtin_nan("")} {}

  friend constexpr bool operator==(celsius, celsius) noexcept = default;
  friend constexpr std::partial_ordering operator<=>(celsius, celsius) noexcept = default;
  friend constexpr kelvins operator-(celsius a, celsius b) noexcept { return kelvins{a.v - b.v}; }
  friend constexpr celsius operator+(celsius a, kelvins d) noexcept { return celsius{a.v + d.v}; }
  friend constexpr celsius operator-(celsius a, kelvins d) noexcept { return celsius{a.v - d.v}; }
};

// A * B = C gives A * B, B * A, C / A and C / B: one line a law, read it as the formula it is.
#define TAPEWRIGHT_PRODUCT(A, B, C)                                 \
  constexpr C operator*(A a, B b) noexcept { return C{a.v * b.v}; } \
  constexpr C operator*(B b, A a) noexcept { return C{b.v * a.v}; } \
  constexpr B operator/(C c, A a) noexcept { return B{c.v / a.v}; } \
  constexpr A operator/(C c, B b) noexcept { return A{c.v / b.v}; }

TAPEWRIGHT_PRODUCT(amps, ohms, volts)               // Ohm's law
TAPEWRIGHT_PRODUCT(volts, siemens, amps)            // the same, by conductance
TAPEWRIGHT_PRODUCT(volts, amps, watts)              // DC power
TAPEWRIGHT_PRODUCT(ohms_per_metre, metres, ohms)    // conductor
TAPEWRIGHT_PRODUCT(watts_per_metre, metres, watts)  // tape load
TAPEWRIGHT_PRODUCT(amps_per_metre, metres, amps)    // tape current
TAPEWRIGHT_PRODUCT(amps_per_metre, volts, watts_per_metre)
TAPEWRIGHT_PRODUCT(ohms_per_metre, square_millimetres, ohm_square_millimetres_per_metre)  // resistivity
TAPEWRIGHT_PRODUCT(kelvins_per_watt, watts, kelvins)                  // thermal resistance
TAPEWRIGHT_PRODUCT(kelvin_metres_per_watt, watts_per_metre, kelvins)  // that of a metre of something long

#undef TAPEWRIGHT_PRODUCT

constexpr kilowatt_hours operator*(watts p, hours t) noexcept { return kilowatt_hours{p.v * t.v / 1000.0}; }
constexpr kilowatt_hours operator*(hours t, watts p) noexcept { return p * t; }

/// An amount of money in whole minor units (cents, pence) of the one currency of a catalogue.
/// Integer throughout: prices are counted, never rounded by the machine.
struct money {
  long long minor = 0;

  friend constexpr bool operator==(money, money) noexcept = default;
  friend constexpr std::strong_ordering operator<=>(money, money) noexcept = default;
  friend constexpr money operator+(money a, money b) noexcept { return {a.minor + b.minor}; }
  friend constexpr money operator-(money a, money b) noexcept { return {a.minor - b.minor}; }
  friend constexpr money operator*(money a, long long n) noexcept { return {a.minor * n}; }
  constexpr money& operator+=(money b) noexcept {
    minor += b.minor;
    return *this;
  }
};

/// `using namespace tapewright::literals;` for 4.6_m, 21_W_per_m, 45_degC …
namespace literals {
#define TAPEWRIGHT_LITERAL(SUFFIX, TYPE)                                                              \
  constexpr TYPE operator""_##SUFFIX(long double v) noexcept { return TYPE{static_cast<double>(v)}; } \
  constexpr TYPE operator""_##SUFFIX(unsigned long long v) noexcept { return TYPE{static_cast<double>(v)}; }

TAPEWRIGHT_LITERAL(m, metres)
TAPEWRIGHT_LITERAL(V, volts)
TAPEWRIGHT_LITERAL(A, amps)
TAPEWRIGHT_LITERAL(W, watts)
TAPEWRIGHT_LITERAL(ohm, ohms)
TAPEWRIGHT_LITERAL(ohm_per_m, ohms_per_metre)
TAPEWRIGHT_LITERAL(W_per_m, watts_per_metre)
TAPEWRIGHT_LITERAL(A_per_m, amps_per_metre)
TAPEWRIGHT_LITERAL(mm2, square_millimetres)
TAPEWRIGHT_LITERAL(degC, celsius)
TAPEWRIGHT_LITERAL(K, kelvins)
TAPEWRIGHT_LITERAL(Hz, hertz)
TAPEWRIGHT_LITERAL(s, seconds)
TAPEWRIGHT_LITERAL(h, hours)

#undef TAPEWRIGHT_LITERAL
}  // namespace literals

static_assert(metres{4.6} * watts_per_metre{21} == watts{96.6});
static_assert(watts{96} / volts{24} == amps{4});
static_assert(celsius{45} - celsius{20} == kelvins{25});

}  // namespace tapewright
