// SPDX-License-Identifier: BSL-1.0
// Systems of one to a dozen linear equations: factored once, solved for as many right sides as needed.
#pragma once

#include "tapewright/core/scalar_math.hpp"

namespace tapewright::detail {

/// Row echelon factors of an N x N matrix, rows exchanged for the largest pivot.
template <int N>
struct small_system {
  double a[N][N] = {};
  int row_of[N] = {};
  double sign = 1;  ///< of the determinant; 0 when a pivot is zero or not a number

  /// Factors what stands in `a`. False when the matrix is singular or holds a NaN.
  constexpr bool factor() noexcept {
    sign = 1;
    for (int k = 0; k < N; ++k) {
      int best = k;
      for (int i = k + 1; i < N; ++i)
        if (absolute(a[i][k]) > absolute(a[best][k])) best = i;
      row_of[k] = best;
      if (best != k) {
        sign = -sign;
        for (int j = 0; j < N; ++j) {
          const double other = a[k][j];
          a[k][j] = a[best][j];
          a[best][j] = other;
        }
      }
      const double pivot = a[k][k];
      if (!(absolute(pivot) > 0) || !is_finite(pivot)) {
        sign = 0;
        return false;
      }
      if (pivot < 0) sign = -sign;
      for (int i = k + 1; i < N; ++i) {
        const double m = a[i][k] /= pivot;
        for (int j = k + 1; j < N; ++j) a[i][j] -= m * a[k][j];
      }
    }
    return true;
  }

  /// Overwrites `b` by the solution; factor() must have returned true.
  constexpr void solve(double (&b)[N]) const noexcept {
    for (int k = 0; k < N; ++k) {
      const double exchanged = b[row_of[k]];
      b[row_of[k]] = b[k];
      b[k] = exchanged;
    }
    for (int i = 0; i < N; ++i)
      for (int j = 0; j < i; ++j) b[i] -= a[i][j] * b[j];
    for (int i = N - 1; i >= 0; --i) {
      for (int j = i + 1; j < N; ++j) b[i] -= a[i][j] * b[j];
      b[i] /= a[i][i];
    }
  }
};

/// Factors L D L' of a symmetric N x N matrix, the greatest diagonal element first.
template <int N>
struct symmetric_system {
  double a[N][N] = {};
  int row_of[N] = {};
  int negative = 0;  ///< eigenvalues below zero: as many as elements of D (Sylvester's law of inertia)

  constexpr bool factor() noexcept {
    negative = 0;
    for (int k = 0; k < N; ++k) {
      int best = k;
      for (int i = k + 1; i < N; ++i)
        if (absolute(a[i][i]) > absolute(a[best][best])) best = i;
      row_of[k] = best;
      if (best != k) {
        for (int j = 0; j < N; ++j) exchange(a[k][j], a[best][j]);
        for (int i = 0; i < N; ++i) exchange(a[i][k], a[i][best]);
      }
      const double pivot = a[k][k];
      if (!(absolute(pivot) > 0) || !is_finite(pivot)) return false;
      if (pivot < 0) ++negative;
      const double per_pivot = 1 / pivot;
      for (int i = k + 1; i < N; ++i) {
        const double m = a[i][k] * per_pivot;
        for (int j = k + 1; j < N; ++j) a[i][j] -= m * a[k][j];
        a[i][k] = m;
      }
    }
    return true;
  }
  /// Overwrites the columns of `b` by the solutions; factor() must have returned true.
  template <int Columns>
  constexpr void solve(double (&b)[N][Columns]) const noexcept {
    for (int k = 0; k < N; ++k)
      if (row_of[k] != k)
        for (int x = 0; x < Columns; ++x) exchange(b[k][x], b[row_of[k]][x]);
    for (int i = 0; i < N; ++i)
      for (int j = 0; j < i; ++j)
        for (int x = 0; x < Columns; ++x) b[i][x] -= a[i][j] * b[j][x];
    for (int i = N - 1; i >= 0; --i) {
      const double per_pivot = 1 / a[i][i];
      for (int x = 0; x < Columns; ++x) b[i][x] *= per_pivot;
      for (int j = i + 1; j < N; ++j)
        for (int x = 0; x < Columns; ++x) b[i][x] -= a[j][i] * b[j][x];
    }
    for (int k = N; k-- > 0;)
      if (row_of[k] != k)
        for (int x = 0; x < Columns; ++x) exchange(b[k][x], b[row_of[k]][x]);
  }

 private:
  static constexpr void exchange(double& x, double& y) noexcept {
    const double was = x;
    x = y;
    y = was;
  }
};

}  // namespace tapewright::detail
