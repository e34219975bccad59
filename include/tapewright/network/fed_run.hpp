// SPDX-License-Identifier: BSL-1.0
// A run of tape with any number of feed points: its parts, and what it does when solved.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/parts/tape.hpp"

namespace tapewright {

/// A straight piece of a run, and the joint before it: corner, soldered bridge or clip connector. The
/// joint of a run's first stretch is not looked at.
struct run_stretch {
  tape_line line;  ///< all stretches of a run: same channels, same lit
  ohms link_common;
  ohms link_channel[max_channels];
};

/// Where a cable meets the tape, and the resistance of its cores from the run's terminals to there.
/// Boundaries are counted over all stretches: 0 is the near end, the sum of segments the far end; at a
/// joint the cable meets the end of the earlier stretch.
struct feed_point {
  std::int64_t at = 0;
  ohms common;
  ohms channel[max_channels];
};

/// A run: its stretches in order, its feed points in rising order, and a feeder that they share
/// between the controller's terminals and the point where their leads part. A run fed at one end has
/// one feed point at 0; a ring has two, at 0 and at the far end, with leads of no length behind one
/// shared feeder.
struct fed_run {
  std::int32_t hub = 0;  ///< place of its controller among the network's hubs
  std::span<const run_stretch> stretches;
  std::span<const feed_point> feeds;
  ohms common;
  ohms channel[max_channels];
};

/// Segments of all stretches of a run.
constexpr std::int64_t segments_of(const fed_run& r) noexcept {
  std::int64_t n = 0;
  for (const run_stretch& s : r.stretches) n += s.line.segments;
  return n;
}

namespace detail {
/// The law of a run's channel at a segment.
constexpr const load_law& law_at(const fed_run& r, std::int64_t segment, std::size_t channel) noexcept {
  std::size_t s = 0;
  while (segment >= r.stretches[s].line.segments && s + 1 < r.stretches.size())
    segment -= r.stretches[s++].line.segments;
  return r.stretches[s].line.law[channel];
}
}  // namespace detail

/// Currents through one feed point's lead, towards the tape in the common core and back in the others;
/// negative where a feed point takes current that another one gave.
struct feed_current {
  amps common = unset;
  amps channel[max_channels] = {unset, unset, unset, unset, unset, unset};
};

/// What one run does. An unlit channel has current 0, evenness 1 and no voltage across its loads.
struct fed_run_figures {
  std::int32_t channels = 0;
  volts at_terminals[max_channels] = {unset, unset, unset, unset, unset, unset};  ///< of the controller
  volts highest_load[max_channels] = {unset, unset, unset, unset, unset, unset};
  volts lowest_load[max_channels] = {unset, unset, unset, unset, unset, unset};
  amps channel_current[max_channels] = {unset, unset, unset, unset, unset, unset};
  amps total = unset;
  amps greatest_feed_current = unset;  ///< in the common lead of the most loaded feed point
  amps greatest_link_current = unset;  ///< in the common of the most loaded joint; 0 without joints
  double evenness[max_channels] = {not_a_number, not_a_number, not_a_number,
                                   not_a_number, not_a_number, not_a_number};
  double least_evenness = not_a_number;  ///< of the lit channels; least over greatest light, see light_of
  double lightness_step = not_a_number;  ///< CIE 1976 L*, 0..100, between brightest and dimmest lamp
  double colour_shift = not_a_number;    ///< 0..1, at the dimmest segment against each channel's brightest
  std::int64_t dimmest = -1;             ///< segment where a channel is furthest below its brightest
  watts lamps = unset;
  watts trace_loss = unset;   ///< in the tapes' copper and the joints
  watts feeder_loss = unset;  ///< in the leads and the shared feeder
};

/// Where a caller wants the figures of every load (segment-major, `channels` a segment) and of every
/// feed point. Each span may be empty; one that is not must be long enough.
struct fed_run_profile {
  std::span<volts> load_voltage;
  std::span<amps> load_current;
  std::span<feed_current> feeds;
};

/// Refuses a run that makes no sense: ranges of core/field.hpp; 1..1e5 segments in all; channels and
/// lit the same in all stretches; at least one feed point, rising, on the run.
constexpr fault check(const fed_run& r) noexcept {
  const auto missing = [](field f) noexcept { return fault{fault_code::out_of_range, f, 0, 1, 1e5, -1}; };
  if (r.stretches.empty()) return missing(field::segment_count);
  const tape_line& first = r.stretches[0].line;
  for (const run_stretch& s : r.stretches) {
    if (const fault f = first_fault(check(s.line), refuse(field::resistance, s.link_common))) return f;
    if (s.line.channels != first.channels || s.line.lit != first.lit)
      return contradiction(field::channel_count, static_cast<double>(s.line.channels),
                           static_cast<double>(first.channels), static_cast<double>(first.channels));
    for (const ohms link : s.link_channel)
      if (const fault f = refuse(field::resistance, link)) return f;
  }
  const std::int64_t segments = segments_of(r);
  if (const fault f = refuse(field::segment_count, static_cast<double>(segments))) return f;
  if (r.feeds.empty()) return missing(field::place);
  std::int64_t least = 0;
  for (const feed_point& p : r.feeds) {
    if (const fault f = first_fault(refuse_outside(field::place, static_cast<double>(p.at),
                                                   static_cast<double>(least), static_cast<double>(segments)),
                                    refuse(field::resistance, p.common)))
      return f;
    for (const ohms own : p.channel)
      if (const fault f = refuse(field::resistance, own)) return f;
    least = p.at + 1;
  }
  if (const fault f = refuse(field::resistance, r.common)) return f;
  for (const ohms own : r.channel)
    if (const fault f = refuse(field::resistance, own)) return f;
  return {};
}

}  // namespace tapewright
