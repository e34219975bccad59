// SPDX-License-Identifier: BSL-1.0
// One Newton step of a run with any number of feed points, many equal segments at a time.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/ladder.hpp"
#include "tapewright/network/port_line.hpp"
#include "tapewright/network/run_cut.hpp"
#include "tapewright/network/small_system.hpp"
#include "tapewright/network/uniform_block.hpp"

namespace tapewright::detail {

/// What a walk along a run adds up.
template <int C>
struct run_tally {
  double gap = 0, lamps = 0, trace = 0, link = 0;
  double current[C] = {}, low[C] = {}, high[C] = {}, least[C] = {}, most[C] = {};
};

/// As run_sweep, for loads without constant power: a run is cut into blocks of equal segments whose loads are
/// all assumed on the same pieces of their laws. A block is eliminated as a whole (uniform_block.hpp), whatever
/// its length; then a walk writes all voltages and sees whether the assumed pieces hold.
///
/// A walk leans on where it began, and what it began with wrongly grows like exp(length sqrt(x)). It is
/// therefore begun anew, from the block's own ends, before that reaches exp(2). Where it arrives and where the
/// block says that it should arrive are two independent answers: the greatest gap between them is told as the
/// residual.
template <int C>
class block_sweep {
 public:
  using cut = run_cut<C>;
  static constexpr int conductors = C + 1, width = cut::width;

  constexpr block_sweep(const fed_run& run, const lit_channels& lit, run_room<C> room) noexcept
      : run_{run}, lit_{lit}, room_{room}, most_{run_room<C>::most_blocks(run)} {
    tally_ = room.blocks;
    count_ = tally_ + run_room<C>::tally - 1;
    heads_ = count_ + 1;
    blocks_ = heads_ + most_ * head;
  }

  /// Blocks on the pieces that the source voltage would mean. False when there are too many.
  constexpr bool start(double source, double slack) noexcept {
    slack_ = slack;
    std::size_t n = 0;
    std::int64_t at = 0;
    std::size_t feed = 0;
    for (std::size_t s = 0; s < run_.stretches.size(); ++s) {
      const ladder<C> l = tape_of(s);
      std::uint32_t pattern = 0;
      for (int c = 0; c < C; ++c) pattern = with_piece(pattern, c, piece_at(l, c, source, piece::rising, 0));
      for (std::int64_t left = l.segments; left > 0;) {
        while (feed < run_.feeds.size() && run_.feeds[feed].at <= at) ++feed;
        std::int64_t take = left;
        if (feed < run_.feeds.size() && run_.feeds[feed].at - at < take) take = run_.feeds[feed].at - at;
        if (n == most_) return false;
        write_head(n++, s, take, pattern, left == l.segments);
        at += take;
        left -= take;
      }
    }
    *count_ = static_cast<double>(n);
    return true;
  }

  constexpr bool eliminate(port_line<C>& port) noexcept {
    cut now;
    now.start(run_.feeds[0], lit_);
    std::size_t b = 0;
    std::int64_t at = 0;
    port_line<C> beyond;
    parts p;
    for (; at < run_.feeds[0].at; ++b) {
      load(p, b, false);
      if (p.joint && b > 0) {
        const run_stretch& s = run_.stretches[p.stretch];
        double own[C] = {};
        for (int c = 0; c < C; ++c) own[c] = s.link_channel[lit_.of[c]].v;
        if (!put_behind(beyond, s.link_common.v, own)) return false;
      }
      if (!extend(beyond, p, blocks_ + b * block)) return false;
      at += p.n;
    }
    if (at > 0) now.shunt(beyond, room_.overhang(0));
    for (std::size_t j = 1; j <= run_.feeds.size(); ++j) {
      const bool last = j == run_.feeds.size();
      const std::int64_t to = last ? room_.segments : run_.feeds[j].at;
      for (; at < to; ++b) {
        load(p, b, false);
        if (p.joint && b > 0) {
          const run_stretch& s = run_.stretches[p.stretch];
          now.row[0][0] -= s.link_common.v;
          for (int c = 0; c < C; ++c) now.row[1 + c][1 + c] -= s.link_channel[lit_.of[c]].v;
        }
        if (!append(now, p, blocks_ + b * block)) return false;
        at += p.n;
      }
      if (!last && !now.join(run_.feeds[j], lit_, room_.feed_rows(j))) return false;
    }
    now.tell(port);
    return true;
  }

  /// Writes all voltages and what they add up to. True when every load is on the piece that was assumed;
  /// otherwise the blocks are made anew, and `room` is false when there are too many.
  constexpr bool substitute(const double (&terminals)[C], double slack, bool& enough) noexcept {
    slack_ = slack;
    run_tally<C> all;
    bool good = true;
    double v[width] = {};
    for (int c = 0; c < C; ++c) v[conductors + c] = terminals[c];
    v[width - 1] = 1;
    auto b = static_cast<std::size_t>(*count_);
    std::int64_t at = room_.segments;
    bool begun = false;
    parts p;
    // a block whose right end is at `at`, from its left end; f is what flows on beyond it
    for (std::size_t j = run_.feeds.size(); j-- > 0;) {
      const std::int64_t from = run_.feeds[j].at;
      while (at > from) {
        load(p, --b, true);
        const double* kept = blocks_ + b * block;
        double u[C] = {}, beyond[conductors] = {};
        for (int c = 0; c < C; ++c) u[c] = cut::product(kept + c * width, v);
        for (int m = 0; m < conductors; ++m) beyond[m] = m == 0 ? v[0] : -v[m];
        at -= p.n;
        double into[conductors] = {};
        good = march(all, p, u, beyond, into, at, +1, begun) && good;
        begun = true;
        write_fit(b, fits_);
        for (int m = 0; m < conductors; ++m) v[m] = m == 0 ? into[0] : -into[m];
        if (p.joint && b > 0) joule(all, run_.stretches[p.stretch], into);
      }
      double* x = room_.feed_current(j);
      if (j > 0)
        for (int r = 0; r < conductors; ++r) x[r] = cut::product(room_.feed_rows(j) + r * width, v);
      if (j > 0)
        for (int r = 0; r < conductors; ++r) v[r] -= x[r];
    }
    if (at > 0) {
      double u[C] = {}, into[C] = {};
      cut::unshunt(v, room_.overhang(0), u, into);
      while (at > 0) {
        load(p, --b, true);
        const double* kept = blocks_ + b * block;
        double beyond[conductors] = {}, in[conductors] = {};
        for (int r = 0; r < C; ++r) {
          beyond[1 + r] = kept[r * width + C];
          for (int c = 0; c < C; ++c) beyond[1 + r] += kept[r * width + c] * u[c];
          beyond[0] += beyond[1 + r];
        }
        good = march(all, p, u, beyond, in, at - 1, -1, begun) && good;
        begun = true;
        write_fit(b, fits_);
        at -= p.n;
        if (p.joint && b > 0) {
          const run_stretch& s = run_.stretches[p.stretch];
          joule(all, s, beyond);
          for (int c = 0; c < C; ++c)
            u[c] -= s.link_common.v * beyond[0] + s.link_channel[lit_.of[c]].v * beyond[1 + c];
        }
      }
    }
    for (int r = 0; r < conductors; ++r) room_.feed_current(0)[r] = v[r];
    keep(all);
    if (!good) enough = pieces_anew() && enough;
    return good;
  }

  constexpr double gap() const noexcept { return tally_[0]; }
  constexpr run_tally<C> tally() const noexcept {
    run_tally<C> t;
    const double* from = tally_;
    for (double* x : {&t.gap, &t.lamps, &t.trace, &t.link}) *x = *from++;
    for (auto* list : {&t.current, &t.low, &t.high, &t.least, &t.most})
      for (double& x : *list) x = *from++;
    return t;
  }

  constexpr const fed_run& run() const noexcept { return run_; }
  constexpr const lit_channels& lit() const noexcept { return lit_; }
  constexpr const run_room<C>& room() const noexcept { return room_; }

 private:
  static constexpr std::size_t head = run_room<C>::head;  ///< stretch, segments, pattern, joint before, fits
  static constexpr std::size_t block = run_room<C>::block;  ///< rows; and room for a head

  struct parts {
    std::size_t stretch = 0;
    std::int64_t n = 0;
    std::uint32_t pattern = 0;
    bool joint = false;
    ladder<C> tape;
    straight_loads<C> loads;
    block_modes<C> modes;
    mode_block whole[C];  ///< of all its segments
  };

  constexpr ladder<C> tape_of(std::size_t s) const noexcept {
    return ladder_of<C>(run_.stretches[s].line, {}, lit_);
  }
  constexpr void write_head(std::size_t b, std::size_t stretch, std::int64_t n, std::uint32_t pattern,
                            bool joint) noexcept {
    double* h = heads_ + b * head;
    h[0] = static_cast<double>(stretch);
    h[1] = static_cast<double>(n);
    h[2] = static_cast<double>(pattern);
    h[3] = joint && stretch > 0 ? 1 : 0;
    h[4] = 1;
  }
  constexpr void write_fit(std::size_t b, bool fits) noexcept { heads_[b * head + 4] = fits ? 1 : 0; }

  /// Block b. What is the same as in the block looked at before is not found anew; where `kept`, the modes are
  /// those that elimination kept.
  constexpr void load(parts& p, std::size_t b, bool kept) noexcept {
    const double* h = heads_ + b * head;
    const auto stretch = static_cast<std::size_t>(h[0]);
    const auto n = static_cast<std::int64_t>(h[1]);
    const auto pattern = static_cast<std::uint32_t>(h[2]);
    const bool same = p.n > 0 && p.stretch == stretch && p.pattern == pattern;
    double* room = blocks_ + b * block + C * width;
    p.joint = h[3] > 0;
    if (!same) {
      p.stretch = stretch;
      p.pattern = pattern;
      p.tape = tape_of(stretch);
      p.loads = straight_loads<C>{p.tape, pattern};
      p.modes = kept ? block_modes<C>{p.tape, p.loads, room} : block_modes<C>{p.tape, p.loads};
    }
    if (!kept) p.modes.keep(room);
    if (!same || p.n != n)
      for (int i = 0; i < C; ++i) p.whole[i] = segments_in_a_row(p.modes.x[i], n);
    p.n = n;
  }

  /// R x: what the trace of a segment takes off each channel at the channel currents x.
  static constexpr void trace_drop(const ladder<C>& l, const double (&x)[C], double (&out)[C]) noexcept {
    double sum = 0;
    for (int c = 0; c < C; ++c) sum += x[c];
    for (int c = 0; c < C; ++c) out[c] = l.common * sum + l.channel[c] * x[c];
  }

  /// Puts a block before what is beyond its outer end: i = y u + s of its inner end. Keeps the current into
  /// what is beyond as rows of (u, 1).
  constexpr bool extend(port_line<C>& port, const parts& p, double* kept) const noexcept {
    const block_modes<C>& m = p.modes;
    const auto n = static_cast<double>(p.n);
    const auto& of = p.whole;
    double through[C][C + 1] = {}, steady_drop[C] = {}, shift[C] = {};
    trace_drop(p.tape, p.loads.steady, steady_drop);
    for (int i = 0; i < C; ++i)
      for (int c = 0; c < C; ++c) shift[i] += m.into[i][c] * p.loads.shift[c];
    for (int r = 0; r < C; ++r) {
      through[r][r] = 1;
      through[r][C] = -0.5 * n * n * steady_drop[r];
      for (int i = 0; i < C; ++i) {
        for (int c = 0; c < C; ++c) through[r][c] -= m.out[r][i] * of[i].a1 * m.into[i][c];
        through[r][C] += m.out[r][i] * (of[i].a1 * shift[i] + of[i].a2 * m.steady[i]);
      }
    }
    double series[C][C] = {};
    for (int r = 0; r < C; ++r)
      for (int c = 0; c < C; ++c) {
        series[r][c] = n * (r == c ? p.tape.common + p.tape.channel[c] : p.tape.common);
        for (int i = 0; i < C; ++i) series[r][c] -= m.out[r][i] * of[i].p1 * m.out[c][i];
      }
    small_system<C> system;
    for (int r = 0; r < C; ++r)
      for (int c = 0; c < C; ++c) {
        system.a[r][c] = r == c ? 1 : 0;
        for (int q = 0; q < C; ++q) system.a[r][c] += port.y[r][q] * series[q][c];
      }
    if (!system.factor()) return false;
    for (int x = 0; x <= C; ++x) {
      double column[C] = {};
      for (int r = 0; r < C; ++r) {
        column[r] = x == C ? port.s[r] : 0;
        for (int q = 0; q < C; ++q) column[r] += port.y[r][q] * through[q][x];
      }
      system.solve(column);
      for (int r = 0; r < C; ++r) kept[r * width + x] = column[r];
    }
    for (int r = 0; r < C; ++r) {
      port.s[r] = n * p.loads.steady[r];
      for (int q = 0; q < C; ++q) port.s[r] += through[q][r] * kept[q * width + C];
      for (int i = 0; i < C; ++i) port.s[r] -= m.into[i][r] * (of[i].d * shift[i] + of[i].d1 * m.steady[i]);
      for (int c = 0; c < C; ++c) {
        double y = 0;
        for (int q = 0; q < C; ++q) y += through[q][r] * kept[q * width + c];
        for (int i = 0; i < C; ++i) y += m.into[i][r] * of[i].d * m.into[i][c];
        port.y[r][c] = y;
      }
    }
    return true;
  }

  /// A block to the right of a cut. With e the potentials at its left end and f the currents beyond its right one:
  /// (1 + into W into' diag(d)) w = into (e_0 - e_c - shift) at currents f + n s - into'(a1 out'f + d1 s'), W what
  /// the potentials fall an ampere. Keeps the voltages at the left end as rows of v.
  constexpr bool append(cut& now, const parts& p, double* kept) const noexcept {
    const block_modes<C>& m = p.modes;
    const auto n = static_cast<double>(p.n);
    const auto& of = p.whole;
    double shift[C] = {}, out[conductors][C] = {}, along[conductors][C] = {}, steady[conductors] = {};
    for (int i = 0; i < C; ++i) {
      double sum = 0;
      for (int c = 0; c < C; ++c) {
        sum += m.into[i][c];
        shift[i] += m.into[i][c] * p.loads.shift[c];
        out[1 + c][i] = -p.tape.channel[c] * m.into[i][c];
      }
      out[0][i] = p.tape.common * sum;
      for (int r = 0; r < conductors; ++r)
        for (int c = 0; c < C; ++c) along[r][i] += (now.row[r][0] - now.row[r][1 + c]) * m.into[i][c];
    }
    for (int c = 0; c < C; ++c) {
      steady[0] += p.loads.steady[c];
      steady[1 + c] = -p.loads.steady[c];
    }
    double of_terminals[C][C] = {}, steady_own[C] = {};
    for (int t = 0; t < C; ++t) {
      for (int q = 0; q < conductors; ++q) steady_own[t] += now.row[q][conductors + t] * (n * steady[q]);
      for (int i = 0; i < C; ++i) {
        for (int c = 0; c < C; ++c)
          of_terminals[t][i] += (now.row[0][conductors + t] - now.row[1 + c][conductors + t]) * m.into[i][c];
        steady_own[t] -= of_terminals[t][i] * (of[i].d1 * m.steady[i]);
      }
    }
    for (int r = 0; r < conductors; ++r) {
      double last = 0, part[C] = {};
      for (int q = 0; q < conductors; ++q) last += now.row[r][q] * (n * steady[q]);
      for (int i = 0; i < C; ++i) {
        last -= along[r][i] * (of[i].d1 * m.steady[i]);
        part[i] = along[r][i] * of[i].a1;
      }
      for (int q = 0; q < conductors; ++q)
        for (int i = 0; i < C; ++i) now.row[r][q] -= part[i] * out[q][i];
      now.row[r][width - 1] += last;
    }
    double w[C][width] = {};
    small_system<C> system;
    for (int i = 0; i < C; ++i) {
      for (int c = 0; c < C; ++c)
        for (int x = 0; x < width; ++x) w[i][x] += m.into[i][c] * (now.row[0][x] - now.row[1 + c][x]);
      w[i][width - 1] -= shift[i];
      for (int k = 0; k < C; ++k) {
        double sum = 0;
        for (int c = 0; c < C; ++c) sum -= m.into[i][c] * (along[0][k] - along[1 + c][k]);
        system.a[i][k] = (i == k ? 1 : 0) + sum * of[k].d;
      }
    }
    if (!system.factor()) return false;
    for (int x = 0; x < width; ++x) {
      double column[C] = {};
      for (int i = 0; i < C; ++i) column[i] = w[i][x];
      system.solve(column);
      for (int i = 0; i < C; ++i) w[i][x] = column[i];
    }
    for (int c = 0; c < C; ++c) {
      double* to = kept + c * width;
      for (int x = 0; x < width; ++x) to[x] = now.row[0][x] - now.row[1 + c][x];
      for (int i = 0; i < C; ++i) {
        const double by = (along[0][i] - along[1 + c][i]) * of[i].d;
        for (int x = 0; x < width; ++x) to[x] += by * w[i][x];
      }
    }
    for (int t = 0; t < C; ++t) {
      now.own[t][C] += steady_own[t];
      for (int i = 0; i < C; ++i) {
        const double by = of_terminals[t][i] * of[i].d;
        for (int x = 0; x <= C; ++x) now.own[t][x] += by * w[i][conductors + x];
      }
    }
    for (int r = 0; r < conductors; ++r) {
      const double ohm = r == 0 ? p.tape.common : p.tape.channel[r - 1];
      now.row[r][r] -= n * ohm;
      now.row[r][width - 1] -= ohm * steady[r] * (0.5 * n * n);
      for (int i = 0; i < C; ++i) {
        const double by = along[r][i] * of[i].d - out[r][i] * of[i].a1, back = out[r][i] * of[i].p1;
        for (int x = 0; x < width; ++x) now.row[r][x] += by * w[i][x];
        for (int q = 0; q < conductors; ++q) now.row[r][q] += back * out[q][i];
        now.row[r][width - 1] += out[r][i] * (of[i].a2 * m.steady[i]);
      }
    }
    return true;
  }

  /// Walks a block from the end where its voltages are u, to where `beyond` flows on (common first, then the
  /// channels, all away from that end). Tells the currents at the beginning, and leaves u at the far end. False
  /// when a load is not on its piece.
  constexpr bool march(run_tally<C>& all, const parts& p, double (&u)[C], const double (&beyond)[conductors],
                       double (&first)[conductors], std::int64_t at, std::int64_t way, bool begun) noexcept {
    const block_modes<C>& m = p.modes;
    double w[C] = {}, j[C] = {}, steepest = 0, flow[C] = {}, low[C] = {}, high[C] = {};
    for (int i = 0; i < C; ++i) {
      steepest = larger(steepest, m.x[i]);
      for (int c = 0; c < C; ++c) {
        w[i] += m.into[i][c] * (u[c] - p.loads.shift[c]);
        j[i] += m.out[c][i] * beyond[1 + c];
      }
    }
    double around = beyond[0];  // what the common carries besides
    for (int c = 0; c < C; ++c) around -= beyond[1 + c];
    double turn[C] = {};
    for (int i = 0; i < C; ++i) {
      for (int c = 0; c < C; ++c) turn[i] += m.into[i][c];
      j[i] += turn[i] * p.tape.common * around;
    }
    // voltages and currents after `n` of the segments left: by the block, not by walking
    const auto currents_before = [&](const double(&left)[C], std::int64_t n, double(&out)[conductors]) {
      out[0] = around;
      for (int c = 0; c < C; ++c) {
        out[1 + c] = beyond[1 + c] + static_cast<double>(n) * p.loads.steady[c];
        for (int i = 0; i < C; ++i) out[1 + c] += m.into[i][c] * left[i];
        out[0] += out[1 + c];
      }
    };
    double sums[C] = {}, now[conductors] = {};
    for (int i = 0; i < C; ++i) {
      const mode_block& b = p.whole[i];
      sums[i] = b.d * w[i] - b.a1 * j[i] - b.d1 * m.steady[i];
    }
    currents_before(sums, p.n, now);
    for (int r = 0; r < conductors; ++r) first[r] = now[r];
    for (int c = 0; c < C; ++c) {
      low[c] = infinity;
      high[c] = -infinity;
      flow[c] = now[1 + c] - beyond[1 + c];
      all.current[c] += flow[c];
    }
    const double reach = steepest > 0 ? 2 / square_root(steepest) : infinity;
    for (std::int64_t left = p.n; left > 0;) {
      const std::int64_t n = static_cast<double>(left) <= reach ? left
                             : reach >= 1                       ? static_cast<std::int64_t>(reach)
                                                                : 1;
      left -= n;
      double there[C] = {}, arrived[C] = {};
      double after[conductors] = {}, take[C] = {};
      for (int i = 0; i < C; ++i) {
        const mode_block l = n == p.n ? p.whole[i] : segments_in_a_row(m.x[i], n),
                         r = segments_in_a_row(m.x[i], left);
        const double s = m.steady[i];
        const double reached =
            (l.a * w[i] - l.a1 * s - l.p * (r.a * j[i] + r.d * s)) / (1 + m.x[i] * l.p * r.d);
        const double on = r.a * j[i] + m.x[i] * r.d * reached + r.d * s;
        sums[i] = r.d * reached - r.a1 * j[i] - r.d1 * s;
        take[i] = l.a1 * w[i] - l.p1 * on - l.a2 * s;
        w[i] = reached;
      }
      currents_before(sums, left, after);
      const auto length = static_cast<double>(n);
      double through[C] = {}, common = 0;
      for (int c = 0; c < C; ++c) {
        through[c] = length * after[1 + c] + p.loads.steady[c] * (0.5 * length * length);
        for (int i = 0; i < C; ++i) through[c] += m.into[i][c] * take[i];
        common += through[c];
      }
      common += length * around;
      for (int c = 0; c < C; ++c) there[c] = u[c] - (p.tape.common * common + p.tape.channel[c] * through[c]);
      for (int c = 0; c < C; ++c) arrived[c] = u[c];
      walk(all, p, arrived, now, low, high, at, way, n);
      at += way * n;
      for (int c = 0; c < C; ++c) {
        all.gap = larger(all.gap, absolute(arrived[c] - there[c]));
        u[c] = there[c];
      }
      for (int r = 0; r < conductors; ++r) now[r] = after[r];
    }
    fits_ = true;
    for (int c = 0; c < C; ++c) {
      const piece assumed = piece_in(p.pattern, c);
      fits_ = fits_ && piece_at(p.tape, c, low[c], assumed, slack_) == assumed &&
              piece_at(p.tape, c, high[c], assumed, slack_) == assumed;
      const double least = load_at<false>(p.tape, c, low[c]).current,
                   most = load_at<false>(p.tape, c, high[c]).current;
      all.low[c] = begun ? smaller(all.low[c], low[c]) : low[c];
      all.high[c] = begun ? larger(all.high[c], high[c]) : high[c];
      all.least[c] = begun ? smaller(all.least[c], least) : least;
      all.most[c] = begun ? larger(all.most[c], most) : most;
    }
    return fits_;
  }

  /// Segment by segment, each load on its straight line. What bounds it is the chain from one segment's
  /// voltage to the next: the common's drop falls by its resistance times each load's current, the sum of them
  /// is taken off the voltages. A multiplication, an addition, the sum over the channels (three additions for
  /// five), two additions: 7 operations of 3 cycles each.
  constexpr void walk(run_tally<C>& all, const parts& p, double (&v)[C], const double (&from)[conductors],
                      double (&low)[C], double (&high)[C], std::int64_t at, std::int64_t way,
                      std::int64_t n) const noexcept {
    double j[C] = {}, lamps[C] = {}, heat[C] = {}, own[C] = {}, slope[C] = {}, bias[C] = {};
    double drop = p.tape.common * from[0], squares = 0;
    for (int c = 0; c < C; ++c) {
      j[c] = from[1 + c];
      own[c] = p.tape.channel[c];
      slope[c] = p.loads.slope[c];
      bias[c] = p.loads.steady[c] - slope[c] * p.loads.shift[c];
    }
    const auto along = [&](double share) noexcept {
      squares += share * (drop * drop);
#pragma GCC unroll 6
      for (int c = 0; c < C; ++c) {
        const double mine = share * (own[c] * j[c]);
        heat[c] += mine * j[c];
        v[c] = (v[c] - mine) - share * drop;
      }
    };
    double* u = room_.u(at);
    along(0.5);
    for (std::int64_t k = 0;; u += way * C) {
      double i[C] = {};
#pragma GCC unroll 6
      for (int c = 0; c < C; ++c) {
        i[c] = slope[c] * v[c] + bias[c];
        u[c] = v[c];
        lamps[c] += v[c] * i[c];
        low[c] = v[c] < low[c] ? v[c] : low[c];
        high[c] = v[c] > high[c] ? v[c] : high[c];
        j[c] -= i[c];
      }
      drop -= p.tape.common * sum_of(i);
      if (++k == n) break;
      along(1);
    }
    along(0.5);
    for (int c = 0; c < C; ++c) {
      all.lamps += lamps[c];
      all.trace += heat[c];
    }
    if (p.tape.common > 0) all.trace += squares / p.tape.common;
  }
  /// Two by two, so that they do not wait for each other.
  static constexpr double sum_of(const double (&x)[C]) noexcept {
    double even = x[0], odd = C > 1 ? x[1 % C] : 0;
#pragma GCC unroll 6
    for (int c = 2; c < C; ++c) (c % 2 == 0 ? even : odd) += x[c];
    return even + odd;
  }

  constexpr void joule(run_tally<C>& all, const run_stretch& s,
                       const double (&i)[conductors]) const noexcept {
    all.link = larger(all.link, absolute(i[0]));
    all.trace += s.link_common.v * i[0] * i[0];
    for (int c = 0; c < C; ++c) all.trace += s.link_channel[lit_.of[c]].v * i[1 + c] * i[1 + c];
  }

  constexpr void keep(const run_tally<C>& t) noexcept {
    double* to = tally_;
    for (const double x : {t.gap, t.lamps, t.trace, t.link}) *to++ = x;
    for (const auto* list : {&t.current, &t.low, &t.high, &t.least, &t.most})
      for (const double x : *list) *to++ = x;
  }

  /// Cuts each block that did not fit where the pieces of its loads change. The new heads are written where
  /// the rows of elimination were.
  constexpr bool pieces_anew() noexcept {
    double* fresh = blocks_;
    std::size_t n = 0;
    std::int64_t at = 0;
    const auto old = static_cast<std::size_t>(*count_);
    const auto put = [&](std::size_t stretch, std::int64_t count, std::uint32_t pattern,
                         bool joint) noexcept {
      if (n == most_) return false;
      double* h = fresh + n++ * head;
      h[0] = static_cast<double>(stretch);
      h[1] = static_cast<double>(count);
      h[2] = static_cast<double>(pattern);
      h[3] = joint ? 1 : 0;
      h[4] = 1;
      return true;
    };
    for (std::size_t b = 0; b < old; ++b) {
      const double* h = heads_ + b * head;
      const auto stretch = static_cast<std::size_t>(h[0]);
      const auto count = static_cast<std::int64_t>(h[1]);
      const auto assumed = static_cast<std::uint32_t>(h[2]);
      bool joint = h[3] > 0;
      if (h[4] > 0) {
        if (!put(stretch, count, assumed, joint)) return false;
        at += count;
        continue;
      }
      const ladder<C> l = tape_of(stretch);
      std::uint32_t pattern = 0;
      std::int64_t same = 0;
      for (std::int64_t k = 0; k < count; ++k, ++at) {
        std::uint32_t here = 0;
        for (int c = 0; c < C; ++c)
          here = with_piece(here, c, piece_at(l, c, room_.u(at)[c], piece_in(assumed, c), slack_));
        if (k > 0 && here != pattern) {
          if (!put(stretch, same, pattern, joint)) return false;
          joint = false;
          same = 0;
        }
        pattern = here;
        ++same;
      }
      if (!put(stretch, same, pattern, joint)) return false;
    }
    for (std::size_t i = 0; i < n * head; ++i) heads_[i] = fresh[i];
    *count_ = static_cast<double>(n);
    return true;
  }

  const fed_run& run_;
  const lit_channels& lit_;
  run_room<C> room_;
  std::size_t most_;
  double* tally_ = nullptr;
  double* count_ = nullptr;
  double* heads_ = nullptr;
  double* blocks_ = nullptr;
  double slack_ = 0;
  bool fits_ = true;
};

}  // namespace tapewright::detail
