// SPDX-License-Identifier: BSL-1.0
// The inverse of a tape line: the longest run from one feed that still meets the wishes.
#pragma once

#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/parts/tape.hpp"

namespace tapewright {

/// What one more segment would break.
enum class run_limit : std::int32_t {
  none = 0,          ///< nothing up to the greatest number of segments looked at
  evenness = 1,      ///< the wished evenness
  drop = 2,          ///< the allowed drop to the last lamp
  feed_current = 3,  ///< the tape's greatest current at a feed point
  maker_length = 4,  ///< the maker's longest run from one feed
  wiring = 5,        ///< constant-power loads would ask for more than the wiring can deliver
};

struct longest_run {
  std::int64_t segments = 0;
  metres length = unset;
  run_limit limited_by = run_limit::none;
  line_figures figures;  ///< of the run found
};

namespace detail {

/// What a run of this many segments breaks, first wish first; and what it does.
constexpr outcome<run_limit> broken_by(const tape& t, const line_feed& feed, std::int64_t segments,
                                       double least_evenness, double drop_limit, celsius trace,
                                       std::uint32_t lit, std::span<double> workspace,
                                       line_figures& figures) noexcept {
  constexpr double a_hair = 1 + 1e-9;  // a limit met exactly on paper must not fail by rounding
  if (t.single_feed_limit.v > 0 && t.cut_pitch * static_cast<double>(segments) > t.single_feed_limit * a_hair)
    return run_limit::maker_length;
  const outcome<tape_line> line = line_of(t, segments, trace, lit);
  if (!line) return line.why();
  const outcome<line_figures> solved = solve_line(*line, feed, {}, workspace);
  if (!solved) {
    const fault_code why = solved.why().code;
    if (why == fault_code::no_operating_point || why == fault_code::no_room) return run_limit::wiring;
    return solved.why();
  }
  figures = *solved;
  if (t.feed_point_limit.v > 0 && figures.total > t.feed_point_limit * a_hair) return run_limit::feed_current;
  if (drop_limit > 0)
    for (std::size_t c = 0; c < t.channels.size(); ++c)
      if ((lit >> c & 1u) != 0 && feed.source - figures.last_load[c] > t.nominal * (drop_limit * a_hair))
        return run_limit::drop;
  if (figures.least_evenness * a_hair < least_evenness) return run_limit::evenness;
  return run_limit::none;
}

}  // namespace detail

/// The longest run of a tape, fed at one end, that keeps all wishes.
///
/// @param t               a tape that check(tape) accepts; its feed-point current and single-feed
///                        length are kept where stated.
/// @param feed            source voltage and the resistances before the feed point.
/// @param least_evenness  wished least over greatest light along the run; 0..1.
/// @param trace           degC of the tape's copper; -60..200.
/// @param lit             channels that are on.
/// @param drop_limit      allowed drop from source to last lamp, as a share of NOMINAL; 0 = no wish, to 0.5.
/// @param workspace       as for solve_line; only constant-power tapes near collapse gain by it.
/// @return                Faults: out_of_range; unreachable when a single segment already breaks a
///                        wish (`field` tells which); those of solve_line.
/// Method    doubling until a wish breaks, then halving: at most 2 log2(1e5) + 1 = 35 solves. Each wish
///           gets worse with length. For one channel that is a theorem: more lamps take more current
///           through the same copper, every voltage falls, the furthest lamp's most (all transfer
///           resistances are positive). For coupled channels it holds for the last lamp, for evenness
///           and for the total current in every one of 10,000 random tapes tested; a lamp near the feed
///           may gain a little. The result is checked on both sides in any case: it keeps the wishes,
///           and one segment more does not.
/// Source    closed form.
constexpr outcome<longest_run> longest_even_run(const tape& t, const line_feed& feed, double least_evenness,
                                                celsius trace, std::uint32_t lit = all_lit,
                                                double drop_limit = 0,
                                                std::span<double> workspace = {}) noexcept {
  if (const fault f = first_fault(check(t), check(feed, static_cast<std::int32_t>(t.channels.size())),
                                  refuse(field::least_evenness, least_evenness),
                                  refuse(field::temperature, trace), refuse(field::drop_limit, drop_limit)))
    return f;
  const auto most = static_cast<std::int64_t>(range_of(field::segment_count).most);
  longest_run best;
  line_figures tried;
  std::int64_t keeps = 0, breaks = most + 1;
  for (std::int64_t n = 1; breaks - keeps > 1;) {
    const outcome<run_limit> limit =
        detail::broken_by(t, feed, n, least_evenness, drop_limit, trace, lit, workspace, tried);
    if (!limit) return limit.why();
    if (*limit == run_limit::none) {
      keeps = n;
      best.figures = tried;
    } else {
      breaks = n;
      best.limited_by = *limit;
    }
    if (breaks > most) n = keeps == most ? most : (2 * keeps < most ? 2 * keeps : most);
    else n = keeps + (breaks - keeps) / 2;
  }
  if (keeps == 0) {
    const field broken = best.limited_by == run_limit::evenness       ? field::least_evenness
                         : best.limited_by == run_limit::drop         ? field::drop_limit
                         : best.limited_by == run_limit::feed_current ? field::feed_point_limit
                         : best.limited_by == run_limit::maker_length ? field::single_feed_limit
                                                                      : field::power;
    return fault{fault_code::unreachable, broken, 1, 0, 0, -1};
  }
  best.segments = keeps;
  best.length = t.cut_pitch * static_cast<double>(keeps);
  return best;
}

}  // namespace tapewright
