// SPDX-License-Identifier: BSL-1.0
// Any number of equal segments whose loads are all straight lines, at once: a cost that grows with log N.
#pragma once

#include <cstdint>

#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/ladder.hpp"

namespace tapewright::detail {

/// n equal segments of ONE wire pair, seen from its ends: trace of 1 ohm a segment, half of it before and half
/// behind a load of conductance x. With voltage w and current j at the left end, w' and j' at the right, and a
/// current s that every load draws besides:
///     w' = a w - p j' - a1 s,   sum of the loads' voltages = d w - a1 j' - d1 s,
///     sum over the n ohms of what the loads beyond each draw through it, but for s = a1 w - p1 j' - a2 s,
/// where 1 - a = x a1,  n^2/2 - a1 = x a2,  n - p = x p1,  n - d = x d1.  (a = 1/cosh, d = tanh-like.) In these
/// terms two blocks join by sums of products of what is never negative: nothing cancels, nothing grows, and x = 0
/// is no exception.
struct mode_block {
  double n = 0, a = 1, p = 0, d = 0, a1 = 0, a2 = 0, p1 = 0, d1 = 0;
};

constexpr mode_block one_segment(double x) noexcept {
  const double a = 1 / (1 + 0.5 * x);
  return {1, a, 0.5 + 0.5 * a, a, 0.5 * a, 0.25 * a, 0.25 * a, 0.5 * a};
}

/// l, and r to the right of it.
constexpr mode_block joined(const mode_block& l, const mode_block& r, double x) noexcept {
  const double pd = l.p * r.d, k = 1 / (1 + x * pd);
  mode_block b;
  b.n = l.n + r.n;
  b.p = r.p + r.a * r.a * l.p * k;
  b.d = l.d + l.a * l.a * r.d * k;
  b.a1 = k * (pd + l.a1 + l.a * r.a1);
  // near 1 a product of many would lose a digit each time their number grows tenfold
  b.a = x * b.a1 < 0.5 ? 1 - x * b.a1 : l.a * r.a * k;
  b.a2 = l.n * r.d1 + l.p1 * r.d + l.a2 + r.a2 + l.a1 * r.a1 + pd * b.a1;
  b.p1 = l.p1 + r.p1 + l.p * k * (pd + r.a1 * (1 + r.a));
  b.d1 = l.d1 + r.d1 + r.d * k * (pd + l.a1 * (1 + l.a));
  return b;
}

/// n of them: the binary digits of n from the top, doubling at each.
constexpr mode_block segments_in_a_row(double x, std::int64_t n) noexcept {
  mode_block all;
  const mode_block one = one_segment(x);
  int digit = 0;
  while (n >> digit > 1) ++digit;
  for (; digit >= 0; --digit) {
    if (all.n > 0) all = joined(all, all, x);
    if ((n >> digit & 1) != 0) all = all.n > 0 ? joined(all, one, x) : one;
  }
  return all;
}

/// Turns a symmetric matrix to its diagonal: S = Q diag(s) Q'. Jacobi's rotations, each of which brings one
/// element to zero; they stop when no element matters beside its two diagonal ones (small eigenvalues come out
/// as exact as great ones), which takes five or six rounds, ever faster, and never more than 16.
template <int C>
constexpr void diagonalise(double (&s)[C][C], double (&q)[C][C]) noexcept {
  for (int r = 0; r < C; ++r)
    for (int c = 0; c < C; ++c) q[r][c] = r == c ? 1 : 0;
  bool turned = C > 1;
  for (int round = 0; turned && round < 16; ++round) {
    turned = false;
    for (int i = 0; i < C; ++i)
      for (int k = i + 1; k < C; ++k) {
        const double off = s[i][k];
        if (!(off * off > 0x1p-106 * absolute(s[i][i] * s[k][k]))) continue;
        turned = true;
        const double half = 0.5 * (s[k][k] - s[i][i]), root = square_root(half * half + off * off);
        const double t = off / (half < 0 ? half - root : half + root);
        const double cosine = 1 / square_root(1 + t * t), sine = t * cosine;
        for (int m = 0; m < C; ++m) {
          const double left = s[m][i], right = s[m][k];
          s[m][i] = cosine * left - sine * right;
          s[m][k] = sine * left + cosine * right;
        }
        for (int m = 0; m < C; ++m) {
          const double upper = s[i][m], lower = s[k][m];
          s[i][m] = cosine * upper - sine * lower;
          s[k][m] = sine * upper + cosine * lower;
        }
        s[i][k] = s[k][i] = 0;
        for (int m = 0; m < C; ++m) {
          const double left = q[m][i], right = q[m][k];
          q[m][i] = cosine * left - sine * right;
          q[m][k] = sine * left + cosine * right;
        }
      }
  }
}

/// On which straight piece of its law a load is.
enum class piece : std::uint32_t { dark, rising, flat };

/// The pieces of a segment's loads, two bits each.
constexpr piece piece_in(std::uint32_t pattern, int c) noexcept {
  return static_cast<piece>(pattern >> 2 * c & 3u);
}
constexpr std::uint32_t with_piece(std::uint32_t pattern, int c, piece p) noexcept {
  return (pattern & ~(3u << 2 * c)) | static_cast<std::uint32_t>(p) << 2 * c;
}

/// The piece of channel c at v. At a corner two pieces give the same current: within `slack` of one, the load
/// stays on the piece that was assumed, lest rounding should send it to and fro.
template <int C>
constexpr piece piece_at(const ladder<C>& l, int c, double v, piece assumed, double slack) noexcept {
  if (!(l.slope[c] > 0)) return piece::dark;
  const double bottom = l.dark_below[c], top = bottom + l.ceiling[c] / l.slope[c];
  const bool above = assumed == piece::dark ? v > bottom + slack : v > bottom - slack;
  if (!above) return piece::dark;
  return (assumed == piece::flat ? v > top - slack : v > top + slack) ? piece::flat : piece::rising;
}

/// The loads of a segment as straight lines: i = slope (u - shift) + steady, where only a load without slope has
/// a steady current.
template <int C>
struct straight_loads {
  double slope[C] = {}, shift[C] = {}, steady[C] = {};

  constexpr straight_loads() noexcept = default;
  constexpr straight_loads(const ladder<C>& l, std::uint32_t pattern) noexcept {
    for (int c = 0; c < C; ++c) {
      const piece p = piece_in(pattern, c);
      slope[c] = p == piece::rising ? l.slope[c] : 0;
      shift[c] = p == piece::rising ? l.dark_below[c] : 0;
      steady[c] = p == piece::flat ? l.ceiling[c] : 0;
    }
  }
};

/// The modes of equal segments: with u the voltages across the loads, j the channel currents, R their trace
/// (common e e' + diag of the channels' own) and H^2 the loads' slopes, S = H R H = Q diag(x) Q'. In
/// w = Q'H (u - shift) and Q'H R j the channels no longer meet: each mode is a mode_block of its own x.
template <int C>
struct block_modes {
  double x[C] = {};
  double into[C][C] = {};  ///< Q'H
  double out[C][C] = {};   ///< R (Q'H)', one row a channel
  double steady[C] = {};   ///< Q'H R s

  constexpr block_modes() noexcept = default;
  constexpr block_modes(const ladder<C>& l, const straight_loads<C>& loads) noexcept {
    double s[C][C] = {}, q[C][C] = {}, h[C] = {};
    for (int c = 0; c < C; ++c) h[c] = square_root(loads.slope[c]);
    for (int r = 0; r < C; ++r)
      for (int c = 0; c < C; ++c) s[r][c] = h[r] * h[c] * (r == c ? l.common + l.channel[c] : l.common);
    diagonalise(s, q);
    for (int m = 0; m < C; ++m) {
      x[m] = larger(s[m][m], 0);
      for (int c = 0; c < C; ++c) into[m][c] = q[c][m] * h[c];
    }
    complete(l, loads);
  }
  /// As once kept.
  constexpr block_modes(const ladder<C>& l, const straight_loads<C>& loads, const double* room) noexcept {
    for (int m = 0; m < C; ++m) {
      x[m] = *room++;
      for (int c = 0; c < C; ++c) into[m][c] = *room++;
    }
    complete(l, loads);
  }
  constexpr void keep(double* room) const noexcept {
    for (int m = 0; m < C; ++m) {
      *room++ = x[m];
      for (int c = 0; c < C; ++c) *room++ = into[m][c];
    }
  }

 private:
  constexpr void complete(const ladder<C>& l, const straight_loads<C>& loads) noexcept {
    double sum = 0;
    for (int c = 0; c < C; ++c) sum += loads.steady[c];
    for (int m = 0; m < C; ++m) {
      double all = 0;
      for (int c = 0; c < C; ++c) all += into[m][c];
      steady[m] = 0;
      for (int c = 0; c < C; ++c) {
        out[c][m] = l.common * all + l.channel[c] * into[m][c];
        steady[m] += into[m][c] * (l.common * sum + l.channel[c] * loads.steady[c]);
      }
    }
  }
};

}  // namespace tapewright::detail
