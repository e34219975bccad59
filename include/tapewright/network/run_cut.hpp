// SPDX-License-Identifier: BSL-1.0
// Everything left of a cut through a run, as straight lines; and where a run's figures are kept.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/port_line.hpp"
#include "tapewright/network/small_system.hpp"
#include "tapewright/network/uniform_block.hpp"

namespace tapewright::detail {

/// Everything left of a cut through a run of C channels.
///
/// Terminals are a common one, taken as 0 V, and one per channel, at minus that channel's voltage u. A
/// cut through the tape has C + 1 potentials e (common first) and C + 1 currents f that flow on
/// beyond it. With straight loads everything left of a cut is linear in v = (f, u, 1):
///     e = rows of v,   channel currents into the terminals = rows of (u, 1), and what they owe to f is the
/// transpose of what e owes to u (reciprocity), kept once.
/// Resistance in the tape takes its share from e; a load i = g (e_0 - e_c) + s adds i to f; a feed point
/// takes its own current x off f, from  e = terminals - R x.
///
/// Why `unsound` tells whether the straightened loads of falling current (constant power) leave the run
/// stiff. All this is elimination of unknowns, block by block, from one symmetric system: currents of resistors and
/// potentials, [R A; A' -Y], Y the loads' conductances. The signs of its eigenvalues are those of the blocks
/// eliminated, in whatever order (E. V. Haynsworth, inertia of Schur complements, 1968, from memory); and, taken
/// in the order resistors first, they are one positive for each resistor and those of -(A'R^-1 A + Y) for the
/// potentials. So A'R^-1 A + Y, which Newton's method needs positive definite, has as many negative
/// eigenvalues as there are positive ones too many over all blocks. A load's own block [w 1; 1 -g], w what its
/// voltage falls an ampere, has one eigenvalue of each sign while d = 1 + g w > 0; with d < 0 both are positive
/// where g < 0, both negative where g > 0. A feed point's block W + R has too few positive ones by the number of
/// its negative ones. A single cut may well be unsound by itself, fed from the left alone, when the run is not: it
/// is the sum that counts, at the end.
template <int C>
struct run_cut {
  static constexpr int conductors = C + 1;
  static constexpr int width = 2 * C + 2;  ///< of v: f, u, 1
  static constexpr std::size_t overhang = C * width + C * C + 2 * C;

  double row[conductors][width] = {};
  double own[C][C + 1] = {};
  int unsound = 0;

  /// row v, in two sums that do not wait for each other: what (u, 1) give, and what f gives.
  static constexpr double product(const double* row, const double (&v)[width]) noexcept {
    double of_u = 0, of_f = 0;
    for (int x = 0; x < conductors; ++x) {
      of_u += row[conductors + x] * v[conductors + x];
      of_f += row[x] * v[x];
    }
    return of_u + of_f;
  }

  constexpr void start(const feed_point& feed, const lit_channels& lit) noexcept {
    row[0][0] = -feed.common.v;
    for (int c = 0; c < C; ++c) {
      row[1 + c][1 + c] = -feed.channel[lit.of[c]].v;
      row[1 + c][conductors + c] = -1;
    }
  }

  /// A load i = g v + s across the voltage v that `open` gives as a row; w is what an ampere lowers v by, and
  /// per_amp(row) what an ampere more in the load adds to a row. Keeps v as a row of what is then the cut.
  template <class PerAmp>
  constexpr void attach(const double (&open)[width], double w, double g, double s, double* kept,
                        const PerAmp& per_amp) noexcept {
    double current[width] = {};
    const double d = 1 + g * w, share = 1 / d, conductance = g * share;
    if (!(d > 0)) unsound += g < 0 ? 1 : -1;
    for (int x = 0; x < width; ++x) current[x] = conductance * open[x];
    current[width - 1] += s * share;
    for (auto& each : row) {
      const double more = per_amp(each);
      for (int x = 0; x < width; ++x) each[x] += more * current[x];
    }
    for (int r = 0; r < C; ++r)
      for (int x = 0; x <= C; ++x) own[r][x] += open[conductors + r] * current[conductors + x];
    for (int x = 0; x < width; ++x) kept[x] = share * open[x];
    kept[width - 1] -= w * s * share;
  }

  /// Hangs a port i = y u + s on the cut: along the axes of y it is C loads that do not know each other.
  constexpr void shunt(const port_line<C>& port, double* kept) noexcept {
    double y[C][C] = {}, axis[C][C] = {};
    for (int r = 0; r < C; ++r)
      for (int c = 0; c < C; ++c) y[r][c] = 0.5 * (port.y[r][c] + port.y[c][r]);
    diagonalise(y, axis);
    double* axes = kept + C * width;
    for (int m = 0; m < C; ++m) {
      double open[width] = {}, s = 0;
      for (int c = 0; c < C; ++c) {
        s += axis[c][m] * port.s[c];
        for (int x = 0; x < width; ++x) open[x] += axis[c][m] * (row[0][x] - row[1 + c][x]);
      }
      const auto per_amp = [&](const double(&each)[width]) noexcept {
        double more = 0;
        for (int c = 0; c < C; ++c) more += axis[c][m] * (each[0] - each[1 + c]);
        return more;
      };
      attach(open, -per_amp(open), y[m][m], s, kept + m * width, per_amp);
      for (int c = 0; c < C; ++c) axes[c * C + m] = axis[c][m];
      axes[C * C + m] = y[m][m];
      axes[C * C + C + m] = s;
    }
  }
  /// The way back: voltages and currents of that port, and f without it.
  static constexpr void unshunt(double (&v)[width], const double* kept, double (&u)[C],
                                double (&into)[C]) noexcept {
    const double* axes = kept + C * width;
    for (int c = 0; c < C; ++c) u[c] = into[c] = 0;
    for (int m = C - 1; m >= 0; --m) {
      const double volt = product(kept + m * width, v), i = axes[C * C + m] * volt + axes[C * C + C + m];
      for (int c = 0; c < C; ++c) {
        const double share = axes[c * C + m] * i;
        u[c] += axes[c * C + m] * volt;
        into[c] += share;
        v[0] += share;
        v[1 + c] -= share;
      }
    }
  }

  /// A feed point: (W + R) x = terminals - e, and the rest of f comes from the left; keeps x as rows of v.
  /// Where a conductor has no resistance at all around the loop, its row is zero and how the current parts
  /// is anybody's guess: the earlier feed point is said to carry it.
  constexpr bool join(const feed_point& feed, const lit_channels& lit, double* kept) noexcept {
    symmetric_system<conductors> system;
    for (int r = 0; r < conductors; ++r)
      for (int x = 0; x < conductors; ++x) system.a[r][x] = -0.5 * (row[r][x] + row[x][r]);
    system.a[0][0] += feed.common.v;
    for (int c = 0; c < C; ++c) system.a[1 + c][1 + c] += feed.channel[lit.of[c]].v;
    for (int m = 0; m < conductors; ++m)
      if (system.a[m][m] == 0) system.a[m][m] = 1;
    if (!system.factor()) return false;
    unsound -= system.negative;
    double into[conductors][width] = {};
    for (int r = 0; r < conductors; ++r) {
      for (int x = 0; x < width; ++x) into[r][x] = -row[r][x];
      if (r > 0) into[r][conductors + r - 1] -= 1;
    }
    system.solve(into);
    for (int r = 0; r < conductors; ++r)
      for (int x = 0; x < width; ++x) kept[r * width + x] = into[r][x];
    for (int r = 0; r < C; ++r)
      for (int x = 0; x <= C; ++x) {
        double sum = own[r][x] - into[1 + r][conductors + x];
        for (int m = 0; m < conductors; ++m) sum -= row[m][conductors + r] * into[m][conductors + x];
        own[r][x] = sum;
      }
    for (auto& each : row) {
      double of_f[conductors] = {};
      for (int m = 0; m < conductors; ++m) of_f[m] = each[m];
      for (int m = 0; m < conductors; ++m)
        for (int x = 0; x < width; ++x) each[x] -= of_f[m] * into[m][x];
    }
    return true;
  }

  /// The run's own port, when nothing flows on.
  constexpr void tell(port_line<C>& port) const noexcept {
    for (int r = 0; r < C; ++r) {
      for (int x = 0; x < C; ++x) port.y[r][x] = own[r][x];
      port.s[r] = own[r][C];
    }
  }
};

/// A run's part of the workspace.
template <int C>
struct run_room {
  static constexpr std::size_t width = run_cut<C>::width, conductors = C + 1;
  static constexpr std::size_t head = 5, block = C * width + C * C + C;  ///< block_sweep.hpp
  static constexpr std::size_t tally = 4 + 5 * C + 1;
  static constexpr std::size_t rung = 3 * C + C * width;  ///< run_sweep.hpp

  static constexpr std::size_t most_blocks(const fed_run& run) noexcept {
    return (run.feeds.size() + 1) * (2 * C + 6);
  }
  static constexpr std::size_t doubles(const fed_run& run) noexcept {
    return static_cast<std::size_t>(segments_of(run)) * (C + rung) +
           run.feeds.size() * conductors * (1 + width) + 2 * run_cut<C>::overhang +
           most_blocks(run) * (head + block) + tally;
  }

  constexpr run_room(const fed_run& run, double* room, double all_power) noexcept
      : segments{segments_of(run)}, power{all_power}, u_{room} {
    feed_currents_ = u_ + static_cast<std::size_t>(segments) * C;
    feed_rows_ = feed_currents_ + run.feeds.size() * conductors;
    overhangs_ = feed_rows_ + run.feeds.size() * conductors * width;
    blocks = overhangs_ + 2 * run_cut<C>::overhang;
    rungs = blocks + most_blocks(run) * (head + block) + tally;
  }
  /// Voltages across the loads of segment k.
  constexpr double* u(std::int64_t k) const noexcept { return u_ + k * C; }
  /// Current of feed point j, common first and then the channels; as of the last step.
  constexpr double* feed_current(std::size_t j) const noexcept { return feed_currents_ + j * conductors; }
  constexpr double* feed_rows(std::size_t j) const noexcept { return feed_rows_ + j * conductors * width; }
  constexpr double* overhang(std::size_t end) const noexcept {
    return overhangs_ + end * run_cut<C>::overhang;
  }

  std::int64_t segments = 0;
  double power = 1;  ///< factor on all constant powers
  double* blocks = nullptr;
  double* rungs = nullptr;

 private:
  double* u_ = nullptr;
  double* feed_currents_ = nullptr;
  double* feed_rows_ = nullptr;
  double* overhangs_ = nullptr;
};

}  // namespace tapewright::detail
