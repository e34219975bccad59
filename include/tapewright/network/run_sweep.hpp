// SPDX-License-Identifier: BSL-1.0
// One Newton step of a run with any number of feed points: elimination along the tape, substitution back.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/ladder.hpp"
#include "tapewright/network/port_line.hpp"
#include "tapewright/network/small_system.hpp"

namespace tapewright::detail {

/// A run's segments one by one, its stretches turned into bare numbers as they come; a stretch's
/// `feed_*` holds the joint before it.
template <int C>
class segment_walk {
 public:
  constexpr segment_walk(const fed_run& run, const lit_channels& lit, std::int64_t k) noexcept
      : run_{run}, lit_{lit} {
    while (k >= run.stretches[stretch_].line.segments && stretch_ + 1 < run.stretches.size())
      k -= run.stretches[stretch_++].line.segments;
    in_ = k;
    load();
  }
  constexpr const ladder<C>& tape() const noexcept { return tape_; }
  constexpr const tape_line& line() const noexcept { return run_.stretches[stretch_].line; }
  constexpr bool after_joint() const noexcept { return in_ == 0 && stretch_ > 0; }
  constexpr void forward() noexcept {
    if (++in_ < tape_.segments || stretch_ + 1 == run_.stretches.size()) return;
    ++stretch_;
    in_ = 0;
    load();
  }
  constexpr void backward() noexcept {
    if (in_-- > 0 || stretch_ == 0) return;
    --stretch_;
    load();
    in_ = tape_.segments - 1;
  }
  /// Resistance from the boundary before this segment to its loads: any joint, and half a pitch.
  constexpr double common_before() const noexcept {
    return 0.5 * tape_.common + (after_joint() ? tape_.feed_common : 0.0);
  }
  constexpr double channel_before(int c) const noexcept {
    return 0.5 * tape_.channel[c] + (after_joint() ? tape_.feed_channel[c] : 0.0);
  }

 private:
  constexpr void load() noexcept {
    const run_stretch& s = run_.stretches[stretch_];
    line_feed joint;
    joint.common = s.link_common;
    for (std::size_t c = 0; c < max_channels; ++c) joint.channel[c] = s.link_channel[c];
    tape_ = ladder_of<C>(s.line, joint, lit_);
  }
  const fed_run& run_;
  const lit_channels& lit_;
  std::size_t stretch_ = 0;
  std::int64_t in_ = 0;
  ladder<C> tape_;
};

/// Elimination and substitution over one run, in a caller's storage.
///
/// Terminals are a common one, taken as 0 V, and one per channel, at minus that channel's voltage u. A
/// cut through the tape has C + 1 potentials e (common first) and C + 1 currents f that flow on
/// beyond it. With straight loads everything left of a cut is linear in v = (f, u, 1):
///     e = rows of v,   channel currents into the terminals = rows of v.
/// Resistance in the tape takes its share from e; a load i = g (e_0 - e_c) + s adds i to f; a feed point
/// takes its own current x off f, from  e = terminals - R x.  The tape beyond the outermost feed points is a
/// plain ladder and is reduced to a port of C channels (port_line.hpp). At the end f = 0, and what is
/// left is the run's own port. Each row that gave a load's voltage is kept for the way back.
template <int C>
class run_sweep {
 public:
  static constexpr int conductors = C + 1;
  static constexpr int width = 2 * C + 2;  ///< of v: f, u, 1

  static constexpr std::size_t doubles(std::int64_t segments, std::size_t feeds) noexcept {
    return static_cast<std::size_t>(segments) * rung + feeds * station + 2 * overhang;
  }

  constexpr run_sweep(const fed_run& run, const lit_channels& lit, double* room) noexcept
      : run_{run}, lit_{lit}, segments_{segments_of(run)}, rungs_{room} {
    stations_ = rungs_ + static_cast<std::size_t>(segments_) * rung;
    overhangs_ = stations_ + run.feeds.size() * station;
  }

  constexpr void start(double source) noexcept {
    for (std::int64_t k = 0; k < segments_; ++k)
      for (int c = 0; c < C; ++c) {
        u(k)[c] = source;
        q(k)[c] = 0;
      }
  }

  /// The run as a port at its terminals; false when the loads have used up the stiffness of the wiring
  /// (constant power).
  constexpr bool eliminate(port_line<C>& port) noexcept {
    cut now;
    const feed_point& first = run_.feeds[0];
    now.row[0][0] = -first.common.v;
    for (int c = 0; c < C; ++c) {
      now.row[1 + c][1 + c] = -first.channel[lit_.of[c]].v;
      now.row[1 + c][conductors + c] = -1;
    }
    port_line<C> beyond;
    if (!eliminate_overhang(beyond, 0, first.at, +1) || !shunt(now, beyond, overhangs_)) return false;
    for (std::size_t j = 1; j < run_.feeds.size(); ++j) {
      if (!eliminate_section(now, run_.feeds[j - 1].at, run_.feeds[j].at)) return false;
      if (!join_feed(now, j)) return false;
    }
    const std::int64_t last = run_.feeds.back().at;
    if (!eliminate_overhang(beyond, segments_ - 1, last - 1, -1) ||
        !shunt(now, beyond, overhangs_ + overhang))
      return false;
    for (int r = 0; r < C; ++r) {
      for (int x = 0; x < C; ++x) port.y[r][x] = now.own[r][x];
      port.s[r] = now.own[r][C];
    }
    return true;
  }

  /// The step to where the straightened loads settle with `terminals` volts; returns the longest change.
  constexpr double substitute(const double (&terminals)[C]) noexcept {
    longest_ = 0;
    double v[width] = {};
    for (int c = 0; c < C; ++c) v[conductors + c] = terminals[c];
    v[width - 1] = 1;
    substitute_overhang(v, overhangs_ + overhang, segments_ - 1, run_.feeds.back().at - 1, -1);
    for (std::size_t j = run_.feeds.size() - 1; j > 0; --j) {
      double* x = feed_current_of(j);
      for (int r = 0; r < conductors; ++r) x[r] = product(feed_rows(j) + r * width, v);
      for (int r = 0; r < conductors; ++r) v[r] -= x[r];
      substitute_section(v, run_.feeds[j - 1].at, run_.feeds[j].at);
    }
    substitute_overhang(v, overhangs_, 0, run_.feeds[0].at, +1);
    for (int r = 0; r < conductors; ++r) feed_current_of(0)[r] = v[r];
    return longest_;
  }

  /// What is still wrong after a whole step, in amperes: how far the loads' currents miss the straight
  /// lines. 0 (to rounding) when each load is still where its line was drawn.
  constexpr double mismatch(double share) const noexcept {
    double sum = 0;
    each_load([&](const ladder<C>& l, std::int64_t k, int c) noexcept {
      sum += absolute(load_at<true>(l, c, u(k)[c] + share * du(k)[c]).current - q(k)[c] - share * dq(k)[c]);
    });
    return sum;
  }
  constexpr double slope_at(double share) const noexcept {
    double sum = 0;
    each_load([&](const ladder<C>& l, std::int64_t k, int c) noexcept {
      const double step = du(k)[c];
      sum += step * (load_at<true>(l, c, u(k)[c] + share * step).current - q(k)[c] - share * dq(k)[c]);
    });
    return sum;
  }
  /// The share of the step that leaves every constant-power load above its limit.
  constexpr double share_above_limits() const noexcept {
    double share = 1;
    each_load([&](const ladder<C>& l, std::int64_t k, int c) noexcept {
      const double above = u(k)[c] - l.cut_off[c], step = du(k)[c];
      if (!(l.power[c] > 0) || (above + step >= 0 && u(k)[c] + step > 0)) return;
      share = smaller(share, 0.5 * above / -step);
    });
    return share;
  }
  constexpr bool only_power_loads() const noexcept {
    bool only = true;
    for (const run_stretch& s : run_.stretches)
      for (int c = 0; c < C; ++c) only = only && s.line.law[lit_.of[c]].kind == load_kind::constant_power;
    return only;
  }
  constexpr bool any_power_loads() const noexcept {
    bool any = false;
    for (const run_stretch& s : run_.stretches)
      for (int c = 0; c < C; ++c) any = any || s.line.law[lit_.of[c]].kind == load_kind::constant_power;
    return any;
  }
  constexpr void advance(double share) noexcept {
    for (std::int64_t k = 0; k < segments_; ++k)
      for (int c = 0; c < C; ++c) {
        u(k)[c] += share * du(k)[c];
        q(k)[c] += share * dq(k)[c];
      }
  }
  /// Greatest resistance between any two loads' channel and the terminals: no transfer is greater.
  constexpr double resistance_bound() const noexcept {
    double bound = 0;
    for (int c = 0; c < C; ++c) {
      double sum = run_.feeds[0].common.v + run_.feeds[0].channel[lit_.of[c]].v;
      for (const run_stretch& s : run_.stretches) {
        const ohms pitch = s.line.common + s.line.channel[lit_.of[c]];
        sum +=
            pitch.v * static_cast<double>(s.line.segments) + s.link_common.v + s.link_channel[lit_.of[c]].v;
      }
      bound = larger(bound, sum);
    }
    return bound;
  }

  constexpr std::int64_t segments() const noexcept { return segments_; }
  constexpr double* u(std::int64_t k) const noexcept { return at(k); }
  /// Current of feed point j, common first and then the channels; as of the last step.
  constexpr double* feed_current_of(std::size_t j) const noexcept { return stations_ + j * station; }

 private:
  static constexpr std::size_t rung = 4 * C + C * width;
  static constexpr std::size_t station = conductors + conductors * width;
  static constexpr std::size_t overhang = C * width + C * C + C;

  /// Everything left of a cut: e as rows of v, and the channel currents into the terminals as rows of
  /// (u, 1). What these owe to f is the transpose of what e owes to u (reciprocity), kept once.
  struct cut {
    double row[conductors][width] = {};
    double own[C][C + 1] = {};
  };

  constexpr double* at(std::int64_t k) const noexcept { return rungs_ + static_cast<std::size_t>(k) * rung; }
  constexpr double* q(std::int64_t k) const noexcept { return at(k) + C; }
  constexpr double* du(std::int64_t k) const noexcept { return at(k) + 2 * C; }
  constexpr double* dq(std::int64_t k) const noexcept { return at(k) + 3 * C; }
  constexpr double* rows(std::int64_t k) const noexcept { return at(k) + 4 * C; }
  constexpr double* feed_rows(std::size_t j) const noexcept { return stations_ + j * station + conductors; }

  /// row v, in two sums that do not wait for each other: what (u, 1) give, and what f gives.
  static constexpr double product(const double* row, const double (&v)[width]) noexcept {
    double of_u = 0, of_f = 0;
    for (int x = 0; x < conductors; ++x) {
      of_u += row[conductors + x] * v[conductors + x];
      of_f += row[x] * v[x];
    }
    return of_u + of_f;
  }

  template <class Visit>
  constexpr void each_load(const Visit& visit) const noexcept {
    segment_walk<C> walk{run_, lit_, 0};
    for (std::int64_t k = 0; k < segments_; ++k, walk.forward())
      for (int c = 0; c < C; ++c) visit(walk.tape(), k, c);
  }

  /// Keeps a load's step: its new voltage, and the current of its straight line there.
  constexpr double record(const ladder<C>& l, std::int64_t k, int c, double to) noexcept {
    const rung_load load = load_at<true>(l, c, u(k)[c]);
    const double step = to - u(k)[c], current = load.current + load.slope * step;
    du(k)[c] = step;
    dq(k)[c] = current - q(k)[c];
    longest_ = larger(longest_, absolute(step));
    return current;
  }

  constexpr bool eliminate_section(cut& now, std::int64_t from, std::int64_t to) noexcept {
    segment_walk<C> walk{run_, lit_, from};
    for (std::int64_t k = from; k < to; ++k, walk.forward()) {
      const ladder<C>& l = walk.tape();
      now.row[0][0] -= walk.common_before();
      for (int c = 0; c < C; ++c) now.row[1 + c][1 + c] -= walk.channel_before(c);
      for (int c = 0; c < C; ++c) {
        const rung_load load = load_at<true>(l, c, u(k)[c]);
        const double bias = load.current - load.slope * u(k)[c];
        double open[width] = {}, current[width] = {};
        for (int x = 0; x < width; ++x) open[x] = now.row[0][x] - now.row[1 + c][x];
        const double w = open[1 + c] - open[0], d = 1 + load.slope * w;
        if (!(d > 0)) return false;
        const double share = 1 / d, conductance = load.slope * share;
        for (int x = 0; x < width; ++x) current[x] = conductance * open[x];
        current[width - 1] += bias * share;
        for (auto& row : now.row) {
          const double per_amp = row[0] - row[1 + c];
          for (int x = 0; x < width; ++x) row[x] += per_amp * current[x];
        }
        for (int r = 0; r < C; ++r)
          for (int x = 0; x <= C; ++x) now.own[r][x] += open[conductors + r] * current[conductors + x];
        double* kept = rows(k) + c * width;
        for (int x = 0; x < width; ++x) kept[x] = share * open[x];
        kept[width - 1] -= w * bias * share;
      }
      now.row[0][0] -= 0.5 * l.common;
      for (int c = 0; c < C; ++c) now.row[1 + c][1 + c] -= 0.5 * l.channel[c];
    }
    return true;
  }

  constexpr void substitute_section(double (&v)[width], std::int64_t from, std::int64_t to) noexcept {
    segment_walk<C> walk{run_, lit_, to - 1};
    for (std::int64_t k = to - 1; k >= from; --k, walk.backward())
      for (int c = C - 1; c >= 0; --c) {
        const double current = record(walk.tape(), k, c, product(rows(k) + c * width, v));
        v[0] += current;
        v[1 + c] -= current;
      }
  }

  /// Feed point j: (Z + R) x = terminals - e, and the rest of f comes from the left. Where a conductor
  /// has no resistance at all around the loop, its row is zero and how the current parts is anybody's
  /// guess: the earlier feed point is said to carry it.
  constexpr bool join_feed(cut& now, std::size_t j) noexcept {
    const feed_point& feed = run_.feeds[j];
    small_system<conductors> system;
    for (int r = 0; r < conductors; ++r)
      for (int x = 0; x < conductors; ++x) system.a[r][x] = -now.row[r][x];
    system.a[0][0] += feed.common.v;
    for (int c = 0; c < C; ++c) system.a[1 + c][1 + c] += feed.channel[lit_.of[c]].v;
    for (int m = 0; m < conductors; ++m)
      if (system.a[m][m] == 0) system.a[m][m] = 1;
    if (!system.factor() || !(system.sign > 0)) return false;
    double into[conductors][width] = {};
    for (int x = 0; x < width; ++x) {
      double column[conductors] = {};
      for (int r = 0; r < conductors; ++r)
        column[r] = (r > 0 && x == conductors + r - 1 ? -1.0 : 0.0) - now.row[r][x];
      system.solve(column);
      for (int r = 0; r < conductors; ++r) into[r][x] = feed_rows(j)[r * width + x] = column[r];
    }
    for (int r = 0; r < C; ++r)
      for (int x = 0; x <= C; ++x) {
        double sum = now.own[r][x] - into[1 + r][conductors + x];
        for (int m = 0; m < conductors; ++m) sum -= now.row[m][conductors + r] * into[m][conductors + x];
        now.own[r][x] = sum;
      }
    for (auto& row : now.row) {
      double of_f[conductors] = {};
      for (int m = 0; m < conductors; ++m) of_f[m] = row[m];
      for (int m = 0; m < conductors; ++m)
        for (int x = 0; x < width; ++x) row[x] -= of_f[m] * into[m][x];
    }
    return true;
  }

  /// Hangs a port of C channels on a cut: i = y u + s with (1 + y W) i = y u_open + s.
  constexpr bool shunt(cut& now, const port_line<C>& port, double* kept) noexcept {
    double open[C][width] = {}, per_amp[C][C] = {}, current[C][width] = {};
    for (int c = 0; c < C; ++c)
      for (int x = 0; x < width; ++x) open[c][x] = now.row[0][x] - now.row[1 + c][x];
    for (int c = 0; c < C; ++c)
      for (int x = 0; x < C; ++x) per_amp[c][x] = open[c][1 + x] - open[c][0];
    small_system<C> system;
    for (int r = 0; r < C; ++r)
      for (int x = 0; x < C; ++x) {
        system.a[r][x] = r == x ? 1.0 : 0.0;
        for (int m = 0; m < C; ++m) system.a[r][x] += port.y[r][m] * per_amp[m][x];
      }
    if (!system.factor() || !(system.sign > 0)) return false;
    for (int x = 0; x < width; ++x) {
      double column[C] = {};
      for (int r = 0; r < C; ++r) {
        column[r] = x == width - 1 ? port.s[r] : 0.0;
        for (int m = 0; m < C; ++m) column[r] += port.y[r][m] * open[m][x];
      }
      system.solve(column);
      for (int r = 0; r < C; ++r) current[r][x] = column[r];
    }
    for (int c = 0; c < C; ++c)
      for (int x = 0; x < width; ++x) {
        double voltage = open[c][x];
        for (int m = 0; m < C; ++m) voltage -= per_amp[c][m] * current[m][x];
        kept[c * width + x] = voltage;
      }
    for (int r = 0; r < C; ++r) {
      for (int x = 0; x < C; ++x) kept[C * width + r * C + x] = port.y[r][x];
      kept[C * width + C * C + r] = port.s[r];
    }
    for (int r = 0; r < C; ++r)
      for (int x = 0; x <= C; ++x)
        for (int c = 0; c < C; ++c) now.own[r][x] += open[c][conductors + r] * current[c][conductors + x];
    for (auto& row : now.row) {
      double of_port[C] = {};
      for (int c = 0; c < C; ++c) of_port[c] = row[0] - row[1 + c];
      for (int c = 0; c < C; ++c)
        for (int x = 0; x < width; ++x) row[x] += of_port[c] * current[c][x];
    }
    return true;
  }

  /// The plain ladder from the run's end at `outer` up to, not including, segment `stop`, seen from the
  /// boundary there. `way` +1: the near end's; -1: the far end's.
  constexpr bool eliminate_overhang(port_line<C>& port, std::int64_t outer, std::int64_t stop,
                                    std::int64_t way) noexcept {
    port = {};
    if (outer == stop) return true;
    segment_walk<C> walk{run_, lit_, outer};
    for (std::int64_t k = outer;; k += way) {
      const ladder<C>& l = walk.tape();
      for (int c = 0; c < C; ++c) {
        const rung_load load = load_at<true>(l, c, u(k)[c]);
        port.y[c][c] += load.slope;
        port.s[c] += load.current - load.slope * u(k)[c];
      }
      const bool innermost = k + way == stop;
      double common = way > 0 ? 0.5 * l.common : walk.common_before(), channel[C] = {};
      for (int c = 0; c < C; ++c) channel[c] = way > 0 ? 0.5 * l.channel[c] : walk.channel_before(c);
      if (!innermost) {
        step(walk, way);
        common += way > 0 ? walk.common_before() : 0.5 * walk.tape().common;
        for (int c = 0; c < C; ++c)
          channel[c] += way > 0 ? walk.channel_before(c) : 0.5 * walk.tape().channel[c];
      }
      if (!put_behind(port, common, channel)) return false;
      if (innermost) return true;
      double* kept = rows(k + way);  // how the inner neighbour feeds this one
      for (int r = 0; r < C; ++r) {
        for (int x = 0; x < C; ++x) kept[r * C + x] = port.y[r][x];
        kept[C * C + r] = port.s[r];
      }
    }
  }

  constexpr void substitute_overhang(double (&v)[width], const double* kept, std::int64_t outer,
                                     std::int64_t stop, std::int64_t way) noexcept {
    if (outer == stop) return;
    double now[C] = {}, into[C] = {};
    for (int c = 0; c < C; ++c) now[c] = product(kept + c * width, v);
    const double* port = kept + C * width;
    segment_walk<C> walk{run_, lit_, stop - way};
    bool first = true;
    for (std::int64_t k = stop - way;; k -= way) {
      double sum = 0;
      for (int r = 0; r < C; ++r) {
        into[r] = port[C * C + r];
        for (int x = 0; x < C; ++x) into[r] += port[r * C + x] * now[x];
        sum += into[r];
      }
      if (first)
        for (int c = 0; c < C; ++c) {
          v[0] += into[c];
          v[1 + c] -= into[c];
        }
      double common = 0, channel[C] = {};
      if (!first) {  // the rest of the gap, from the inner neighbour
        common = way > 0 ? walk.common_before() : 0.5 * walk.tape().common;
        for (int c = 0; c < C; ++c)
          channel[c] = way > 0 ? walk.channel_before(c) : 0.5 * walk.tape().channel[c];
        step(walk, -way);
      }
      common += way > 0 ? 0.5 * walk.tape().common : walk.common_before();
      for (int c = 0; c < C; ++c)
        channel[c] += way > 0 ? 0.5 * walk.tape().channel[c] : walk.channel_before(c);
      for (int c = 0; c < C; ++c) now[c] -= common * sum + channel[c] * into[c];
      for (int c = 0; c < C; ++c) record(walk.tape(), k, c, now[c]);
      if (k == outer) return;
      port = rows(k);
      first = false;
    }
  }

  static constexpr void step(segment_walk<C>& walk, std::int64_t way) noexcept {
    if (way > 0) walk.forward();
    else walk.backward();
  }

  const fed_run& run_;
  const lit_channels& lit_;
  std::int64_t segments_;
  double* rungs_;
  double* stations_ = nullptr;
  double* overhangs_ = nullptr;
  double longest_ = 0;
};

}  // namespace tapewright::detail
