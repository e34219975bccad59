// SPDX-License-Identifier: BSL-1.0
// Where to feed a run: the longest run of each arrangement, and the fewest feed points for a length.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/longest_run.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/parts/tape.hpp"

namespace tapewright {

inline constexpr std::size_t max_feed_points = 8;

/// How a run is fed. Numbers are stable.
enum class feed_arrangement : std::int32_t {
  one_end = 0,
  far_end = 1,    ///< at the other end
  both_ends = 2,  ///< each end by a lead of its own
  middle = 3,     ///< at the cut mark in the middle
  points = 4,     ///< k points, each in the middle of one of k equal parts
  ring = 5,       ///< both ends brought together at one feed
};

/// Cables from a source to a run: what all of them share, and the lead of each feed point, whose cores are
/// all alike. A point at x from the near end of a run of length L has the shorter of two leads: laid
/// along the tape from the near end, near_end + along x, or from the far end, far_end + along (L - x).
struct feed_leads {
  line_feed shared{};           ///< source, and what carries the current of all feed points together
  ohms near_end{};              ///< one core, to the near end
  ohms far_end{};               ///< one core, to the far end
  ohms_per_metre along{};       ///< one core, beside the tape
  bool far_along = false;       ///< the far end is reached beside the tape only: far_end is not looked at
  bool near_closed = false;     ///< no cable reaches the near end
  bool far_closed = false;      ///< no cable reaches the far end
  bool between_closed = false;  ///< no cable reaches a cut mark between the ends
};

/// What a run shall keep.
struct feed_wishes {
  double least_evenness = 0;  ///< least over greatest light along the run; 0..1
  double drop_limit = 0;      ///< source to the lowest lamp, share of NOMINAL; 0 = no wish, to 0.5
  celsius trace{20};          ///< of the tape's copper
  std::uint32_t lit = all_lit;
};

/// Places of feed points, as cut marks counted from the near end, rising.
using feed_places = bounded<std::int64_t, max_feed_points>;

/// How one arrangement of one length stands to the wishes.
struct fed_length {
  std::int64_t segments = 0;
  metres length = unset;
  feed_places places;
  run_limit broken = run_limit::none;  ///< of what was asked; none = all wishes are kept
  double utilisation =
      not_a_number;  ///< greatest of: unevenness, drop, feed current, length, over what is allowed
  fed_run_figures figures;
};

/// The longest run of an arrangement.
struct longest_fed {
  fed_length run;
  run_limit limited_by =
      run_limit::none;  ///< what one segment more breaks; none = the room or 1e5 segments end it
};

/// Fewest feed points and their best places.
struct fewest_feeds {
  fed_length run;
  std::int64_t solves = 0;     ///< networks that were solved
  bool fewest_proven = false;  ///< no smaller number would do: every place was tried, or a bound forbids it
  bool best_proven = false;    ///< no other places of that number are more even: every one was tried
};

namespace detail {

/// The smallest utilisation that counts as a wish not kept: a limit met on paper must not fail by rounding.
inline constexpr double kept_by_a_hair = 1 + 1e-9;

/// A network of one run, to ask for its workspace.
constexpr std::size_t one_run_workspace(std::int64_t segments, std::int32_t channels,
                                        std::size_t points) noexcept {
  run_stretch stretch;
  stretch.line.segments = segments;
  stretch.line.channels = channels;
  const feed_point feeds[max_feed_points] = {};
  fed_run run;
  run.stretches = {&stretch, 1};
  run.feeds = std::span{feeds}.first(points);
  const feed_hub hub;
  feed_network n{};
  n.hubs = {&hub, 1};
  n.runs = {&run, 1};
  return network_workspace(n);
}

/// Lead of the feed point at a cut mark.
constexpr ohms lead_to(const feed_leads& by, metres length, metres at, bool is_far_end) noexcept {
  const ohms from_near = by.near_end + by.along * at;
  if (by.far_along) return from_near;
  if (is_far_end) return by.far_end;
  if (!(at.v > 0)) return by.near_end;
  return ohms{smaller(from_near.v, (by.far_end + by.along * (length - at)).v)};
}

/// Longest way that light has to the next feed point, in segments: the maker's longest run from one feed is
/// a length fed one way. Between two points each feeds half.
constexpr double longest_way(const feed_places& places, std::int64_t segments) noexcept {
  double way =
      larger(static_cast<double>(places[0]), static_cast<double>(segments - places[places.size() - 1]));
  for (std::size_t i = 1; i < places.size(); ++i)
    way = larger(way, 0.5 * static_cast<double>(places[i] - places[i - 1]));
  return way;
}

/// A share of what is allowed, where nothing may be allowed at all.
constexpr double used_share(double value, double limit) noexcept {
  if (limit > 0) return value / limit;
  return value > 1e-12 ? infinity : 0.0;
}

/// Solves a run fed at `places` and holds it against the wishes. `line` gives one segment; `ring`: the
/// places are the two ends of one shared feeder.
constexpr outcome<fed_length> judged_length(const tape& t, tape_line line, const feed_leads& by,
                                            const feed_wishes& wishes, std::int64_t segments,
                                            const feed_places& places, bool ring,
                                            std::span<double> workspace) noexcept {
  fed_length out;
  out.segments = segments;
  out.length = t.cut_pitch * static_cast<double>(segments);
  out.places = places;
  line.segments = segments;
  const run_stretch stretch{line, {}, {}};
  feed_point feeds[max_feed_points] = {};
  fed_run run;
  run.common = by.shared.common;
  for (std::size_t c = 0; c < max_channels; ++c) run.channel[c] = by.shared.channel[c];
  if (ring) {
    run.common += by.near_end;
    for (ohms& own : run.channel) own += by.near_end;
  }
  for (std::size_t i = 0; i < places.size(); ++i) {
    feeds[i].at = places[i];
    if (ring) continue;
    const ohms lead =
        lead_to(by, out.length, t.cut_pitch * static_cast<double>(places[i]), places[i] == segments);
    feeds[i].common = lead;
    for (ohms& own : feeds[i].channel) own = lead;
  }
  run.stretches = {&stretch, 1};
  run.feeds = std::span<const feed_point>{feeds}.first(places.size());
  const feed_hub hub;
  feed_network network{by.shared.source, {}, {&hub, 1}, {&run, 1}};
  const outcome<network_figures> solved = solve_network(network, workspace, {&out.figures, 1});
  if (!solved) {
    if (solved.why().code != fault_code::no_operating_point) return solved.why();
    out.broken = run_limit::wiring;
    out.utilisation = infinity;
    return out;
  }
  // in the order in which a longer run is told what stops it
  const auto hold = [&](run_limit limit, double share) noexcept {
    if (share > kept_by_a_hair && out.broken == run_limit::none) out.broken = limit;
    out.utilisation = larger(out.utilisation, share);
  };
  out.utilisation = 0;
  if (t.single_feed_limit.v > 0)
    hold(run_limit::maker_length, longest_way(places, segments) * t.cut_pitch / t.single_feed_limit);
  if (t.feed_point_limit.v > 0)
    hold(run_limit::feed_current, out.figures.greatest_feed_current / t.feed_point_limit);
  if (wishes.drop_limit > 0)
    for (std::size_t c = 0; c < t.channels.size(); ++c)
      if ((wishes.lit >> c & 1u) != 0)
        hold(run_limit::drop,
             (by.shared.source - out.figures.lowest_load[c]) / (t.nominal * wishes.drop_limit));
  hold(run_limit::evenness, used_share(1 - out.figures.least_evenness, 1 - wishes.least_evenness));
  return out;
}

/// Where an arrangement feeds a run of so many segments.
constexpr feed_places places_of(feed_arrangement how, std::int64_t segments, std::int64_t count) noexcept {
  feed_places places;
  switch (how) {
    case feed_arrangement::one_end: places.push(0); break;
    case feed_arrangement::far_end: places.push(segments); break;
    case feed_arrangement::middle: places.push(segments / 2); break;
    case feed_arrangement::both_ends:
    case feed_arrangement::ring:
      places.push(0);
      places.push(segments);
      break;
    case feed_arrangement::points:
      for (std::int64_t i = 0; i < count; ++i) places.push(((2 * i + 1) * segments) / (2 * count));
      break;
  }
  return places;
}

/// A segment count's line, and every figure of a question held against its range.
constexpr outcome<tape_line> line_asked(const tape& t, const feed_leads& by,
                                        const feed_wishes& wishes) noexcept {
  if (const fault f = first_fault(
          check(t), check(by.shared, static_cast<std::int32_t>(t.channels.size())),
          refuse(field::resistance, by.near_end), refuse(field::resistance, by.far_end),
          refuse(field::resistance_per_metre, by.along), refuse(field::least_evenness, wishes.least_evenness),
          refuse(field::drop_limit, wishes.drop_limit)))
    return f;
  return line_of(t, 1, wishes.trace, wishes.lit);
}

/// The field that a broken limit stands for.
constexpr field field_of(run_limit broken) noexcept {
  switch (broken) {
    case run_limit::evenness: return field::least_evenness;
    case run_limit::drop: return field::drop_limit;
    case run_limit::feed_current: return field::feed_point_limit;
    case run_limit::maker_length: return field::single_feed_limit;
    case run_limit::wiring: return field::power;
    case run_limit::none: break;
  }
  return field::none;
}

}  // namespace detail

/// Doubles of workspace for a run of so many segments, channels (1..6) and feed points (1..8):
/// network_workspace of one run.
constexpr std::size_t arrangement_workspace(std::int64_t segments, std::int32_t channels,
                                            std::size_t points) noexcept {
  return detail::one_run_workspace(segments, channels, points);
}

/// The longest run of a tape in one arrangement that keeps all wishes.
///
/// @param t          a tape that check(tape) accepts; its feed-point current is kept where stated, and its
///                   longest run from one feed as the longest way from any lamp to its feed point.
/// @param how        the arrangement; `count` feed points (1..8) for `points`, else not looked at.
/// @param by         the cables. A lead to the far end keeps its resistance whatever the length, unless
///                   `far_along`. Closed places are not looked at: the arrangement says where it feeds.
/// @param workspace  longest runs that are looked at are those it has room for: arrangement_workspace.
/// @return           Faults: out_of_range; no_room where not even the shortest run has room; unreachable when
///                   the shortest run (1 segment, k for k points) breaks a wish already (`field` tells which).
/// Method    doubling until a wish breaks, then halving between: at most 2 log2(1e5) + 1 solves. Of the answer
///           it holds: it keeps the wishes, and one segment more does not. That no longer run keeps them
///           either is a theorem for one channel and places that do not depend on the length's rounding (ends,
///           ring), and held for every arrangement of 900 random tapes of one to five channels.
/// Source    closed form.
/// Example   constant current: both ends, middle and ring reach twice the length for the same drop, k points
///           2 k times
constexpr outcome<longest_fed> longest_fed_run(const tape& t, feed_arrangement how, std::int32_t count,
                                               const feed_leads& by, const feed_wishes& wishes,
                                               std::span<double> workspace) noexcept {
  const outcome<tape_line> line = detail::line_asked(t, by, wishes);
  if (!line) return line.why();
  const bool counted = how == feed_arrangement::points;
  if (counted)
    if (const fault f = refuse_outside(field::feed_points, count, 1, static_cast<double>(max_feed_points)))
      return f;
  const bool two = how == feed_arrangement::both_ends || how == feed_arrangement::ring;
  const std::size_t points = counted ? static_cast<std::size_t>(count) : two ? 2u : 1u;
  const std::int64_t shortest = counted ? count : 1;
  const auto room_for = [&](std::int64_t n) noexcept {
    return arrangement_workspace(n, line->channels, points);
  };
  if (const fault f = refuse_room(workspace.size(), room_for(shortest))) return f;
  std::int64_t most = shortest, beyond = static_cast<std::int64_t>(range_of(field::segment_count).most) + 1;
  while (beyond - most > 1) {
    const std::int64_t middle = most + (beyond - most) / 2;
    (room_for(middle) <= workspace.size() ? most : beyond) = middle;
  }
  longest_fed best;
  run_limit first = run_limit::none;
  std::int64_t keeps = 0;
  beyond = most + 1;
  for (std::int64_t n = shortest; beyond - keeps > 1 && n >= shortest;) {
    const outcome<fed_length> tried = detail::judged_length(
        t, *line, by, wishes, n, detail::places_of(how, n, count), how == feed_arrangement::ring, workspace);
    if (!tried) return tried.why();
    if (tried->broken == run_limit::none) {
      keeps = n;
      best.run = *tried;
    } else {
      beyond = n;
      best.limited_by = first = tried->broken;
    }
    if (keeps == 0) break;
    if (beyond > most) n = 2 * keeps < most ? 2 * keeps : most;
    else n = keeps + (beyond - keeps) / 2;
  }
  if (keeps == 0) return fault{fault_code::unreachable, detail::field_of(first), 1, 0, 0, -1};
  return best;
}

namespace detail {

/// How many choices of k of n places there are, no more than `most` + 1.
constexpr std::int64_t choices_of(std::int64_t n, std::int64_t k, std::int64_t most) noexcept {
  if (k > n) return 0;
  double count = 1;
  for (std::int64_t i = 1; i <= k; ++i)
    count = count * static_cast<double>(n - k + i) / static_cast<double>(i);
  return count > static_cast<double>(most) ? most + 1 : static_cast<std::int64_t>(round_half_away(count));
}

/// The search for places of a given number of points.
class place_search {
 public:
  constexpr place_search(const tape& t, const tape_line& line, const feed_leads& by,
                         const feed_wishes& wishes, std::int64_t segments, std::int64_t most_solves,
                         std::span<double> workspace) noexcept
      : t_{t},
        line_{line},
        by_{by},
        wishes_{wishes},
        segments_{segments},
        most_{most_solves},
        workspace_{workspace} {
    first_ = by.near_closed ? 1 : 0;
    last_ = segments - (by.far_closed ? 1 : 0);
  }

  constexpr std::int64_t solves() const noexcept { return solves_; }
  constexpr const fed_length& best() const noexcept { return best_; }
  constexpr bool found() const noexcept { return best_score_ <= 1; }
  constexpr bool told() const noexcept { return best_score_ < infinity; }
  constexpr const fault& why() const noexcept { return why_; }

  /// Places that may be used.
  constexpr std::int64_t open_places() const noexcept {
    if (!by_.between_closed) return last_ - first_ + 1;
    return (by_.near_closed ? 0 : 1) + (by_.far_closed ? 0 : 1);
  }

  /// Tries every set of k places, if that is within the steps left; false where it is not.
  constexpr bool exhaust(std::int64_t k) noexcept {
    if (choices_of(open_places(), k, most_) > most_ - solves_) return false;
    feed_places at;
    for (std::int64_t i = 0; i < k; ++i) at.push(i);
    for (bool more = k <= open_places(); more && !why_;) {
      judge(mapped(at));
      more = false;
      for (std::size_t i = at.size(); i-- > 0 && !more;) {
        if (at[i] >= open_places() - static_cast<std::int64_t>(at.size() - i)) continue;
        ++at[i];
        for (std::size_t j = i + 1; j < at.size(); ++j) at[j] = at[j - 1] + 1;
        more = true;
      }
    }
    return true;
  }

  /// From k equal parts, each fed in its middle: moves one point at a time by a step that is halved when no
  /// move gains, down to one cut mark. Stops when the steps are used up.
  constexpr void descend(std::int64_t k) noexcept {
    if (by_.between_closed || k > open_places()) {
      exhaust(k);
      return;
    }
    feed_places at;
    for (std::int64_t i = 0; i < k; ++i) at.push(first_ + ((2 * i + 1) * (last_ - first_)) / (2 * k));
    double score = judge(at);
    for (std::int64_t step = larger_of(1, (last_ - first_) / (4 * k)); step >= 1 && !why_;) {
      bool gained = false;
      for (std::size_t i = 0; i < at.size() && !why_; ++i)
        for (const std::int64_t move : {-step, step}) {
          feed_places moved = at;
          moved[i] += move;
          const std::int64_t low = i == 0 ? first_ : at[i - 1] + 1;
          const std::int64_t high = i + 1 == at.size() ? last_ : at[i + 1] - 1;
          if (moved[i] < low || moved[i] > high) continue;
          if (solves_ >= most_) return;
          const double now = judge(moved);
          if (!(now < score)) continue;
          score = now;
          at = moved;
          gained = true;
        }
      if (!gained) {
        if (step == 1) return;
        step /= 2;
      }
    }
  }

 private:
  static constexpr std::int64_t larger_of(std::int64_t a, std::int64_t b) noexcept { return a > b ? a : b; }

  constexpr feed_places mapped(const feed_places& numbers) const noexcept {
    if (!by_.between_closed) {
      feed_places places;
      for (const std::int64_t n : numbers) places.push(first_ + n);
      return places;
    }
    feed_places ends, places;
    if (!by_.near_closed) ends.push(0);
    if (!by_.far_closed) ends.push(segments_);
    for (const std::int64_t n : numbers) places.push(ends[static_cast<std::size_t>(n)]);
    return places;
  }

  /// Unevenness (0..1) of places that keep the wishes; 1 + utilisation of those that do not.
  constexpr double judge(const feed_places& places) noexcept {
    ++solves_;
    const outcome<fed_length> tried =
        judged_length(t_, line_, by_, wishes_, segments_, places, false, workspace_);
    if (!tried) {
      why_ = tried.why();
      return infinity;
    }
    const double score = tried->broken == run_limit::none ? 1 - tried->figures.least_evenness
                                                          : 1 + larger(tried->utilisation, 1e-3);
    if (score < best_score_) {
      best_score_ = score;
      best_ = *tried;
    }
    return score;
  }

  const tape& t_;
  const tape_line& line_;
  const feed_leads& by_;
  const feed_wishes& wishes_;
  std::int64_t segments_ = 0, first_ = 0, last_ = 0, most_ = 0, solves_ = 0;
  std::span<double> workspace_;
  fed_length best_;
  double best_score_ = infinity;
  fault why_;
};

/// Feed points that a run needs at least, by the maker's length alone, and, where one channel is lit, by light and
/// drop: k points leave two tails and k - 1 gaps, and none can be longer than when its feeds had the
/// source's full voltage. That is a theorem for one channel: lower feeds lower every lamp; and with a
/// linear load the ratio of two lamps of a tail does not depend on its feed, of a gap it is best with
/// equal feeds; a ceiling (regulated) only evens it further as the feed rises.
constexpr std::int64_t fewest_possible(const tape& t, const tape_line& line, const feed_leads& by,
                                       const feed_wishes& wishes, std::int64_t segments,
                                       std::span<double> workspace) noexcept {
  std::int64_t fewest = 1;
  if (t.single_feed_limit.v > 0)
    fewest = static_cast<std::int64_t>(ceil_of(
        0.5 * static_cast<double>(segments) * t.cut_pitch / (t.single_feed_limit * kept_by_a_hair) - 1e-9));
  if (fewest < 1) fewest = 1;
  if (lit_of(line).count != 1) return fewest;
  tape bare = t;
  bare.feed_point_limit = {};
  bare.single_feed_limit = {};
  feed_leads ideal;
  ideal.shared.source = by.shared.source;
  const auto longest = [&](feed_arrangement how) noexcept {
    const outcome<longest_fed> found = longest_fed_run(bare, how, 1, ideal, wishes, workspace);
    return found ? found->run.segments : segments;
  };
  const std::int64_t tail = longest(feed_arrangement::one_end), gap = longest(feed_arrangement::both_ends);
  while (fewest <= static_cast<std::int64_t>(max_feed_points) && 2 * tail + (fewest - 1) * gap < segments)
    ++fewest;
  return fewest;
}

}  // namespace detail

/// The least number of feed points for a run, and the places that make it most even.
///
/// @param t            a tape that check(tape) accepts; see longest_fed_run for its limits.
/// @param segments     1..1e5.
/// @param by           the cables, and which places they reach.
/// @param wishes       to be kept by every answer.
/// @param most_points  most points looked at; 1..8.
/// @param most_solves  most networks solved; 1..1e9. The answer depends on it and on nothing else, least of all
///                     on the machine.
/// @param workspace    arrangement_workspace(segments, channels, most_points).
/// @return             Faults: out_of_range; no_room; unreachable when no number of points up to the most keeps
///                     the wishes (`field`: what the best of them breaks; `given` the points it has).
/// Method    for each number k from the least that is possible at all: every set of places while all of them fit
///           into the steps left (C(N + 1, k) solves), then both `..._proven`; else a search from k equal parts
///           by moves of single points (descends, proves nothing). A k that is skipped by a bound is proven
///           not to do (detail::fewest_possible); one that a search alone gave up is not.
///           Among places that keep the wishes the most even is taken, the first in their order on a tie.
/// Source    closed form; the search is a design of this library.
constexpr outcome<fewest_feeds> fewest_feed_points(const tape& t, std::int64_t segments, const feed_leads& by,
                                                   const feed_wishes& wishes, std::int32_t most_points,
                                                   std::int64_t most_solves,
                                                   std::span<double> workspace) noexcept {
  const outcome<tape_line> line = detail::line_asked(t, by, wishes);
  if (!line) return line.why();
  if (const fault f = first_fault(
          refuse(field::segment_count, static_cast<double>(segments)),
          refuse_outside(field::feed_points, most_points, 1, static_cast<double>(max_feed_points)),
          refuse(field::step_budget, static_cast<double>(most_solves))))
    return f;
  detail::place_search search{t, *line, by, wishes, segments, most_solves, workspace};
  if (search.open_places() == 0)
    return fault{
        fault_code::contradiction, field::feed_points, 0, 1, static_cast<double>(max_feed_points), -1};
  fewest_feeds out;
  out.fewest_proven = true;
  for (std::int64_t k = detail::fewest_possible(t, *line, by, wishes, segments, workspace); k <= most_points;
       ++k) {
    if (k > search.open_places() || search.solves() >= most_solves) break;
    const bool exhausted = search.exhaust(k);
    if (!exhausted) search.descend(k);
    if (search.why()) return search.why();
    if (search.found()) {
      out.run = search.best();
      out.solves = search.solves();
      out.best_proven = exhausted;
      return out;
    }
    out.fewest_proven = out.fewest_proven && exhausted;
  }
  const run_limit broken = search.told() ? search.best().broken : run_limit::none;
  return fault{fault_code::unreachable,
               search.told() ? detail::field_of(broken) : field::feed_points,
               search.told() ? static_cast<double>(search.best().places.size()) : 0.0,
               1,
               static_cast<double>(most_points),
               -1};
}

}  // namespace tapewright
