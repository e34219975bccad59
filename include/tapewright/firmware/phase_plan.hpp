// SPDX-License-Identifier: BSL-1.0
// When each channel of a dimmer should switch on within its period, so that the shared core carries least.
#pragma once

#include <cstdint>

#include "tapewright/firmware/guard_settings.hpp"
#include "tapewright/firmware/whole_fault.hpp"
#include "tapewright/firmware/whole_numbers.hpp"

namespace tapewright {

inline constexpr std::uint32_t phase_period = full_duty;  ///< a duty is an on-time out of this many ticks

/// The channels as they are to be dimmed.
struct phase_question {
  std::uint32_t channels = 0;                       ///< 1..8
  std::uint32_t current[most_guard_channels] = {};  ///< while on, in one unit of any size; sum at most 32767
  std::uint16_t duty[most_guard_channels] = {};     ///< 65535 = always on
};

/// The figures of one arrangement on the shared core, in the unit of the currents.
struct core_current {
  std::uint32_t peak = 0;
  std::uint64_t square =
      0;  ///< current squared, summed over the ticks of a period: r.m.s. squared times 65535

  /// Rounded down.
  constexpr std::uint32_t rms() const noexcept {
    return whole::square_root(whole::divided(square, phase_period));
  }
  /// Least peak first; with equal peaks, least heat.
  friend constexpr bool operator<(const core_current& a, const core_current& b) noexcept {
    return a.peak != b.peak ? a.peak < b.peak : a.square < b.square;
  }
  friend constexpr bool operator==(const core_current&, const core_current&) noexcept = default;
};

struct phase_plan {
  std::uint16_t offset[most_guard_channels] = {};  ///< tick at which the channel switches on; 0..65534
  core_current before;  ///< all switched on together, as dimmers do when nobody plans
  core_current after;   ///< with the offsets
  bool proved = false;  ///< no arrangement is better; otherwise none that moves one or two channels is
};

namespace detail {

/// The channels that switch at all, with their on-times. Full and dark ones are the same at every tick.
struct switching_set {
  std::uint32_t count = 0, steady = 0;  ///< `steady`: current that is always on
  std::uint32_t channel[most_guard_channels] = {};
  std::uint32_t current[most_guard_channels] = {};
  std::uint32_t on[most_guard_channels] = {};
};

constexpr std::uint32_t wrapped(std::uint32_t tick) noexcept {
  return tick >= phase_period ? tick - phase_period : tick;
}
/// Ticks from `from` on to `to`.
constexpr std::uint32_t ticks_to(std::uint32_t from, std::uint32_t to) noexcept {
  return to >= from ? to - from : to + phase_period - from;
}

/// Ticks that two on-times share; the second begins `later` ticks after the first.
constexpr std::uint32_t shared_ticks(std::uint32_t on, std::uint32_t other, std::uint32_t later) noexcept {
  const auto least = [](std::uint32_t a, std::uint32_t b) noexcept { return a < b ? a : b; };
  const std::uint32_t behind = later < on ? least(on - later, other) : 0;
  const std::uint32_t across = later + other > phase_period ? least(later + other - phase_period, on) : 0;
  return behind + across;
}

/// Figures of the first `count` channels at their starts.
/// square = sum of I^2 on + 2 sum of I J shared, over the steady current as well. With all currents together at most
/// 32767 it is at most 32767^2 * 65535 < 2^46; each product of two currents is below 2^30.
constexpr core_current figures(const switching_set& set, std::uint32_t count,
                               const std::uint32_t* start) noexcept {
  core_current f;
  f.peak = set.steady;
  f.square = whole::product64(set.steady * set.steady, phase_period);
  for (std::uint32_t i = 0; i < count; ++i) {
    std::uint32_t here =
        set.steady + set.current[i];  // a peak is reached where a channel has just switched on
    f.square += whole::product64(set.current[i] * set.current[i], set.on[i]);
    f.square += 2 * whole::product64(set.current[i] * set.steady, set.on[i]);
    for (std::uint32_t j = 0; j < count; ++j) {
      if (j == i) continue;
      if (ticks_to(start[j], start[i]) < set.on[j]) here += set.current[j];
      if (j < i)
        f.square += 2 * whole::product64(set.current[i] * set.current[j],
                                         shared_ticks(set.on[i], set.on[j], ticks_to(start[i], start[j])));
    }
    if (here > f.peak) f.peak = here;
  }
  return f;
}

/// An arrangement of starts under way: the first `placed` channels of the set have their starts.
struct staggering {
  switching_set set;
  std::uint32_t start[most_guard_channels] = {};
  core_current found;

  constexpr void swap(std::uint32_t a, std::uint32_t b) noexcept {
    const auto exchange = [](std::uint32_t& x, std::uint32_t& y) noexcept {
      const std::uint32_t kept = x;
      x = y;
      y = kept;
    };
    exchange(set.channel[a], set.channel[b]);
    exchange(set.current[a], set.current[b]);
    exchange(set.on[a], set.on[b]);
    exchange(start[a], start[b]);
  }
  /// Start of channel i that touches channel j: where j ends (side 0), or so that i ends where j starts (side 1).
  constexpr std::uint32_t touching(std::uint32_t i, std::uint32_t j, int side) const noexcept {
    return side == 0 ? wrapped(start[j] + set.on[j]) : ticks_to(set.on[i], start[j]);
  }
};

/// All arrangements in which every channel touches another: tries each channel at each touching place, as deep as
/// there are channels (at most `most_searched`). More channels only ever add to both figures, so that a part that is
/// no better than the best whole is not followed.
constexpr void search_from(staggering& a, std::uint32_t placed, staggering& best) noexcept {
  if (placed >= a.set.count ||
      placed >= most_guard_channels) {  // the second is never first: it tells compilers
    best = a;
    return;
  }
  for (std::uint32_t next = placed; next < a.set.count; ++next) {
    a.swap(placed, next);
    for (std::uint32_t j = 0; j < placed; ++j)
      for (int side = 0; side < 2; ++side) {
        a.start[placed] = a.touching(placed, j, side);
        a.found = figures(a.set, placed + 1, a.start);
        if (a.found < best.found) search_from(a, placed + 1, best);
      }
    a.swap(placed, next);
  }
}

/// One after the other, each begins where the last one ends.
constexpr void chain(staggering& a) noexcept {
  a.start[0] = 0;
  for (std::uint32_t i = 1; i < a.set.count; ++i) a.start[i] = wrapped(a.start[i - 1] + a.set.on[i - 1]);
  a.found = figures(a.set, a.set.count, a.start);
}

/// Takes two channels out and puts them back at the best touching places, until no two gain. Each round betters the
/// figures, of which there are finitely many.
constexpr void settle_down(staggering& a) noexcept {
  const std::uint32_t last = a.set.count - 1;
  for (bool moved = true; moved;) {
    moved = false;
    for (std::uint32_t i = 0; i < last; ++i)
      for (std::uint32_t j = i + 1; j <= last; ++j) {
        staggering best = a, trial = a;
        trial.swap(j, last);
        trial.swap(i, last - 1);
        search_from(trial, last - 1, best);
        if (!(best.found < a.found)) continue;
        a = best;
        moved = true;
      }
  }
}

inline constexpr std::uint32_t most_searched = 5;

}  // namespace detail

constexpr whole_fault check(const phase_question& q) noexcept {
  if (const auto f = refuse_whole<field::guard_channels>(q.channels)) return f;
  std::uint32_t left = most_of<field::phase_current>;
  for (std::uint32_t c = 0; c < q.channels; ++c) {
    if (q.current[c] > left)
      return {fault_code::out_of_range,
              field::phase_current,
              static_cast<std::int32_t>(c),
              q.current[c],
              0,
              left};
    left -= q.current[c];
  }
  return {};
}

/// Start offsets that make the shared core's peak least, and its r.m.s. current least at that peak.
///
/// @param q     a guard's weights will do as currents; so will milliamperes up to 32.767 A in all.
/// @param plan  written whole; on a fault as made by default.
/// @return      out_of_range names field and channel.
///
/// With up to 5 channels that switch (neither dark nor always on) the plan is the best there is, and `proved` says
/// so. Why touching places are enough: the peak only depends on which ends come before which starts. Move one group
/// of channels that touch each other against the rest: until an end meets a start the peak stays, and the square is
/// a sum of shared on-times, each linear but for kinks where starts meet starts or ends meet ends, and those kinks
/// bend downwards. So one of the two directions does not make it worse up to the next meeting of an end and a start;
/// there the group has grown by one. Repeated, everything touches.
/// With 6 to 8 of them the same places are tried for two channels at a time, from two chains, until no two gain: no
/// worse than a chain, mostly the best, and `proved` is false unless nothing overlaps at all.
/// For a change of scene, not for every frame.
constexpr whole_fault plan_phases(const phase_question& q, phase_plan& plan) noexcept {
  plan = {};
  if (const whole_fault f = check(q)) return f;
  detail::staggering a;
  std::uint32_t on = 0;
  for (std::uint32_t c = 0; c < q.channels; ++c) {
    if (q.duty[c] == full_duty) a.set.steady += q.current[c];
    if (q.duty[c] == 0 || q.duty[c] == full_duty || q.current[c] == 0) continue;
    a.set.channel[a.set.count] = c;
    a.set.current[a.set.count] = q.current[c];
    a.set.on[a.set.count++] = q.duty[c];
    on += q.duty[c];
  }
  plan.before = a.found = detail::figures(a.set, a.set.count, a.start);

  if (a.set.count > 1) {
    detail::staggering best = a;
    detail::chain(a);
    if (a.found < best.found) best = a;
    if (on <= phase_period) {
      plan.proved = true;  // nothing overlaps: both figures are those of the channels alone
    } else if (a.set.count <= detail::most_searched) {
      plan.proved = true;
      detail::search_from(a, 1, best);
    } else {
      detail::settle_down(a);
      if (a.found < best.found) best = a;
      for (std::uint32_t i = 1; i < a.set.count; ++i)  // the second chain: by falling current
        for (std::uint32_t j = i; j > 0 && a.set.current[j - 1] < a.set.current[j]; --j) a.swap(j - 1, j);
      detail::chain(a);
      detail::settle_down(a);
      if (a.found < best.found) best = a;
    }
    a = best;
  } else {
    plan.proved = true;
  }
  for (std::uint32_t i = 0; i < a.set.count; ++i)
    plan.offset[a.set.channel[i]] = static_cast<std::uint16_t>(a.start[i]);
  plan.after = a.found;
  return {};
}

}  // namespace tapewright
