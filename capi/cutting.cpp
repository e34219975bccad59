// SPDX-License-Identifier: BSL-1.0
// C interface: from metres on the wall to segments, and from metres needed to metres sold.
#include "tapewright/sizing/run_length.hpp"

#include "answer.hpp"
#include "columns.hpp"
#include "tapewright.h"

using namespace tapewright;
using namespace tapewright::capi;

tw_status tw_cut_length(double measured_m, double cut_pitch_m, int64_t* segments, double* length_m,
                        double* dark_m, tw_fault* why) {
  return answer(cut_to_pitch(metres{measured_m}, metres{cut_pitch_m}), why,
                to(segments, &cut_length::segments), to(length_m, &cut_length::length),
                to(dark_m, &cut_length::dark));
}

tw_status tw_sale_units(double need_m, double sale_quantum_m, int64_t* units, tw_fault* why) {
  return answer(sale_units(metres{need_m}, metres{sale_quantum_m}), why, to(units));
}

tw_status tw_sale(double need_m, double sale_quantum_m, double reel_m, int64_t* units, int64_t* reels,
                  double* sold_m, double* spare_m, tw_fault* why) {
  return answer(sale_of(metres{need_m}, metres{sale_quantum_m}, metres{reel_m}), why,
                to(units, &sale::quanta), to(reels, &sale::reels), to(sold_m, &sale::sold),
                to(spare_m, &sale::spare));
}

[[gnu::flatten]] tw_status tw_cut_length_n(const double* measured_m, int64_t measured_stride,
                                           const double* cut_pitch_m, int64_t cut_pitch_stride, int64_t rows,
                                           int64_t* segments, int64_t segments_stride, double* length_m,
                                           int64_t length_stride, double* dark_m, int64_t dark_stride,
                                           tw_fault* why) {
  return each_row<metres, metres>(
      by_formula<cut_to_pitch, formula::cut_to_pitch, formula::a_segment_fits>(ranges_of<2>("tw_cut_length")),
      rows, why, {{{measured_m, measured_stride}, {cut_pitch_m, cut_pitch_stride}}},
      into(segments, segments_stride, &cut_length::segments),
      into(length_m, length_stride, &cut_length::length), into(dark_m, dark_stride, &cut_length::dark));
}

[[gnu::flatten]] tw_status tw_sale_units_n(const double* need_m, int64_t need_stride,
                                           const double* sale_quantum_m, int64_t sale_quantum_stride,
                                           int64_t rows, int64_t* units, int64_t units_stride,
                                           tw_fault* why) {
  return each_row<metres, metres>(by_formula<sale_units, formula::sale_units>(ranges_of<2>("tw_sale_units")),
                                  rows, why, {{{need_m, need_stride}, {sale_quantum_m, sale_quantum_stride}}},
                                  into(units, units_stride));
}
