// SPDX-License-Identifier: BSL-1.0
// A tape fed at one end: voltage, current and light of every channel along it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/ladder.hpp"
#include "tapewright/network/line_march.hpp"
#include "tapewright/network/line_sweep.hpp"
#include "tapewright/network/load_law.hpp"
#include "tapewright/parts/tape.hpp"
#include "tapewright/rules/copper.hpp"
#include "tapewright/rules/lightness.hpp"

namespace tapewright {

inline constexpr std::uint32_t all_lit = (1u << max_channels) - 1;

/// A piece of tape in electrical terms: `segments` equal cut segments, each with one load per channel
/// in its middle. Bit c of `lit` says whether channel c is switched on; what is not lit draws nothing.
struct tape_line {
  std::int64_t segments = 1;    ///< 1..1e5
  std::int32_t channels = 1;    ///< 1..6
  std::uint32_t lit = all_lit;  ///< bits from `channels` up are not looked at
  metres pitch;                 ///< length of one segment
  ohms common;                  ///< one pitch of the common trace, at its temperature
  ohms channel[max_channels];   ///< one pitch of each channel's own trace, likewise
  load_law law[max_channels];   ///< one segment's load
};

/// All that stands in series between a stiff source and the feed point: cable cores, switch, contacts.
struct line_feed {
  volts source{};
  ohms common{};                 ///< carries the sum of the channel currents
  ohms channel[max_channels]{};  ///< carries that channel's current
};

/// What a line does. Arrays hold `channels` figures; an unlit channel has current 0, evenness 1, and no
/// voltage across its loads (its switch has it).
struct line_figures {
  std::int32_t channels = 0;
  volts at_feed[max_channels] = {unset, unset, unset, unset, unset, unset};     ///< at the feed point
  volts first_load[max_channels] = {unset, unset, unset, unset, unset, unset};  ///< half a pitch in
  volts last_load[max_channels] = {unset, unset, unset, unset, unset, unset};   ///< the lowest
  amps channel_current[max_channels] = {unset, unset, unset, unset, unset, unset};
  amps total = unset;  ///< in the common conductor: the greatest current of the line
  double evenness[max_channels] = {not_a_number, not_a_number, not_a_number,
                                   not_a_number, not_a_number, not_a_number};
  double least_evenness = not_a_number;  ///< of the lit channels; least over greatest light, see light_of
  double lightness_step = not_a_number;  ///< CIE 1976 L*, 0..100, between the brightest and dimmest lamp
  double colour_shift = not_a_number;    ///< 0..1, greatest change of the ratio of two lit channels
  watts lamps = unset;                   ///< taken by the loads
  watts trace_loss = unset;              ///< in the tape's copper
  watts feeder_loss = unset;             ///< in all that stands before the feed point
  volts residual = unset;                ///< what was still wrong when the solution was taken as settled
  std::int32_t steps = 0;                ///< marches or sweeps that it took
};

/// Where a caller wants every load's figures: segment-major, load c of segment k at k * channels + c.
/// Either span may be empty; one that is not must hold segments * channels figures.
struct line_profile {
  std::span<volts> load_voltage;
  std::span<amps> load_current;
};

/// Doubles of workspace that are enough for every line of this size: N (C^2 + 5 C).
constexpr std::size_t line_workspace(std::int64_t segments, std::int32_t channels) noexcept {
  return detail::sweep_doubles(segments, channels);
}

/// The electrical picture of a number of segments of a tape.
///
/// @param t         a tape that check(tape) accepts.
/// @param segments  1..1e5.
/// @param trace     degC of the tape's copper; -60..200.
/// @param lit       bit c set = channel c is on.
/// @return          Faults of check(tape), out_of_range for segments or temperature.
/// Formula   R = r20 * (1 + alpha20 (T - 20)) * pitch; loads by fitted_law with P = (W/m) * pitch.
/// Source    IEC 60028 for copper (rules/copper.hpp); the rest closed form.
constexpr outcome<tape_line> line_of(const tape& t, std::int64_t segments, celsius trace,
                                     std::uint32_t lit = all_lit) noexcept {
  if (const fault f = first_fault(check(t), refuse(field::segment_count, static_cast<double>(segments)),
                                  refuse(field::temperature, trace)))
    return f;
  tape_line line;
  line.segments = segments;
  line.channels = static_cast<std::int32_t>(t.channels.size());
  line.lit = lit & all_lit;
  line.pitch = t.cut_pitch;
  const auto one_pitch = [&](ohms_per_metre at_20, ohms& out) noexcept {
    const outcome<ohms_per_metre> warm = resistance_at(at_20, trace);
    if (!warm) return warm.why();
    out = *warm * t.cut_pitch;
    return fault{};
  };
  if (const fault f = one_pitch(t.common_trace, line.common)) return f;
  for (std::size_t c = 0; c < t.channels.size(); ++c) {
    const tape_channel& channel = t.channels[c];
    if (const fault f = one_pitch(channel.return_trace, line.channel[c])) return f;
    const outcome<load_law> law =
        fitted_law(channel.law, channel.load * t.cut_pitch, t.nominal, channel.knee);
    if (!law) return law.why();
    line.law[c] = *law;
  }
  return line;
}

/// Refuses a line or feed that makes no sense (ranges: core/field.hpp).
constexpr fault check(const tape_line& line) noexcept {
  if (const fault f =
          first_fault(refuse(field::segment_count, static_cast<double>(line.segments)),
                      refuse(field::channel_count, line.channels), refuse(field::resistance, line.common)))
    return f;
  for (std::size_t c = 0; c < static_cast<std::size_t>(line.channels); ++c)
    if (const fault f = first_fault(refuse(field::resistance, line.channel[c]), check(line.law[c]))) return f;
  return {};
}
constexpr fault check(const line_feed& feed, std::int32_t channels) noexcept {
  if (const fault f =
          first_fault(refuse(field::voltage, feed.source), refuse(field::resistance, feed.common)))
    return f;
  for (std::size_t c = 0; c < static_cast<std::size_t>(channels); ++c)
    if (const fault f = refuse(field::resistance, feed.channel[c])) return f;
  return {};
}

namespace detail {

/// Which channels of a line are lit, in order.
struct lit_channels {
  int count = 0;
  std::size_t of[max_channels] = {};
};
constexpr lit_channels lit_of(const tape_line& line) noexcept {
  lit_channels lit;
  for (std::size_t c = 0; c < static_cast<std::size_t>(line.channels); ++c)
    if ((line.lit >> c & 1u) != 0) lit.of[lit.count++] = c;
  return lit;
}

template <int C>
constexpr ladder<C> ladder_of(const tape_line& line, const line_feed& feed,
                              const lit_channels& lit) noexcept {
  ladder<C> l;
  l.segments = line.segments;
  l.source = feed.source.v;
  l.common = line.common.v;
  l.feed_common = feed.common.v;
  for (int x = 0; x < C; ++x) {
    const std::size_t c = lit.of[x];
    const load_law& law = line.law[c];
    l.channel[x] = line.channel[c].v;
    l.feed_channel[x] = feed.channel[c].v;
    l.dark_below[x] = law.dark_below.v;
    l.slope[x] = law.slope.v;
    l.ceiling[x] = law.ceiling.v;
    if (law.kind != load_kind::constant_power) continue;
    l.power[x] = law.power.v;
    l.cut_off[x] = law.cut_off.v;
    l.slope[x] = 0;
  }
  return l;
}

constexpr double smallest_of(const double* v, int n) noexcept {
  double least = v[0];
  for (int i = 1; i < n; ++i) least = smaller(least, v[i]);
  return least;
}
constexpr double greatest_of(const double* v, int n) noexcept {
  double most = v[0];
  for (int i = 1; i < n; ++i) most = larger(most, v[i]);
  return most;
}

/// Writes what is told of each channel of a line that is not lit.
constexpr void tell_unlit(line_figures& out, const tape_line& line) noexcept {
  out.channels = line.channels;
  for (std::size_t c = 0; c < static_cast<std::size_t>(line.channels); ++c) {
    out.at_feed[c] = out.first_load[c] = out.last_load[c] = volts{0};
    out.channel_current[c] = amps{0};
    out.evenness[c] = 1;
  }
}

/// The figures of a settled ladder, gathered in one walk from its far end; `u_at` is asked for the
/// voltages of each rung in that order, with the currents beyond it already known.
template <int C, class Voltages>
constexpr void gather_figures(line_figures& out, const tape_line& line, const line_feed& feed,
                              const ladder<C>& l, const lit_channels& lit, const Voltages& u_at,
                              line_profile profile) noexcept {
  tell_unlit(out, line);
  const auto channels = static_cast<std::size_t>(line.channels);
  double j[C] = {}, u[C] = {}, i[C] = {}, least[C] = {}, most[C] = {}, first[C] = {}, last[C] = {};
  double lamps = 0, loss = 0, half_loss = 0;
  for (std::int64_t k = l.segments - 1; k >= 0; --k) {
    u_at(k, j, u);
    double sum = 0, own = 0;
    for (int x = 0; x < C; ++x) {
      i[x] = load_at<true>(l, x, u[x]).current;
      const double light = light_of(line.law[lit.of[x]], {amps{i[x]}, siemens{}});
      const bool at_end = k == l.segments - 1;
      least[x] = at_end ? light : smaller(least[x], light);
      most[x] = at_end ? light : larger(most[x], light);
      if (at_end) {
        last[x] = light;
        out.last_load[lit.of[x]] = volts{u[x]};
      }
      first[x] = light;
      lamps += u[x] * i[x];
      j[x] += i[x];
      sum += j[x];
      own += l.channel[x] * j[x] * j[x];
    }
    if (k > 0) loss += l.common * sum * sum + own;
    else half_loss = 0.5 * (l.common * sum * sum + own);
    const std::size_t row = static_cast<std::size_t>(k) * channels;
    if (!profile.load_voltage.empty())
      for (std::size_t c = 0; c < channels; ++c) profile.load_voltage[row + c] = volts{0};
    if (!profile.load_current.empty())
      for (std::size_t c = 0; c < channels; ++c) profile.load_current[row + c] = amps{0};
    for (int x = 0; x < C; ++x) {
      if (!profile.load_voltage.empty()) profile.load_voltage[row + lit.of[x]] = volts{u[x]};
      if (!profile.load_current.empty()) profile.load_current[row + lit.of[x]] = amps{i[x]};
    }
  }
  double total = 0, ratio[C] = {};
  for (int x = 0; x < C; ++x) total += j[x];
  double feeder = l.feed_common * total * total;
  out.least_evenness = 1;
  for (int x = 0; x < C; ++x) {
    const std::size_t c = lit.of[x];
    out.first_load[c] = volts{u[x]};
    out.at_feed[c] = volts{u[x] + 0.5 * (l.common * total + l.channel[x] * j[x])};
    out.channel_current[c] = amps{j[x]};
    out.evenness[c] = most[x] > 0 ? least[x] / most[x] : 0;
    out.least_evenness = smaller(out.least_evenness, out.evenness[c]);
    ratio[x] = first[x] > 0 ? last[x] / first[x] : 0;
    feeder += feed.channel[c].v * j[x] * j[x];
  }
  out.total = amps{total};
  const double highest = greatest_of(ratio, C), lowest = smallest_of(ratio, C);
  out.colour_shift = highest > 0 ? 1 - lowest / highest : 0;
  out.lightness_step = lightness_step_of(out.least_evenness).value();  // NaN where there is none
  out.lamps = watts{lamps};
  out.trace_loss = watts{loss + half_loss};
  out.feeder_loss = watts{feeder};
}

/// The voltages of a ladder that a march has settled, rung after rung from its last loads.
template <int C>
struct walk_from_end {
  const ladder<C>& l;
  const double (&last)[C];

  constexpr void operator()(std::int64_t k, const double (&beyond)[C], double (&u)[C]) const noexcept {
    double sum = 0;
    for (int x = 0; x < C; ++x) sum += beyond[x];
    const bool at_end = k == l.segments - 1;
    for (int x = 0; x < C; ++x) u[x] = at_end ? last[x] : u[x] + (l.common * sum + l.channel[x] * beyond[x]);
  }
};

template <bool Power, int C>
constexpr outcome<line_figures> settled_line(const tape_line& line, const line_feed& feed,
                                             const lit_channels& lit, line_profile profile,
                                             std::span<double> workspace) noexcept {
  const ladder<C> l = ladder_of<C>(line, feed, lit);
  double residual = infinity, last[C] = {};
  int steps = 0;
  const auto finished = [&](const auto& u_at) noexcept {
    line_figures figures;
    gather_figures(figures, line, feed, l, lit, u_at, profile);
    figures.residual = volts{residual};
    figures.steps = steps;
    return figures;
  };
  constexpr fault collapsed{fault_code::no_operating_point, field::power, 0, 0, 0, -1};
  settling how = settle_by_march<Power>(l, last, residual, steps);
  if (how == settling::settled) {
    if (!Power || on_upper_branch(l, last)) return finished(walk_from_end<C>{l, last});
    how = settling::stalled;
  }
  if (const fault f = refuse_room(workspace.size(), sweep_doubles(line.segments, C)))
    return how == settling::no_operating_point ? collapsed : f;
  line_sweep<Power, C> sweep{l, workspace};
  how = sweep.settle(residual, steps);
  if (how == settling::no_operating_point) return collapsed;
  if (how != settling::settled)
    return fault{fault_code::not_converged, field::voltage, residual, 0, l.tolerance(), -1};
  return finished([&](std::int64_t k, const double(&)[C], double(&u)[C]) noexcept {
    for (int x = 0; x < C; ++x) u[x] = sweep.voltage(k, x);
  });
}

/// Every channel off: full voltage, no current, nothing uneven.
constexpr line_figures dark_line(const tape_line& line, line_profile profile) noexcept {
  line_figures out;
  tell_unlit(out, line);
  out.total = amps{0};
  out.least_evenness = 1;
  out.lightness_step = out.colour_shift = 0;
  out.lamps = out.trace_loss = out.feeder_loss = watts{0};
  out.residual = volts{0};
  for (volts& v : profile.load_voltage) v = volts{0};
  for (amps& i : profile.load_current) i = amps{0};
  return out;
}

}  // namespace detail

/// Solves a tape fed at one end, exactly: every load on its own voltage, channels coupled through the
/// common trace.
///
/// @param line       N segments of C channels; see tape_line.
/// @param feed       source voltage (0.1..120 V) and the resistances before the feed point.
/// @param profile    optional room for the figures of every load.
/// @param workspace  optional; line_workspace(N, C) doubles are always enough. Most lines need none:
///                   the march from the far end has constant memory. Lines whose light fades by more
///                   than some ten thousandfold do. With it, no_operating_point is proved.
/// @return           Faults: out_of_range for a figure outside its range; no_room when a profile span
///                   is too short, or when this line needs the workspace (`least` = doubles needed);
///                   no_operating_point when constant-power loads ask for more than the wiring can
///                   deliver; not_converged, with the residual in volts as `given`, never seen.
/// Formula   u(k) - u(k+1) = r_p sum(j) + r_c j_c;  j(k-1) - j(k) = i(u(k)); see ladder.hpp.
/// Source    closed form: Kirchhoff's laws on the tape's own circuit.
/// Accuracy  residual <= 1e-12 of the source voltage (and N/2 ulp of it); same bits everywhere.
constexpr outcome<line_figures> solve_line(const tape_line& line, const line_feed& feed,
                                           line_profile profile = {},
                                           std::span<double> workspace = {}) noexcept {
  if (const fault f = check(line)) return f;
  if (const fault f = check(feed, line.channels)) return f;
  const std::size_t loads = static_cast<std::size_t>(line.segments) * static_cast<std::size_t>(line.channels);
  for (const std::size_t given : {profile.load_voltage.size(), profile.load_current.size()})
    if (given != 0)
      if (const fault f = refuse_room(given, loads)) return f;
  const detail::lit_channels lit = detail::lit_of(line);
  bool power = false;
  for (int x = 0; x < lit.count; ++x) power = power || line.law[lit.of[x]].kind == load_kind::constant_power;
  const auto solved = [&]<int C>() noexcept {
    return power ? detail::settled_line<true, C>(line, feed, lit, profile, workspace)
                 : detail::settled_line<false, C>(line, feed, lit, profile, workspace);
  };
  switch (lit.count) {
    case 1: return solved.template operator()<1>();
    case 2: return solved.template operator()<2>();
    case 3: return solved.template operator()<3>();
    case 4: return solved.template operator()<4>();
    case 5: return solved.template operator()<5>();
    case 6: return solved.template operator()<6>();
    default: return detail::dark_line(line, profile);
  }
}

}  // namespace tapewright
