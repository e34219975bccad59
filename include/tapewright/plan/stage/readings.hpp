// SPDX-License-Identifier: BSL-1.0
// Stage 11: what a meter should show at each test point, all channels on and each alone.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/plan.hpp"

namespace tapewright::stage {

namespace detail {

/// What is read at a run: the lowest lit channel's volts, or one channel's amperes.
constexpr double read_at(const line_figures& f, reading_kind kind, std::int32_t channel) noexcept {
  if (kind == reading_kind::channel_current) return f.channel_current[channel].v;
  double lowest = infinity;
  for (std::int32_t c = 0; c < f.channels; ++c) {
    if (channel >= 0 && c != channel) continue;
    lowest = smaller(lowest, (kind == reading_kind::feed_point ? f.at_feed[c] : f.last_load[c]).v);
  }
  return lowest;
}

/// Writes what is read with everything on: solved for the copper as it is metered; the verifying stage has solved
/// both ends of the band, and left the last of them in `figures`.
constexpr void read_all_on(draft& d, std::int32_t hub, volts given) noexcept {
  for (const run_plan& r : d.runs_of(hub))
    if (r.hub == hub && !r.solved) return;
  const auto input = solve_hub(
      d, hub, {.source = given, .copper = metering_copper, .lit = all_lit, .resumed = true}, d.figures);
  if (!input.ok()) return;
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  const auto put = [&](reading_kind kind, subject about, volts value, volts least, volts most,
                       std::int32_t feed = 0) noexcept {
    d.readings.push({kind, about, -1, value.v, least.v, most.v, feed});
  };
  if (h.supply.cable >= 0)
    put(reading_kind::hub_input, {subject_kind::hub, hub}, *input, h.input_least, h.input_greatest);
  for (const run_plan& r : d.runs_of(hub)) {
    if (r.hub != hub) continue;
    const line_figures& f = d.figures[static_cast<std::size_t>(r.place)];
    const subject about{subject_kind::run, r.place};
    for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
      const tape_feed& feed = d.feed_of(r, k);
      put(reading_kind::feed_point, about, lowest_at(d, r, k, f, all_lit), feed.feed_least,
          feed.feed_greatest, k);
    }
    put(reading_kind::far_end, about, volts{read_at(f, reading_kind::far_end, -1)}, r.end_least,
        r.end_greatest);
  }
}

/// Solves a hub in three states with one channel lit and writes the readings of its runs. A state
/// that has no solution leaves no reading: the verifying stage has told of it.
constexpr void read_channel(draft& d, std::int32_t hub, volts given, std::int32_t channel) noexcept {
  const double tolerance = d.question.rules.supply_tolerance;
  const std::uint32_t lit = 1u << channel;
  const hub_state states[3] = {{given, metering_copper, lit, false},
                               {given * (1 - tolerance), hot_copper, lit, true},
                               {given * (1 + tolerance), cold_copper, lit, true}};
  const std::size_t first = d.readings.size();
  for (std::size_t s = 0; s < 3; ++s) {
    const auto input = solve_hub(d, hub, states[s], d.figures);
    if (!input.ok()) {
      d.readings.keep(first);
      return;
    }
    std::size_t at = first;
    const auto put = [&](reading_kind kind, subject about, double value, std::int32_t feed = 0) noexcept {
      if (s == 0) d.readings.push({kind, about, channel, value, value, value, feed});
      else if (at < d.readings.size()) (s == 1 ? d.readings[at].least : d.readings[at].most) = value;
      ++at;
    };
    for (const run_plan& r : d.runs_of(hub)) {
      if (r.hub != hub || channel >= r.load.channels) continue;
      const line_figures& f = d.figures[static_cast<std::size_t>(r.place)];
      const subject about{subject_kind::run, r.place};
      put(reading_kind::feed_point, about, read_at(f, reading_kind::feed_point, channel));
      for (std::int32_t k = 1; k <= r.more_feeds; ++k)
        put(reading_kind::feed_point, about, lowest_at(d, r, k, f, lit).v, k);
      put(reading_kind::far_end, about, read_at(f, reading_kind::far_end, channel));
      put(reading_kind::channel_current, about, read_at(f, reading_kind::channel_current, channel));
    }
  }
}

}  // namespace detail

/// Takes the verified plan; writes a reading for every driver output, hub, feed point and far end, all
/// channels on and each alone, with the band that the supply's tolerance and the copper's temperature
/// leave: solved at the two ends of both. With one channel a voltage only falls with more resistance and
/// only rises with the supply; where channels share a common, lamps near the feed may leave that order by
/// a hair, and the ends are taken all the same. Needs at most
/// 4 + 3 x channels readings a run, 1 + channels a further feed point; `figures` as scratch.
constexpr fault expect_readings(draft& d) noexcept {
  const double tolerance = d.question.rules.supply_tolerance;
  for (std::size_t o = 0; o < d.outputs.size(); ++o) {
    const output_plan& out = d.outputs[o];
    const driver_plan& p = d.drivers[static_cast<std::size_t>(out.driver)];
    const double v = out.gives(d.parts.drivers[static_cast<std::size_t>(p.part)].output).v;
    d.readings.push({reading_kind::driver_output,
                     {subject_kind::driver, out.driver},
                     -1,
                     v,
                     v * (1 - tolerance),
                     v * (1 + tolerance),
                     0});
  }
  for (std::size_t h = 0; h < d.hubs.size(); ++h) {
    const auto hub = static_cast<std::int32_t>(h);
    const volts given = d.source_of(hub);
    std::int32_t channels = 0;
    for (const run_plan& r : d.runs_of(hub)) {
      if (r.hub != hub) continue;
      if (r.load.channels > channels) channels = r.load.channels;
    }
    detail::read_all_on(d, hub, given);
    for (std::int32_t c = 0; c < channels && channels > 1; ++c) detail::read_channel(d, hub, given, c);
  }
  return {};
}

}  // namespace tapewright::stage
