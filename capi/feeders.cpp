// SPDX-License-Identifier: BSL-1.0
// C interface: voltage drop and the choice of cables.
#include "tapewright/sizing/feeder_size.hpp"

#include <cstdint>

#include "answer.hpp"
#include "block.hpp"
#include "columns.hpp"
#include "figures.hpp"
#include "rows.hpp"
#include "tapewright.h"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// A two-core cable of a metric size, of which only the conductor is looked at.
outcome<metres> longest_two_wire(double current_a, double nominal_v, double drop_limit,
                                 std::int32_t conductor_class, double area_mm2,
                                 double temperature_c) noexcept {
  cable k;
  feeder_question q;
  if (const fault f = first_fault(refuse(field::conductor_class, conductor_class),
                                  from_c(k.conductor, conductor_class, area_mm2, 0)))
    return f;
  k.code = "two-wire";
  k.conductor_limit = celsius{70};
  k.sale_quantum = metres{1};
  q.channel_current.push(amps{current_a});
  q.nominal = volts{nominal_v};
  q.drop_limit = drop_limit;
  q.copper = celsius{temperature_c};
  return longest_feeder(q, k);
}

}  // namespace

tw_status tw_two_wire_drop(double current_a, double resistance_ohm_per_m, double one_way_m, double* drop_v,
                           tw_fault* why) {
  return answer(two_wire_drop(amps{current_a}, ohms_per_metre{resistance_ohm_per_m}, metres{one_way_m}), why,
                to(drop_v));
}

tw_status tw_feeder_drop(double common_a, double own_a, double resistance_ohm_per_m, double one_way_m,
                         double* drop_v, tw_fault* why) {
  return answer(
      feeder_drop(amps{common_a}, amps{own_a}, ohms_per_metre{resistance_ohm_per_m}, metres{one_way_m}), why,
      to(drop_v));
}

tw_status tw_least_area(double current_a, double one_way_m, double allowed_v,
                        double resistivity_ohm_mm2_per_m, double* area_mm2, tw_fault* why) {
  return answer(least_area(amps{current_a}, metres{one_way_m}, volts{allowed_v},
                           ohm_square_millimetres_per_metre{resistivity_ohm_mm2_per_m}),
                why, to(area_mm2));
}

tw_status tw_longest_two_wire(double current_a, double nominal_v, double drop_limit, int32_t conductor_class,
                              double area_mm2, double temperature_c, double* one_way_m, tw_fault* why) {
  return answer(longest_two_wire(current_a, nominal_v, drop_limit, conductor_class, area_mm2, temperature_c),
                why, to(one_way_m));
}

tw_status tw_check_feeder(const tw_feeder_question* question, const tw_cable* cable, tw_feeder_check* check,
                          tw_fault* why) {
  const arrived<tw_feeder_question, feeder_question> q{question, 0};
  const arrived<tw_cable, tapewright::cable> k{cable, 1};
  return answer(unless(first_fault(q.why, k.why), [&]() noexcept { return check_feeder(q.row, k.row); }), why,
                to(check));
}

tw_status tw_choose_feeder(const tw_feeder_question* question, const tw_cable* cable, int32_t cables,
                           void* block, int64_t bytes, tw_feeder_choice* choice, tw_feeder_check* check,
                           tw_fault* why) {
  const arrived<tw_feeder_question, feeder_question> q{question, 0};
  const arrived_rows<tw_cable, tapewright::cable> rows{cable, cables, 1, block, bytes, 3};
  return answer(
      unless(first_fault(q.why, rows.why), [&]() noexcept { return choose_feeder(q.row, rows.all); }), why,
      to(choice), to(check, &feeder_choice::check));
}

tw_status tw_longest_feeder(const tw_feeder_question* question, const tw_cable* cable, double* one_way_m,
                            tw_fault* why) {
  const arrived<tw_feeder_question, feeder_question> q{question, 0};
  const arrived<tw_cable, tapewright::cable> k{cable, 1};
  return answer(unless(first_fault(q.why, k.why), [&]() noexcept { return longest_feeder(q.row, k.row); }),
                why, to(one_way_m));
}

[[gnu::flatten]] tw_status tw_two_wire_drop_n(const double* current_a, int64_t current_stride,
                                              const double* resistance_ohm_per_m, int64_t resistance_stride,
                                              const double* one_way_m, int64_t one_way_stride, int64_t rows,
                                              double* drop_v, int64_t drop_stride, tw_fault* why) {
  return each_row<amps, ohms_per_metre, metres>(
      by_formula<two_wire_drop, formula::two_wire_drop>(ranges_of<3>("tw_two_wire_drop")), rows, why,
      {{{current_a, current_stride}, {resistance_ohm_per_m, resistance_stride}, {one_way_m, one_way_stride}}},
      into(drop_v, drop_stride));
}

[[gnu::flatten]] tw_status tw_feeder_drop_n(const double* common_a, int64_t common_stride,
                                            const double* own_a, int64_t own_stride,
                                            const double* resistance_ohm_per_m, int64_t resistance_stride,
                                            const double* one_way_m, int64_t one_way_stride, int64_t rows,
                                            double* drop_v, int64_t drop_stride, tw_fault* why) {
  return each_row<amps, amps, ohms_per_metre, metres>(
      by_formula<feeder_drop, formula::feeder_drop>(ranges_of<4>("tw_feeder_drop")), rows, why,
      {{{common_a, common_stride},
        {own_a, own_stride},
        {resistance_ohm_per_m, resistance_stride},
        {one_way_m, one_way_stride}}},
      into(drop_v, drop_stride));
}

[[gnu::flatten]] tw_status tw_least_area_n(const double* current_a, int64_t current_stride,
                                           const double* one_way_m, int64_t one_way_stride,
                                           const double* allowed_v, int64_t allowed_stride,
                                           const double* resistivity_ohm_mm2_per_m,
                                           int64_t resistivity_stride, int64_t rows, double* area_mm2,
                                           int64_t area_stride, tw_fault* why) {
  return each_row<amps, metres, volts, ohm_square_millimetres_per_metre>(
      by_formula<least_area, formula::least_area>(ranges_of<4>("tw_least_area")), rows, why,
      {{{current_a, current_stride},
        {one_way_m, one_way_stride},
        {allowed_v, allowed_stride},
        {resistivity_ohm_mm2_per_m, resistivity_stride}}},
      into(area_mm2, area_stride));
}
