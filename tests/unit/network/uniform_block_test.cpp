// SPDX-License-Identifier: BSL-1.0
// Blocks of equal segments against the same segments one after the other, in more digits.
#include "tapewright/network/uniform_block.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>

#include "support/close.hpp"
#include "support/random.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

/// n segments one by one, from the right end to the left: what is asked of the left end there and what it means at
/// the right end. Nothing but Kirchhoff's laws, in long double.
struct slow_block {
  long double a, p, d, a1, a2, p1, d1;
  long double lost_p, lost_d, lost_a;  // of differences: what rounding of the two terms may come to

  slow_block(long double x, int n) {
    // each row: response to a unit of (voltage at the right end, current beyond it, steady current of every load)
    struct answer {
      long double left_v, sum_v,
          taken;  // at the left end; of the loads; over the trace, of what loads beyond draw
    };
    const auto march = [&](long double right_v, long double beyond, long double steady) {
      long double v = right_v, j = beyond, sum = 0, loads = 0, taken = 0;
      for (int k = 0; k < n; ++k) {
        v += j / 2;
        taken += loads / 2;
        sum += v;
        j += x * v + steady;
        loads += v;
        v += j / 2;
        taken += loads / 2;
      }
      return answer{v, sum, taken};
    };
    const answer v = march(1, 0, 0), j = march(0, 1, 0), s = march(0, 0, 1);
    a = 1 / v.left_v;
    p = j.left_v / v.left_v;  // the right end falls so far that the left one stays at 0
    d = v.sum_v / v.left_v;
    a1 = s.left_v / v.left_v;
    p1 = -(j.taken - p * v.taken);
    d1 = -(s.sum_v - a1 * v.sum_v);
    a2 = -(s.taken - a1 * v.taken);
    const long double ulps = 2e-19L * static_cast<long double>(n);
    lost_p = ulps * (std::fabs(j.taken) + p * v.taken);
    lost_d = ulps * (s.sum_v + a1 * v.sum_v);
    lost_a = ulps * (s.taken + a1 * v.taken);
  }
};

}  // namespace

TEST_CASE("segments_in_a_row: any number of segments is that many, one by one") {
  random_source r{171};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 4000; ++round) {
    CAPTURE(round);
    const auto n = r.integer(1, 60);
    const double x = r.one_in(10) ? 0.0 : r.log_uniform(1e-9, 2);
    const slow_block want{static_cast<long double>(x), static_cast<int>(n)};
    const detail::mode_block got = detail::segments_in_a_row(x, n);
    // about 12 joins of a dozen roundings each
    constexpr double rounding = 1e-14;
    CHECK(got.n == static_cast<double>(n));
    CHECK(close_rel(got.a, static_cast<double>(want.a), rounding));
    CHECK(close_rel(got.p, static_cast<double>(want.p), rounding));
    CHECK(close_rel(got.d, static_cast<double>(want.d), rounding));
    CHECK(close_rel(got.a1, static_cast<double>(want.a1), rounding));
    const auto near = [](double is, long double should, long double lost) {
      return close_abs(is, static_cast<double>(should), rounding * is + static_cast<double>(lost));
    };
    CHECK(near(got.p1, want.p1, want.lost_p));
    CHECK(near(got.d1, want.d1, want.lost_d));
    CHECK(near(got.a2, want.a2, want.lost_a));
  }
}

TEST_CASE("segments_in_a_row: cosh and tanh in the limit of many short segments; no length overflows") {
  // n segments of conductance (L/n)^2: a = 1/cosh L, d sqrt x = tanh L, to second order in L/n, 2e-11
  for (const double length : {0.1, 1.0, 5.0}) {
    constexpr std::int64_t n = 1 << 20;
    const double x = length * length / (static_cast<double>(n) * static_cast<double>(n));
    const detail::mode_block b = detail::segments_in_a_row(x, n);
    CHECK(close_rel(b.a, 1 / std::cosh(length), 1e-11));
    CHECK(close_rel(b.d * std::sqrt(x), std::tanh(length), 2.5e-11));
    CHECK(close_rel(b.p * std::sqrt(x), std::tanh(length), 2.5e-11));
  }
  const detail::mode_block endless = detail::segments_in_a_row(1, 100'000);
  CHECK(endless.a == 0);  // underflow, which is right
  // golden section: an endless row of 1 ohm and 1 S, fed through half a pitch: j = d w, 1/d = 1/2 + 1/(1 + d')
  CHECK(close_rel(endless.d, 2 / std::sqrt(5.0), 1e-15 * 8));
  CHECK(is_finite(endless.a2));
}

TEST_CASE("diagonalise: Q diag Q' is the matrix, Q'Q is one; small eigenvalues keep their digits") {
  random_source r{172};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 2000; ++round) {
    double s[5][5] = {}, q[5][5] = {}, kept[5][5] = {};
    double scale[5] = {};
    for (double& x : scale) x = r.one_in(6) ? 0.0 : r.log_uniform(1e-3, 1);
    const double shared = r.log_uniform(1e-3, 1);
    for (int i = 0; i < 5; ++i)
      for (int k = 0; k < 5; ++k)
        kept[i][k] = s[i][k] = scale[i] * scale[k] * (i == k ? shared + 0.1 * (i + 1) : shared);
    detail::diagonalise(s, q);
    for (int i = 0; i < 5; ++i)
      for (int k = 0; k < 5; ++k) {
        double back = 0, unit = 0;
        for (int m = 0; m < 5; ++m) {
          back += q[i][m] * s[m][m] * q[k][m];
          unit += q[m][i] * q[m][k];
        }
        // some fifty rotations, each right to an ulp or two
        CHECK(close_abs(back, kept[i][k], 1e-14 * scale[i] * scale[k] * 6 + 1e-16 * shared));
        CHECK(close_abs(unit, i == k ? 1.0 : 0.0, 1e-14));
      }
  }
}
