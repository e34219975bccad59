// SPDX-License-Identifier: BSL-1.0
// Everything on one driver output of a finished plan as one network: to solve at once, dimmed, or in its own warmth.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/network/feed_network.hpp"
#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/plan.hpp"

namespace tapewright {

/// How many of everything hang on an output.
struct output_counts {
  std::size_t hubs = 0, runs = 0, stretches = 0, feeds = 0;
};

/// Room for the network of an output, as output_counts says; the caller's, who keeps it while the network is used.
struct output_room {
  std::span<feed_hub> hubs;
  std::span<fed_run> runs;
  std::span<run_stretch> stretches;
  std::span<feed_point> feeds;
  std::span<std::int32_t> hub_places;  ///< gets the place in plan.hubs of each hub of the network
  std::span<std::int32_t> run_places;  ///< gets the place in plan.runs of each of its runs
};

/// @param output  place in p.outputs; all counts are 0 for one that is not there.
constexpr output_counts output_counts_of(const plan& p, std::int32_t output) noexcept {
  output_counts n;
  for (const hub_plan& h : p.hubs)
    if (h.output == output) ++n.hubs;
  for (const run_plan& r : p.runs) {
    if (r.hub < 0 || p.hubs[static_cast<std::size_t>(r.hub)].output != output) continue;
    ++n.runs;
    n.stretches += r.stretches > 0 ? static_cast<std::size_t>(r.stretches) : 1;
    n.feeds += feed_points_of(r);
  }
  return n;
}

/// The network of a driver output: its supply cables, controllers, feeders and tapes, as the plan laid them.
///
/// @param output  place in p.outputs.
/// @param state   supply, temperature of all cables, channels lit; traces are at the runs' ambients.
/// @param room    as output_counts_of(p, output) says.
/// @return        The network, of views into `room`. Faults: unknown_reference of place, no_room with the room
///                needed as `least`, those of line_of with the run's place.
/// Solved by solve_network it gives the figures that the plan was verified on (plan/hub_network.hpp solves
/// hub after hub, which is the same where a driver's output is stiff); tests hold the two to 1e-9.
constexpr outcome<feed_network> network_of_output(const job& j, const catalogue& parts, const plan& p,
                                                  std::int32_t output, const hub_state& state,
                                                  const output_room& room) noexcept {
  if (const fault f = refuse_place(field::place, output, p.outputs.size())) return f;
  const output_counts need = output_counts_of(p, output);
  if (const fault f = first_fault(
          refuse_room(room.hubs.size(), need.hubs), refuse_room(room.hub_places.size(), need.hubs),
          refuse_room(room.runs.size(), need.runs), refuse_room(room.run_places.size(), need.runs),
          refuse_room(room.stretches.size(), need.stretches), refuse_room(room.feeds.size(), need.feeds)))
    return f;
  std::size_t hubs = 0, runs = 0, stretches = 0, feeds = 0;
  for (std::size_t at = 0; at < p.hubs.size(); ++at) {
    const hub_plan& h = p.hubs[at];
    if (h.output != output) continue;
    feed_hub& hub = room.hubs[hubs];
    hub = {};
    hub.supply = 2 * core_of(h.supply, state.copper);
    if (h.controller >= 0)
      for (ohms& each : hub.channel)
        each = parts.controllers[static_cast<std::size_t>(h.controller)].switch_resistance;
    room.hub_places[hubs] = static_cast<std::int32_t>(at);
    const ohms splice = detail::contact_at(parts, h.splice);
    const auto core = [&](const tape_feed& f) noexcept {
      return core_of(f.feeder, state.copper) + splice + detail::contact_at(parts, f.connector);
    };
    for (std::size_t place = 0; place < p.runs.size(); ++place) {
      const run_plan& r = p.runs[place];
      if (r.hub != static_cast<std::int32_t>(at)) continue;
      const run& asked = j.runs[static_cast<std::size_t>(r.run)];
      const auto laid =
          detail::stretches_of(r, parts.tapes[static_cast<std::size_t>(asked.tape)], asked.ambient, state.lit,
                               p.stretches, parts, room.stretches.subspan(stretches));
      if (!laid.ok()) return at_item(laid.why(), place);
      const std::size_t fed =
          detail::points_of(r, p.feeds, p.stretches, parts, core, room.feeds.subspan(feeds));
      fed_run& into = room.runs[runs];
      into = detail::network_run(r, room.stretches.subspan(stretches, *laid), room.feeds.subspan(feeds, fed),
                                 core);
      into.hub = static_cast<std::int32_t>(hubs);
      room.run_places[runs] = static_cast<std::int32_t>(place);
      stretches += *laid;
      feeds += fed;
      ++runs;
    }
    ++hubs;
  }
  return feed_network{state.source, {}, room.hubs.first(hubs), room.runs.first(runs)};
}

}  // namespace tapewright
