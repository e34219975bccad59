// SPDX-License-Identifier: BSL-1.0
// C interface: what the eye makes of luminance.
#include "answer.hpp"
#include "columns.hpp"
#include "tapewright.h"
#include "tapewright/rules/lightness.hpp"

using namespace tapewright;
using namespace tapewright::capi;

tw_status tw_lightness(double luminance_ratio, double* lightness, tw_fault* why) {
  return answer(tapewright::lightness(luminance_ratio), why, to(lightness));
}

tw_status tw_luminance_ratio(double lightness, double* luminance_ratio, tw_fault* why) {
  return answer(luminance_ratio_of(lightness), why, to(luminance_ratio));
}

[[gnu::flatten]] tw_status tw_lightness_n(const double* luminance_ratio, int64_t luminance_ratio_stride,
                                          int64_t rows, double* lightness, int64_t lightness_stride,
                                          tw_fault* why) {
  return each_row<double>(by_formula<tapewright::lightness, formula::lightness>(ranges_of<1>("tw_lightness")),
                          rows, why, {{{luminance_ratio, luminance_ratio_stride}}},
                          into(lightness, lightness_stride));
}
