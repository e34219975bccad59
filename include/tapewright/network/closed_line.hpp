// SPDX-License-Identifier: BSL-1.0
// A tape of one channel fed at one end in closed form: the same time for 20 segments and for 20,000.
#pragma once

#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/ladder.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/network/uniform_block.hpp"
#include "tapewright/rules/lightness.hpp"

namespace tapewright {

namespace detail {

/// The figures of a line of one lit channel whose loads are all on piece p; ok is false when they are not.
///
/// With g the load's slope, r the trace of a pitch, x = g r, w the voltages less the law's shift: what stands
/// before the first load takes w = (V - shift - R n s) / (1 + R g d) at the feed point. All loads together draw
/// g d w; the last one has a w; the sum of all w^2 is (n (a w)^2 + d w^2) / (2 + x/2), by the identity
/// sum of cosh((2k - 1) t) = sinh(2 n t) / (2 sinh t); what the trace takes is g r g w^2
/// (n/2 + n a1 (1 + a) - d1 (1 + x/2)) / (2 + x/2), the difference of power in and lamps without cancellation.
/// A current s without slope: r s n^2/2 from end to end, r s^2 (n^3/3 + n/6) lost.
struct closed_figures {
  bool ok = false;
  double at_feed = 0, first = 0, last = 0, current = 0, lamps = 0, trace = 0;

  constexpr closed_figures(const ladder<1>& l, piece p) noexcept {
    const straight_loads<1> load{l, with_piece(0, 0, p)};
    const auto n = static_cast<double>(l.segments);
    const double g = load.slope[0], s = load.steady[0], r = l.common + l.channel[0], x = g * r,
                 before = l.feed_common + l.feed_channel[0];
    const mode_block b = segments_in_a_row(x, l.segments);
    const double w = (l.source - load.shift[0] - before * (n * s)) / (1 + before * g * b.d);
    at_feed = w + load.shift[0];
    current = g * b.d * w + n * s;
    first = at_feed - 0.5 * r * current;
    last = b.a * w - r * (s * (0.5 * n * n)) + load.shift[0];
    const double last_w = b.a * w, squares = (n * last_w * last_w + b.d * w * w) / (2 + 0.5 * x);
    trace = g * x * w * w * (0.5 * n + n * b.a1 * (1 + b.a) - b.d1 * (1 + 0.5 * x)) / (2 + 0.5 * x) +
            r * s * s * (n * n * n / 3 + n / 6);
    lamps = g > 0 ? g * squares + load.shift[0] * current : at_feed * current - trace;
    ok = piece_at(l, 0, first, p, 0) == p && piece_at(l, 0, last, p, 0) == p;
  }
};

/// The figures where all loads are on one straight piece, and which that is; figures.ok is false where they are not.
struct closed_piece {
  closed_figures figures;
  piece on;
};

/// The first piece to try is that of the source voltage; a regulated load whose last lamp is in dropout may still have
/// all of them there. Only for a line of one lit channel without constant power.
constexpr closed_piece closed_piece_of(const ladder<1>& l) noexcept {
  const piece p = piece_at(l, 0, l.source, piece::rising, 0);
  const closed_figures there{l, p};
  if (there.ok || p != piece::flat) return {there, p};
  return {closed_figures{l, piece::rising}, piece::rising};
}

}  // namespace detail

/// As solve_line without a profile, in closed form where one applies: one lit channel, and all its loads on the same
/// straight piece of their law (resistor-limited and none dark, regulated and none in dropout, or all in dropout).
/// The time does not depend on the length then; `steps` is 0. Everything else is solve_line's answer.
///
/// @param line, feed, workspace  as for solve_line.
/// @return           As solve_line.
/// Formula   Two halves join to a whole by sums of products (uniform_block.hpp): cosh and tanh of the length
///           without a growing term; see closed_figures.
/// Source    closed form: the ladder of equal rungs.
/// Accuracy  within 1e-12 of solve_line's voltages and 1e-11 of its powers, relative; same bits everywhere.
/// Example   100 segments of 0.1 A behind 0.01 ohm a pitch lose 0.01 * 0.1 * 100^2 / 2 = 5 V.
constexpr outcome<line_figures> closed_line(const tape_line& line, const line_feed& feed,
                                            std::span<double> workspace = {}) noexcept {
  if (const fault f = check(line)) return f;
  if (const fault f = check(feed, line.channels)) return f;
  const detail::lit_channels lit = detail::lit_of(line);
  const std::size_t c = lit.of[0];
  if (lit.count != 1 || line.law[c].kind == load_kind::constant_power)
    return solve_line(line, feed, {}, workspace);
  const detail::ladder<1> l = detail::ladder_of<1>(line, feed, lit);
  const detail::closed_figures all = detail::closed_piece_of(l).figures;
  if (!all.ok) return solve_line(line, feed, {}, workspace);

  line_figures out;
  detail::tell_unlit(out, line);
  out.at_feed[c] = volts{all.at_feed};
  out.first_load[c] = volts{all.first};
  out.last_load[c] = volts{all.last};
  out.channel_current[c] = out.total = amps{all.current};
  const double most = detail::load_at<false>(l, 0, all.first).current;
  out.least_evenness = most > 0 ? detail::load_at<false>(l, 0, all.last).current / most : 0;
  out.evenness[c] = out.least_evenness;
  out.colour_shift = 0;
  out.lightness_step = lightness_step_of(out.least_evenness).value();  // NaN where there is none
  out.lamps = watts{all.lamps};
  out.trace_loss = watts{all.trace};
  out.feeder_loss = watts{(l.feed_common + l.feed_channel[0]) * all.current * all.current};
  out.residual = volts{0};
  return out;
}

static_assert([] {
  tape_line line;
  line.segments = 100;
  line.common = ohms{0.01};
  line.law[0] = {load_kind::regulated, volts{0}, siemens{100}, amps{0.1}, {}, {}};
  const auto got = closed_line(line, {volts{48}, {}, {}});
  return got.ok() && got->last_load[0] == volts{48 - 5.0} && got->least_evenness == 1;
}());

}  // namespace tapewright
