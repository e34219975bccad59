// SPDX-License-Identifier: BSL-1.0
// The mains side of drivers: current, breakers, inrush, leakage, plug fuses, energy and its cost.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/parts/driver.hpp"
#include "tapewright/parts/overcurrent_device.hpp"
#include "tapewright/rules/overcurrent_ratings.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/governing.hpp"

namespace tapewright {

/// What one driver takes from the mains.
struct mains_load {
  watts output = unset;                         ///< given to the lighting side, all outputs together
  watts input = unset;                          ///< output / efficiency
  watts heat = unset;                           ///< input - output, left at the driver's place
  volt_amps apparent = unset;                   ///< input / power factor
  amps current = unset;                         ///< apparent / mains voltage, r.m.s.
  double plug_fuse_utilisation = not_a_number;  ///< current / plug fuse; 0 without one
  bool plug_fuse_fits = false;                  ///< true without one
  source from = source::closed_form;
};

/// Mains power and current of a driver that gives `output`.
///
/// @param d       the driver; refused where check(d) refuses it.
/// @param output  W to the lighting side, all outputs together; 0..1e6. Not held against its rating.
/// @param mains   V, r.m.s.; 90..440. Not held against the driver's range (check_driver does that).
/// Formula  P = P_out / eta;  S = P / lambda;  I = S / U
/// Source   closed form.
/// Accuracy efficiency and power factor are those of full load; at part load both fall, so that the current is
///          then more than told here, though less than at full load.
/// Example  96 W, 0.92, 0.95, 230 V -> 104.3 W, 109.8 VA, 0.478 A
constexpr outcome<mains_load> mains_load_of(const driver& d, watts output, volts mains) noexcept {
  if (const fault f =
          first_fault(check(d), refuse(field::power, output), refuse(field::mains_voltage, mains)))
    return f;
  mains_load m;
  m.output = output;
  m.input = output / d.efficiency;
  m.heat = m.input - output;
  m.apparent = volt_amps{m.input.v / d.power_factor};
  m.current = amps{m.apparent.v / mains.v};
  m.plug_fuse_utilisation = d.plug_fuse.v > 0 ? utilisation(m.current, d.plug_fuse) : 0.0;
  m.plug_fuse_fits = within(m.plug_fuse_utilisation);
  return m;
}

/// Steady current over a breaker's rating where a job says nothing else. Source: common practice, no source.
inline constexpr double usual_breaker_share = 0.8;

/// A circuit breaker of the lighting circuit.
struct mains_breaker {
  amps rated{16};                                             ///< 0.5..125
  overcurrent_family family = overcurrent_family::breaker_c;  ///< breaker_b, _c or _d
  double steady_share = usual_breaker_share;                  ///< 0.1..1 of the rating for steady current
};

/// Drivers of one breaker, all together.
struct breaker_check {
  amps steady = unset, steady_limit = unset;  ///< r.m.s.; limit = share x rating
  double steady_utilisation = not_a_number;
  amps inrush = unset, inrush_limit = unset;  ///< peaks; limit = lower edge of the band x sqrt(2)
  double inrush_utilisation = not_a_number;   ///< of what is known; the rest may add to it
  bool inrush_known = false;                  ///< false: at least one driver's maker states none
  bool fits = false;                          ///< as far as it is known
  governed by = governed::none;
  source steady_source = source::common_practice, inrush_source = source::iec_60898_1;
};

/// Holds the sum of drivers on one breaker against its steady share and its instantaneous band.
///
/// @param b             the breaker.
/// @param steady        sum of the drivers' r.m.s. currents, A; 0..10000.
/// @param inrush        sum of the drivers' inrush peaks, A; 0..10000.
/// @param inrush_known  false where a driver's peak is not stated and so not in the sum.
/// @return  Faults: figures out of range; not_listed of overcurrent_family for a fuse.
/// Formula  steady <= share x In;  sum of peaks <= k In sqrt(2), k the lower edge of the
///          instantaneous band (B 3, C 5, D 10): below it the breaker must not open
/// Source   IEC 60898-1 for the band; share: common practice, no source.
/// Accuracy on the safe side: all drivers are taken to switch on together at the crest of the mains,
///          and a pulse of well under a millisecond is treated like a lasting current, though a breaker
///          lets several times more of it pass. Where the driver's maker states a count for the
///          breaker, that count takes precedence (drivers_per_breaker).
constexpr outcome<breaker_check> check_breaker(const mains_breaker& b, amps steady, amps inrush,
                                               bool inrush_known) noexcept {
  if (const fault f = first_fault(refuse(field::breaker_rating, b.rated),
                                  refuse_outside(field::share, b.steady_share, 0.1, 1),
                                  refuse(field::current, steady), refuse(field::inrush_peak, inrush)))
    return f;
  const outcome<trip_band> band = instantaneous_band(b.family);
  if (!band) return band.why();
  breaker_check k;
  k.steady = steady;
  k.steady_limit = b.steady_share * b.rated;
  k.steady_utilisation = utilisation(k.steady, k.steady_limit);
  k.inrush = inrush;
  k.inrush_limit = band->lower * square_root(2) * b.rated;
  k.inrush_utilisation = utilisation(k.inrush, k.inrush_limit);
  k.inrush_known = inrush_known;
  detail::verdict v;
  v.use(governed::steady_current, k.steady_utilisation);
  v.use(governed::inrush, k.inrush_utilisation);
  k.fits = v.fits;
  k.by = v.by;
  return k;
}

/// How many equal drivers one breaker takes.
struct breaker_count {
  std::int32_t count = 0;  ///< the least of those that apply; 0 = not even one
  std::int32_t by_steady = 0;
  std::int32_t by_inrush = -1;  ///< -1 = inrush not stated
  std::int32_t by_maker = -1;   ///< -1 = none stated; takes the place of by_inrush where it is
  bool inrush_known = false;
  governed by = governed::none;
  mains_load each;  ///< of one driver
  amps steady_limit = unset, inrush_limit = unset;
  source steady_source = source::common_practice, inrush_source = source::iec_60898_1;
};

/// Drivers of one kind and load on one breaker.
///
/// @param d            the driver.
/// @param output       W of one driver to the lighting side; 0.001..1e6.
/// @param mains        V, r.m.s.; 90..440.
/// @param b            the breaker.
/// @param makers_count the driver maker's own count for this breaker, 0..1000; 0 = none stated. It
///                     replaces the inrush rule, which is coarse; steady current still counts.
/// Formula  floor(share In / I);  floor(k In sqrt(2) / peak)
/// Source   as check_breaker; the maker's count is a maker's statement.
constexpr outcome<breaker_count> drivers_per_breaker(const driver& d, watts output, volts mains,
                                                     const mains_breaker& b,
                                                     std::int32_t makers_count = 0) noexcept {
  const outcome<mains_load> each = mains_load_of(d, output, mains);
  const outcome<breaker_check> none = check_breaker(b, amps{}, amps{}, true);
  if (const fault f = first_fault(refuse_outside(field::power, output.v, 0.001, 1e6), each.why(), none.why(),
                                  refuse_outside(field::output_count, makers_count, 0, 1000)))
    return f;
  // floor, rounding of the quotient aside; bounded so that the count is told in an int32
  const auto whole = [](amps limit, amps one) noexcept {
    constexpr double most = 1e6;  // looked at first: over next to nothing the quotient would overflow
    if (one.v * most <= limit.v) return static_cast<std::int32_t>(most);
    return static_cast<std::int32_t>(smaller(most, floor_of(limit / one * (1 + rounding_share))));
  };
  breaker_count n;
  n.each = *each;
  n.steady_limit = none->steady_limit;
  n.inrush_limit = none->inrush_limit;
  n.by_steady = whole(n.steady_limit, each->current);
  n.inrush_known = d.inrush_peak.v > 0;
  if (n.inrush_known) n.by_inrush = whole(n.inrush_limit, d.inrush_peak);
  if (makers_count > 0) n.by_maker = makers_count;
  n.count = n.by_steady;
  n.by = governed::steady_current;
  if (n.by_maker > 0) {
    n.inrush_source = source::maker_statement;
    if (n.by_maker < n.count) {
      n.count = n.by_maker;
      n.by = governed::makers_count;
    }
  } else if (n.inrush_known && n.by_inrush < n.count) {
    n.count = n.by_inrush;
    n.by = governed::inrush;
  }
  return n;
}

/// Share of a residual current device's rating that the equipment may leak in normal service.
/// Source: IEC 60364-5-53 cl. 531.3.2, from memory; common practice.
inline constexpr double leakage_share = 0.30;

/// Protective-conductor currents on one residual current device.
struct leakage_check {
  amps sum = unset, limit = unset;  ///< limit = share x rating
  double utilisation = not_a_number;
  bool fits = false;
  source from = source::iec_60364_5_53;
};

/// Holds the sum of protective-conductor currents against a residual current device.
///
/// @param sum    A; 0..10000. Plain sum: capacitive leakages of one phase add up in step.
/// @param rated  rated residual current, A; 0.001..10.
/// @param share  0.01..1; the rest is kept for other equipment and for real faults.
/// Formula  sum <= share x rated
/// Example  6 mA on 30 mA -> limit 9 mA, utilisation 0.67
constexpr outcome<leakage_check> check_leakage(amps sum, amps rated, double share = leakage_share) noexcept {
  if (const fault f = first_fault(refuse(field::current, sum), refuse(field::residual_rating, rated),
                                  refuse_outside(field::share, share, 0.01, 1)))
    return f;
  leakage_check k;
  k.sum = sum;
  k.limit = share * rated;
  k.utilisation = utilisation(k.sum, k.limit);
  k.fits = within(k.utilisation);
  return k;
}

namespace formula {
constexpr kilowatt_hours yearly_energy(watts input, hours yearly) noexcept { return input * yearly; }
}  // namespace formula

/// Energy of a year. input 0..1e6 W from the mains, at full light; yearly 0..8784 h of it.
/// Formula  E = P t.  Source: closed form.  Example: 60 W for 1000 h -> 60 kWh
constexpr outcome<kilowatt_hours> yearly_energy(watts input, hours yearly) noexcept {
  if (const fault f = first_fault(refuse(field::power, input), refuse(field::hours_per_year, yearly)))
    return f;
  return formula::yearly_energy(input, yearly);
}

/// What energy costs, in whole minor units, half a unit rounded up.
///
/// @param energy                kWh; 0..1e7 (a megawatt for a year is 8.8e6).
/// @param tariff_minor_per_kwh  minor units per kWh, fractions allowed; 0..1e6.
/// Formula  floor(E x tariff + 1/2), the product taken in double
/// Source   closed form; rounding half up is common practice, no source.
/// Example  60 kWh at 12 -> 720
constexpr outcome<money> energy_cost(kilowatt_hours energy, double tariff_minor_per_kwh) noexcept {
  if (const fault f = first_fault(refuse(field::energy, energy), refuse(field::tariff, tariff_minor_per_kwh)))
    return f;
  return money{static_cast<long long>(floor_of(energy.v * tariff_minor_per_kwh + 0.5))};
}

static_assert(
    check_breaker({amps{16}, overcurrent_family::breaker_c, 0.8}, amps{12.8}, amps{113}, true)->fits);
static_assert(check_breaker({amps{16}, overcurrent_family::breaker_b, 0.8}, amps{5}, amps{113}, true)->by ==
              governed::inrush);
static_assert(check_leakage(amps{0.006}, amps{0.030})->fits);
static_assert(*energy_cost(*yearly_energy(watts{60}, hours{1000}), 12) == money{720});
static_assert(*energy_cost(kilowatt_hours{0.5}, 1) == money{1});  // half a unit, rounded up

}  // namespace tapewright
