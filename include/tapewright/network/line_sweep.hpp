// SPDX-License-Identifier: BSL-1.0
// A ladder solved by elimination and substitution: any length, any corners, for storage N (C^2 + 5 C).
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/ladder.hpp"
#include "tapewright/network/line_march.hpp"
#include "tapewright/network/port_line.hpp"

namespace tapewright::detail {

/// Storage for `segments` rungs of `channels` lit channels, in doubles.
constexpr std::size_t sweep_doubles(std::int64_t segments, int channels) noexcept {
  const auto c = static_cast<std::size_t>(channels);
  return static_cast<std::size_t>(segments) * (c * c + 5 * c);
}

/// That storage, rung by rung.
template <int C>
class sweep_space {
 public:
  constexpr explicit sweep_space(double* room) noexcept : room_{room} {}
  /// Voltage across the loads, and the current q that it stands for: u = source - Z q.
  constexpr double* u(std::int64_t k) const noexcept { return at(k); }
  constexpr double* q(std::int64_t k) const noexcept { return at(k) + C; }
  /// One Newton step of both.
  constexpr double* du(std::int64_t k) const noexcept { return at(k) + 2 * C; }
  constexpr double* dq(std::int64_t k) const noexcept { return at(k) + 3 * C; }
  /// Current into the next rung: bias + pass * u, pass C x C by rows.
  constexpr double* bias(std::int64_t k) const noexcept { return at(k) + 4 * C; }
  constexpr double* pass(std::int64_t k) const noexcept { return at(k) + 5 * C; }

 private:
  constexpr double* at(std::int64_t k) const noexcept { return room_ + k * (C * C + 5 * C); }
  double* room_;
};

/// Whether a settled ladder with constant-power loads sits on the upper of its branches: elimination
/// from the far end meets no change of sign. `last` holds the voltages across the last loads.
template <int C>
constexpr bool on_upper_branch(const ladder<C>& l, const double (&last)[C]) noexcept {
  // Where every constant-power load keeps more than half the source there is nothing to judge. With Z the
  // resistances of the wiring (no entry negative) and K = P/u^2, row k of Z K sums to at most
  // sum(Z i) / least u = (V - u_k) / least u < 1, so that no eigenvalue of Z K reaches 1 and Z^-1 - K is
  // positive definite; the rising slopes of other loads only add to it. Put P/(u u') for P/u^2, and no
  // second solution u' above half the source is left. The last loads are the lowest.
  bool above_half = true;
  for (int c = 0; c < C; ++c) above_half = above_half && (!(l.power[c] > 0) || 2 * last[c] > l.source);
  if (above_half) return true;
  bool sound = true;
  port_line<C> port;
  double u[C] = {}, j[C] = {};
  for (int c = 0; c < C; ++c) u[c] = last[c];
  for (std::int64_t k = l.segments - 1; k >= 0 && sound; --k) {
    double sum = 0, channel[C] = {};
    for (int c = 0; c < C; ++c) {
      const rung_load load = load_at<true>(l, c, u[c]);
      port.y[c][c] += load.slope;
      j[c] += load.current;
      sum += j[c];
      channel[c] = k == 0 ? l.first_channel(c) : l.channel[c];
    }
    sound = put_behind(port, k == 0 ? l.first_common() : l.common, channel);
    for (int c = 0; c < C; ++c) u[c] += l.common * sum + l.channel[c] * j[c];
  }
  return sound;
}

/// The share of a Newton step to take: `whole` unless that leads uphill again, which `slope_at(share)` tells.
template <class Slope>
constexpr double downhill_share(double whole, const Slope& slope_at) noexcept {
  constexpr double rounding = 1e-9;  // what is left of the slope at the end of a step that was right
  const double start = slope_at(0.0);
  if (!(start < 0) || !(slope_at(whole) > -rounding * start)) return whole;
  double low = 0, high = whole;
  for (int halvings = 0; halvings < 60; ++halvings) {
    const double middle = 0.5 * (low + high), slope = slope_at(middle);
    (slope > 0 ? high : low) = middle;
    if (slope <= 0 && slope > 0.5 * start) break;
  }
  return low > 0 ? low : high;
}

/// One ladder's Newton iteration on all its voltages at once, in a caller's storage.
///
/// Why it cannot fail with loads whose current never falls as the voltage rises. Write u = V - Z q,
/// Z the symmetric, positive semidefinite resistance matrix of the wiring. The solution, q = i(u),
/// is where the convex function  psi(q) = q'Zq/2 + sum of W(u),  W' = i,  has slope zero; u is the same
/// for every minimum, hence unique. Newton's direction, du = -Z dq, goes downhill:
/// psi' = -(dq'Z dq + sum(slope du^2)), which is negative unless du = 0, which is the solution. Along
/// it, psi'(t) = sum du (i(u + t du) - q - t dq), a rising function of t that costs one pass; its zero is
/// searched between brackets, so that each step takes away a fixed share of what psi has to lose (the
/// curvatures of psi lie between Z and (1 + max slope |Z|) Z). With straight pieces, the first step that
/// starts with the right pieces ends on the solution.
///
/// Constant-power loads, started from q = 0, that is u = V: with no other loads, u - V + Z i(u) is convex
/// where i = P/u is, and while 1 + Z i' keeps its sign in elimination its inverse has no negative
/// entry (Z has none), so that Newton's steps fall from above to the upper solution and never pass it
/// (J. M. Ortega, W. C. Rheinboldt, Iterative Solution of Nonlinear Equations in Several Variables,
/// 1970, 13.3, from memory). A load below its limit, or a lost sign, therefore means that there is
/// none. With other loads beside them the steps are shortened so as to stay above the limits.
template <bool Power, int C>
class line_sweep {
 public:
  /// @param room  at least sweep_doubles(segments, C).
  constexpr line_sweep(const ladder<C>& l, std::span<double> room) noexcept : l_{l}, at_{room.data()} {
    for (int c = 0; c < C; ++c) first_channel_[c] = l.first_channel(c);
  }

  /// Iterates until a whole step moves no voltage by more than the tolerance; `last_step` says by how
  /// much the last one did.
  constexpr settling settle(double& last_step, int& sweeps) noexcept {
    constexpr int most_sweeps = 200;
    for (std::int64_t k = 0; k < l_.segments; ++k)
      for (int c = 0; c < C; ++c) {
        at_.u(k)[c] = l_.source;
        at_.q(k)[c] = 0;
      }
    for (sweeps = 1; sweeps <= most_sweeps; ++sweeps) {
      port_line<C> at_source;
      if (!eliminate(at_source)) return Power ? settling::no_operating_point : settling::stalled;
      last_step = substitute(at_source);
      if (!is_finite(last_step)) return settling::stalled;
      const double whole = share_above_limits();
      if (!(whole > least_share)) return settling::no_operating_point;
      const bool settled = whole == 1 && last_step <= l_.tolerance();
      advance(settled ? 1.0 : downhill_share(whole, [this](double t) noexcept { return slope_at(t); }));
      if (settled) return settling::settled;
    }
    return settling::stalled;
  }

  constexpr double voltage(std::int64_t k, int c) const noexcept { return at_.u(k)[c]; }

 private:
  static constexpr double least_share = 1e-9;

  /// Far to near: the current into each rung as a straight line in its voltage.
  constexpr bool eliminate(port_line<C>& port) noexcept {
    bool sound = true;
    for (std::int64_t k = l_.segments - 1; k >= 0 && sound; --k) {
      if (k < l_.segments - 1) {
        sound = put_behind(port, l_.common, l_.channel);
        for (int r = 0; r < C; ++r) {
          at_.bias(k)[r] = port.s[r];
          for (int x = 0; x < C; ++x) at_.pass(k)[r * C + x] = port.y[r][x];
        }
      }
      for (int c = 0; c < C; ++c) {
        const double u = at_.u(k)[c];
        const rung_load load = load_at<Power>(l_, c, u);
        port.y[c][c] += load.slope;
        port.s[c] += load.current - load.slope * u;
      }
    }
    return sound && put_behind(port, l_.first_common(), first_channel_);
  }

  /// Near to far: where the straightened loads would settle, as steps du, dq; the longest du.
  constexpr double substitute(const port_line<C>& at_source) noexcept {
    double into[C] = {}, u[C] = {}, longest = 0;
    for (int r = 0; r < C; ++r) {
      into[r] = at_source.s[r];
      for (int x = 0; x < C; ++x) into[r] += at_source.y[r][x] * l_.source;
      u[r] = l_.source;
    }
    for (std::int64_t k = 0;; ++k) {
      double sum = 0;
      for (int c = 0; c < C; ++c) sum += into[c];
      for (int c = 0; c < C; ++c)
        u[c] -= k == 0 ? l_.first_common() * sum + first_channel_[c] * into[c]
                       : l_.common * sum + l_.channel[c] * into[c];
      for (int c = 0; c < C; ++c) {
        const rung_load load = load_at<Power>(l_, c, at_.u(k)[c]);
        const double du = u[c] - at_.u(k)[c];
        at_.du(k)[c] = du;
        at_.dq(k)[c] = load.current + load.slope * du - at_.q(k)[c];
        longest = larger(longest, absolute(du));
      }
      if (k == l_.segments - 1) return longest;
      for (int r = 0; r < C; ++r) {
        into[r] = at_.bias(k)[r];
        for (int x = 0; x < C; ++x) into[r] += at_.pass(k)[r * C + x] * u[x];
      }
    }
  }

  /// The share of the step, 1 or less, that leaves every constant-power load above its limit; 0 when
  /// there are no others and one would fall below it, for then there is no solution above it.
  constexpr double share_above_limits() const noexcept {
    double share = 1;
    if constexpr (Power) {
      for (std::int64_t k = 0; k < l_.segments; ++k)
        for (int c = 0; c < C; ++c) {
          const double u = at_.u(k)[c], du = at_.du(k)[c], above = u - l_.cut_off[c];
          if (!(l_.power[c] > 0) || (above + du >= 0 && u + du > 0)) continue;
          if (l_.only_power_loads()) return 0;
          if (absolute(du) > 0) share = smaller(share, 0.5 * above / -du);
        }
    }
    return share;
  }

  constexpr double slope_at(double t) const noexcept {
    double slope = 0;
    for (std::int64_t k = 0; k < l_.segments; ++k)
      for (int c = 0; c < C; ++c) {
        const double du = at_.du(k)[c];
        slope += du * (load_at<Power>(l_, c, at_.u(k)[c] + t * du).current - at_.q(k)[c] - t * at_.dq(k)[c]);
      }
    return slope;
  }

  constexpr void advance(double share) noexcept {
    for (std::int64_t k = 0; k < l_.segments; ++k)
      for (int c = 0; c < C; ++c) {
        at_.u(k)[c] += share * at_.du(k)[c];
        at_.q(k)[c] += share * at_.dq(k)[c];
      }
  }

  const ladder<C>& l_;
  sweep_space<C> at_;
  double first_channel_[C] = {};
};

}  // namespace tapewright::detail
