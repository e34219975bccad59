// SPDX-License-Identifier: BSL-1.0
// C interface: what is left of a driver where it hangs, and the choice of one.
#include "tapewright/sizing/driver_choice.hpp"

#include <cstdint>

#include "answer.hpp"
#include "block.hpp"
#include "columns.hpp"
#include "figures.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/rules/extra_low_voltage.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

derating_curve two_points(double full_to_c, double last_c, double last_share) noexcept {
  derating_curve curve;
  curve.push({celsius{full_to_c}, 1.0});
  curve.push({celsius{last_c}, last_share});
  return curve;
}

/// A driver of which only the output is looked at.
driver plain_driver(double output_v, double rated_output_w, const derating_curve& curve) noexcept {
  driver d;
  d.code = "output";
  d.output = volts{output_v};
  d.rated = watts{rated_output_w};
  d.mains_low = volts{100};
  d.mains_high = volts{240};
  d.derating = curve;
  return d;
}

}  // namespace

tw_status tw_least_capacity(double load_w, double headroom, double* capacity_w, tw_fault* why) {
  return answer(least_capacity(watts{load_w}, headroom), why, to(capacity_w));
}

tw_status tw_greatest_load(double capacity_w, double headroom, double* load_w, tw_fault* why) {
  return answer(greatest_load(watts{capacity_w}, headroom), why, to(load_w));
}

tw_status tw_loading_limit(double headroom, double* loading_limit, tw_fault* why) {
  return answer(loading_limit_of_headroom(headroom), why, to(loading_limit));
}

tw_status tw_headroom(double loading_limit, double* headroom, tw_fault* why) {
  return answer(headroom_of_loading_limit(loading_limit), why, to(headroom));
}

tw_status tw_derated_share(const double* curve_c, const double* curve_share, int32_t points, double ambient_c,
                           double* share, tw_fault* why) {
  fault f = first_fault(curve_c == nullptr ? null_pointer(0) : fault{},
                        curve_share == nullptr ? null_pointer(1) : fault{},
                        refuse_outside(field::derating_point, points, 1, TW_MOST_POINTS));
  derating_curve curve;
  if (!f)
    for (std::int32_t i = 0; i < points; ++i) curve.push({celsius{curve_c[i]}, curve_share[i]});
  return answer(unless(f, [&]() noexcept { return derated_share(curve, celsius{ambient_c}); }), why,
                to(share));
}

tw_status tw_two_point_share(double full_to_c, double last_c, double last_share, double ambient_c,
                             double* share, tw_fault* why) {
  return answer(derated_share(two_points(full_to_c, last_c, last_share), celsius{ambient_c}), why, to(share));
}

tw_status tw_driver_utilisation(double load_w, double headroom, double output_v, double rated_output_w,
                                double full_to_c, double last_c, double last_share, double ambient_c,
                                double* capacity_w, double* needed_w, double* utilisation,
                                double* headroom_left, tw_fault* why) {
  driver_duty duty;
  duty.load = watts{load_w};
  duty.headroom = headroom;
  duty.ambient = celsius{ambient_c};
  duty.nominal = volts{output_v};
  return answer(
      check_driver(plain_driver(output_v, rated_output_w, two_points(full_to_c, last_c, last_share)), duty),
      why, to(capacity_w, &driver_check::capacity), to(needed_w, &driver_check::needed),
      to(utilisation, &driver_check::utilisation), to(headroom_left, &driver_check::headroom_left));
}

tw_status tw_class2_limit(double output_v, double* rated_a, double* rated_va, tw_fault* why) {
  return answer(class2_limit(volts{output_v}), why, to(rated_a, &limited_energy_limit::nameplate),
                to(rated_va, &limited_energy_limit::rated_power));
}

tw_status tw_check_driver(const tw_driver* driver, const tw_driver_duty* duty, tw_driver_check* check,
                          tw_fault* why) {
  const arrived<tw_driver, tapewright::driver> s{driver, 0};
  const arrived<tw_driver_duty, driver_duty> d{duty, 1};
  return answer(unless(first_fault(s.why, d.why), [&]() noexcept { return check_driver(s.row, d.row); }), why,
                to(check));
}

tw_status tw_choose_driver(const tw_driver_duty* duty, const tw_driver* driver, int32_t drivers, void* block,
                           int64_t bytes, tw_driver_choice* choice, tw_driver_check* check, tw_fault* why) {
  const arrived<tw_driver_duty, driver_duty> d{duty, 0};
  const arrived_rows<tw_driver, tapewright::driver> rows{driver, drivers, 1, block, bytes, 3};
  return answer(
      unless(first_fault(d.why, rows.why), [&]() noexcept { return choose_driver(d.row, rows.all); }), why,
      to(choice), to(check, &driver_choice::check));
}

tw_status tw_choice_bytes(int32_t part_kind, int32_t rows, int64_t* bytes, tw_fault* why) {
  fault f = refuse(field::row_count, rows);
  std::int64_t needed = 0;
  if (!f && part_kind == TW_PART_CABLE) needed = bytes_of_rows<tw_cable, cable>(rows);
  else if (!f && part_kind == TW_PART_DRIVER) needed = bytes_of_rows<tw_driver, tapewright::driver>(rows);
  else if (!f)
    f = {fault_code::not_listed, field::none,    static_cast<double>(part_kind),
         TW_PART_CABLE,          TW_PART_DRIVER, -1};
  return answer(f, &needed, why, to(bytes));
}

[[gnu::flatten]] tw_status tw_least_capacity_n(const double* load_w, int64_t load_stride,
                                               const double* headroom, int64_t headroom_stride, int64_t rows,
                                               double* capacity_w, int64_t capacity_stride, tw_fault* why) {
  return each_row<watts, double>(
      by_formula<least_capacity, formula::least_capacity>(ranges_of<2>("tw_least_capacity")), rows, why,
      {{{load_w, load_stride}, {headroom, headroom_stride}}}, into(capacity_w, capacity_stride));
}
