// SPDX-License-Identifier: BSL-1.0
// What another size of one cable does to everything on its driver output.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/network/fed_run.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/sensitivity.hpp"

namespace tapewright {

/// Which cable is swapped, and by how much each of its cores changes.
struct feeder_swap {
  std::int32_t run = 0;
  std::int32_t feed =
      0;      ///< the lead of this feed point, or -1: the feeder that all of the run's leads share
  ohms core;  ///< core of the new cable less core of the old one; negative for a thicker one
};

/// What the swap does.
struct swap_effect {
  load_place dimmest;    ///< the run's dimmest lamp, before
  volts before = unset;  ///< across it
  volts after = unset;   ///< across the same lamp, by a solution of its own
  amps per_ohm = unset;  ///< across it, for each ohm more in every core of the cable: sum of dU/dR, V/ohm
  volts first_order = unset;  ///< across it, by its derivatives alone: before + dU/dR x change
  network_figures network_before, network_after;
};

/// Storage of swap_feeder.
struct swap_space {
  std::span<fed_run> runs;                    ///< as many as the network's
  std::span<feed_point> feeds;                ///< as many as the run's
  std::span<fed_run_figures> before, after;   ///< one a run each: every run's figures, told besides
  std::span<const fed_run_profile> profiles;  ///< one a run, all spans filled
  std::span<double> doubles;                ///< the larger of network_workspace(n), sensitivity_workspace(n)
  std::span<run_sensitivity> run_slopes;    ///< one a run
  std::span<hub_sensitivity> hub_slopes;    ///< one a hub
  std::span<lead_sensitivity> lead_slopes;  ///< one a feed point of all runs
};

namespace detail {

constexpr fault refuse_swap(const feed_network& n, const feeder_swap& swap,
                            const swap_space& space) noexcept {
  if (const fault f = first_fault(check(n), refuse_place(field::place, swap.run, n.runs.size()))) return f;
  const fed_run& home = n.runs[static_cast<std::size_t>(swap.run)];
  return first_fault(
      swap.feed == -1 ? fault{} : refuse_place(field::place, swap.feed, home.feeds.size()),
      refuse_room(space.runs.size(), n.runs.size()), refuse_room(space.feeds.size(), home.feeds.size()),
      refuse_room(space.after.size(), n.runs.size()), refuse_room(space.profiles.size(), n.runs.size()),
      refuse_room(space.lead_slopes.size(), feeds_before(n, n.runs.size())));
}

/// The same network with the other cable, in the caller's room.
constexpr feed_network swapped(const feed_network& n, const feeder_swap& swap,
                               const swap_space& space) noexcept {
  const auto place = static_cast<std::size_t>(swap.run);
  const fed_run& home = n.runs[place];
  for (std::size_t r = 0; r < n.runs.size(); ++r) space.runs[r] = n.runs[r];
  for (std::size_t f = 0; f < home.feeds.size(); ++f) space.feeds[f] = home.feeds[f];
  const auto channels = static_cast<std::size_t>(home.stretches[0].line.channels);
  const auto lay = [&](ohms& common, ohms(&channel)[max_channels]) noexcept {
    common += swap.core;
    for (std::size_t c = 0; c < channels; ++c) channel[c] += swap.core;
  };
  fed_run& moved = space.runs[place];
  if (swap.feed < 0) {
    lay(moved.common, moved.channel);
  } else {
    feed_point& lead = space.feeds[static_cast<std::size_t>(swap.feed)];
    lay(lead.common, lead.channel);
  }
  moved.feeds = space.feeds.first(home.feeds.size());
  feed_network other = n;
  other.runs = space.runs.first(n.runs.size());
  return other;
}

/// What an ohm more in every core of the cable does to the voltage that the slopes are of.
constexpr amps volts_per_ohm(const feed_network& n, const feeder_swap& swap,
                             const swap_space& space) noexcept {
  const auto place = static_cast<std::size_t>(swap.run);
  const auto channels = static_cast<std::size_t>(n.runs[place].stretches[0].line.channels);
  const run_sensitivity& run = space.run_slopes[place];
  const std::size_t feed = static_cast<std::size_t>(swap.feed < 0 ? 0 : swap.feed);
  const lead_sensitivity& lead = space.lead_slopes[feeds_before(n, place) + feed];
  amps per_ohm = swap.feed < 0 ? run.feeder_common : lead.common;
  for (std::size_t c = 0; c < channels; ++c)
    per_ohm += swap.feed < 0 ? run.feeder_channel[c] : lead.channel[c];
  return per_ohm;
}

}  // namespace detail

/// Solves a network as it is and with one cable of another size.
///
/// @param n      the network; @param swap the cable; no core may come out below 0 ohm.
/// @param space  see swap_space.
/// @return       Faults: those of solve_network and sensitivity_of; unknown_reference for a run or feed point
///               that is not there; out_of_range for a core below 0; no_room.
/// Formula       two solutions of Kirchhoff's laws; first order: U + (sum of dU/dR over the cable's cores) dR.
/// Source        closed form.
constexpr outcome<swap_effect> swap_feeder(const feed_network& n, const feeder_swap& swap,
                                           const swap_space& space) noexcept {
  if (const fault f = detail::refuse_swap(n, swap, space)) return f;
  const auto place = static_cast<std::size_t>(swap.run);
  const feed_network other = detail::swapped(n, swap, space);
  if (const fault f = check(other)) return f;

  swap_effect out;
  const outcome<network_figures> now = solve_network(n, space.doubles, space.before, space.profiles);
  if (!now.ok()) return now.why();
  out.network_before = *now;
  out.dimmest = dimmest_load(n.runs[place], space.before[place], space.profiles[place]);
  out.dimmest.run = swap.run;
  const outcome<load_sensitivity> slopes = sensitivity_of(
      n, space.profiles, out.dimmest, space.doubles, space.run_slopes, space.hub_slopes, space.lead_slopes);
  if (!slopes.ok()) return slopes.why();
  out.before = slopes->voltage;
  out.per_ohm = detail::volts_per_ohm(n, swap, space);
  out.first_order = out.before + out.per_ohm * swap.core;
  const outcome<network_figures> then = solve_network(other, space.doubles, space.after, space.profiles);
  if (!then.ok()) return then.why();
  out.network_after = *then;
  const auto channels = static_cast<std::size_t>(n.runs[place].stretches[0].line.channels);
  out.after = space.profiles[place].load_voltage[static_cast<std::size_t>(out.dimmest.segment) * channels +
                                                 static_cast<std::size_t>(out.dimmest.channel)];
  return out;
}

}  // namespace tapewright
