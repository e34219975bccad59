// SPDX-License-Identifier: BSL-1.0
// A ladder solved by marching from its far end, where no current flows on: constant memory.
#pragma once

#include <cstdint>

#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/ladder.hpp"
#include "tapewright/network/small_system.hpp"

namespace tapewright::detail {

/// Where a march arrives, and (columns of du, padded to pairs for the vector unit) how that depends on
/// where it began.
template <int C>
struct march_end {
  static constexpr int width = C == 1 ? 1 : (C + 1) / 2 * 2;
  double source[C] = {};     ///< voltage that the start asks of the source, per channel
  double current[C] = {};    ///< at the feed point
  double du[C][width] = {};  ///< d source / d start
  bool cut_off = false;      ///< a constant-power load fell below its limit on the way
};

/// Marches from the last load to the source. Every rung's equations hold exactly (to rounding) by
/// construction: what `source` misses of the ladder's own source voltage is the only residual.
/// @param start  voltage across the last load of each channel.
/// One rung costs C loads and, with `Slopes`, 2 C^2 + C multiplications, 3 C^2 additions.
template <bool Slopes, bool Power, int C>
constexpr march_end<C> marched(const ladder<C>& l, const double (&start)[C]) noexcept {
  constexpr int width = march_end<C>::width;
  march_end<C> end;
  double u[C] = {}, j[C] = {};
  double du[C][width] = {}, dj[C][width] = {};
  for (int c = 0; c < C; ++c) {
    u[c] = start[c];
    du[c][c] = 1;
  }
  for (std::int64_t k = l.segments; k > 0; --k) {
    double sum = 0, slope[C] = {};
    for (int c = 0; c < C; ++c) {
      const rung_load load = load_at<Power>(l, c, u[c]);
      if constexpr (Power) end.cut_off = end.cut_off || (l.power[c] > 0 && !(load.current > 0));
      j[c] += load.current;
      sum += j[c];
      slope[c] = load.slope;
    }
    const bool first = k == 1;
    const double common = first ? l.first_common() : l.common;
    double channel[C] = {};
    for (int c = 0; c < C; ++c) channel[c] = first ? l.first_channel(c) : l.channel[c];
    for (int c = 0; c < C; ++c) u[c] += common * sum + channel[c] * j[c];
    if constexpr (Slopes) {
      double dsum[width] = {};
      for (int c = 0; c < C; ++c)
        for (int x = 0; x < width; ++x) {
          dj[c][x] += slope[c] * du[c][x];
          dsum[x] += dj[c][x];
        }
      for (int x = 0; x < width; ++x) dsum[x] *= common;
      for (int c = 0; c < C; ++c)
        for (int x = 0; x < width; ++x) du[c][x] += dsum[x] + channel[c] * dj[c][x];
    }
  }
  for (int c = 0; c < C; ++c) {
    end.source[c] = u[c];
    end.current[c] = j[c];
    if constexpr (Slopes)
      for (int x = 0; x < width; ++x) end.du[c][x] = du[c][x];
  }
  return end;
}

/// As `marched`, with one column of du in place of all: a fifth of the memory for the price of marching anew for each
/// column. Column by column the same operations, so the same bits. `column` is only written with `Slopes`.
/// @return  false where a constant-power load fell below its limit on the way.
template <bool Slopes, bool Power, int C>
[[gnu::noinline]] constexpr bool marched_column(const ladder<C>& l, const double (&start)[C], int of,
                                                double (&source)[C], double (&column)[C]) noexcept {
  bool lit = true;
  double j[C] = {}, dj[C] = {};
  for (int c = 0; c < C; ++c) {
    source[c] = start[c];
    if constexpr (Slopes) column[c] = c == of ? 1 : 0;
  }
  for (std::int64_t k = l.segments; k > 0; --k) {
    double sum = 0, dsum = 0;
    for (int c = 0; c < C; ++c) {
      const rung_load load = load_at<Power>(l, c, source[c]);
      if constexpr (Power) lit = lit && !(l.power[c] > 0 && !(load.current > 0));
      j[c] += load.current;
      sum += j[c];
      if constexpr (Slopes) {
        dj[c] += load.slope * column[c];
        dsum += dj[c];
      }
    }
    const bool first = k == 1;
    const double common = first ? l.first_common() : l.common;
    if constexpr (Slopes) dsum *= common;
    for (int c = 0; c < C; ++c) {
      const double channel = first ? l.first_channel(c) : l.channel[c];
      source[c] += common * sum + channel * j[c];
      if constexpr (Slopes) column[c] += dsum + channel * dj[c];
    }
  }
  return lit;
}

/// What came of an attempt to settle a ladder.
enum class settling { settled, stalled, no_operating_point };

/// The far-end voltages that reproduce the source, by Newton's method from a fully lit far end.
///
/// When it says `settled` the answer is THE answer, by residual: with monotone loads the equations
/// have one solution (line_sweep.hpp tells why). Between two corners of the loads' laws the march is
/// a linear map, so that a step of share t takes that share off the residual until it meets a
/// corner: a step that does not help is halved until it does. It may stall all the same, on lines so
/// long that the march forgets where it began (its derivative grows like exp(length)). It says so
/// within `most_marches`; line_sweep takes over then.
///
/// With constant-power loads, started above every solution, `no_operating_point` means that the march
/// lost the sign of its derivative, or cannot come nearer to the source (not without a load falling
/// below its limit, if there are others beside them, whose growth could be what stops it). That is
/// a finding, not a proof (line_sweep has one); of 6,000 random tapes said to collapse, all did.
/// `Frugal` marches column by column: the same bits with less than half the stack.
/// @param start  in: nothing. out: voltage across the last load of each channel.
template <bool Power, bool Frugal = false, int C>
constexpr settling settle_by_march(const ladder<C>& l, double (&start)[C], double& residual,
                                   int& marches) noexcept {
  constexpr int most_marches = 120;
  constexpr double same_pieces = 1e-3;  // a residual that falls so fast met no new corner
  constexpr double least_share = 1e-6;
  double miss[C] = {}, step[C] = {};
  const auto missed_by = [&](const double(&source)[C], bool cut_off) noexcept {
    double worst = 0;
    for (int c = 0; c < C; ++c) {
      miss[c] = l.source - source[c];
      worst = larger(worst, absolute(miss[c]));
    }
    return cut_off || !is_finite(worst) ? infinity : worst;
  };
  // marches from `start`, with all slopes or without any, and tells the residual
  const auto march_with_slopes = [&](small_system<C>& system) noexcept {
    if constexpr (Frugal) {
      bool lit = true;
      for (int x = 0; x < C; ++x) {
        lit = marched_column<true, Power>(l, start, x, miss, step);
        for (int c = 0; c < C; ++c) system.a[c][x] = step[c];
      }
      return missed_by(miss, !lit);
    } else {
      const march_end<C> end = marched<true, Power>(l, start);
      for (int c = 0; c < C; ++c)
        for (int x = 0; x < C; ++x) system.a[c][x] = end.du[c][x];
      return missed_by(end.source, end.cut_off);
    }
  };
  const auto march_plainly = [&]() noexcept {
    if constexpr (Frugal) {
      double source[C] = {};
      const bool lit = marched_column<false, Power>(l, start, 0, source, source);
      return missed_by(source, !lit);
    } else {
      const march_end<C> end = marched<false, Power>(l, start);
      return missed_by(end.source, end.cut_off);
    }
  };
  for (int c = 0; c < C; ++c) start[c] = l.source;
  for (marches = 1; marches < most_marches; ++marches) {
    small_system<C> system;
    residual = march_with_slopes(system);
    if (residual <= l.tolerance()) return settling::settled;
    if (residual == infinity) return settling::stalled;
    const bool regular = system.factor();
    if (Power && !(system.sign > 0)) return settling::no_operating_point;
    if (!regular) return settling::stalled;
    // The factors serve again as long as they serve well: a plain march costs a fifth.
    for (bool well = true; well && marches < most_marches;) {
      const double before = residual;
      for (int c = 0; c < C; ++c) step[c] = miss[c];
      system.solve(step);
      double share = 1;
      for (int c = 0; c < C; ++c) start[c] += step[c];
      for (;;) {
        ++marches;
        residual = march_plainly();
        if (residual <= l.tolerance()) return settling::settled;
        if (residual < before) break;
        share *= 0.5;
        if (share < least_share && Power && (residual == infinity || l.only_power_loads()))
          return settling::no_operating_point;
        if (share < least_share || marches >= most_marches) return settling::stalled;
        for (int c = 0; c < C; ++c) start[c] -= share * step[c];
      }
      well = residual < same_pieces * before;
    }
  }
  return settling::stalled;
}

}  // namespace tapewright::detail
