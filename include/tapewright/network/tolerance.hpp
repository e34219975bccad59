// SPDX-License-Identifier: BSL-1.0
// Guaranteed bounds on what an installation does when its inputs are only known within tolerances.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/load_law.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/rules/copper.hpp"

namespace tapewright {

/// By what an input may be multiplied: 0.95 .. 1.05 is five per cent either way. 0.5 <= least <= 1 <= most <= 2.
struct factor_range {
  double least = 1, most = 1;
};

/// How well the inputs of a network are known. Each run, channel and hub has a factor of its own within the
/// range of its kind: nothing is assumed about how they hang together.
struct network_tolerances {
  factor_range source;   ///< the driver's output voltage
  factor_range load;     ///< W/m, of each channel of each run
  factor_range trace;    ///< trace resistance of each run, temperature included (see copper_range)
  factor_range length;   ///< of each run: pitch, and with it trace and load
  factor_range cable;    ///< lead; supply of each hub; feeder and leads of each run, temperature included
  factor_range contact;  ///< switches of each hub; joints of each run
};

/// The range of a copper's resistance from its tolerance and the temperatures that it may have.
///
/// @param at     degC at which the network's resistances were taken; -60..200.
/// @param least, most  degC, the coldest and the warmest; least <= at <= most.
/// @param share  tolerance of the resistance itself, either way; 0..0.2.
/// @return       Faults out_of_range.
/// Formula   (1 -+ share) (1 + alpha20 (T - 20)) / (1 + alpha20 (T_at - 20)).
/// Source    IEC 60028 for copper (rules/copper.hpp).
constexpr outcome<factor_range> copper_range(celsius at, celsius least, celsius most,
                                             double share = 0) noexcept {
  if (const fault f =
          first_fault(refuse(field::temperature, at), refuse_outside(field::temperature, least.v, -60, at.v),
                      refuse_outside(field::temperature, most.v, at.v, range_of(field::temperature).most),
                      refuse_outside(field::share, share, 0, 0.2)))
    return f;
  const double now = detail::resistance_ratio(at);
  return factor_range{(1 - share) * (detail::resistance_ratio(least) / now),
                      (1 + share) * (detail::resistance_ratio(most) / now)};
}

/// How a bound was found.
enum class bound_method : std::int32_t {
  none = 0,        ///< only what no answer can pass (an evenness: 0 and 1)
  monotone = 1,    ///< every input has one direction over the whole box: attained at the corner that is named
  mean_value = 2,  ///< some inputs have not: the corner of the others, and the steepest slope of these
  enclosure = 3,   ///< from the currents that are possible at most and at least
};

/// Inputs that have a factor, numbered: 0 source, 1 lead, then for each hub its supply and its switches, then for
/// each run trace, length, feeder with leads, joints, and the load of each channel.
inline constexpr std::size_t most_factors = 256;

/// A corner of the box: which factors stand at their greatest value; the others stand at their least, and those
/// that have no direction (`free`) at 1.
struct box_corner {
  std::uint64_t high[most_factors / 64] = {}, free[most_factors / 64] = {};

  constexpr bool is_high(std::size_t p) const noexcept { return (high[p / 64] >> p % 64 & 1u) != 0; }
  constexpr bool is_free(std::size_t p) const noexcept { return (free[p / 64] >> p % 64 & 1u) != 0; }
};

/// One side of a bound.
struct one_bound {
  double value = 0;
  bound_method by = bound_method::none;
  box_corner corner;
};
struct two_bounds {
  one_bound least, most;
};
inline constexpr two_bounds not_bounded{{not_a_number, bound_method::none, {}},
                                        {not_a_number, bound_method::none, {}}};

/// Bounds on one run's figures; of the unlit channels nothing is told.
struct run_bounds {
  two_bounds lowest_load[max_channels] = {not_bounded, not_bounded, not_bounded,
                                          not_bounded, not_bounded, not_bounded};  ///< V
  two_bounds highest_load[max_channels] = {not_bounded, not_bounded, not_bounded,
                                           not_bounded, not_bounded, not_bounded};  ///< V
  two_bounds channel_current[max_channels] = {not_bounded, not_bounded, not_bounded,
                                              not_bounded, not_bounded, not_bounded};  ///< A
  /// 0..1; `none` for a run fed between its ends or of several tapes
  two_bounds evenness[max_channels] = {not_bounded, not_bounded, not_bounded,
                                       not_bounded, not_bounded, not_bounded};
  two_bounds total = not_bounded, lamps = not_bounded;  ///< A, W
};
/// Bounds on a network's figures; `loss` is all that does not reach the lamps.
struct network_bounds {
  two_bounds total = not_bounded, lamps = not_bounded, loss = not_bounded;  ///< A, W, W
};

/// Storage of bounds_of: copies of the network's lists, and doubles.
struct tolerance_space {
  std::span<feed_hub> hubs;             ///< as many as the network's
  std::span<fed_run> runs;              ///< likewise
  std::span<run_stretch> stretches;     ///< of all runs
  std::span<feed_point> feeds;          ///< likewise
  std::span<fed_run_figures> figures;   ///< one a run
  std::span<fed_run_profile> profiles;  ///< likewise
  std::span<volts> voltages;            ///< segments x channels of all runs
  std::span<double> doubles;            ///< network_workspace(n) + 16 x segments x channels
};

/// How many of each a tolerance_space needs.
struct tolerance_needs {
  std::size_t hubs = 0, runs = 0, stretches = 0, feeds = 0, loads = 0, doubles = 0;
};
constexpr tolerance_needs tolerance_space_for(const feed_network& n) noexcept {
  tolerance_needs t;
  t.hubs = n.hubs.size();
  t.runs = n.runs.size();
  for (const fed_run& r : n.runs) {
    t.stretches += r.stretches.size();
    t.feeds += r.feeds.size();
    if (!r.stretches.empty())
      t.loads += static_cast<std::size_t>(segments_of(r) * r.stretches[0].line.channels);
  }
  t.doubles = network_workspace(n) + 16 * t.loads;
  return t;
}

/// Factors of a network, in their order (see most_factors).
constexpr std::size_t first_factor_of_run(const feed_network& n, std::size_t run) noexcept {
  std::size_t p = 2 + 2 * n.hubs.size();
  for (std::size_t r = 0; r < run; ++r)
    p += 4 + static_cast<std::size_t>(n.runs[r].stretches[0].line.channels);
  return p;
}
constexpr std::size_t factor_count(const feed_network& n) noexcept {
  return first_factor_of_run(n, n.runs.size());
}

/// Which range a factor has.
constexpr factor_range range_of_factor(const feed_network& n, const network_tolerances& t,
                                       std::size_t p) noexcept {
  if (p == 0) return t.source;
  if (p == 1) return t.cable;
  p -= 2;
  if (p < 2 * n.hubs.size()) return p % 2 == 0 ? t.cable : t.contact;
  p -= 2 * n.hubs.size();
  for (const fed_run& r : n.runs) {
    const std::size_t own = 4 + static_cast<std::size_t>(r.stretches[0].line.channels);
    if (p < own) return p == 0 ? t.trace : p == 1 ? t.length : p == 2 ? t.cable : p == 3 ? t.contact : t.load;
    p -= own;
  }
  return {};
}

/// A network with its inputs multiplied.
/// @param factor  factor(p) is what input p is multiplied by.
/// @param space   hubs, runs, stretches and feeds as tolerance_space_for(n) says.
template <class Factor>
constexpr feed_network multiplied(const feed_network& n, const Factor& factor,
                                  const tolerance_space& space) noexcept {
  feed_network m;
  m.source = n.source * factor(std::size_t{0});
  m.lead = n.lead * factor(std::size_t{1});
  std::size_t p = 2, stretch = 0, feed = 0;
  for (std::size_t h = 0; h < n.hubs.size(); ++h) {
    feed_hub& hub = space.hubs[h] = n.hubs[h];
    hub.supply *= factor(p++);
    const double contact = factor(p++);
    for (ohms& o : hub.channel) o *= contact;
  }
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    fed_run& run = space.runs[r] = n.runs[r];
    const double trace = factor(p), length = factor(p + 1), cable = factor(p + 2), contact = factor(p + 3);
    const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
    const std::span<run_stretch> own = space.stretches.subspan(stretch, run.stretches.size());
    stretch += own.size();
    for (std::size_t s = 0; s < own.size(); ++s) {
      run_stretch& part = own[s] = run.stretches[s];
      part.link_common *= contact;
      part.line.common *= trace * length;
      for (std::size_t c = 0; c < channels; ++c) {
        part.link_channel[c] *= contact;
        part.line.channel[c] *= trace * length;
        const double load = factor(p + 4 + c) * length;
        load_law& law = part.line.law[c];
        law.slope = law.slope * load;
        if (law.kind == load_kind::regulated) law.ceiling *= load;
        law.power *= load;
      }
    }
    const std::span<feed_point> points = space.feeds.subspan(feed, run.feeds.size());
    feed += points.size();
    for (std::size_t f = 0; f < points.size(); ++f) {
      points[f] = run.feeds[f];
      points[f].common *= cable;
      for (ohms& o : points[f].channel) o *= cable;
    }
    run.common *= cable;
    for (ohms& o : run.channel) o *= cable;
    run.stretches = own;
    run.feeds = points;
    p += 4 + channels;
  }
  m.hubs = space.hubs.first(n.hubs.size());
  m.runs = space.runs.first(n.runs.size());
  return m;
}

/// The network at a corner of its box.
constexpr feed_network at_corner(const feed_network& n, const network_tolerances& t, const box_corner& corner,
                                 const tolerance_space& space) noexcept {
  return multiplied(
      n,
      [&](std::size_t p) noexcept {
        if (corner.is_free(p)) return 1.0;
        const factor_range range = range_of_factor(n, t, p);
        return corner.is_high(p) ? range.most : range.least;
      },
      space);
}

namespace detail {

/// All values from lo to hi.
struct interval {
  double lo = 0, hi = 0;

  friend constexpr interval operator+(interval a, interval b) noexcept { return {a.lo + b.lo, a.hi + b.hi}; }
  friend constexpr interval operator-(interval a, interval b) noexcept { return {a.lo - b.hi, a.hi - b.lo}; }
  friend constexpr interval operator*(interval a, interval b) noexcept {
    const double p = a.lo * b.lo, q = a.lo * b.hi, r = a.hi * b.lo, s = a.hi * b.hi;
    return {smaller(smaller(p, q), smaller(r, s)), larger(larger(p, q), larger(r, s))};
  }
  friend constexpr interval operator*(double a, interval b) noexcept {
    return a < 0 ? interval{a * b.hi, a * b.lo} : interval{a * b.lo, a * b.hi};
  }
  constexpr interval cut(interval other) const noexcept {
    return {larger(lo, other.lo), smaller(hi, other.hi)};
  }
};

/// Factors of one box.
struct factor_box {
  double lo[most_factors] = {}, hi[most_factors] = {}, middle[most_factors] = {};
  constexpr interval operator[](std::size_t p) const noexcept { return {lo[p], hi[p]}; }
};

/// Intervals of currents and voltages on a network that is a tree: every run fed at one point.
///
/// Voltages are u = V - Z q(u). On a tree every entry of Z is the sum of the resistances that two loads share: not
/// negative, and rising with every resistance. Loads draw more at more voltage (no constant power here), so that
/// u -> V - Z q(u) turns the order around: if lo <= u <= hi over the whole box, then
///     V_lo - Z_hi q(hi) <= u <= V_hi - Z_lo q(lo)
/// holds too, and may be cut with what was known before, as often as it gains. The ampere of sensitivity.hpp
/// moves the voltages by a = Z (w - G a), w its weights; every slope G lies between its values at lo and hi, so that
/// intervals are cut in the same way. They start from |a| <= max Z_kk sum |w|: (Z^-1 + G)^-1 is
/// positive semidefinite and below Z.
class tolerance_tree {
 public:
  constexpr tolerance_tree(const feed_network& n, double* room, std::size_t loads) noexcept
      : n_{n}, room_{room}, loads_{loads} {}

  constexpr interval get(int list, std::size_t l) const noexcept {
    const double* at = room_ + (static_cast<std::size_t>(list) * loads_ + l) * 2;
    return {at[0], at[1]};
  }
  constexpr void set(int list, std::size_t l, interval to) const noexcept {
    double* at = room_ + (static_cast<std::size_t>(list) * loads_ + l) * 2;
    at[0] = to.lo;
    at[1] = to.hi;
  }
  static constexpr int u = 0, q = 1, beyond_q = 2, a = 3, beyond_x = 4, w = 5, x = 6, gone = 7;

  /// visit(load, law, run, channel, factor of its power)
  template <class Visit>
  constexpr void each_load(const factor_box& box, const Visit& visit) const noexcept {
    std::size_t l = 0, p = 2 + 2 * n_.hubs.size();
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const fed_run& run = n_.runs[r];
      const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
      const std::uint32_t lit = run.stretches[0].line.lit;
      for (const run_stretch& s : run.stretches)
        for (std::int64_t k = 0; k < s.line.segments; ++k)
          for (std::size_t c = 0; c < channels; ++c, ++l)
            if ((lit >> c & 1u) != 0)
              visit(l, s.line.law[c], r, c,
                    interval{box.lo[p + 4 + c] * box.lo[p + 1], box.hi[p + 4 + c] * box.hi[p + 1]});
      p += 4 + channels;
    }
  }

  constexpr interval source(const factor_box& box) const noexcept {
    return {n_.source.v * box.lo[0], n_.source.v * box.hi[0]};
  }

  /// All load voltages and currents of a box.
  constexpr void enclose(const factor_box& box) const noexcept {
    const interval v = source(box);
    each_load(box, [&](std::size_t l, const load_law&, std::size_t, std::size_t, interval) noexcept {
      set(u, l, {-1e9, v.hi});
    });
    for (int round = 0; round < 60; ++round) {
      draw(box);
      double gained = 0;
      drop(box, q, beyond_q, [&](std::size_t l, interval lost) noexcept {
        const interval was = get(u, l), is = was.cut(v - lost);
        gained = larger(gained, (is.lo - was.lo) + (was.hi - is.hi));
        set(u, l, is);
      });
      if (!(gained > 1e-9 * v.hi)) break;
    }
    draw(box);
    drop(box, q, beyond_q, [&](std::size_t l, interval volts_lost) noexcept { set(gone, l, volts_lost); });
  }

  /// How far the voltage of a channel falls between the loads of a run fed at one end: from its currents, not as a
  /// difference of two intervals.
  constexpr interval fall(const factor_box& box, std::size_t r, std::size_t c) const noexcept {
    const fed_run& run = n_.runs[r];
    const std::size_t p = first_factor_of_run(n_, r);
    const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
    const std::int64_t feed = run.feeds[0].at;
    const std::size_t first = offset(r) + static_cast<std::size_t>(feed > 0 ? feed - 1 : 0) * channels;
    const interval trace = box[p] * box[p + 1];
    interval sum;
    each_gap(r, [&](std::size_t, std::size_t l, bool, double pitch, const run_stretch* piece,
                    const run_stretch* joint) noexcept {
      if (l == first) return;
      interval all;
      for (std::size_t k = 0; k < channels; ++k) all = all + get(beyond_q, l + k);
      const interval own = get(beyond_q, l + c);
      sum = sum + (pitch * piece->line.common.v * trace) * all +
            (pitch * piece->line.channel[c].v * trace) * own;
      if (joint != nullptr)
        sum = sum + (joint->link_common.v * box[p + 3]) * all + (joint->link_channel[c].v * box[p + 3]) * own;
    });
    return sum;
  }

  /// A load's slope over the voltages that it may have.
  constexpr interval slope(const load_law& law, std::size_t l, interval power) const noexcept {
    const interval at_load = get(u, l);
    const double steep = law.slope.v, knee = law.dark_below.v;
    const double top =
        law.kind == load_kind::regulated && steep > 0 ? knee + law.ceiling.v / steep : infinity;
    if (at_load.lo > knee && at_load.hi < top) return steep * power;
    if (at_load.hi < knee || at_load.lo > top) return {0, 0};
    return {0, steep * power.hi};
  }

  /// What an ampere spread over the loads with the weights in `w` does to all of them.
  constexpr void adjoin(const factor_box& box) const noexcept {
    double weights = 0, most = 0;
    each_load(box, [&](std::size_t l, const load_law&, std::size_t, std::size_t, interval) noexcept {
      const interval weight = get(w, l);
      weights += larger(absolute(weight.lo), absolute(weight.hi));
    });
    most = greatest_path(box) * weights;
    each_load(box, [&](std::size_t l, const load_law&, std::size_t, std::size_t, interval) noexcept {
      set(a, l, {-most, most});
    });
    for (int round = 0; round < 80; ++round) {
      flow(box);
      double gained = 0;
      drop(box, x, beyond_x, [&](std::size_t l, interval moved) noexcept {
        const interval was = get(a, l), is = was.cut(moved);
        gained = larger(gained, (is.lo - was.lo) + (was.hi - is.hi));
        set(a, l, is);
      });
      if (!(gained > 1e-6 * most)) break;
    }
    flow(box);
    drop(box, x, beyond_x, [](std::size_t, interval) noexcept {});
  }

  /// d(figure) / d(ln factor) of every input over the whole box, but for what the figure owes to the loads directly.
  /// `heat`: the figure holds R I^2 of every resistance besides.
  constexpr void slopes(const factor_box& box, interval (&by)[most_factors], bool heat) const noexcept {
    for (interval& each : by) each = {};
    each_load(box, [&](std::size_t l, const load_law&, std::size_t r, std::size_t c, interval) noexcept {
      interval& own = by[first_factor_of_run(n_, r) + 4 + c];
      own = own - get(q, l) * get(a, l);
    });
    interval all_x, all_q;
    const auto of_ohms = [&](std::size_t p, interval r, interval i, interval j) noexcept {
      by[p] = heat ? by[p] + r * (i * (i - j)) : by[p] - r * (i * j);
    };
    const auto lost_in = [&](std::size_t p, double r, interval i, interval j) noexcept {
      of_ohms(p, r * box[p], i, j);
    };
    for (std::size_t h = 0; h < n_.hubs.size(); ++h) {
      interval hub_x, hub_q;
      for (std::size_t c = 0; c < max_channels; ++c) {
        interval own_x, own_q;
        for (std::size_t r = 0; r < n_.runs.size(); ++r) {
          if (static_cast<std::size_t>(n_.runs[r].hub) != h) continue;
          own_x = own_x + channel_sum(r, c, beyond_x);
          own_q = own_q + channel_sum(r, c, beyond_q);
        }
        lost_in(3 + 2 * h, n_.hubs[h].channel[c].v, own_q, own_x);
        hub_x = hub_x + own_x;
        hub_q = hub_q + own_q;
      }
      lost_in(2 + 2 * h, n_.hubs[h].supply.v, hub_q, hub_x);
      all_x = all_x + hub_x;
      all_q = all_q + hub_q;
    }
    lost_in(1, n_.lead.v, all_q, all_x);
    by[0] = source(box) * all_x;
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const fed_run& run = n_.runs[r];
      const std::size_t p = first_factor_of_run(n_, r);
      const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
      interval run_x, run_q;
      for (std::size_t c = 0; c < channels; ++c) {
        const interval own_x = channel_sum(r, c, beyond_x), own_q = channel_sum(r, c, beyond_q);
        lost_in(p + 2, run.channel[c].v + run.feeds[0].channel[c].v, own_q, own_x);
        run_x = run_x + own_x;
        run_q = run_q + own_q;
      }
      lost_in(p + 2, run.common.v + run.feeds[0].common.v, run_q, run_x);
      const interval trace = box[p] * box[p + 1];
      each_gap(r, [&](std::size_t, std::size_t l, bool, double pitch, const run_stretch* piece,
                      const run_stretch* joint) noexcept {
        if (l == nowhere) return;
        interval sum_x, sum_q;
        for (std::size_t c = 0; c < channels; ++c) {
          const interval own_x = get(beyond_x, l + c), own_q = get(beyond_q, l + c);
          of_ohms(p, pitch * piece->line.channel[c].v * trace, own_q, own_x);
          if (joint != nullptr) lost_in(p + 3, joint->link_channel[c].v, own_q, own_x);
          sum_x = sum_x + own_x;
          sum_q = sum_q + own_q;
        }
        of_ohms(p, pitch * piece->line.common.v * trace, sum_q, sum_x);
        if (joint != nullptr) lost_in(p + 3, joint->link_common.v, sum_q, sum_x);
      });
    }
  }

  constexpr interval channel_sum(std::size_t r, std::size_t c, int beyond) const noexcept {
    const fed_run& run = n_.runs[r];
    const std::int64_t feed = run.feeds[0].at, n = segments_of(run);
    const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
    if (c >= channels) return {};
    interval sum;
    if (feed < n) sum = sum + get(beyond, offset(r) + static_cast<std::size_t>(feed) * channels + c);
    if (feed > 0) sum = sum + get(beyond, offset(r) + static_cast<std::size_t>(feed - 1) * channels + c);
    return sum;
  }
  constexpr std::size_t offset(std::size_t run) const noexcept {
    std::size_t l = 0;
    for (std::size_t r = 0; r < run; ++r)
      l += static_cast<std::size_t>(segments_of(n_.runs[r]) * n_.runs[r].stretches[0].line.channels);
    return l;
  }

 private:
  static constexpr std::size_t nowhere = ~std::size_t{0};

  constexpr void draw(const factor_box& box) const noexcept {
    each_load(
        box, [&](std::size_t l, const load_law& law, std::size_t, std::size_t, interval power) noexcept {
          const interval v = get(u, l);
          set(q, l, {power.lo * at(law, volts{v.lo}).current.v, power.hi * at(law, volts{v.hi}).current.v});
        });
  }
  constexpr void flow(const factor_box& box) const noexcept {
    each_load(box, [&](std::size_t l, const load_law& law, std::size_t, std::size_t,
                       interval power) noexcept { set(x, l, get(w, l) - slope(law, l, power) * get(a, l)); });
  }

  /// Goes outwards from a run's feed point on both sides. visit(run, load place, outer, pitches, piece, joint):
  /// so many pitches of `piece` lie between the loads at `load` (of its first channel) and the inner neighbour; `joint`
  /// is a joint on the way or null. A gap over two tapes is told as two, the same load twice, `outer` on the second.
  template <class Visit>
  constexpr void each_gap(std::size_t r, const Visit& visit) const noexcept {
    const fed_run& run = n_.runs[r];
    const std::int64_t feed = run.feeds[0].at;
    const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
    const std::size_t first = offset(r);
    const auto stretch_at = [&](std::int64_t k, bool& starts) noexcept {
      std::size_t s = 0;
      while (k >= run.stretches[s].line.segments && s + 1 < run.stretches.size())
        k -= run.stretches[s++].line.segments;
      starts = k == 0 && s > 0;
      return s;
    };
    const std::int64_t n = segments_of(run);
    for (const std::int64_t way : {std::int64_t{1}, std::int64_t{-1}}) {
      const run_stretch* inner = nullptr;
      bool inner_starts = false;
      for (std::int64_t k = way > 0 ? feed : feed - 1; k >= 0 && k < n; k += way) {
        bool starts = false;
        const run_stretch* own = &run.stretches[stretch_at(k, starts)];
        const std::size_t load = first + static_cast<std::size_t>(k) * channels;
        const run_stretch* joint = way > 0 ? (starts ? own : nullptr) : (inner_starts ? inner : nullptr);
        if (inner != nullptr) visit(r, load, false, 0.5, inner, nullptr);
        visit(r, load, true, 0.5, own, joint);
        inner = own;
        inner_starts = starts;
      }
    }
  }

  /// From the currents in `list` what flows on beyond each gap (into `beyond`), and what is lost on the way to
  /// each load: then(load, volts).
  template <class Then>
  constexpr void drop(const factor_box& box, int list, int beyond, const Then& then) const noexcept {
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const fed_run& run = n_.runs[r];
      const std::int64_t feed = run.feeds[0].at, n = segments_of(run);
      const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
      const std::uint32_t lit = run.stretches[0].line.lit;
      const std::size_t first = offset(r);
      for (std::size_t c = 0; c < channels; ++c) {
        const bool on = (lit >> c & 1u) != 0;
        interval sum;
        const auto pass = [&](std::int64_t k) noexcept {
          const std::size_t l = first + static_cast<std::size_t>(k) * channels + c;
          if (on) sum = sum + get(list, l);
          set(beyond, l, sum);
        };
        for (std::int64_t k = n - 1; k >= feed; --k) pass(k);
        sum = {};
        for (std::int64_t k = 0; k < feed; ++k) pass(k);
      }
    }
    interval all;
    for (std::size_t r = 0; r < n_.runs.size(); ++r)
      for (std::size_t c = 0; c < max_channels; ++c) all = all + channel_sum(r, c, beyond);
    const interval at_lead = (n_.lead.v * box[1]) * all;
    for (std::size_t h = 0; h < n_.hubs.size(); ++h) {
      interval hub, own[max_channels];
      for (std::size_t c = 0; c < max_channels; ++c) {
        own[c] = {};
        for (std::size_t r = 0; r < n_.runs.size(); ++r)
          if (static_cast<std::size_t>(n_.runs[r].hub) == h) own[c] = own[c] + channel_sum(r, c, beyond);
        hub = hub + own[c];
      }
      const interval at_hub = at_lead + (n_.hubs[h].supply.v * box[2 + 2 * h]) * hub;
      for (std::size_t c = 0; c < max_channels; ++c)
        own[c] = at_hub + (n_.hubs[h].channel[c].v * box[3 + 2 * h]) * own[c];
      for (std::size_t r = 0; r < n_.runs.size(); ++r)
        if (static_cast<std::size_t>(n_.runs[r].hub) == h) drop_in_run(box, r, own, beyond, then);
    }
  }
  template <class Then>
  constexpr void drop_in_run(const factor_box& box, std::size_t r, const interval (&at_hub)[max_channels],
                             int beyond, const Then& then) const noexcept {
    const fed_run& run = n_.runs[r];
    const std::size_t p = first_factor_of_run(n_, r);
    const auto channels = static_cast<std::size_t>(run.stretches[0].line.channels);
    const std::uint32_t lit = run.stretches[0].line.lit;
    interval at_feed[max_channels], here[max_channels], sum;
    for (std::size_t c = 0; c < channels; ++c) sum = sum + channel_sum(r, c, beyond);
    for (std::size_t c = 0; c < channels; ++c) {
      at_feed[c] = at_hub[c] + ((run.common.v + run.feeds[0].common.v) * box[p + 2]) * sum +
                   ((run.channel[c].v + run.feeds[0].channel[c].v) * box[p + 2]) * channel_sum(r, c, beyond);
      here[c] = at_feed[c];
    }
    const interval trace = box[p] * box[p + 1];
    std::size_t next = offset(r) + static_cast<std::size_t>(run.feeds[0].at) * channels;
    each_gap(r, [&](std::size_t, std::size_t l, bool last, double pitch, const run_stretch* piece,
                    const run_stretch* joint) noexcept {
      if (run.feeds[0].at > 0 && l + channels == next)  // the other side begins at the feed point again
        for (std::size_t c = 0; c < channels; ++c) here[c] = at_feed[c];
      interval all;
      for (std::size_t c = 0; c < channels; ++c) all = all + get(beyond, l + c);
      for (std::size_t c = 0; c < channels; ++c) {
        const interval own = get(beyond, l + c);
        here[c] = here[c] + (pitch * piece->line.common.v * trace) * all +
                  (pitch * piece->line.channel[c].v * trace) * own;
        if (joint != nullptr)
          here[c] = here[c] + (joint->link_common.v * box[p + 3]) * all +
                    (joint->link_channel[c].v * box[p + 3]) * own;
        if (last && (lit >> c & 1u) != 0) then(l + c, here[c]);
      }
    });
  }

  /// Greatest resistance from the source to any load and back: no transfer is greater.
  constexpr double greatest_path(const factor_box& box) const noexcept {
    double most = 0;
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const fed_run& run = n_.runs[r];
      const auto h = static_cast<std::size_t>(run.hub);
      const std::size_t p = first_factor_of_run(n_, r);
      for (std::size_t c = 0; c < static_cast<std::size_t>(run.stretches[0].line.channels); ++c) {
        double sum = n_.lead.v * box.hi[1] + n_.hubs[h].supply.v * box.hi[2 + 2 * h] +
                     n_.hubs[h].channel[c].v * box.hi[3 + 2 * h];
        const ohms cores = run.common + run.channel[c] + run.feeds[0].common + run.feeds[0].channel[c];
        sum += cores.v * box.hi[p + 2];
        for (const run_stretch& s : run.stretches)
          sum += static_cast<double>(s.line.segments) * (s.line.common + s.line.channel[c]).v * box.hi[p] *
                     box.hi[p + 1] +
                 (s.link_common + s.link_channel[c]).v * box.hi[p + 3];
        most = larger(most, sum);
      }
    }
    return most;
  }

  const feed_network& n_;
  double* room_;
  std::size_t loads_;
};

/// A figure whose bounds are asked.
struct bounded_figure {
  enum class kind { voltage, fall, current, evenness, total, lamps, loss } what = kind::voltage;
  std::size_t run = 0, channel = 0;
  std::int64_t segment = 0, other = 0;  ///< of an evenness: the dimmest and the brightest
  bool whole = false;                   ///< of all runs
};

class tolerance_bounder {
 public:
  using kind = bounded_figure::kind;

  constexpr tolerance_bounder(const feed_network& n, const network_tolerances& t,
                              const tolerance_space& space) noexcept
      : n_{n},
        space_{space},
        loads_{tolerance_space_for(n).loads},
        tree_{n, space.doubles.data() + network_workspace(n), loads_} {
    for (std::size_t p = 0; p < factor_count(n); ++p) {
      const factor_range range = range_of_factor(n, t, p);
      box_.lo[p] = range.least;
      box_.hi[p] = range.most;
      box_.middle[p] = 1;
    }
    tree_.enclose(box_);
  }

  /// The first fault of a network solved on the way.
  constexpr const fault& why() const noexcept { return why_; }

  constexpr two_bounds of(const bounded_figure& f) noexcept {
    two_bounds out = within(f, box_);
    if (!source_is_free_) return out;
    // the source moves every load: cut its range, and the slopes become steady
    constexpr int slices = 16;
    factor_box part = box_;
    two_bounds all;
    for (int s = 0; s < slices; ++s) {
      const double step = (box_.hi[0] - box_.lo[0]) / slices;
      part.lo[0] = box_.lo[0] + s * step;
      part.hi[0] = s + 1 == slices ? box_.hi[0] : box_.lo[0] + (s + 1) * step;
      part.middle[0] = 0.5 * (part.lo[0] + part.hi[0]);
      tree_.enclose(part);
      const two_bounds own = within(f, part);
      if (s == 0 || own.least.value < all.least.value) all.least = own.least;
      if (s == 0 || own.most.value > all.most.value) all.most = own.most;
    }
    tree_.enclose(box_);
    for (one_bound* side : {&all.least, &all.most})
      if (side->by == bound_method::monotone) side->by = bound_method::mean_value;  // in its slice only
    if (all.least.value > out.least.value) out.least = all.least;
    if (all.most.value < out.most.value) out.most = all.most;
    return out;
  }

 private:
  constexpr std::size_t place(const bounded_figure& f, std::int64_t segment) const noexcept {
    const auto channels = n_.runs[f.run].stretches[0].line.channels;
    return tree_.offset(f.run) + static_cast<std::size_t>(segment * channels) + f.channel;
  }

  /// Weights of the loads, and what the figure owes to each input directly.
  constexpr void weigh(const bounded_figure& f, const factor_box& box,
                       interval (&direct)[most_factors]) const noexcept {
    for (interval& each : direct) each = {};
    tree_.each_load(
        box, [&](std::size_t l, const load_law& law, std::size_t r, std::size_t c, interval power) noexcept {
          const interval g = tree_.slope(law, l, power), i = tree_.get(tolerance_tree::q, l),
                         u = tree_.get(tolerance_tree::u, l);
          interval weight, own;
          const bool mine = f.whole || r == f.run;
          switch (f.what) {
            case kind::voltage:
              if (l == place(f, f.segment)) weight = {1, 1};
              break;
            case kind::fall:
              if (l == place(f, f.other)) weight = {1, 1};
              if (l == place(f, f.segment)) weight = {-1, -1};
              break;
            case kind::current:
              if (mine && c == f.channel) weight = g, own = i;
              break;
            case kind::total:
              if (mine) weight = g, own = i;
              break;
            case kind::lamps:
              if (mine) weight = i + u * g, own = u * i;
              break;
            case kind::loss: {  // sum of R I^2: an ampere more at a load is 2 x what its volts lost
              const interval twice = 2.0 * tree_.get(tolerance_tree::gone, l);
              weight = twice * g;
              own = twice * i;
              break;
            }
            case kind::evenness: {  // of its logarithm; the load's own factor is in both lights
              if (!(i.lo > 0)) break;
              const interval share{g.lo / i.hi, g.hi / i.lo};
              if (l == place(f, f.segment)) weight = weight + share;
              if (l == place(f, f.other)) weight = weight - share;
              break;
            }
          }
          tree_.set(tolerance_tree::w, l, weight);
          const std::size_t p = first_factor_of_run(n_, r) + 4 + c;
          direct[p] = direct[p] + own;
        });
  }

  constexpr double solved(const bounded_figure& f, const factor_box& box, const box_corner& corner) noexcept {
    const feed_network m = multiplied(
        n_,
        [&](std::size_t p) noexcept {
          return corner.is_free(p) ? box.middle[p] : corner.is_high(p) ? box.hi[p] : box.lo[p];
        },
        space_);
    std::size_t at = 0;
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const auto loads =
          static_cast<std::size_t>(segments_of(n_.runs[r]) * n_.runs[r].stretches[0].line.channels);
      space_.profiles[r] = {space_.voltages.subspan(at, loads), {}, {}};
      at += loads;
    }
    const outcome<network_figures> all = solve_network(m, space_.doubles.first(network_workspace(n_)),
                                                       space_.figures, space_.profiles.first(n_.runs.size()));
    if (!all.ok()) {
      if (!why_) why_ = all.why();
      return not_a_number;
    }
    const fed_run_figures& run = space_.figures[f.run];
    switch (f.what) {
      case kind::voltage: return space_.voltages[place(f, f.segment)].v;
      case kind::fall: return (space_.voltages[place(f, f.other)] - space_.voltages[place(f, f.segment)]).v;
      case kind::current: return run.channel_current[f.channel].v;
      case kind::evenness: return run.evenness[f.channel];
      case kind::total: return f.whole ? all->total.v : run.total.v;
      case kind::lamps: return f.whole ? all->lamps.v : run.lamps.v;
      case kind::loss:
        return all->trace_loss.v + all->feeder_loss.v + all->switch_loss.v + all->supply_loss.v;
    }
    return not_a_number;
  }

  /// What the intervals alone say.
  constexpr interval natural(const bounded_figure& f, const factor_box& box) const noexcept {
    if (f.what == kind::voltage) return tree_.get(tolerance_tree::u, place(f, f.segment));
    if (f.what == kind::evenness) {
      const interval low = tree_.get(tolerance_tree::q, place(f, f.segment)),
                     high = tree_.get(tolerance_tree::q, place(f, f.other));
      return {0, high.lo > 0 ? smaller(1, low.hi / high.lo) : 1.0};
    }
    interval sum;
    tree_.each_load(box,
                    [&](std::size_t l, const load_law&, std::size_t r, std::size_t c, interval) noexcept {
                      if (!(f.whole || r == f.run) || (f.what == kind::current && c != f.channel)) return;
                      const interval i = tree_.get(tolerance_tree::q, l), u = tree_.get(tolerance_tree::u, l);
                      sum = sum + (f.what == kind::lamps  ? u * i
                                   : f.what == kind::loss ? tree_.get(tolerance_tree::gone, l) * i
                                                          : i);
                    });
    return sum;
  }

  /// d(figure) / d(ln factor) of every input.
  constexpr void slopes_of(const bounded_figure& f, const factor_box& box,
                           interval (&by)[most_factors]) const noexcept {
    interval direct[most_factors];
    weigh(f, box, direct);
    tree_.adjoin(box);
    tree_.slopes(box, by, f.what == kind::loss);
    for (std::size_t p = 0; p < factor_count(n_); ++p) by[p] = by[p] + direct[p];
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const std::size_t p = first_factor_of_run(n_, r);
      interval length = by[p];
      for (std::int32_t c = 0; c < n_.runs[r].stretches[0].line.channels; ++c)
        length = length + by[p + 4 + static_cast<std::size_t>(c)];
      by[p + 1] = length;
    }
  }

  /// On the straight part of a law that is dark below k the light is in proportion to u - k, and what is missing
  /// of evenness 1 is s = (fall of u along the run) / (u_nearest - k). Slopes of -ln s are steady: source and
  /// loads move both by much the same share. False where some lamp may leave that part.
  constexpr bool slopes_of_missing(const bounded_figure& f, const factor_box& box,
                                   interval (&by)[most_factors]) const noexcept {
    const load_law& law = n_.runs[f.run].stretches[0].line.law[f.channel];
    const interval low = tree_.get(tolerance_tree::u, place(f, f.segment)),
                   high = tree_.get(tolerance_tree::u, place(f, f.other));
    if (!(low.lo > law.dark_below.v) || !(law.slope.v > 0)) return false;
    if (law.kind == load_kind::regulated && !(high.hi < law.dark_below.v + law.ceiling.v / law.slope.v))
      return false;
    const interval fall = tree_.fall(box, f.run, f.channel);
    if (!(fall.lo > 0)) return false;
    const interval above{high.lo - law.dark_below.v, high.hi - law.dark_below.v};
    bounded_figure part = f;
    part.what = kind::fall;
    interval of_top[most_factors];
    slopes_of(part, box, by);
    part.what = kind::voltage;
    part.segment = f.other;
    slopes_of(part, box, of_top);
    const interval per_fall{1 / fall.hi, 1 / fall.lo}, per_top{1 / above.hi, 1 / above.lo};
    for (std::size_t p = 0; p < factor_count(n_); ++p) by[p] = of_top[p] * per_top - by[p] * per_fall;
    return true;
  }

  /// What a solution that is held against a bound may itself be wrong by: 5e-13 of the source, an ulp a segment.
  constexpr double hair_of(const bounded_figure& f, double value) const noexcept {
    return 1e-11 * (f.what == kind::voltage ? n_.source.v : absolute(value));
  }

  constexpr two_bounds within(const bounded_figure& f, const factor_box& box) noexcept {
    interval by[most_factors];
    interval plain = natural(f, box);
    plain = {plain.lo - hair_of(f, plain.lo), plain.hi + hair_of(f, plain.hi)};
    two_bounds out;
    source_is_free_ = false;
    const bool missing = f.what == kind::evenness && slopes_of_missing(f, box, by);
    if (!missing) {
      if (f.what == kind::evenness && !(tree_.get(tolerance_tree::q, place(f, f.segment)).lo > 0)) {
        // somewhere in the box a lamp is out, where a logarithm says nothing
        out.least = {plain.lo, bound_method::enclosure, {}};
        out.most = {plain.hi, bound_method::enclosure, {}};
        return out;
      }
      slopes_of(f, box, by);
    }
    out.least = side(f, box, by, false, missing);
    out.most = side(f, box, by, true, missing);
    if (out.least.by != bound_method::monotone && plain.lo > out.least.value)
      out.least = {plain.lo, bound_method::enclosure, {}};
    if (out.most.by != bound_method::monotone && plain.hi < out.most.value)
      out.most = {plain.hi, bound_method::enclosure, {}};
    return out;
  }

  constexpr one_bound side(const bounded_figure& f, const factor_box& box, const interval (&by)[most_factors],
                           bool upper, bool missing) noexcept {
    one_bound out;
    double slack = 0;
    for (std::size_t p = 0; p < factor_count(n_); ++p) {
      if (!(box.lo[p] < box.hi[p])) continue;
      const bool rises = by[p].lo >= 0, falls = by[p].hi <= 0;
      if (rises || falls) {
        if (rises == upper) out.corner.high[p / 64] |= std::uint64_t{1} << p % 64;
        continue;
      }
      source_is_free_ = source_is_free_ || p == 0;
      const double up = by[p].hi, down = -by[p].lo;  // steepest both ways, both above 0
      constexpr double more = 1 + 1e-12;             // for the rounding of logarithms
      if (up > 3 * down || down > 3 * up) {  // nearly one direction: from that end, what it may go back
        if ((up > down) == upper) out.corner.high[p / 64] |= std::uint64_t{1} << p % 64;
        slack += smaller(up, down) * natural_log(box.hi[p] / box.lo[p]) * more;
        continue;
      }
      out.corner.free[p / 64] |= std::uint64_t{1} << p % 64;
      const double above = natural_log(box.hi[p] / box.middle[p]) * more,
                   below = natural_log(box.middle[p] / box.lo[p]) * more;
      slack += upper ? larger(up * above, down * below) : larger(down * above, up * below);
    }
    out.by = slack > 0 ? bound_method::mean_value : bound_method::monotone;
    const double at = solved(f, box, out.corner);
    if (missing) out.value = 1 - (1 - at) * exponential(upper ? -slack : slack);
    else if (f.what == kind::evenness) out.value = at * exponential(upper ? slack : -slack);
    else out.value = upper ? at + slack : at - slack;
    if (f.what == kind::evenness) out.value = smaller(out.value, 1);
    const double hair = hair_of(f, out.value);
    out.value += upper ? hair : -hair;
    return out;
  }

  const feed_network& n_;
  const tolerance_space& space_;
  std::size_t loads_;
  tolerance_tree tree_;
  factor_box box_;
  fault why_;
  bool source_is_free_ = false;
};

constexpr bool same_load(const load_law& a, const load_law& b) noexcept {
  return a.kind == b.kind && a.dark_below == b.dark_below && a.slope == b.slope && a.ceiling == b.ceiling &&
         a.power == b.power && a.cut_off == b.cut_off;
}

/// The lesser (or greater) of two figures, bounded from the same side.
constexpr const one_bound& lesser_bound(const one_bound& a, const one_bound& b) noexcept {
  return b.value < a.value ? b : a;
}
constexpr const one_bound& greater_bound(const one_bound& a, const one_bound& b) noexcept {
  return b.value > a.value ? b : a;
}

/// Every load of constant power: all figures stand at their bounds at the two ends of the box.
constexpr fault bound_power(const feed_network& n, const tolerance_space& space, network_bounds& all,
                            std::span<run_bounds> runs, const network_tolerances& t) noexcept {
  for (const bool worst : {true, false}) {
    box_corner corner;
    for (std::size_t p = 0; p < factor_count(n); ++p)
      if ((p == 0) != worst) corner.high[p / 64] |= std::uint64_t{1} << p % 64;
    const feed_network m = at_corner(n, t, corner, space);
    const auto solved = solve_network(m, space.doubles.first(network_workspace(n)), space.figures);
    if (!solved.ok()) return solved.why();
    const auto set = [&](two_bounds& b, double value, bool most) noexcept {
      const double hair = 1e-11 * absolute(value);
      (most ? b.most : b.least) = {value + (most ? hair : -hair), bound_method::monotone, corner};
    };
    set(all.total, solved->total.v, worst);
    set(all.lamps, solved->lamps.v, worst);
    set(all.loss, (solved->trace_loss + solved->feeder_loss + solved->switch_loss + solved->supply_loss).v,
        worst);
    for (std::size_t r = 0; r < n.runs.size(); ++r) {
      const fed_run_figures& f = space.figures[r];
      const lit_channels lit = lit_of(n.runs[r].stretches[0].line);
      for (int x = 0; x < lit.count; ++x) {
        const std::size_t c = lit.of[x];
        set(runs[r].lowest_load[c], f.lowest_load[c].v, !worst);
        set(runs[r].highest_load[c], f.highest_load[c].v, !worst);
        set(runs[r].channel_current[c], f.channel_current[c].v, worst);
        set(runs[r].evenness[c], f.evenness[c], worst);
      }
      set(runs[r].total, f.total.v, worst);
      set(runs[r].lamps, f.lamps.v, worst);
    }
  }
  return {};
}

constexpr fault check(const factor_range& r) noexcept {
  return first_fault(refuse_outside(field::share, r.least, 0.5, 1),
                     refuse_outside(field::share, r.most, 1, 2));
}

}  // namespace detail

/// Bounds that no network within the tolerances leaves.
///
/// @param n      the network as it is meant; every run with one feed point (at an end or between).
/// @param t      ranges of factors; the greatest and least supply among them must stay in the range of a voltage.
/// @param space  see tolerance_space_for(n).
/// @param runs   one result a run.
/// @return       Faults: those of check(n) and of solve_network at a corner (no_operating_point when constant-power
///               loads collapse anywhere in the box); out_of_range for a tolerance; no_room; contradiction for
///               a run of several feed points, and for constant-power loads beside others; not_listed for more
///               than 256 inputs.
/// Formula       Over the whole box each figure's derivative by each input is enclosed (detail::tolerance_tree).
///               Where none changes its sign the figure is monotone: its bound is its value at a corner, solved
///               (`monotone`). Inputs whose derivative may have either sign stay at 1, and the figure cannot
///               leave that value by more than sum max|dF/d ln f| |ln f| (mean value theorem; `mean_value`). A
///               figure that the intervals of currents bound better is told as `enclosure`.
///               Constant power: u -> V - Z (P / u) keeps the order, and its greatest fixed point falls with Z and
///               P and rises with V (Tarski): one corner is the worst for all figures.
/// Source        closed form; interval arithmetic: R. E. Moore, "Interval Analysis", 1966, from memory.
/// Accuracy      bounds are widened by 1e-11 of the figure for rounding.
constexpr outcome<network_bounds> bounds_of(const feed_network& n, const network_tolerances& t,
                                            const tolerance_space& space,
                                            std::span<run_bounds> runs) noexcept {
  if (const fault f = check(n)) return f;
  for (const factor_range& r : {t.source, t.load, t.trace, t.length, t.cable, t.contact})
    if (const fault f = detail::check(r)) return f;
  const tolerance_needs needs = tolerance_space_for(n);
  const std::size_t given[] = {space.hubs.size(),     space.runs.size(),    space.stretches.size(),
                               space.feeds.size(),    space.figures.size(), space.profiles.size(),
                               space.voltages.size(), space.doubles.size(), runs.size()};
  const std::size_t wanted[] = {needs.hubs, needs.runs,  needs.stretches, needs.feeds, needs.runs,
                                needs.runs, needs.loads, needs.doubles,   needs.runs};
  for (std::size_t i = 0; i < sizeof given / sizeof given[0]; ++i)
    if (given[i] < wanted[i])
      return fault{fault_code::no_room,           field::space,
                   static_cast<double>(given[i]), static_cast<double>(wanted[i]),
                   range_of(field::space).most,   static_cast<std::int32_t>(i)};
  if (factor_count(n) > most_factors)
    return fault{fault_code::not_listed,
                 field::row_count,
                 static_cast<double>(factor_count(n)),
                 2,
                 static_cast<double>(most_factors),
                 -1};
  bool power = false, other = false;
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    const fed_run& run = n.runs[r];
    if (run.feeds.size() != 1)
      return fault{
          fault_code::contradiction,   field::feed_points, static_cast<double>(run.feeds.size()), 1, 1,
          static_cast<std::int32_t>(r)};
    const detail::lit_channels lit = detail::lit_of(run.stretches[0].line);
    for (const run_stretch& s : run.stretches)
      for (int c = 0; c < lit.count; ++c)
        (s.line.law[lit.of[c]].kind == load_kind::constant_power ? power : other) = true;
    runs[r] = {};
  }
  if (power && other) return fault{fault_code::contradiction, field::load_law, 2, 0, 1, -1};
  network_bounds all;
  if (power) {
    if (const fault f = detail::bound_power(n, space, all, runs, t)) return f;
    return all;
  }
  detail::tolerance_bounder bounder{n, t, space};
  using figure = detail::bounded_figure;
  using kind = figure::kind;
  all.total = bounder.of({kind::total, 0, 0, 0, 0, true});
  all.lamps = bounder.of({kind::lamps, 0, 0, 0, 0, true});
  all.loss = bounder.of({kind::loss, 0, 0, 0, 0, true});
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    const fed_run& run = n.runs[r];
    const detail::lit_channels lit = detail::lit_of(run.stretches[0].line);
    const std::int64_t last = segments_of(run) - 1, feed = run.feeds[0].at;
    const bool from_end = feed == 0 || feed > last;
    run_bounds& told = runs[r];
    for (int x = 0; x < lit.count; ++x) {
      const std::size_t c = lit.of[x];
      // currents flow outwards only, so that the voltage falls from the feed point to both ends
      const std::int64_t far = feed > last ? 0 : last, near = feed > last ? last : feed;
      told.lowest_load[c] = bounder.of({kind::voltage, r, c, far, 0, false});
      told.highest_load[c] = bounder.of({kind::voltage, r, c, near, 0, false});
      if (!from_end) {
        const two_bounds low = bounder.of({kind::voltage, r, c, 0, 0, false});
        const two_bounds high = bounder.of({kind::voltage, r, c, feed - 1, 0, false});
        told.lowest_load[c] = {detail::lesser_bound(told.lowest_load[c].least, low.least),
                               detail::lesser_bound(told.lowest_load[c].most, low.most)};
        told.highest_load[c] = {detail::greater_bound(told.highest_load[c].least, high.least),
                                detail::greater_bound(told.highest_load[c].most, high.most)};
      }
      told.channel_current[c] = bounder.of({kind::current, r, c, 0, 0, false});
      bool alike = from_end;
      for (const run_stretch& s : run.stretches)
        alike = alike && detail::same_load(s.line.law[c], run.stretches[0].line.law[c]);
      if (alike && far == near)  // one lamp
        told.evenness[c] = {{1, bound_method::monotone, {}}, {1, bound_method::monotone, {}}};
      else if (alike) told.evenness[c] = bounder.of({kind::evenness, r, c, far, near, false});
      else told.evenness[c] = {{0, bound_method::none, {}}, {1, bound_method::none, {}}};
    }
    told.total = bounder.of({kind::total, r, 0, 0, 0, false});
    told.lamps = bounder.of({kind::lamps, r, 0, 0, 0, false});
  }
  if (bounder.why()) return bounder.why();
  return all;
}

}  // namespace tapewright
