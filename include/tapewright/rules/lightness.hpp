// SPDX-License-Identifier: BSL-1.0
// CIE 1976 lightness: how bright a share of full light looks.
#pragma once

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/scalar_math.hpp"

namespace tapewright {

namespace detail {
// The cube root is used above (6/29)^3, a straight line below; they meet at L* = 8.
constexpr double line_ends_at_ratio = 216.0 / 24389;
constexpr double line_ends_at_lightness = 8;
constexpr double line_slope = 24389.0 / 27;
}  // namespace detail

namespace formula {
constexpr double lightness(double luminance_ratio) noexcept {
  return luminance_ratio > detail::line_ends_at_ratio ? 116 * cube_root(luminance_ratio) - 16
                                                      : detail::line_slope * luminance_ratio;
}
}  // namespace formula

/// CIE 1976 lightness L*, 0..100, of a luminance relative to the reference white.
///
/// @param luminance_ratio  Y / Yn; 0..1.
/// @return                 Faults: out_of_range of luminance_ratio.
/// Formula  L* = 116 (Y/Yn)^(1/3) - 16 above 216/24389, else 24389/27 Y/Yn
/// Source   ISO/CIE 11664-4 (CIE 1976 L*u*v* and L*a*b*).
/// Accuracy within 3e-14: one cube root and three roundings near 100.
/// Example  0.5 -> 76.069
constexpr outcome<double> lightness(double luminance_ratio) noexcept {
  if (const fault f = refuse(field::luminance_ratio, luminance_ratio)) return f;
  return formula::lightness(luminance_ratio);
}

/// The inverse: the luminance ratio of a lightness.
///
/// @param lightness  L*; 0..100.
/// @return           Y / Yn, 0..1. Faults: out_of_range of lightness.
/// Formula  ((L* + 16) / 116)^3 above 8, else 27/24389 L*
/// Source   ISO/CIE 11664-4, solved for Y.
constexpr outcome<double> luminance_ratio_of(double lightness) noexcept {
  if (const fault f = refuse(field::lightness, lightness)) return f;
  const double root = (lightness + 16) / 116;
  return lightness > detail::line_ends_at_lightness ? root * root * root : lightness / detail::line_slope;
}

/// How much darker the dimmest of two lights looks than the brightest, in steps of L*: 100 - L*(evenness).
///
/// @param evenness  least over greatest light; 0..1.
/// @return          0..100. Faults: out_of_range of luminance_ratio.
/// Source   ISO/CIE 11664-4, the brightest taken as the reference white.
/// Example  0.9 -> 4.00
constexpr outcome<double> lightness_step_of(double evenness) noexcept {
  const outcome<double> dimmest = lightness(evenness);
  if (!dimmest) return dimmest;
  return 100 - *dimmest;
}

static_assert(*lightness(1) == 100 && *lightness(0) == 0 && *luminance_ratio_of(100) == 1);

}  // namespace tapewright
