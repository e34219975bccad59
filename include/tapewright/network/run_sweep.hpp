// SPDX-License-Identifier: BSL-1.0
// One Newton step of a run with any number of feed points: elimination along the tape, substitution back.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/ladder.hpp"
#include "tapewright/network/port_line.hpp"
#include "tapewright/network/run_cut.hpp"

namespace tapewright::detail {

/// A run's segments one by one, its stretches turned into bare numbers as they come; a stretch's
/// `feed_*` holds the joint before it.
template <int C>
class segment_walk {
 public:
  constexpr segment_walk(const fed_run& run, const lit_channels& lit, std::int64_t k,
                         double power = 1) noexcept
      : run_{run}, lit_{lit}, power_{power} {
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
    for (double& watt : tape_.power) watt *= power_;
  }
  const fed_run& run_;
  const lit_channels& lit_;
  double power_;  ///< factor on all constant powers
  std::size_t stretch_ = 0;
  std::int64_t in_ = 0;
  ladder<C> tape_;
};

/// Elimination and substitution over one run, segment by segment, in a caller's storage: see run_cut.hpp.
/// The tape beyond the outermost feed points is a plain ladder and is reduced to a port of C channels
/// (port_line.hpp); there every d must be positive, because with its inner end held it is a part of the
/// whole. At the end f = 0, and what is left is the run's own port. Each row that gave a load's voltage is
/// kept for the way back.
template <int C>
class run_sweep {
 public:
  using cut = run_cut<C>;
  static constexpr int conductors = cut::conductors, width = cut::width;

  constexpr run_sweep(const fed_run& run, const lit_channels& lit, run_room<C> room) noexcept
      : run_{run}, lit_{lit}, room_{room}, segments_{room.segments} {}

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
    now.start(run_.feeds[0], lit_);
    port_line<C> beyond;
    if (!eliminate_overhang(beyond, 0, run_.feeds[0].at, +1)) return false;
    now.shunt(beyond, room_.overhang(0));
    for (std::size_t j = 1; j < run_.feeds.size(); ++j) {
      eliminate_section(now, run_.feeds[j - 1].at, run_.feeds[j].at);
      if (!now.join(run_.feeds[j], lit_, room_.feed_rows(j))) return false;
    }
    if (!eliminate_overhang(beyond, segments_ - 1, run_.feeds.back().at - 1, -1)) return false;
    now.shunt(beyond, room_.overhang(1));
    now.tell(port);
    return now.unsound == 0;
  }

  /// The step to where the straightened loads settle with `terminals` volts; returns the longest change.
  constexpr double substitute(const double (&terminals)[C]) noexcept {
    longest_ = 0;
    double v[width] = {};
    for (int c = 0; c < C; ++c) v[conductors + c] = terminals[c];
    v[width - 1] = 1;
    substitute_overhang(v, room_.overhang(1), segments_ - 1, run_.feeds.back().at - 1, -1);
    for (std::size_t j = run_.feeds.size() - 1; j > 0; --j) {
      double* x = room_.feed_current(j);
      for (int r = 0; r < conductors; ++r) x[r] = cut::product(room_.feed_rows(j) + r * width, v);
      for (int r = 0; r < conductors; ++r) v[r] -= x[r];
      substitute_section(v, run_.feeds[j - 1].at, run_.feeds[j].at);
    }
    substitute_overhang(v, room_.overhang(0), 0, run_.feeds[0].at, +1);
    for (int r = 0; r < conductors; ++r) room_.feed_current(0)[r] = v[r];
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
  /// The share of the step that leaves every constant-power load above its limit. One that stays where it is sets none.
  constexpr double share_above_limits() const noexcept {
    double share = 1;
    each_load([&](const ladder<C>& l, std::int64_t k, int c) noexcept {
      const double above = u(k)[c] - l.cut_off[c], step = du(k)[c];
      if (!(l.power[c] > 0) || !(absolute(step) > 0) || (above + step >= 0 && u(k)[c] + step > 0)) return;
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
  constexpr double* u(std::int64_t k) const noexcept { return room_.u(k); }
  constexpr const fed_run& run() const noexcept { return run_; }
  constexpr const lit_channels& lit() const noexcept { return lit_; }
  constexpr const run_room<C>& room() const noexcept { return room_; }

 private:
  constexpr double* at(std::int64_t k) const noexcept {
    return room_.rungs + static_cast<std::size_t>(k) * run_room<C>::rung;
  }
  constexpr double* q(std::int64_t k) const noexcept { return at(k); }
  constexpr double* du(std::int64_t k) const noexcept { return at(k) + C; }
  constexpr double* dq(std::int64_t k) const noexcept { return at(k) + 2 * C; }
  constexpr double* rows(std::int64_t k) const noexcept { return at(k) + 3 * C; }

  template <class Visit>
  constexpr void each_load(const Visit& visit) const noexcept {
    segment_walk<C> walk{run_, lit_, 0, room_.power};
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

  constexpr void eliminate_section(cut& now, std::int64_t from, std::int64_t to) noexcept {
    segment_walk<C> walk{run_, lit_, from, room_.power};
    for (std::int64_t k = from; k < to; ++k, walk.forward()) {
      const ladder<C>& l = walk.tape();
      now.row[0][0] -= walk.common_before();
      for (int c = 0; c < C; ++c) now.row[1 + c][1 + c] -= walk.channel_before(c);
      for (int c = 0; c < C; ++c) {
        const rung_load load = load_at<true>(l, c, u(k)[c]);
        double open[width] = {};
        for (int x = 0; x < width; ++x) open[x] = now.row[0][x] - now.row[1 + c][x];
        now.attach(open, open[1 + c] - open[0], load.slope, load.current - load.slope * u(k)[c],
                   rows(k) + c * width,
                   [c](const double(&row)[width]) noexcept { return row[0] - row[1 + c]; });
      }
      now.row[0][0] -= 0.5 * l.common;
      for (int c = 0; c < C; ++c) now.row[1 + c][1 + c] -= 0.5 * l.channel[c];
    }
  }

  constexpr void substitute_section(double (&v)[width], std::int64_t from, std::int64_t to) noexcept {
    segment_walk<C> walk{run_, lit_, to - 1, room_.power};
    for (std::int64_t k = to - 1; k >= from; --k, walk.backward())
      for (int c = C - 1; c >= 0; --c) {
        const double current = record(walk.tape(), k, c, cut::product(rows(k) + c * width, v));
        v[0] += current;
        v[1 + c] -= current;
      }
  }

  /// The plain ladder from the run's end at `outer` up to, not including, segment `stop`, seen from the
  /// boundary there. `way` +1: the near end's; -1: the far end's.
  constexpr bool eliminate_overhang(port_line<C>& port, std::int64_t outer, std::int64_t stop,
                                    std::int64_t way) noexcept {
    port = {};
    if (outer == stop) return true;
    segment_walk<C> walk{run_, lit_, outer, room_.power};
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
    cut::unshunt(v, kept, now, into);
    segment_walk<C> walk{run_, lit_, stop - way, room_.power};
    bool first = true;
    for (std::int64_t k = stop - way;; k -= way) {
      double sum = 0;
      for (const double i : into) sum += i;
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
      const double* port = rows(k);
      for (int r = 0; r < C; ++r) {
        into[r] = port[C * C + r];
        for (int x = 0; x < C; ++x) into[r] += port[r * C + x] * now[x];
      }
      first = false;
    }
  }

  static constexpr void step(segment_walk<C>& walk, std::int64_t way) noexcept {
    if (way > 0) walk.forward();
    else walk.backward();
  }

  const fed_run& run_;
  const lit_channels& lit_;
  run_room<C> room_;
  std::int64_t segments_;
  double longest_ = 0;
};

}  // namespace tapewright::detail
