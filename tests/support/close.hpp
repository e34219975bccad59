// SPDX-License-Identifier: BSL-1.0
// Two numbers compared with a bound that the test has to state, relative or absolute, never both.
//
// doctest's own approximate comparison is not used for physical values: its default bound is
// epsilon * (1 + |value|), about 1.2e-5 ABSOLUTE for small values, so that 60 microvolts "equal" 52.
#pragma once

namespace tapewright::test {

/// True when `got` lies within `rel` * |want| of `want`. Both bounds inclusive; infinities are close
/// to themselves only; NaN is close to nothing. A wanted 0 is met by 0 alone: say close_abs if not.
constexpr bool close_rel(double got, double want, double rel) noexcept {
  if (got == want) return true;
  if (got != got || want != want) return false;
  const double gap = got < want ? want - got : got - want;
  const double size = want < 0 ? -want : want;
  return gap <= rel * size && size <= 0x1.fffffffffffffp+1023;
}

/// True when `got` lies within `bound` of `want`, in the unit of the values themselves.
constexpr bool close_abs(double got, double want, double bound) noexcept {
  if (got == want) return true;
  if (got != got || want != want) return false;
  const double gap = got < want ? want - got : got - want;
  return gap <= bound && gap <= 0x1.fffffffffffffp+1023;
}

static_assert(!close_rel(60e-6, 52e-6, 1e-5));
static_assert(close_rel(1.0 + 0x1p-52, 1.0, 0x1p-52) && !close_rel(1.0 + 0x1p-52, 1.0, 0x1p-53));
static_assert(!close_rel(__builtin_nan(""), 1.0, 1.0) && !close_abs(1.0, __builtin_nan(""), 1.0));
static_assert(!close_rel(1.0, __builtin_huge_val(), 1.0));
static_assert(!close_abs(1.0, __builtin_huge_val(), __builtin_huge_val()));

}  // namespace tapewright::test
