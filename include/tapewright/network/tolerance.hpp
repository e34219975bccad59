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
#include "tapewright/network/tolerance_box.hpp"
#include "tapewright/network/tolerance_enclosure.hpp"
#include "tapewright/rules/lightness.hpp"

namespace tapewright {

/// How a bound was found.
enum class bound_method : std::int32_t {
  none = 0,        ///< nothing is told
  monotone = 1,    ///< proven by the directions of the inputs: attained at the corner that is named
  mean_value = 2,  ///< some inputs have not: the corner of the others, and the steepest slope of these
  enclosure = 3,   ///< from the currents that are possible at most and at least
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
  /// 0..1
  two_bounds evenness[max_channels] = {not_bounded, not_bounded, not_bounded,
                                       not_bounded, not_bounded, not_bounded};
  two_bounds total = not_bounded, lamps = not_bounded;  ///< A, W
  two_bounds loss = not_bounded;  ///< W, beyond the controller: its feeders, tapes and joints
  two_bounds greatest_feed_current = not_bounded;  ///< A, in the common lead of the most loaded feed point
  two_bounds greatest_link_current = not_bounded;  ///< A, in the common of the most loaded joint
  two_bounds lightness_step = not_bounded;         ///< L*, 0..100
  two_bounds colour_shift = not_bounded;           ///< 0..1
};
/// Bounds on a network's figures; `loss` is all that does not reach the lamps.
struct network_bounds {
  two_bounds total = not_bounded, lamps = not_bounded, loss = not_bounded;  ///< A, W, W
};

/// How many of each a tolerance_space needs. Doubles: network_workspace(n), and for each run of N segments, C
/// channels and F feed points N (28 C + 14) + 14 F (C + 1).
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
  t.doubles = network_workspace(n) + detail::network_enclosure::doubles(n);
  return t;
}

namespace detail {

/// A figure whose bounds are asked.
struct bounded_figure {
  enum class kind { lowest, highest, current, evenness, tint, total, lamps, loss, beyond };
  kind what = kind::lowest;
  std::size_t run = 0, channel = 0;
  bool whole = false;             ///< of all runs
  std::int64_t from = 0, to = 0;  ///< beyond a joint: these segments, `to` not among them
  std::size_t against = 0;        ///< a tint is the channel's evenness over this one's
};

/// The lesser (or greater) of two figures, bounded from the same side.
constexpr const one_bound& lesser_bound(const one_bound& a, const one_bound& b) noexcept {
  return b.value < a.value ? b : a;
}
constexpr const one_bound& greater_bound(const one_bound& a, const one_bound& b) noexcept {
  return b.value > a.value ? b : a;
}

/// A loss is a sum of currents times small differences of voltages, each of which is rounded as the source is: this share
/// of the power drawn.
inline constexpr double lost_hair = 1e-13;

/// A solved current of a lead or joint is a difference of voltages over little resistance: this far beside those of the
/// loads behind it.
inline constexpr double lead_hair = 1e-9;  // A
constexpr two_bounds widened(two_bounds b) noexcept {
  b.least.value -= lead_hair;
  b.most.value += lead_hair;
  return b;
}
constexpr two_bounds exactly(double value) noexcept {
  return {{value, bound_method::monotone, {}}, {value, bound_method::monotone, {}}};
}

/// For the rounding of a lightness step and a colour shift: a cube root times 100, and a ratio taken from 1. What they are
/// made from is widened already.
inline constexpr double light_hair = 1e-11;

/// Bounds on a run's lightness step and colour shift from those on the evenness of its channels.
///
/// The step falls with the least evenness e, which is the lesser of the bounds on either side; at most it is attained
/// only where all channels are at one corner. The shift is looked at where the least even channel is dimmest: that one has
/// share e of its greatest light, every other one at least its own evenness and at most 1. So 1 - e / (greatest
/// evenness of any) <= shift <= 1 - e, and of one channel it is 0.
constexpr void bound_light(run_bounds& told, const lit_channels& lit) noexcept {
  if (lit.count < 2) told.colour_shift = exactly(0);
  if (lit.count == 0) {
    told.lightness_step = exactly(0);
    return;
  }
  two_bounds e = told.evenness[lit.of[0]];
  double greatest = 0;
  bool together = true;
  for (int x = 0; x < lit.count; ++x) {
    const two_bounds& own = told.evenness[lit.of[x]];
    together = together && own.most.corner == e.most.corner;
    e = {lesser_bound(e.least, own.least), lesser_bound(e.most, own.most)};
    greatest = larger(greatest, own.least.value);
  }
  if (!together) e.most = {e.most.value, bound_method::enclosure, {}};
  const auto within = [](double share) noexcept { return larger(0, smaller(1, share)); };
  const auto step = [&](const one_bound& of, double more) noexcept {
    return one_bound{100 - formula::lightness(within(of.value)) + more, of.by, of.corner};
  };
  told.lightness_step = {step(e.most, -light_hair), step(e.least, light_hair)};
  if (lit.count < 2) return;
  const double least = greatest > 0 ? 1 - within(e.most.value / greatest) : 0;
  told.colour_shift = {{least - light_hair, bound_method::enclosure, {}},
                       {1 - within(e.least.value) + light_hair, bound_method::enclosure, {}}};
}

class tolerance_bounder {
 public:
  using kind = bounded_figure::kind;

  constexpr tolerance_bounder(const feed_network& n, const network_tolerances& t,
                              const tolerance_space& space) noexcept
      : n_{n}, space_{space}, all_{n, space.doubles.data() + network_workspace(n)} {
    for (std::size_t p = 0; p < factor_count(n); ++p) {
      const factor_range range = range_of_factor(n, t, p);
      box_.lo[p] = range.least;
      box_.hi[p] = range.most;
      box_.middle[p] = 1;
    }
    root_ = box_;
    if (!all_.enclose(box_)) why_ = collapse();
  }

  /// The first fault on the way.
  constexpr const fault& why() const noexcept { return why_; }

  /// The greatest current of a run's feed points. One gives all that the run draws; of several each gives shares of the
  /// loads' currents that are within 0..1, one at least its part of the total.
  constexpr two_bounds greatest_feed(std::size_t r, const two_bounds& total) const noexcept {
    const std::size_t points = n_.runs[r].feeds.size();
    if (points == 1) return widened(total);
    const interval any{total.least.value / static_cast<double>(points), total.most.value};
    if (!all_.splits(r)) return by_intervals(any);
    interval most;
    for (std::size_t j = 0; j < points; ++j) most = greater_of(most, all_.feed_flow(r, j));
    return by_intervals(most.cut(any));
  }

  /// And of its joints. Beyond one feed point a joint carries what all behind it draw: most the next to either side.
  constexpr two_bounds greatest_link(std::size_t r, const two_bounds& total) noexcept {
    const fed_run& run = n_.runs[r];
    const std::int64_t n = segments_of(run), at = run.feeds[0].at;
    std::int64_t joint = 0, left = 0, right = n;
    interval most;
    for (const run_stretch& s : run.stretches.first(run.stretches.size() - 1)) {
      joint += s.line.segments;
      if (joint < at) left = joint;
      else if (right == n) right = joint;
      most = greater_of(most, all_.flow_to(r, joint));
    }
    if (joint == 0) return exactly(0);
    if (run.feeds.size() > 1) {
      const interval any{0, total.most.value};
      return by_intervals(all_.splits(r) ? most.cut(any) : any);
    }
    const two_bounds before = left > 0 ? of({kind::beyond, r, 0, false, 0, left}) : exactly(0),
                     behind = right < n ? of({kind::beyond, r, 0, false, right, n}) : exactly(0);
    two_bounds out{greater_bound(before.least, behind.least), greater_bound(before.most, behind.most)};
    if (left > 0 && right < n && before.least.corner != behind.least.corner)
      out.least = {out.least.value, bound_method::enclosure, {}};
    return widened(out);
  }

  /// The colour shift of a run where all channels are dimmest at one segment: 1 - (least evenness) / (greatest), the most
  /// of what any two differ by. Without such a segment nothing is added to what is told.
  constexpr void narrow_shift(std::size_t r, const lit_channels& lit, run_bounds& told) noexcept {
    if (lit.count < 2 || !dim_together(r, lit)) return;
    double least_most = infinity,
           most_least = 0;  // the least even is at most that even, the most even at least
    for (int x = 0; x < lit.count; ++x) {
      const two_bounds& e = told.evenness[lit.of[x]];
      least_most = smaller(least_most, e.most.value);
      most_least = larger(most_least, e.least.value);
    }
    one_bound least{0, bound_method::enclosure, {}}, most{0, bound_method::enclosure, {}};
    double beside_least = 0;  // how much any other two may differ
    const auto may_be_ends = [&](std::size_t least_even, std::size_t most_even) noexcept {
      return told.evenness[least_even].least.value <= least_most &&
             told.evenness[most_even].most.value >= most_least;
    };
    const auto differ = [&](const one_bound& low, const one_bound& high) noexcept {
      beside_least = larger(beside_least, low.value > least.value ? most.value : high.value);
      least = greater_bound(least, low);
      most = greater_bound(most, high);
    };
    for (int x = 0; x < lit.count; ++x)
      for (int y = 0; y < x; ++y) {
        const std::size_t c = lit.of[x], d = lit.of[y];
        if (!may_be_ends(c, d) && !may_be_ends(d, c)) continue;
        const two_bounds ratio = of({kind::tint, r, c, false, 0, 0, d});
        const auto missing = [](double of_one, const one_bound& by) noexcept {
          return one_bound{1 - of_one, by.by, by.corner};
        };
        differ(missing(ratio.most.value + light_hair, ratio.most),
               missing(ratio.least.value - light_hair, ratio.least));
        differ(missing(1 / ratio.least.value + light_hair, ratio.least),
               missing(1 / ratio.most.value - light_hair, ratio.most));
      }
    if (beside_least > least.value) least = {least.value, bound_method::enclosure, {}};
    two_bounds& shift = told.colour_shift;
    shift = {greater_bound(least, shift.least), lesser_bound(most, shift.most)};
  }

  /// Each side by itself. An input with one direction over the box stands at its end on that side's worst face, where
  /// the others may show theirs; where some do not, the box is cut in two, and each half again, where that may gain.
  constexpr two_bounds of(const bounded_figure& f) noexcept {
    found_ = {infinity, -infinity};
    two_bounds out;
    // first what both sides are like, to know what a cut may gain
    for (const int cuts : {0, f.what == kind::tint ? most_tint_cuts : most_cuts})
      for (const bool upper : {false, true}) {
        one_bound& told = upper ? out.most : out.least;
        if (told.by == bound_method::monotone) continue;
        boxes_ = 0;
        told = side(f, upper, cuts);
        if (!all_.enclose(box_) && !why_) why_ = collapse();
      }
    return out;
  }

 private:
  /// What slopes are of: nothing is known, the figure, its logarithm, or that of what is missing of 1, negated.
  enum class slopes_kind { none, of_figure, of_logarithm, of_missing };

  // limits of time: beyond them a bound is looser, never wrong
  static constexpr int most_cuts = 6, most_tint_cuts = 10, most_faces = 6;
  static constexpr std::size_t most_boxes = 48, most_tint_boxes = 1000, most_pairs = 120, most_near = 40,
                               nothing = ~std::size_t{0};
  using list = network_enclosure;

  /// The greater of a and |b|.
  static constexpr interval greater_of(interval a, interval b) noexcept {
    return {larger(a.lo, larger(b.lo, -b.hi)), larger(a.hi, larger(b.hi, -b.lo))};
  }
  static constexpr two_bounds by_intervals(interval i) noexcept {
    return widened({{i.lo, bound_method::enclosure, {}}, {i.hi, bound_method::enclosure, {}}});
  }

  static constexpr fault collapse() noexcept {
    return {fault_code::no_operating_point, field::power, 0, 0, 0, -1};
  }

  /// One side of the box, which is enclosed; it comes back as it was, but enclosed no more.
  constexpr one_bound side(const bounded_figure& f, bool upper, int cuts) noexcept {
    const factor_box whole = box_;
    ++boxes_;
    one_bound out = on_worst_face(f, upper);
    const double beyond = upper ? out.value - found_.hi : found_.lo - out.value;
    // a twentieth looser than corners that were solved: worth no further cut
    const bool tight = beyond <= 0.05 * (found_.hi - found_.lo) + 10 * hair_of(f, found_.hi);
    const std::size_t enough = f.what == kind::tint ? most_tint_boxes : most_boxes;
    if (!tight && cuts > 0 && worst_ < most_factors && boxes_ < enough && !why_) {
      const std::size_t p = worst_;
      const double lo = box_.lo[p], hi = box_.hi[p], cut = 0.5 * (lo + hi);
      one_bound both;
      for (const bool high : {false, true}) {
        box_.lo[p] = high ? cut : lo;
        box_.hi[p] = high ? hi : cut;
        box_.middle[p] = 0.5 * (box_.lo[p] + box_.hi[p]);
        const one_bound half = all_.enclose(box_) ? side(f, upper, cuts - 1) : out;
        both = !high ? half : upper ? greater_bound(both, half) : lesser_bound(both, half);
      }
      out = upper ? lesser_bound(out, both) : greater_bound(out, both);
    }
    box_ = whole;
    return out;
  }

  /// Lets every input that has one direction stand at its end, as long as that shows others theirs; then what is left.
  constexpr one_bound on_worst_face(const bounded_figure& f, bool upper) noexcept {
    interval by[most_factors];
    slopes_kind how = slopes_of(f, by);
    for (int round = 0; round < most_faces && how != slopes_kind::none; ++round) {
      bool moved = false;
      for (std::size_t p = 0; p < factor_count(n_); ++p) {
        if (!(box_.lo[p] < box_.hi[p]) || !(by[p].lo >= 0 || by[p].hi <= 0)) continue;
        const double end = (by[p].lo >= 0) == upper ? box_.hi[p] : box_.lo[p];
        box_.lo[p] = box_.hi[p] = box_.middle[p] = end;
        moved = true;
      }
      if (!moved) break;
      if (!all_.enclose(box_)) {
        if (!why_) why_ = collapse();
        break;
      }
      how = slopes_of(f, by);
    }
    return what_is_left(f, by, upper, how);
  }

  /// Whether every lit channel has one law along the run, is alight, and is dimmest at the same segment all over the box.
  constexpr bool dim_together(std::size_t r, const lit_channels& lit) const noexcept {
    std::int64_t far = -1;
    bool together = true;
    for (int x = 0; x < lit.count; ++x) {
      const bounded_figure f{kind::evenness, r, lit.of[x]};
      for (std::int64_t k = 0; k < segments_of(n_.runs[r]); ++k)
        together = together && law(f, k) == law(f, 0) && level(f, k).lo > 0;
      together = together && law(f, 0).kind != load_kind::constant_power;
      each_candidate(f, box_, true, [&](std::int64_t k) noexcept {
        together = together && (far < 0 || k == far);
        far = k;
      });
    }
    return together;
  }

  constexpr std::size_t place(const bounded_figure& f, std::int64_t segment) const noexcept {
    return all_.offset(f.run) + static_cast<std::size_t>(segment) * all_.channels_of(f.run) + f.channel;
  }
  constexpr const load_law& law(const bounded_figure& f, std::int64_t segment) const noexcept {
    return law_at(n_.runs[f.run], segment, f.channel);
  }
  /// Voltage of a load, or its light where an evenness is asked.
  constexpr interval level(const bounded_figure& f, std::int64_t segment) const noexcept {
    if (f.what != kind::evenness) return all_.get(list::u, place(f, segment));
    const load_law& own = law(f, segment);
    if (own.kind == load_kind::constant_power) return {own.power.v, own.power.v};
    return all_.get(list::q, place(f, segment));
  }

  /// Visits the segments of which any may be the lowest (or highest): those without a neighbour that always is.
  template <class Visit>
  constexpr void each_candidate(const bounded_figure& f, const factor_box& box, bool lowest,
                                const Visit& visit) const noexcept {
    const std::int64_t n = segments_of(n_.runs[f.run]);
    double limit = lowest ? infinity : -infinity;
    for (std::int64_t k = 0; k < n; ++k)
      limit = lowest ? smaller(limit, level(f, k).hi) : larger(limit, level(f, k).lo);
    const auto hides = [&](std::int64_t k, bool right) noexcept {  // the neighbour hides k
      const std::int64_t from = right ? k : k - 1;
      if (from < 0 || from + 1 >= n) return false;
      if (f.what == kind::evenness && law(f, from) != law(f, from + 1)) return false;
      const interval falls = all_.fall(box, f.run, f.channel, from, from + 1);
      const bool never_up = falls.lo >= 0, never_down = falls.hi <= 0;
      const bool to_right = lowest ? never_up : never_down, to_left = lowest ? never_down : never_up;
      return right ? to_right : to_left && !to_right;
    };
    for (std::int64_t k = 0; k < n; ++k) {
      const interval own = level(f, k);
      if (lowest ? own.lo > limit : own.hi < limit) continue;
      if (!hides(k, true) && !hides(k, false)) visit(k);
    }
  }

  /// Slopes of one adjoint network: its weights, and what the figure owes to each load's own factor.
  template <class Weigh>
  constexpr void slopes_by(const factor_box& box, heated heat, interval (&by)[most_factors],
                           const Weigh& weigh) const noexcept {
    interval direct[most_factors];
    all_.each_load(
        box, [&](std::size_t l, const load_law& own, std::size_t r, std::size_t c, interval power) noexcept {
          const weighed load = weigh(l, own, r, c, power);
          all_.set(list::w, l, load.weight);
          const std::size_t p = first_factor_of_run(n_, r) + 4 + c;
          direct[p] = direct[p] + load.own;
        });
    all_.adjoin(box);
    all_.slopes(box, by, heat);
    for (std::size_t p = 0; p < factor_count(n_); ++p) by[p] = by[p] + direct[p];
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const std::size_t p = first_factor_of_run(n_, r);
      for (std::size_t c = 0; c < all_.channels_of(r); ++c) by[p + 1] = by[p + 1] + by[p + 4 + c];
      by[p + 1] = by[p + 1] + by[p];
    }
  }
  struct weighed {
    interval weight, own;
  };

  /// Of the voltage of one load, or of one above another's.
  constexpr void slopes_of_volts(const factor_box& box, std::size_t load, std::size_t below,
                                 interval (&by)[most_factors]) const noexcept {
    slopes_by(box, {}, by, [&](std::size_t l, const load_law&, std::size_t, std::size_t, interval) noexcept {
      return weighed{l == load ? interval{1, 1} : l == below ? interval{-1, -1} : interval{}, {}};
    });
  }

  /// Whether a figure that is a sum over loads counts this one, and its share of a loss.
  constexpr bool is_among(const bounded_figure& f, std::size_t l, std::size_t r,
                          std::size_t c) const noexcept {
    if (f.whole) return true;
    if (r != f.run) return false;
    const auto segment = static_cast<std::int64_t>((l - all_.offset(r)) / all_.channels_of(r));
    return f.what == kind::current  ? c == f.channel
           : f.what == kind::beyond ? segment >= f.from && segment < f.to
                                    : true;
  }
  static constexpr list::load_list lost_of(const bounded_figure& f) noexcept {
    return f.whole ? list::gone : list::gone_in_run;
  }

  /// Of a figure that is a sum over loads.
  constexpr void slopes_of_sum(const bounded_figure& f, const factor_box& box,
                               interval (&by)[most_factors]) const noexcept {
    const heated heat = f.what != kind::loss ? heated{} : f.whole ? heated{true} : heated{false, f.run};
    slopes_by(box, heat, by,
              [&](std::size_t l, const load_law& own, std::size_t r, std::size_t c, interval power) noexcept {
                if (!is_among(f, l, r, c)) return weighed{};
                const interval g = all_.slope(own, l, power), i = all_.get(list::q, l);
                if (f.what == kind::lamps) {
                  if (own.kind == load_kind::constant_power) return weighed{{}, own.power.v * power};
                  const interval u = all_.get(list::u, l);
                  return weighed{i + u * g, u * i};
                }
                if (f.what == kind::loss) {  // sum of R I^2: an ampere more is 2 x what its volts lost
                  const interval twice = 2.0 * all_.get(lost_of(f), l);
                  return weighed{twice * g, twice * i};
                }
                return weighed{g, i};
              });
  }

  /// What a load draws beside what is in proportion to its voltage above `knee`: c of q = G (u - knee) + c, G its slope.
  constexpr interval constant_part(const load_law& own, std::size_t l, interval power,
                                   double knee) const noexcept {
    const interval u = all_.get(list::u, l);
    if (own.kind == load_kind::constant_power) {  // q - G (u - knee) = P (2 u - knee) / u^2
      const interval per_volt{1 / u.hi, 1 / u.lo};
      return own.power.v * power * (per_volt * (interval{2, 2} - knee * per_volt));
    }
    const double top = flat_above(own).v;
    interval c{infinity, -infinity};
    if (u.lo < own.dark_below.v) c = c.joined({0, 0});
    if (u.hi > top) c = c.joined(own.ceiling.v * power);
    if (u.hi >= own.dark_below.v && u.lo <= top)
      c = c.joined((own.slope.v * (knee - own.dark_below.v)) * power);
    return c;
  }
  /// Sum of c over all loads, each times what an ampere more of it takes from the figure that was last differentiated.
  constexpr interval constant_parts(const factor_box& box, double knee) const noexcept {
    interval sum;
    all_.each_load(
        box, [&](std::size_t l, const load_law& own, std::size_t, std::size_t, interval power) noexcept {
          sum = sum + constant_part(own, l, power, knee) * all_.get(list::a, l);
        });
    return sum;
  }

  /// d ln(light) / du of a load that is alight.
  constexpr interval light_slope(const load_law& own, std::size_t l) const noexcept {
    if (own.kind == load_kind::constant_power) return {};
    const interval u = all_.get(list::u, l);
    const double steepest = 1 / (u.lo - own.dark_below.v);
    const double top = flat_above(own).v;
    if (u.lo > top) return {};
    return {u.hi < top ? 1 / (u.hi - own.dark_below.v) : 0, steepest};
  }
  /// Of the logarithm of the light of `far` over that of `near`; the loads' own factor is in both.
  constexpr void slopes_of_ratio(const bounded_figure& f, const factor_box& box, std::int64_t far,
                                 std::int64_t near, interval (&by)[most_factors]) const noexcept {
    slopes_by(box, {}, by,
              [&](std::size_t l, const load_law& own, std::size_t, std::size_t, interval) noexcept {
                if (l == place(f, far)) return weighed{light_slope(own, l), {}};
                if (l == place(f, near)) return weighed{interval{} - light_slope(own, l), {}};
                return weighed{};
              });
  }

  static constexpr void join(interval (&into)[most_factors], const interval (&own)[most_factors],
                             bool first) noexcept {
    for (std::size_t p = 0; p < most_factors; ++p) into[p] = first ? own[p] : into[p].joined(own[p]);
  }

  /// How steeply an evenness may move: its logarithm, or that of what is missing of 1, negated.
  ///
  /// Where all that count are on the straight part of one law that is dark below k, the light is in proportion to u - k,
  /// and what is missing of evenness 1 is s = (fall of u from the brightest to the dimmest) / (u_brightest - k). Slopes
  /// of -ln s are steady: source and loads move both by much the same share.
  ///
  /// By the source V they are known better: with u = V - Z (G (u - k) + c), a sum X of (u - k) has dX / d ln(V - k) =
  /// X + (what the amperes c take from X). Of the two X of s the first terms cancel, and c is 0 for every load that is
  /// dark below the same k.
  constexpr slopes_kind slopes_of_evenness(const bounded_figure& f, const factor_box& box,
                                           interval (&by)[most_factors]) const noexcept {
    std::size_t pairs = 0;
    bool alight = true, straight = true;
    double widest = 0;  // fall that there is at least
    const auto each_pair = [&](const auto& visit) noexcept {
      each_candidate(f, box, true, [&](std::int64_t far) noexcept {
        each_candidate(f, box, false, [&](std::int64_t near) noexcept {
          if (far != near) visit(far, near);
        });
      });
    };
    each_pair([&](std::int64_t far, std::int64_t near) noexcept {
      if (++pairs > most_pairs) return;
      const load_law& low = law(f, far);
      alight = alight && level(f, far).lo > 0 && level(f, near).lo > 0;
      straight = straight && low == law(f, near) && low.slope.v > 0 &&
                 all_.get(list::u, place(f, far)).lo > low.dark_below.v &&
                 all_.get(list::u, place(f, near)).hi < flat_above(low).v;
      widest = larger(widest, fall(f, box, far, near).lo);
    });
    for (interval& each : by) each = {};
    if (pairs == 0) return slopes_kind::of_logarithm;  // one lamp
    if (!alight || pairs > most_pairs) return slopes_kind::none;
    const bool missing = straight && widest > 0;
    bool first = true;
    each_pair([&](std::int64_t far, std::int64_t near) noexcept {
      interval own[most_factors];
      if (missing) {
        interval of_top[most_factors];
        interval falls = fall(f, box, far, near);
        falls.lo = larger(widest, falls.lo);
        if (!(falls.hi >= falls.lo)) return;  // never these two
        const interval top = all_.get(list::u, place(f, near)), source = all_.source(box);
        const double knee = law(f, near).dark_below.v;
        const interval per_fall{1 / falls.hi, 1 / falls.lo},
            per_top{1 / (top.hi - knee), 1 / (top.lo - knee)};
        slopes_of_volts(box, place(f, near), place(f, far), own);
        const interval from_fall = constant_parts(box, knee) * per_fall;
        slopes_of_volts(box, place(f, near), nothing, of_top);
        const interval from_top = constant_parts(box, knee) * per_top;
        for (std::size_t p = 0; p < factor_count(n_); ++p) own[p] = of_top[p] * per_top - own[p] * per_fall;
        own[0] = own[0].cut(interval{source.hi / (source.hi - knee), source.lo / (source.lo - knee)} *
                            (from_top - from_fall));
      } else {
        slopes_of_ratio(f, box, far, near, own);
      }
      join(by, own, first);
      first = false;
    });
    return missing ? slopes_kind::of_missing : slopes_kind::of_logarithm;
  }
  static constexpr bounded_figure evenness_of(const bounded_figure& f, std::size_t channel) noexcept {
    return {kind::evenness, f.run, channel};
  }
  /// Of the logarithm of a tint, from those of its two evennesses; d ln e = -(1 - e) / e d ln(1 - e).
  constexpr slopes_kind slopes_of_tint(const bounded_figure& f, const factor_box& box,
                                       interval (&by)[most_factors]) const noexcept {
    for (interval& each : by) each = {};
    for (const bool below : {false, true}) {
      const bounded_figure e = evenness_of(f, below ? f.against : f.channel);
      interval own[most_factors];
      const slopes_kind how = slopes_of_evenness(e, box, own);
      if (how == slopes_kind::none) return how;
      interval share{1, 1};
      if (how == slopes_kind::of_missing) {
        const interval kept = natural(e, box);
        share = {(1 - kept.hi) / kept.hi, (1 - kept.lo) / kept.lo};
      }
      if (below) share = {-share.hi, -share.lo};
      for (std::size_t p = 0; p < factor_count(n_); ++p) by[p] = by[p] + share * own[p];
    }
    return slopes_kind::of_logarithm;
  }
  constexpr interval fall(const bounded_figure& f, const factor_box& box, std::int64_t far,
                          std::int64_t near) const noexcept {
    if (near < far) return all_.fall(box, f.run, f.channel, near, far);
    return interval{} - all_.fall(box, f.run, f.channel, far, near);
  }

  constexpr double solved(const bounded_figure& f, const factor_box& box, const box_corner& corner) noexcept {
    const feed_network m = multiplied(
        n_,
        [&](std::size_t p) noexcept {
          return corner.is_free(p)   ? box.middle[p]
                 : corner.is_high(p) ? box.hi[p]
                                     : box.lo[p];  // alike where it stands
        },
        space_);
    std::size_t at = 0;
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const auto loads = static_cast<std::size_t>(segments_of(n_.runs[r])) * all_.channels_of(r);
      space_.profiles[r] = {space_.voltages.subspan(at, loads), {}, {}};
      at += loads;
    }
    const outcome<network_figures> all = solve_network(m, space_.doubles.first(network_workspace(n_)),
                                                       space_.figures, space_.profiles.first(n_.runs.size()));
    if (!all.ok()) {
      if (!why_) why_ = all.why();
      return not_a_number;
    }
    // constant power: a solution that is not the one enclosed; a hundred times what one may be wrong by (hair_of)
    const double hair = 1e-9 * n_.source.v;
    bool enclosed = true;
    all_.each_load(box, [&](std::size_t l, const load_law&, std::size_t, std::size_t, interval) noexcept {
      const interval u = all_.get(list::u, l);
      enclosed = enclosed && is_within(space_.voltages[l].v, u.lo - hair, u.hi + hair);
    });
    if (!enclosed && !why_) why_ = collapse();
    const fed_run_figures& run = space_.figures[f.run];
    switch (f.what) {
      case kind::lowest: return run.lowest_load[f.channel].v;
      case kind::highest: return run.highest_load[f.channel].v;
      case kind::current: return run.channel_current[f.channel].v;
      case kind::evenness: return run.evenness[f.channel];
      case kind::tint: return run.evenness[f.channel] / run.evenness[f.against];
      case kind::total: return f.whole ? all->total.v : run.total.v;
      case kind::lamps: return f.whole ? all->lamps.v : run.lamps.v;
      case kind::beyond: return drawn(m, f);
      case kind::loss:
        if (!f.whole) return run.trace_loss.v + run.feeder_loss.v;
        return all->trace_loss.v + all->feeder_loss.v + all->switch_loss.v + all->supply_loss.v;
    }
    return not_a_number;
  }

  /// What the loads beyond a joint draw in a network whose voltages are solved.
  constexpr double drawn(const feed_network& m, const bounded_figure& f) const noexcept {
    const lit_channels lit = lit_of(n_.runs[f.run].stretches[0].line);
    double sum = 0;
    std::int64_t k = 0;
    for (const run_stretch& s : m.runs[f.run].stretches)
      for (std::int64_t in = 0; in < s.line.segments; ++in, ++k)
        for (int x = 0; k >= f.from && k < f.to && x < lit.count; ++x) {
          const std::size_t c = lit.of[x];
          const std::size_t l =
              all_.offset(f.run) + static_cast<std::size_t>(k) * all_.channels_of(f.run) + c;
          sum += at(s.line.law[c], space_.voltages[l]).current.v;
        }
    return sum;
  }

  /// An evenness from the shares of light that are lost, seen from every lamp that may be the brightest.
  constexpr interval kept_share(const bounded_figure& f, const factor_box& box) const noexcept {
    interval all{0, 0};
    bool sound = true;
    std::size_t count = 0;
    each_candidate(f, box, false, [&](std::int64_t near) noexcept {
      interval lost;
      if (!sound || ++count > most_near || !all_.lost_share(box, f.run, f.channel, near, lost)) sound = false;
      else all = {larger(all.lo, lost.lo), larger(all.hi, lost.hi)};
    });
    return sound ? interval{1 - all.hi, 1 - all.lo} : interval{0, 1};
  }

  /// What the intervals alone say.
  constexpr interval natural(const bounded_figure& f, const factor_box& box) const noexcept {
    if (f.what == kind::tint) {
      const interval of = natural(evenness_of(f, f.channel), box),
                     over = natural(evenness_of(f, f.against), box);
      return {of.lo / over.hi, of.hi / over.lo};
    }
    if (f.what == kind::lowest || f.what == kind::highest || f.what == kind::evenness) {
      interval low{infinity, infinity}, high{-infinity, -infinity};
      for (std::int64_t k = 0; k < segments_of(n_.runs[f.run]); ++k) {
        const interval own = level(f, k);
        low = {smaller(low.lo, own.lo), smaller(low.hi, own.hi)};
        high = {larger(high.lo, own.lo), larger(high.hi, own.hi)};
      }
      if (f.what == kind::lowest) return low;
      if (f.what == kind::highest) return high;
      const interval plain{high.hi > 0 ? low.lo / high.hi : 0,
                           high.lo > 0 ? smaller(1, low.hi / high.lo) : 1.0};
      return plain.cut(kept_share(f, box));
    }
    interval sum;
    all_.each_load(box, [&](std::size_t l, const load_law& own, std::size_t r, std::size_t c,
                            interval power) noexcept {
      if (!is_among(f, l, r, c)) return;
      const interval i = all_.get(list::q, l);
      if (f.what == kind::lamps)
        sum = sum + (own.kind == load_kind::constant_power ? own.power.v * power : all_.get(list::u, l) * i);
      else sum = sum + (f.what == kind::loss ? all_.get(lost_of(f), l) * i : i);
    });
    return sum;
  }

  /// What a solution that is held against a bound may itself be wrong by: 5e-13 of the source, an ulp a segment.
  constexpr double hair_of(const bounded_figure& f, double value) const noexcept {
    const bool voltage = f.what == kind::lowest || f.what == kind::highest;
    const double of_itself = 1e-11 * (voltage ? n_.source.v : absolute(value));
    return f.what == kind::loss ? of_itself + lost_hair * n_.source.v * most_drawn() : of_itself;
  }
  constexpr double most_drawn() const noexcept {
    double sum = 0;
    all_.each_load(box_, [&](std::size_t l, const load_law&, std::size_t, std::size_t, interval) noexcept {
      sum += all_.get(list::q, l).hi;
    });
    return sum;
  }

  /// d(figure) / d(ln factor) of every input over the box.
  constexpr slopes_kind slopes_of(const bounded_figure& f, interval (&by)[most_factors]) const noexcept {
    if (f.what == kind::evenness) return slopes_of_evenness(f, box_, by);
    if (f.what == kind::tint) return slopes_of_tint(f, box_, by);
    if (f.what != kind::lowest && f.what != kind::highest) {
      slopes_of_sum(f, box_, by);
      return slopes_kind::of_figure;
    }
    std::size_t count = 0;
    each_candidate(f, box_, f.what == kind::lowest, [&](std::int64_t) noexcept { ++count; });
    if (count > most_pairs) return slopes_kind::none;
    bool first = true;
    each_candidate(f, box_, f.what == kind::lowest, [&](std::int64_t k) noexcept {
      interval own[most_factors];
      slopes_of_volts(box_, place(f, k), nothing, own);
      join(by, own, first);
      first = false;
    });
    return slopes_kind::of_figure;
  }

  /// A bound over a box whose inputs have no direction, or none that is known; `worst_` is the one that loosens most.
  constexpr one_bound what_is_left(const bounded_figure& f, const interval (&by)[most_factors], bool upper,
                                   slopes_kind how) noexcept {
    worst_ = nothing;
    const interval plain = natural(f, box_);
    const double far = upper ? plain.hi + hair_of(f, plain.hi) : plain.lo - hair_of(f, plain.lo);
    if (how == slopes_kind::none) {
      if (box_.lo[0] < box_.hi[0]) worst_ = 0;
      return {far, bound_method::enclosure, {}};
    }
    one_bound out;
    box_corner likely;  // where the steepest slopes lead
    double slack = 0, worst_slack = 0;
    bool of_all = true;
    for (std::size_t p = 0; p < factor_count(n_); ++p) {
      const auto stand_high = [&](box_corner& corner) noexcept {
        corner.high[p / 64] |= std::uint64_t{1} << p % 64;
      };
      const double lo = box_.lo[p], hi = box_.hi[p];
      if (!(lo < hi)) {
        of_all = of_all && (lo == root_.hi[p] || lo == root_.lo[p]);
        if (lo == root_.hi[p]) stand_high(out.corner);
        continue;
      }
      const double up = by[p].hi, down = -by[p].lo;  // steepest both ways, both above 0
      constexpr double more = 1 + 1e-12;             // for the rounding of logarithms
      double own = 0;
      if ((up > down) == upper) stand_high(likely);
      // nearly one direction: from that end, what it may go back. With a slope halfway between both on average an
      // end and the middle allow for as much where one is three times the other.
      if (up > 3 * down || down > 3 * up) {
        if ((up > down) == upper) stand_high(out.corner);
        own = smaller(up, down) * natural_log(hi / lo) * more;
      } else {
        out.corner.free[p / 64] |= std::uint64_t{1} << p % 64;
        const double above = natural_log(hi / box_.middle[p]) * more,
                     below = natural_log(box_.middle[p] / lo) * more;
        own = upper ? larger(up * above, down * below) : larger(down * above, up * below);
      }
      slack += own;
      if (own > worst_slack) {
        worst_slack = own;
        worst_ = p;
      }
    }
    out.by = slack > 0 || !of_all ? bound_method::mean_value : bound_method::monotone;
    const double at = solved(f, box_, out.corner);
    found_ = found_.joined({at, at});
    if (slack > 0) {
      const double there = solved(f, box_, likely);
      found_ = found_.joined({there, there});
    }
    if (how == slopes_kind::of_missing) out.value = 1 - (1 - at) * exponential(upper ? -slack : slack);
    else if (how == slopes_kind::of_logarithm) out.value = at * exponential(upper ? slack : -slack);
    else out.value = upper ? at + slack : at - slack;
    if (f.what == kind::evenness) out.value = smaller(out.value, 1);
    const double hair = hair_of(f, out.value);
    out.value += upper ? hair : -hair;
    if (slack > 0 && (upper ? far < out.value : far > out.value)) return {far, bound_method::enclosure, {}};
    return out;
  }

  const feed_network& n_;
  const tolerance_space& space_;
  network_enclosure all_;
  factor_box box_, root_;
  fault why_;
  interval found_;  // values of the figure that some corner has
  std::size_t boxes_ = 0, worst_ = nothing;
};

/// Every load of constant power, on a tree: all figures stand at their bounds at the two ends of the box.
constexpr fault bound_power(const feed_network& n, const tolerance_space& space, network_bounds& all,
                            std::span<run_bounds> runs, const network_tolerances& t) noexcept {
  for (const bool worst : {true, false}) {
    box_corner corner;
    for (std::size_t p = 0; p < factor_count(n); ++p)
      if ((p == 0) != worst) corner.high[p / 64] |= std::uint64_t{1} << p % 64;
    const feed_network m = at_corner(n, t, corner, space);
    const auto solved = solve_network(m, space.doubles.first(network_workspace(n)), space.figures);
    if (!solved.ok()) return solved.why();
    const double rounding = lost_hair * (m.source * solved->total).v;
    const auto set = [&](two_bounds& b, double value, bool most, double more = 0) noexcept {
      const double hair = 1e-11 * absolute(value) + more;
      (most ? b.most : b.least) = {value + (most ? hair : -hair), bound_method::monotone, corner};
    };
    set(all.total, solved->total.v, worst);
    set(all.lamps, solved->lamps.v, worst);
    set(all.loss, (solved->trace_loss + solved->feeder_loss + solved->switch_loss + solved->supply_loss).v,
        worst, rounding);
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
      set(runs[r].loss, (f.trace_loss + f.feeder_loss).v, worst, rounding);
      set(runs[r].greatest_feed_current, f.greatest_feed_current.v, worst);
      set(runs[r].greatest_link_current, f.greatest_link_current.v, worst);
    }
  }
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    runs[r].greatest_feed_current = widened(runs[r].greatest_feed_current);
    runs[r].greatest_link_current = widened(runs[r].greatest_link_current);
    bound_light(runs[r], lit_of(n.runs[r].stretches[0].line));
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
/// @param n      the network as it is meant.
/// @param t      ranges of factors; the greatest and least supply among them must stay in the range of a voltage.
/// @param space  see tolerance_space_for(n).
/// @param runs   one result a run.
/// @return       Faults: those of check(n) and of solve_network at a corner (no_operating_point when constant-power
///               loads collapse anywhere in the box, or where that cannot be excluded); out_of_range for a
///               tolerance (item: its place in network_tolerances, from 0); no_room; not_listed for more than 256 inputs.
/// Formula       Each figure's derivative by each input is enclosed over the box (detail::network_enclosure; of the
///               lowest of several loads the hull of all that may be the lowest). An input whose derivative has one sign
///               stands at its end on the side's worst face; there others may show their sign, and so on. Where
///               all have, the bound is the figure at a corner, solved (`monotone`). Inputs that keep either sign
///               stay at 1 (in a cut box: at its middle); one that is three times as steep one way as the other stands
///               at its end, and only its way back is allowed for. The figure cannot leave that value by more than
///               sum max|dF/d ln f| |ln f| (mean value theorem; `mean_value`). A figure that the intervals of currents
///               bound better (an evenness: those in shares of the brightest lamp's voltage above its knee) is told as
///               `enclosure`. Where a side is looser than corners that were solved by more than a twentieth, the box is
///               cut in two across the input that loosens most, up to 48 parts (of a tint, below, 1000); where the part
///               that binds is bound by a corner of the whole box, this is `monotone` as well.
///               Constant power alone, every run with one feed point: u -> V - Z (P / u) keeps the order, and its
///               greatest fixed point falls with Z and P and rises with V (Tarski): one corner is the worst for all.
///               Run by run: `loss` like the others. The greatest feed current is what the run draws, of several feed
///               points `enclosure`; the greatest link current is what the loads behind the joint draw, likewise. The
///               lightness step is a falling function of the least evenness and is told as that is; the colour shift is
///               at most what the least even channel loses (`enclosure`, see detail::bound_light), and where all
///               channels are dimmest at one segment, the most by which two evennesses differ: their ratio, the tint,
///               is bounded like any figure.
/// Source        closed form; interval arithmetic: R. E. Moore, "Interval Analysis", 1966, from memory.
/// Accuracy      bounds are widened for rounding: voltages by 1e-11 of the source (constant power alone: of
///               themselves), other figures by 1e-11 of themselves, losses by 1e-13 of the power drawn besides,
///               lightness step and colour shift by 1e-11, currents of leads and joints by 1e-9 A.
constexpr outcome<network_bounds> bounds_of(const feed_network& n, const network_tolerances& t,
                                            const tolerance_space& space,
                                            std::span<run_bounds> runs) noexcept {
  if (const fault f = check(n)) return f;
  const factor_range ranges[] = {t.source, t.load, t.trace, t.length, t.cable, t.contact};
  for (std::size_t i = 0; i < sizeof ranges / sizeof ranges[0]; ++i)
    if (const fault f = detail::check(ranges[i])) return at_item(f, i);
  const tolerance_needs needs = tolerance_space_for(n);
  const std::size_t given[] = {space.hubs.size(),     space.runs.size(),    space.stretches.size(),
                               space.feeds.size(),    space.figures.size(), space.profiles.size(),
                               space.voltages.size(), space.doubles.size(), runs.size()};
  const std::size_t wanted[] = {needs.hubs, needs.runs,  needs.stretches, needs.feeds, needs.runs,
                                needs.runs, needs.loads, needs.doubles,   needs.runs};
  for (std::size_t i = 0; i < sizeof given / sizeof given[0]; ++i)
    if (const fault f = refuse_room(given[i], wanted[i])) return at_item(f, i);
  if (factor_count(n) > most_factors)
    return fault{fault_code::not_listed,
                 field::row_count,
                 static_cast<double>(factor_count(n)),
                 2,
                 static_cast<double>(most_factors),
                 -1};
  bool power = true;  // alone, and on a tree
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    const fed_run& run = n.runs[r];
    const detail::lit_channels lit = detail::lit_of(run.stretches[0].line);
    power = power && run.feeds.size() == 1;
    for (const run_stretch& s : run.stretches)
      for (int c = 0; c < lit.count; ++c)
        power = power && s.line.law[lit.of[c]].kind == load_kind::constant_power;
    runs[r] = {};
  }
  network_bounds all;
  if (power) {
    if (const fault f = detail::bound_power(n, space, all, runs, t)) return f;
    return all;
  }
  detail::tolerance_bounder bounder{n, t, space};
  if (bounder.why()) return bounder.why();
  using kind = detail::bounded_figure::kind;
  all.total = bounder.of({kind::total, 0, 0, true});
  all.lamps = bounder.of({kind::lamps, 0, 0, true});
  all.loss = bounder.of({kind::loss, 0, 0, true});
  for (std::size_t r = 0; r < n.runs.size(); ++r) {
    const detail::lit_channels lit = detail::lit_of(n.runs[r].stretches[0].line);
    run_bounds& told = runs[r];
    for (int x = 0; x < lit.count; ++x) {
      const std::size_t c = lit.of[x];
      told.lowest_load[c] = bounder.of({kind::lowest, r, c, false});
      told.highest_load[c] = bounder.of({kind::highest, r, c, false});
      told.channel_current[c] = bounder.of({kind::current, r, c, false});
      told.evenness[c] = bounder.of({kind::evenness, r, c, false});
    }
    told.total = bounder.of({kind::total, r, 0, false});
    told.lamps = bounder.of({kind::lamps, r, 0, false});
    told.loss = bounder.of({kind::loss, r, 0, false});
    told.greatest_feed_current = bounder.greatest_feed(r, told.total);
    told.greatest_link_current = bounder.greatest_link(r, told.total);
    detail::bound_light(told, lit);
    bounder.narrow_shift(r, lit, told);
  }
  if (bounder.why()) return bounder.why();
  return all;
}

}  // namespace tapewright
