// SPDX-License-Identifier: BSL-1.0
// C interface: the mains side of drivers.
#include <cstdint>

#include "answer.hpp"
#include "columns.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/sizing/mains_side.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// A driver of which only the mains side is looked at.
driver mains_driver(double efficiency, double power_factor, double inrush_a) noexcept {
  driver d;
  d.code = "mains";
  d.output = volts{24};
  d.rated = watts{100};
  d.efficiency = efficiency;
  d.power_factor = power_factor;
  d.mains_low = volts{100};
  d.mains_high = volts{240};
  d.inrush_peak = amps{inrush_a};
  d.derating.push({celsius{40}, 1.0});
  return d;
}

fault from_c(mains_breaker& into, double breaker_a, std::int32_t breaker_family,
             double breaker_share) noexcept {
  into.rated = amps{breaker_a};
  into.steady_share = breaker_share;
  return set(into.family, field::overcurrent_family, breaker_family, TW_FAMILY_BREAKER_B,
             TW_FAMILY_BREAKER_D);
}

}  // namespace

tw_status tw_mains_current(double output_w, double efficiency, double power_factor, double mains_v,
                           double* input_w, double* apparent_va, double* current_a, tw_fault* why) {
  return answer(mains_load_of(mains_driver(efficiency, power_factor, 0), watts{output_w}, volts{mains_v}),
                why, to(input_w, &mains_load::input), to(apparent_va, &mains_load::apparent),
                to(current_a, &mains_load::current));
}

tw_status tw_drivers_per_breaker(double output_w, double efficiency, double power_factor, double mains_v,
                                 double inrush_a, double breaker_a, int32_t breaker_family,
                                 double breaker_share, int32_t* by_steady, int32_t* by_inrush, int32_t* count,
                                 tw_fault* why) {
  mains_breaker b;
  const fault f = from_c(b, breaker_a, breaker_family, breaker_share);
  return answer(unless(f,
                       [&]() noexcept {
                         return drivers_per_breaker(mains_driver(efficiency, power_factor, inrush_a),
                                                    watts{output_w}, volts{mains_v}, b);
                       }),
                why, to(by_steady, &breaker_count::by_steady), to(by_inrush, &breaker_count::by_inrush),
                to(count, &breaker_count::count));
}

tw_status tw_breaker_utilisation(double steady_a, double inrush_a, double breaker_a, int32_t breaker_family,
                                 double breaker_share, double* steady_utilisation, double* inrush_utilisation,
                                 tw_fault* why) {
  mains_breaker b;
  const fault f = from_c(b, breaker_a, breaker_family, breaker_share);
  return answer(unless(f, [&]() noexcept { return check_breaker(b, amps{steady_a}, amps{inrush_a}, true); }),
                why, to(steady_utilisation, &breaker_check::steady_utilisation),
                to(inrush_utilisation, &breaker_check::inrush_utilisation));
}

tw_status tw_leakage_utilisation(double leakage_sum_a, double residual_a, double share, double* limit_a,
                                 double* utilisation, tw_fault* why) {
  return answer(check_leakage(amps{leakage_sum_a}, amps{residual_a}, share), why,
                to(limit_a, &leakage_check::limit), to(utilisation, &leakage_check::utilisation));
}

tw_status tw_yearly_energy(double input_w, double hours_per_year, double* energy_kwh, tw_fault* why) {
  return answer(yearly_energy(watts{input_w}, hours{hours_per_year}), why, to(energy_kwh));
}

tw_status tw_energy_cost(double energy_kwh, double tariff_minor_per_kwh, int64_t* cost_minor, tw_fault* why) {
  return answer(energy_cost(kilowatt_hours{energy_kwh}, tariff_minor_per_kwh), why, to(cost_minor));
}

[[gnu::flatten]] tw_status tw_yearly_energy_n(const double* input_w, int64_t input_stride,
                                              const double* hours_per_year, int64_t hours_per_year_stride,
                                              int64_t rows, double* energy_kwh, int64_t energy_stride,
                                              tw_fault* why) {
  return each_row<watts, hours>(
      by_formula<yearly_energy, formula::yearly_energy>(ranges_of<2>("tw_yearly_energy")), rows, why,
      {{{input_w, input_stride}, {hours_per_year, hours_per_year_stride}}}, into(energy_kwh, energy_stride));
}
