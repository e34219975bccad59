// SPDX-License-Identifier: BSL-1.0
// C interface: resistance and current-carrying capacity of conductors.
#include <cstdint>

#include "answer.hpp"
#include "columns.hpp"
#include "figures.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/rules/ampacity.hpp"
#include "tapewright/rules/conductor_sizes.hpp"
#include "tapewright/rules/copper.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

// the library has two functions of this name: this one goes by metre
constexpr outcome<ohms_per_metre> copper_resistance(ohms_per_metre at_20, celsius t) noexcept {
  return resistance_at(at_20, t);
}

outcome<ohms_per_metre> metric_resistance(std::int32_t conductor_class, double area_mm2,
                                          double temperature_c) noexcept {
  conductor_size size;
  const fault f = first_fault(refuse(field::conductor_class, conductor_class),
                              from_c(size, conductor_class, area_mm2, 0));
  return unless(f, [&]() noexcept { return resistance_at(size, celsius{temperature_c}); });
}

/// A cable without a maker's rating. Numbers that no enumerator has are refused with the other figures.
ampacity_question question_of(const conductor_size& size, std::int32_t family, std::int32_t method,
                              double conductor_limit_c, std::int32_t loaded_conductors, double ambient_c,
                              std::int32_t circuits, std::int32_t grouping) noexcept {
  return {static_cast<code_family>(family),
          static_cast<laying>(method),
          size,
          celsius{conductor_limit_c},
          loaded_conductors,
          celsius{ambient_c},
          circuits,
          static_cast<arrangement>(grouping)};
}

}  // namespace

tw_status tw_copper_resistance(double resistance_20_ohm_per_m, double temperature_c,
                               double* resistance_ohm_per_m, tw_fault* why) {
  return answer(copper_resistance(ohms_per_metre{resistance_20_ohm_per_m}, celsius{temperature_c}), why,
                to(resistance_ohm_per_m));
}

tw_status tw_metric_resistance(int32_t conductor_class, double area_mm2, double temperature_c,
                               double* resistance_ohm_per_m, tw_fault* why) {
  return answer(metric_resistance(conductor_class, area_mm2, temperature_c), why, to(resistance_ohm_per_m));
}

tw_status tw_awg_resistance(int32_t awg, double temperature_c, double* resistance_ohm_per_m, tw_fault* why) {
  return answer(resistance_at({conductor_system::awg, {}, awg}, celsius{temperature_c}), why,
                to(resistance_ohm_per_m));
}

tw_status tw_awg_area(int32_t awg, double* area_mm2, tw_fault* why) {
  return answer(awg_conductor(awg), why, to(area_mm2, &conductor_size::area));
}

[[gnu::flatten]] tw_status tw_metric_ampacity(int32_t code_family, int32_t method, double area_mm2,
                                              double conductor_limit_c, int32_t loaded_conductors,
                                              double ambient_c, int32_t circuits_grouped, int32_t grouping,
                                              double* allowed_a, tw_fault* why) {
  return answer(ampacity(question_of({conductor_system::metric_class_5, square_millimetres{area_mm2}},
                                     code_family, method, conductor_limit_c, loaded_conductors, ambient_c,
                                     circuits_grouped, grouping)),
                why, to(allowed_a, &ampacity_answer::allowed));
}

[[gnu::flatten]] tw_status tw_awg_ampacity(int32_t code_family, int32_t method, int32_t awg,
                                           double conductor_limit_c, int32_t loaded_conductors,
                                           double ambient_c, int32_t circuits_grouped, int32_t grouping,
                                           double* allowed_a, tw_fault* why) {
  return answer(ampacity(question_of({conductor_system::awg, {}, awg}, code_family, method, conductor_limit_c,
                                     loaded_conductors, ambient_c, circuits_grouped, grouping)),
                why, to(allowed_a, &ampacity_answer::allowed));
}

tw_status tw_ampacity(const tw_ampacity_question* question, tw_ampacity_answer* answer_to, tw_fault* why) {
  const arrived<tw_ampacity_question, ampacity_question> q{question, 0};
  return answer(unless(q.why, [&]() noexcept { return ampacity(q.row); }), why, to(answer_to));
}

[[gnu::flatten]] tw_status tw_copper_resistance_n(const double* resistance_20_ohm_per_m,
                                                  int64_t resistance_20_stride, const double* temperature_c,
                                                  int64_t temperature_stride, int64_t rows,
                                                  double* resistance_ohm_per_m, int64_t resistance_stride,
                                                  tw_fault* why) {
  return each_row<ohms_per_metre, celsius>(
      by_formula<copper_resistance, formula::resistance_at>(ranges_of<2>("tw_copper_resistance")), rows, why,
      {{{resistance_20_ohm_per_m, resistance_20_stride}, {temperature_c, temperature_stride}}},
      into(resistance_ohm_per_m, resistance_stride));
}
