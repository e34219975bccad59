// SPDX-License-Identifier: BSL-1.0
// Between which values every voltage and current of an installation stays while its inputs move within a box.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/load_law.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/network/tolerance_box.hpp"

namespace tapewright::detail {

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
  constexpr interval joined(interval other) const noexcept {
    return {smaller(lo, other.lo), larger(hi, other.hi)};
  }
};

/// x a + (1 - x) b for an x within 0..1.
constexpr interval mixed(interval x, interval a, interval b) noexcept {
  const auto at = [](double w, double p, double q) noexcept { return w * p + (1 - w) * q; };
  return {smaller(at(x.lo, a.lo, b.lo), at(x.hi, a.lo, b.lo)),
          larger(at(x.lo, a.hi, b.hi), at(x.hi, a.hi, b.hi))};
}

/// Two resistances side by side: rises with each.
constexpr double beside(double a, double b) noexcept { return a + b > 0 ? a * (b / (a + b)) : 0; }

/// Factors of one box.
struct factor_box {
  double lo[most_factors] = {}, hi[most_factors] = {}, middle[most_factors] = {};
  constexpr interval operator[](std::size_t p) const noexcept { return {lo[p], hi[p]}; }
};

/// Of which resistances a figure holds the heat: none, one run's, or all.
struct heated {
  bool all = false;
  std::size_t run = ~std::size_t{0};
};

/// Intervals of currents and voltages on a network whose runs have any feed points.
///
/// Voltages are u = V - Z q(u). Every conductor is a network to ground of its own (common from the driver's one
/// pole, each channel from the other), so that no entry of Z is negative. With bounds on Z and on the loads'
/// currents over the box, V_lo - (Z q)_hi <= u <= V_hi - (Z q)_lo, which bounds the currents anew, and so on, as
/// often as it gains. Of constant-power loads, which draw more at less voltage, that needs a floor to begin with:
/// m = V_lo - Z_hi (greatest currents of the others + P_hi / m), below which the upper branch of the solution
/// cannot be. (Along a path from no power to all of it the solution stays above: it could leave only where 1 - Z P
/// / u^2 is singular, and above m that has a spectral radius below 1.)
///
/// Z of one conductor of a run: beyond its shared feeder it is a chain, held at its feed points by the leads.
/// Between two of them what is to the left acts as a resistance and an open drop (Thevenin), likewise what is to
/// the right. With M, N the resistances from a load's place to the left and to the right, and x = N / (M + N), a
/// current at l drops x_k M_l at k to the right of it and (1 - x_k) N_l at k to the left, and it comes in shares
/// x_l and 1 - x_l from both sides. Both M and N rise with every resistance; x is a ratio, moves with ratios of
/// resistances alone, and being linear over linear in each has its extremes at corners.
///
/// The amperes of sensitivity.hpp move the voltages by a = Z (w - G a), w their weights; every slope G lies
/// between its values at lo and hi, so that intervals are cut in the same way. They start from |a| <= max B_kk sum
/// |w|, where B = (Z^-1 - G_falling)^-1 is above (Z^-1 + G)^-1 in the order of positive semidefinite matrices: B =
/// Z without constant power.
class network_enclosure {
 public:
  /// Doubles of storage.
  static constexpr std::size_t doubles(const feed_network& n) noexcept {
    std::size_t sum = 0;
    for (const fed_run& r : n.runs) {
      if (r.stretches.empty()) continue;
      const auto segments = static_cast<std::size_t>(segments_of(r)),
                 channels = static_cast<std::size_t>(r.stretches[0].line.channels);
      sum += 2 * (load_lists * segments * channels + node_lists * segments * (channels + 1) +
                  feed_lists * r.feeds.size() * (channels + 1));
    }
    return sum;
  }

  /// A network that check(n) accepts, of no more than most_factors.
  constexpr network_enclosure(const feed_network& n, double* room) noexcept : n_{n}, loads_at_{room} {
    for (std::size_t r = 0; r < n.runs.size() && r < most_runs; ++r) {
      const std::size_t segments = segments_in(r), channels = channels_of(r);
      first_[r] = {loads_, nodes_, feeds_};
      loads_ += segments * channels;
      nodes_ += segments * (channels + 1);
      feeds_ += n.runs[r].feeds.size() * (channels + 1);
    }
    nodes_at_ = loads_at_ + 2 * load_lists * loads_;
    feeds_at_ = nodes_at_ + 2 * node_lists * nodes_;
  }

  /// Of every load: voltage, current, the adjoint's voltage, weight and current, and what is lost on its way: all of
  /// it, and from the controller's terminals.
  enum load_list : std::size_t { u, q, a, w, x, gone, gone_in_run, load_lists };

  constexpr interval get(load_list list, std::size_t l) const noexcept {
    return read(loads_at_, list * loads_ + l);
  }
  constexpr void set(load_list list, std::size_t l, interval to) const noexcept {
    write(loads_at_, list * loads_ + l, to);
  }

  /// Place of the first load of a run.
  constexpr std::size_t offset(std::size_t run) const noexcept { return first_[run].load; }
  constexpr std::size_t channels_of(std::size_t r) const noexcept {
    return static_cast<std::size_t>(n_.runs[r].stretches[0].line.channels);
  }

  /// visit(load, law, run, channel, factor of its power)
  template <class Visit>
  constexpr void each_load(const factor_box& box, const Visit& visit) const noexcept {
    std::size_t l = 0, p = 2 + 2 * n_.hubs.size();
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const fed_run& run = n_.runs[r];
      const std::size_t channels = channels_of(r);
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

  /// All load voltages and currents of a box. False where a collapse of constant-power loads is not excluded.
  constexpr bool enclose(const factor_box& box) noexcept {
    const interval v = source(box);
    bool power = false;
    each_load(box, [&](std::size_t l, const load_law& law, std::size_t, std::size_t, interval) noexcept {
      set(u, l, {-1e9, v.hi});  // no floor yet; finite, so that what is gained is a number
      power = power || draws_power(law);
    });
    part_currents(box);
    softness_ = 1;
    if (power && !find_floor(box)) return false;
    // every round's intervals hold; more rounds only narrow them
    for (int round = 0; round < 60; ++round) {
      draw(box);
      double gained = 0;
      drop(box, q, flows_wanted::none, [&](std::size_t l, interval lost, interval) noexcept {
        const interval was = get(u, l), is = was.cut(v - lost);
        gained = larger(gained, (is.lo - was.lo) + (was.hi - is.hi));
        set(u, l, is);
      });
      if (!(gained > 1e-9 * v.hi)) break;
    }
    draw(box);
    drop(box, q, flows_wanted::all, [&](std::size_t l, interval lost, interval in_run) noexcept {
      set(gone, l, lost);
      set(gone_in_run, l, in_run);
    });
    return true;
  }

  /// How far the voltage of a channel falls from a segment to another behind it: from its currents, not as a
  /// difference of two intervals.
  constexpr interval fall(const factor_box& box, std::size_t r, std::size_t c, std::int64_t from,
                          std::int64_t to) const noexcept {
    const std::size_t p = first_factor_of_run(n_, r);
    const interval trace = box[p] * box[p + 1];
    interval sum;
    for (const std::size_t cond : {c, channels_of(r)}) {
      chain_place at{n_.runs[r], from};
      for (std::int64_t k = from; k < to; ++k) {
        sum = sum + (at.half(cond) * trace) * flow(r, k, cond, after_q);
        at.onward();
        const interval on = flow(r, k + 1, cond, before_q);
        sum = sum + (at.half(cond) * trace) * on + (at.joint(cond) * box[p + 3]) * on;
      }
    }
    return sum;
  }

  /// A load's slope over the voltages that it may have.
  constexpr interval slope(const load_law& law, std::size_t l, interval power) const noexcept {
    const interval at_load = get(u, l);
    if (law.kind == load_kind::constant_power)
      return {-(power.hi * law.power.v / (at_load.lo * at_load.lo)),
              -(power.lo * law.power.v / (at_load.hi * at_load.hi))};
    const double steep = law.slope.v, knee = law.dark_below.v, top = flat_above(law).v;
    if (at_load.lo > knee && at_load.hi < top) return steep * power;
    if (at_load.hi < knee || at_load.lo > top) return {0, 0};
    return {0, steep * power.hi};
  }

  /// Whether resistances decide how the common's current splits between the feed points: not between two without any.
  constexpr bool splits(std::size_t r) const noexcept {
    const std::size_t common = channels_of(r);
    for (std::size_t j = 0; j + 1 < n_.runs[r].feeds.size(); ++j) {
      double around = kept(left_ratio, r, j, common).lo + kept(right_ratio, r, j + 1, common).lo;
      chain_place at{n_.runs[r], n_.runs[r].feeds[j].at};
      for (std::int64_t k = n_.runs[r].feeds[j].at; k < n_.runs[r].feeds[j + 1].at; ++k, at.onward())
        around += at.half(common) + at.joint(common);
      if (!(around > 0)) return false;
    }
    return true;
  }
  /// What flows in the common lead of a feed point, and in the common to a segment from the one before it.
  constexpr interval feed_flow(std::size_t r, std::size_t j) const noexcept {
    return lead_flow(r, j, channels_of(r), before_q, after_q);
  }
  constexpr interval flow_to(std::size_t r, std::int64_t k) const noexcept {
    return flow(r, k, channels_of(r), before_q);
  }

  /// What amperes with the weights in `w` do to all loads.
  constexpr void adjoin(const factor_box& box) const noexcept {
    double weights = 0;
    each_load(box, [&](std::size_t l, const load_law&, std::size_t, std::size_t, interval) noexcept {
      const interval weight = get(w, l);
      weights += larger(absolute(weight.lo), absolute(weight.hi));
    });
    const double most = greatest_path(box) * softness_ * weights;
    each_load(box, [&](std::size_t l, const load_law&, std::size_t, std::size_t, interval) noexcept {
      set(a, l, {-most, most});
    });
    // likewise: every round's intervals hold
    for (int round = 0; round < 80; ++round) {
      spread(box);
      double gained = 0;
      drop(box, x, flows_wanted::none, [&](std::size_t l, interval moved, interval) noexcept {
        const interval was = get(a, l), is = was.cut(moved);
        gained = larger(gained, (is.lo - was.lo) + (was.hi - is.hi));
        set(a, l, is);
      });
      if (!(gained > 1e-5 * most)) break;
    }
    spread(box);
    drop(box, x, flows_wanted::all, [](std::size_t, interval, interval) noexcept {});
  }

  /// d(figure) / d(ln factor) of every input over the whole box, but for what the figure owes to the loads
  /// directly. `heat`: where the figure holds R I^2 of the resistances besides.
  constexpr void slopes(const factor_box& box, interval (&by)[most_factors], heated heat) const noexcept {
    for (interval& each : by) each = {};
    each_load(box, [&](std::size_t l, const load_law&, std::size_t r, std::size_t c, interval) noexcept {
      interval& own = by[first_factor_of_run(n_, r) + 4 + c];
      own = own - get(q, l) * get(a, l);
    });
    bool hot = heat.all;
    const auto of_ohms = [&](std::size_t p, interval r, interval i, interval j) noexcept {
      by[p] = hot ? by[p] + r * (i * (i - j)) : by[p] - r * (i * j);
    };
    const auto lost_in = [&](std::size_t p, double r, interval i, interval j) noexcept {
      of_ohms(p, r * box[p], i, j);
    };
    interval all_x, all_q;
    for (std::size_t h = 0; h < n_.hubs.size(); ++h) {
      interval hub_x, hub_q, own_x[max_channels], own_q[max_channels];
      add_hub(h, x, own_x);
      add_hub(h, q, own_q);
      for (std::size_t c = 0; c < max_channels; ++c) {
        lost_in(3 + 2 * h, n_.hubs[h].channel[c].v, own_q[c], own_x[c]);
        hub_x = hub_x + own_x[c];
        hub_q = hub_q + own_q[c];
      }
      lost_in(2 + 2 * h, n_.hubs[h].supply.v, hub_q, hub_x);
      all_x = all_x + hub_x;
      all_q = all_q + hub_q;
    }
    lost_in(1, n_.lead.v, all_q, all_x);
    by[0] = source(box) * all_x;
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      hot = heat.all || r == heat.run;
      const std::size_t p = first_factor_of_run(n_, r), channels = channels_of(r);
      const interval trace = box[p] * box[p + 1];
      interval sum_x[max_channels + 1], sum_q[max_channels + 1];
      add_run(r, x, sum_x);
      add_run(r, q, sum_q);
      for (std::size_t cond = 0; cond <= channels; ++cond) {
        lost_in(p + 2, shared_feeder(r, cond), sum_q[cond], sum_x[cond]);
        for (std::size_t j = 0; j < n_.runs[r].feeds.size(); ++j) {
          const interval given = lead_flow(r, j, cond, before_q, after_q);
          // nothing is nearer the pole than where the leads part: no lead takes current back
          lost_in(p + 2, lead(r, j, cond), {larger(given.lo, 0), given.hi},
                  lead_flow(r, j, cond, before_x, after_x));
        }
        chain_place at{n_.runs[r], 0};
        for (std::int64_t k = 0; k < at.segments; ++k, at.onward()) {
          const interval in_q = flow(r, k, cond, before_q), in_x = flow(r, k, cond, before_x);
          of_ohms(p, at.half(cond) * trace, in_q, in_x);
          of_ohms(p, at.half(cond) * trace, flow(r, k, cond, after_q), flow(r, k, cond, after_x));
          if (at.joint(cond) > 0) lost_in(p + 3, at.joint(cond), in_q, in_x);
        }
      }
    }
  }

  /// By what share a run's channel loses its light from segment `near` to where it is least: 1 - (least light) /
  /// (light at near), where all its loads are alight on the straight part of one law, in proportion to v = u - knee.
  /// What is common to all v, source and feeder first of all, falls out of it: currents are taken in shares of v at
  /// `near`, and the loads' own factor only multiplies. False where some load may leave that part.
  constexpr bool lost_share(const factor_box& box, std::size_t r, std::size_t c, std::int64_t near,
                            interval& lost) const noexcept {
    if (!is_straight(r, c)) return false;
    const std::size_t channels = channels_of(r), p = first_factor_of_run(n_, r);
    const lit_channels lit = lit_of(n_.runs[r].stretches[0].line);
    const std::int64_t n = segments_of(n_.runs[r]);
    const auto place = [&](std::int64_t k, std::size_t of) noexcept {
      return offset(r) + static_cast<std::size_t>(k) * channels + of;
    };
    const interval at_near = get(u, place(near, c)), own_drop = channel_drop(box, r, c, near);
    const double knee = n_.runs[r].stretches[0].line.law[c].dark_below.v;
    const interval per_volt{1 / (at_near.hi - knee), 1 / (at_near.lo - knee)};
    bool straight[max_channels] = {};
    interval start[max_channels],
        factor[max_channels];  // v of each channel at near; what its currents are times
    for (int i = 0; i < lit.count; ++i) {
      const std::size_t of = lit.of[i];
      const load_law& law = n_.runs[r].stretches[0].line.law[of];
      const double higher = knee - law.dark_below.v;
      straight[of] = is_straight(r, of);
      factor[of] = (straight[of] ? law.slope.v : 1.0) * (box[p + 4 + of] * box[p + 1]);
      start[of] = {1, 1};
      if (of != c)
        start[of] =
            start[of] + (interval{higher, higher} + own_drop - channel_drop(box, r, of, near)) * per_volt;
      chain_place here{n_.runs[r], 0};
      for (std::int64_t k = 0; k < n; ++k, here.onward()) {
        const interval v = get(u, place(k, of));
        const interval drawn = straight[of] ? interval{v.lo - law.dark_below.v, v.hi - law.dark_below.v}
                                            : current_of(here.law(of), v);
        set(x, place(k, of), drawn * per_volt);
      }
    }
    constexpr int rounds = 6;  // every round's intervals hold; more only narrow them
    for (int round = 0; round < rounds; ++round) {
      for (int i = 0; i < lit.count; ++i)
        for (std::int64_t k = 0; k < n; ++k) set(a, place(k, lit.of[i]), {});
      for (int i = 0; i < lit.count; ++i) {
        interval total;
        for (std::int64_t k = 0; k < n; ++k) total = total + get(x, place(k, lit.of[i]));
        for (const std::size_t cond : {lit.of[i], channels}) {
          along_chain(box, r, cond, x, total, flows_wanted::all, lit.of[i]);
          add_falls(box, r, cond, near, factor[lit.of[i]], [&](std::int64_t k, interval falls) noexcept {
            for (int other = 0; other < lit.count; ++other)
              if (cond == channels || other == i)
                set(a, place(k, lit.of[other]), get(a, place(k, lit.of[other])) + falls);
          });
        }
      }
      for (int i = 0; i < lit.count; ++i)
        for (std::int64_t k = 0; k < n && straight[lit.of[i]]; ++k) {
          const std::size_t l = place(k, lit.of[i]);
          set(x, l, get(x, l).cut(start[lit.of[i]] - get(a, l)));
        }
    }
    lost = {0, 0};
    for (std::int64_t k = 0; k < n; ++k) {
      const interval own = get(a, place(k, c));
      lost = {larger(lost.lo, own.lo), larger(lost.hi, own.hi)};
    }
    return true;
  }

 private:
  /// Of every place of a conductor (channels, then common): what share of a current there comes from the left,
  /// what flows to the right before and after it, and room for sums.
  enum node_list : std::size_t {
    share,
    before_q,
    after_q,
    before_x,
    after_x,
    ohms_behind,
    scratch,
    node_lists
  };
  /// Of every feed point and conductor: resistance of all to its left and to its right with its own lead, in ohms
  /// and in lengths of cable (that factor at 1), and the open drops of all to the right and to the left, likewise.
  enum feed_list : std::size_t {
    left,
    left_ratio,
    right,
    right_ratio,
    drop_right,
    drop_right_ratio,
    drop_left_ratio,
    feed_lists
  };

  static constexpr interval read(const double* room, std::size_t place) noexcept {
    return {room[2 * place], room[2 * place + 1]};
  }
  static constexpr void write(double* room, std::size_t place, interval to) noexcept {
    room[2 * place] = to.lo;
    room[2 * place + 1] = to.hi;
  }

  /// A walk along a run's segments.
  struct chain_place {
    const fed_run& run;
    std::int64_t segments, in;
    std::size_t stretch = 0;

    constexpr chain_place(const fed_run& of, std::int64_t segment) noexcept
        : run{of}, segments{segments_of(of)}, in{segment} {
      while (in >= run.stretches[stretch].line.segments && stretch + 1 < run.stretches.size())
        in -= run.stretches[stretch++].line.segments;
    }
    constexpr void onward() noexcept {
      if (++in < run.stretches[stretch].line.segments || stretch + 1 == run.stretches.size()) return;
      ++stretch;
      in = 0;
    }
    constexpr void back() noexcept {
      if (in-- > 0 || stretch == 0) return;
      in = run.stretches[--stretch].line.segments - 1;
    }
    constexpr const load_law& law(std::size_t c) const noexcept { return run.stretches[stretch].line.law[c]; }
    /// Half a pitch of a conductor, and the joint before the segment.
    constexpr double half(std::size_t cond) const noexcept {
      const tape_line& line = run.stretches[stretch].line;
      return 0.5 * (cond < static_cast<std::size_t>(line.channels) ? line.channel[cond] : line.common).v;
    }
    constexpr double joint(std::size_t cond) const noexcept {
      if (in != 0 || stretch == 0) return 0;
      const run_stretch& s = run.stretches[stretch];
      return (cond < static_cast<std::size_t>(s.line.channels) ? s.link_channel[cond] : s.link_common).v;
    }
  };

  static constexpr std::size_t all_channels = max_channels;
  enum class flows_wanted { none, all };

  /// Whether every load of a run's channel is on the straight part of one law over the whole box.
  constexpr bool is_straight(std::size_t r, std::size_t c) const noexcept {
    const load_law& law = n_.runs[r].stretches[0].line.law[c];
    if (law.kind == load_kind::constant_power || !(law.slope.v > 0)) return false;
    for (const run_stretch& s : n_.runs[r].stretches)
      if (s.line.law[c] != law) return false;
    const double top = flat_above(law).v;
    for (std::size_t k = 0; k < segments_in(r); ++k) {
      const interval v = get(u, offset(r) + k * channels_of(r) + c);
      if (!(v.lo > law.dark_below.v && v.hi < top)) return false;
    }
    return true;
  }

  /// What a channel loses in its own conductors alone, from its switch to a segment.
  constexpr interval channel_drop(const factor_box& box, std::size_t r, std::size_t c,
                                  std::int64_t k) const noexcept {
    const auto h = static_cast<std::size_t>(n_.runs[r].hub);
    interval hub[max_channels], run[max_channels + 1];
    add_hub(h, q, hub);
    add_run(r, q, run);
    along_chain(box, r, c, q, run[c], flows_wanted::none);
    return (n_.hubs[h].channel[c].v * box[3 + 2 * h]) * hub[c] +
           (shared_feeder(r, c) * box[first_factor_of_run(n_, r) + 2]) * run[c] + flow(r, k, c, ohms_behind);
  }

  /// How far a conductor's potential falls from segment `near` to every other, from the flows of list x times a
  /// factor: told(segment, fall).
  template <class Told>
  constexpr void add_falls(const factor_box& box, std::size_t r, std::size_t cond, std::int64_t near,
                           interval factor, const Told& told) const noexcept {
    const factors f = factors_of(box, r);
    const interval in_trace = factor * f.trace, in_joints = factor * f.contact;
    interval trace, joints;
    chain_place on{n_.runs[r], near};
    for (std::int64_t k = near; k + 1 < on.segments; ++k) {
      trace = trace + on.half(cond) * flow(r, k, cond, after_x);
      on.onward();
      const interval in = flow(r, k + 1, cond, before_x);
      trace = trace + on.half(cond) * in;
      joints = joints + on.joint(cond) * in;
      told(k + 1, in_trace * trace + in_joints * joints);
    }
    trace = joints = {};
    chain_place back{n_.runs[r], near};
    for (std::int64_t k = near; k > 0; --k) {
      const interval in = flow(r, k, cond, before_x);
      trace = trace - back.half(cond) * in;
      joints = joints - back.joint(cond) * in;
      back.back();
      trace = trace - back.half(cond) * flow(r, k - 1, cond, after_x);
      told(k - 1, in_trace * trace + in_joints * joints);
    }
  }

  static constexpr bool draws_power(const load_law& law) noexcept {
    return law.kind == load_kind::constant_power && law.power.v > 0;
  }
  constexpr std::size_t segments_in(std::size_t r) const noexcept {
    return static_cast<std::size_t>(segments_of(n_.runs[r]));
  }
  constexpr double shared_feeder(std::size_t r, std::size_t cond) const noexcept {
    return (cond < channels_of(r) ? n_.runs[r].channel[cond] : n_.runs[r].common).v;
  }
  constexpr double lead(std::size_t r, std::size_t j, std::size_t cond) const noexcept {
    const feed_point& f = n_.runs[r].feeds[j];
    return (cond < channels_of(r) ? f.channel[cond] : f.common).v;
  }

  constexpr std::size_t node(std::size_t r, std::int64_t k, std::size_t cond) const noexcept {
    return first_[r].node + static_cast<std::size_t>(k) * (channels_of(r) + 1) + cond;
  }
  constexpr interval flow(std::size_t r, std::int64_t k, std::size_t cond, node_list list) const noexcept {
    return read(nodes_at_, list * nodes_ + node(r, k, cond));
  }
  constexpr std::size_t feed_place(std::size_t r, std::size_t j, std::size_t cond) const noexcept {
    return first_[r].feed + j * (channels_of(r) + 1) + cond;
  }
  constexpr void put(node_list list, std::size_t r, std::int64_t k, std::size_t cond,
                     interval to) const noexcept {
    write(nodes_at_, list * nodes_ + node(r, k, cond), to);
  }
  constexpr interval kept(feed_list list, std::size_t r, std::size_t j, std::size_t cond) const noexcept {
    return read(feeds_at_, list * feeds_ + feed_place(r, j, cond));
  }
  constexpr void keep(feed_list list, std::size_t r, std::size_t j, std::size_t cond,
                      interval to) const noexcept {
    write(feeds_at_, list * feeds_ + feed_place(r, j, cond), to);
  }
  /// What a feed point's lead gives: what flows on minus what comes.
  constexpr interval lead_flow(std::size_t r, std::size_t j, std::size_t cond, node_list before,
                               node_list after) const noexcept {
    const std::int64_t at = n_.runs[r].feeds[j].at;
    const interval on = at < segments_of(n_.runs[r]) ? flow(r, at, cond, before) : interval{};
    const interval comes = at > 0 ? flow(r, at - 1, cond, after) : interval{};
    return on - comes;
  }

  /// A load's current over the voltages that it may have.
  static constexpr interval current_of(const load_law& law, interval v) noexcept {
    const double low = at(law, volts{v.lo}).current.v, high = at(law, volts{v.hi}).current.v;
    return law.kind == load_kind::constant_power ? interval{high, low} : interval{low, high};
  }
  constexpr void draw(const factor_box& box) const noexcept {
    each_load(box, [&](std::size_t l, const load_law& law, std::size_t, std::size_t,
                       interval power) noexcept { set(q, l, power * current_of(law, get(u, l))); });
  }
  constexpr void spread(const factor_box& box) const noexcept {
    each_load(box, [&](std::size_t l, const load_law& law, std::size_t, std::size_t,
                       interval power) noexcept { set(x, l, get(w, l) - slope(law, l, power) * get(a, l)); });
  }

  /// Below which no load's voltage can be, where some draw constant power; and how much softer they make the
  /// network.
  constexpr bool find_floor(const factor_box& box) noexcept {
    const interval v = source(box);
    const auto draw_at_floor = [&](double less) noexcept {
      bool alive = true;
      each_load(box,
                [&](std::size_t l, const load_law& law, std::size_t, std::size_t, interval power) noexcept {
                  if (!draws_power(law)) {
                    set(q, l, {0, power.hi * at(law, volts{v.hi}).current.v});
                    return;
                  }
                  const double floor = get(u, l).lo - less;
                  alive = alive && floor > 0 && floor >= law.cut_off.v;
                  set(q, l, {0, alive ? power.hi * law.power.v / floor : 0.0});
                });
      return alive;
    };
    each_load(box, [&](std::size_t l, const load_law&, std::size_t, std::size_t, interval) noexcept {
      set(u, l, {v.lo, v.hi});
    });
    for (int round = 0; round < 300; ++round) {
      if (!draw_at_floor(0)) return false;
      double moved = 0;
      drop(box, q, flows_wanted::none, [&](std::size_t l, interval lost, interval) noexcept {
        moved = larger(moved, get(u, l).lo - (v.lo - lost.hi));
        set(u, l, {v.lo - lost.hi, v.hi});
      });
      if (!(moved > 1e-12 * v.hi)) break;
    }
    // a little below the limit the map leads upwards: proof that the greatest fixed point is above
    const double less = 1e-7 * v.lo;
    if (!draw_at_floor(less)) return false;
    bool proven = true;
    drop(box, q, flows_wanted::none, [&](std::size_t l, interval lost, interval) noexcept {
      proven = proven && v.lo - lost.hi >= get(u, l).lo - less;
    });
    if (!proven) return false;
    // Z |G| m <= d = share of m, so that (1 - Z |G|)^-1 is at most m_greatest / m_least / (1 - share)
    double least = infinity, most = 0, share_lost = 0;
    each_load(box,
              [&](std::size_t l, const load_law& law, std::size_t, std::size_t, interval power) noexcept {
                const double floor = get(u, l).lo - less;
                set(u, l, {floor, v.hi});
                least = smaller(least, floor);
                most = larger(most, floor);
                set(q, l, {0, draws_power(law) ? power.hi * law.power.v / floor : 0.0});
              });
    drop(box, q, flows_wanted::none, [&](std::size_t l, interval lost, interval) noexcept {
      share_lost = larger(share_lost, lost.hi / get(u, l).lo);
    });
    if (!(least > 0 && share_lost < 1)) return false;
    softness_ = most / least / (1 - share_lost);
    return true;
  }

  /// Resistances seen from every feed point, and the shares in which a current at every load comes from both
  /// sides.
  constexpr void part_currents(const factor_box& box) const noexcept {
    for (std::size_t r = 0; r < n_.runs.size(); ++r)
      for (std::size_t cond = 0; cond <= channels_of(r); ++cond) part_currents(box, r, cond);
  }
  constexpr void part_currents(const factor_box& box, std::size_t r, std::size_t cond) const noexcept {
    const fed_run& run = n_.runs[r];
    const std::size_t points = run.feeds.size();
    const factors f = factors_of(box, r);
    const auto between = [&](std::size_t j, interval t, interval c) noexcept {
      chain_place at{run, run.feeds[j].at};
      double halves = 0, joints = 0;
      for (std::int64_t k = run.feeds[j].at; k < run.feeds[j + 1].at; ++k, at.onward()) {
        halves += 2 * at.half(cond);
        joints += at.joint(cond);
      }
      return halves * t + joints * c;
    };
    const auto see = [&](feed_list list, interval t, interval cable, interval c, bool leftwards) noexcept {
      for (std::size_t i = 0; i < points; ++i) {
        const std::size_t j = leftwards ? i : points - 1 - i;
        interval own = lead(r, j, cond) * cable;
        if (i > 0) {
          const std::size_t next = leftwards ? j - 1 : j + 1;
          const interval rest = kept(list, r, next, cond) + between(leftwards ? next : j, t, c);
          own = {beside(own.lo, rest.lo), beside(own.hi, rest.hi)};
        }
        keep(list, r, j, cond, own);
      }
    };
    see(left, f.trace, f.cable, f.contact, true);
    see(right, f.trace, f.cable, f.contact, false);
    see(left_ratio, f.trace_ratio, {1, 1}, f.contact_ratio, true);
    see(right_ratio, f.trace_ratio, {1, 1}, f.contact_ratio, false);
    for (std::size_t j = 0; j + 1 < points; ++j) {
      const interval l = kept(left_ratio, r, j, cond), rest = kept(right_ratio, r, j + 1, cond);
      double halves = 0, joints = 0, all_halves = 0, all_joints = 0;
      chain_place sum{run, run.feeds[j].at};
      for (std::int64_t k = run.feeds[j].at; k < run.feeds[j + 1].at; ++k, sum.onward()) {
        all_halves += 2 * sum.half(cond);
        all_joints += sum.joint(cond);
      }
      chain_place at{run, run.feeds[j].at};
      for (std::int64_t k = run.feeds[j].at; k < run.feeds[j + 1].at; ++k, at.onward()) {
        joints += at.joint(cond);
        halves += at.half(cond);
        interval x_here{1, 0};
        for (const double t : {f.trace_ratio.lo, f.trace_ratio.hi})
          for (const double c : {f.contact_ratio.lo, f.contact_ratio.hi}) {
            const double m = halves * t + joints * c,
                         o = larger(0, all_halves - halves) * t + larger(0, all_joints - joints) * c;
            x_here = x_here.joined({ratio(o + rest.lo, m + l.hi, 0), ratio(o + rest.hi, m + l.lo, 1)});
          }
        put(share, r, k, cond, x_here);
        halves += at.half(cond);
      }
    }
  }
  /// a / (a + b), or `without` where there is no resistance.
  static constexpr double ratio(double part, double rest, double without) noexcept {
    return part + rest > 0 ? part / (part + rest) : without;
  }

  /// Adds up what a run's loads draw: channels, then common.
  constexpr void add_run(std::size_t r, load_list list, interval (&sums)[max_channels + 1]) const noexcept {
    const std::size_t channels = channels_of(r), first = offset(r), segments = segments_in(r);
    const std::uint32_t lit = n_.runs[r].stretches[0].line.lit;
    for (std::size_t c = 0; c < channels; ++c) {
      if ((lit >> c & 1u) == 0) continue;
      for (std::size_t k = 0; k < segments; ++k) sums[c] = sums[c] + get(list, first + k * channels + c);
      sums[channels] = sums[channels] + sums[c];
    }
  }
  constexpr void add_hub(std::size_t h, load_list list, interval (&own)[max_channels]) const noexcept {
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      if (static_cast<std::size_t>(n_.runs[r].hub) != h) continue;
      interval sums[max_channels + 1];
      add_run(r, list, sums);
      for (std::size_t c = 0; c < channels_of(r); ++c) own[c] = own[c] + sums[c];
    }
  }

  /// From the currents in `list` what flows in every conductor, and what is lost on the way to each load:
  /// then(load, volts, those of them beyond the controller's terminals).
  template <class Then>
  constexpr void drop(const factor_box& box, load_list list, flows_wanted flows,
                      const Then& then) const noexcept {
    interval all;
    for (std::size_t h = 0; h < n_.hubs.size(); ++h) {
      interval own[max_channels];
      add_hub(h, list, own);
      for (const interval& each : own) all = all + each;
    }
    const interval at_lead = (n_.lead.v * box[1]) * all;
    for (std::size_t h = 0; h < n_.hubs.size(); ++h) {
      interval hub, own[max_channels];
      add_hub(h, list, own);
      for (const interval& each : own) hub = hub + each;
      const interval at_hub = at_lead + (n_.hubs[h].supply.v * box[2 + 2 * h]) * hub;
      for (std::size_t c = 0; c < max_channels; ++c)
        own[c] = at_hub + (n_.hubs[h].channel[c].v * box[3 + 2 * h]) * own[c];
      for (std::size_t r = 0; r < n_.runs.size(); ++r)
        if (static_cast<std::size_t>(n_.runs[r].hub) == h) drop_in_run(box, r, own, list, flows, then);
    }
  }
  template <class Then>
  constexpr void drop_in_run(const factor_box& box, std::size_t r, const interval (&at_hub)[max_channels],
                             load_list list, flows_wanted flows, const Then& then) const noexcept {
    const std::size_t p = first_factor_of_run(n_, r), channels = channels_of(r), first = offset(r);
    const std::uint32_t lit = n_.runs[r].stretches[0].line.lit;
    interval sums[max_channels + 1];
    add_run(r, list, sums);
    const interval shared = (shared_feeder(r, channels) * box[p + 2]) * sums[channels];
    for (std::size_t cond = 0; cond <= channels; ++cond) {
      if (cond < channels && (lit >> cond & 1u) == 0) {
        rest_unlit(r, cond, list);
        continue;
      }
      along_chain(box, r, cond, list, sums[cond], flows);
    }
    for (std::size_t k = 0; k < segments_in(r); ++k)
      for (std::size_t c = 0; c < channels; ++c) {
        if ((lit >> c & 1u) == 0) continue;
        const auto segment = static_cast<std::int64_t>(k);
        const interval in_run = shared + (shared_feeder(r, c) * box[p + 2]) * sums[c] +
                                flow(r, segment, channels, ohms_behind) + flow(r, segment, c, ohms_behind);
        then(first + k * channels + c, at_hub[c] + in_run, in_run);
      }
  }
  constexpr void rest_unlit(std::size_t r, std::size_t cond, load_list list) const noexcept {
    for (std::size_t k = 0; k < segments_in(r); ++k)
      for (const node_list each : {list == q ? before_q : before_x, list == q ? after_q : after_x})
        write(nodes_at_, each * nodes_ + node(r, static_cast<std::int64_t>(k), cond), {});
  }

  /// One conductor of a run beyond the shared feeder: the drop at every load into `ohms_behind`, and the flows;
  /// those between feed points only where they are wanted. In the common, `only` one channel's currents, or those
  /// of all lit ones (`all_channels`).
  constexpr void along_chain(const factor_box& box, std::size_t r, std::size_t cond, load_list list,
                             interval total, flows_wanted flows,
                             std::size_t only = all_channels) const noexcept {
    const fed_run& run = n_.runs[r];
    const std::size_t points = run.feeds.size(), channels = channels_of(r), first_load = offset(r);
    const std::uint32_t lit = run.stretches[0].line.lit;
    const node_list before = list == q ? before_q : before_x, after = list == q ? after_q : after_x;
    const std::int64_t n = segments_of(run), begin = run.feeds[0].at, end = run.feeds[points - 1].at;
    const auto drawn = [&](std::int64_t k) noexcept {
      const std::size_t l = first_load + static_cast<std::size_t>(k) * channels;
      if (cond < channels || only < channels) return get(list, l + (cond < channels ? cond : only));
      interval sum;
      for (std::size_t c = 0; c < channels; ++c)
        if ((lit >> c & 1u) != 0) sum = sum + get(list, l + c);
      return sum;
    };
    // branches beyond the outermost feed points
    interval left_sum, right_sum;
    for (std::int64_t k = 0; k < begin; ++k) {
      put(before, r, k, cond, interval{} - left_sum);
      left_sum = left_sum + drawn(k);
      put(after, r, k, cond, interval{} - left_sum);
    }
    for (std::int64_t k = n - 1; k >= end; --k) {
      put(after, r, k, cond, right_sum);
      right_sum = right_sum + drawn(k);
      put(before, r, k, cond, right_sum);
    }
    const factors f = factors_of(box, r);
    interval at_first = (lead(r, 0, cond) * f.cable) * total, at_last = at_first;
    if (points > 1) {
      at_first = sum_from_right(f, r, cond, left_sum, right_sum, drawn);
      at_last = sum_from_left(f, r, cond, left_sum, right_sum, drawn);
      for (std::size_t j = 0; flows == flows_wanted::all && j + 1 < points; ++j)
        flow_between(f, r, cond, j, before, after, drawn);
    }
    // and outwards again
    interval here = at_first;
    chain_place out{run, begin - 1};
    for (std::int64_t k = begin - 1; k >= 0; --k, out.back()) {
      const interval half = out.half(cond) * f.trace;
      here = here - half * flow(r, k, cond, after);
      put(ohms_behind, r, k, cond, here);
      here = here - (half + out.joint(cond) * f.contact) * flow(r, k, cond, before);
    }
    here = at_last;
    chain_place on{run, end};
    for (std::int64_t k = end; k < n; ++k, on.onward()) {
      const interval half = on.half(cond) * f.trace;
      here = here + (half + on.joint(cond) * f.contact) * flow(r, k, cond, before);
      put(ohms_behind, r, k, cond, here);
      here = here + half * flow(r, k, cond, after);
    }
  }

  /// Factors of a run's resistances; the ratios are to that of the cable.
  struct factors {
    interval trace, cable, contact, trace_ratio, contact_ratio;
  };
  constexpr factors factors_of(const factor_box& box, std::size_t r) const noexcept {
    const std::size_t p = first_factor_of_run(n_, r);
    const interval trace = box[p] * box[p + 1], cable = box[p + 2], contact = box[p + 3];
    return {trace,
            cable,
            contact,
            {trace.lo / cable.hi, trace.hi / cable.lo},
            {contact.lo / cable.hi, contact.hi / cable.lo}};
  }

  /// From the last feed point to the first: what the currents to the right of every place would drop there if
  /// nothing came from the right beyond, and the open drops. Returns the drop at the first feed point.
  template <class Drawn>
  constexpr interval sum_from_right(const factors& f, std::size_t r, std::size_t cond, interval left_sum,
                                    interval right_sum, const Drawn& drawn) const noexcept {
    const fed_run& run = n_.runs[r];
    const std::size_t points = run.feeds.size();
    interval open = (lead(r, points - 1, cond) * f.cable) * right_sum,
             open_ratio = lead(r, points - 1, cond) * right_sum;
    for (std::size_t j = points - 1;; --j) {
      keep(drop_right, r, j, cond, open);
      keep(drop_right_ratio, r, j, cond, open_ratio);
      interval in_ohms = kept(right, r, j, cond), in_ratio = kept(right_ratio, r, j, cond);
      chain_place at{run, run.feeds[j].at - 1};
      for (std::int64_t k = run.feeds[j].at - 1; k >= run.feeds[j - 1].at; --k, at.back()) {
        const interval half = at.half(cond) * f.trace, half_ratio = at.half(cond) * f.trace_ratio;
        put(ohms_behind, r, k, cond, open);
        in_ohms = in_ohms + half;
        in_ratio = in_ratio + half_ratio;
        open = open + in_ohms * drawn(k);
        open_ratio = open_ratio + in_ratio * drawn(k);
        in_ohms = in_ohms + half + at.joint(cond) * f.contact;
        in_ratio = in_ratio + half_ratio + at.joint(cond) * f.contact_ratio;
      }
      const double own = lead(r, j - 1, cond);
      if (j == 1)
        return mixed({ratio(in_ratio.lo, own, 0), ratio(in_ratio.hi, own, 1)}, (own * f.cable) * left_sum,
                     open);
      open = interval{ratio(own * f.cable.lo, in_ohms.hi, 0), ratio(own * f.cable.hi, in_ohms.lo, 0)} * open;
      open_ratio = interval{ratio(own, in_ratio.hi, 0), ratio(own, in_ratio.lo, 0)} * open_ratio;
    }
  }

  /// And from the first to the last, which completes the drops. Returns that at the last feed point.
  template <class Drawn>
  constexpr interval sum_from_left(const factors& f, std::size_t r, std::size_t cond, interval left_sum,
                                   interval right_sum, const Drawn& drawn) const noexcept {
    const fed_run& run = n_.runs[r];
    const std::size_t points = run.feeds.size();
    interval open = (lead(r, 0, cond) * f.cable) * left_sum, open_ratio = lead(r, 0, cond) * left_sum;
    for (std::size_t j = 0;; ++j) {
      keep(drop_left_ratio, r, j, cond, open_ratio);
      interval in_ohms = kept(left, r, j, cond), in_ratio = kept(left_ratio, r, j, cond);
      chain_place at{run, run.feeds[j].at};
      for (std::int64_t k = run.feeds[j].at; k < run.feeds[j + 1].at; ++k, at.onward()) {
        const interval half = at.half(cond) * f.trace, half_ratio = at.half(cond) * f.trace_ratio;
        in_ohms = in_ohms + half + at.joint(cond) * f.contact;
        in_ratio = in_ratio + half_ratio + at.joint(cond) * f.contact_ratio;
        open = open + in_ohms * drawn(k);
        open_ratio = open_ratio + in_ratio * drawn(k);
        put(ohms_behind, r, k, cond, mixed(flow(r, k, cond, share), open, flow(r, k, cond, ohms_behind)));
        in_ohms = in_ohms + half;
        in_ratio = in_ratio + half_ratio;
      }
      const double own = lead(r, j + 1, cond);
      if (j + 2 == points)
        return mixed({ratio(in_ratio.lo, own, 0), ratio(in_ratio.hi, own, 1)}, (own * f.cable) * right_sum,
                     open);
      open = interval{ratio(own * f.cable.lo, in_ohms.hi, 0), ratio(own * f.cable.hi, in_ohms.lo, 0)} * open;
      open_ratio = interval{ratio(own, in_ratio.hi, 0), ratio(own, in_ratio.lo, 0)} * open_ratio;
    }
  }

  /// What flows between two feed points: (sum of N q of all to the right - sum of M q of all to the left) / (M +
  /// N), open drops of what is beyond among them. For given q this is linear over linear in each of the
  /// resistances to both sides and in the two ratios: the hull of their corners.
  template <class Drawn>
  constexpr void flow_between(const factors& f, std::size_t r, std::size_t cond, std::size_t j,
                              node_list before, node_list after, const Drawn& drawn) const noexcept {
    const fed_run& run = n_.runs[r];
    const std::int64_t from = run.feeds[j].at, to = run.feeds[j + 1].at;
    const interval l = kept(left_ratio, r, j, cond), o = kept(right_ratio, r, j + 1, cond);
    const interval beyond = kept(drop_right_ratio, r, j + 1, cond) - kept(drop_left_ratio, r, j, cond);
    double joints = 0;
    chain_place along{run, from};
    for (std::int64_t k = from; k < to; ++k, along.onward()) joints += along.joint(cond);
    const interval contact_ratio = joints > 0 ? f.contact_ratio : interval{1, 1};
    bool first = true;
    for (int corner = 0; corner < 16; ++corner) {
      const auto pick = [&](interval i, int bit, bool& again) noexcept {
        const bool high = (corner >> bit & 1) != 0;
        again = again || (high && !(i.lo < i.hi));
        return high ? i.hi : i.lo;
      };
      bool again = false;
      const double to_left = pick(l, 0, again), to_right = pick(o, 1, again),
                   trace = pick(f.trace_ratio, 2, again), contact = pick(contact_ratio, 3, again);
      if (again) continue;
      interval sum = beyond;
      double in_ohms = to_right;
      chain_place back{run, to - 1};
      for (std::int64_t k = to - 1; k >= from; --k, back.back()) {
        put(scratch, r, k, cond, sum);
        in_ohms += back.half(cond) * trace;
        sum = sum + in_ohms * drawn(k);
        in_ohms += back.half(cond) * trace + back.joint(cond) * contact;
      }
      const double whole = in_ohms + to_left, each = whole > 0 ? 1 / whole : 0;
      interval passed;
      in_ohms = to_left;
      chain_place at{run, from};
      for (std::int64_t k = from; k < to; ++k, at.onward()) {
        in_ohms += at.half(cond) * trace + at.joint(cond) * contact;
        const interval i = drawn(k), behind = flow(r, k, cond, scratch);
        const interval on = each * (behind + (whole - in_ohms) * i - passed);
        passed = passed + in_ohms * i;
        const interval off = each * (behind - passed);
        put(before, r, k, cond, first ? on : on.joined(flow(r, k, cond, before)));
        put(after, r, k, cond, first ? off : off.joined(flow(r, k, cond, after)));
        in_ohms += at.half(cond) * trace;
      }
      first = false;
    }
  }

  /// Greatest resistance from the source to any load and back by the first feed point: no transfer is greater.
  constexpr double greatest_path(const factor_box& box) const noexcept {
    double most = 0;
    for (std::size_t r = 0; r < n_.runs.size(); ++r) {
      const fed_run& run = n_.runs[r];
      const auto h = static_cast<std::size_t>(run.hub);
      const std::size_t p = first_factor_of_run(n_, r);
      for (std::size_t c = 0; c < channels_of(r); ++c) {
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
  double *loads_at_, *nodes_at_ = nullptr, *feeds_at_ = nullptr;
  std::size_t loads_ = 0, nodes_ = 0, feeds_ = 0;
  struct first_places {
    std::size_t load = 0, node = 0, feed = 0;
  };
  static constexpr std::size_t most_runs = most_factors / 5;  // a run of one channel has 5
  first_places first_[most_runs] = {};
  double softness_ = 1;
};

}  // namespace tapewright::detail
