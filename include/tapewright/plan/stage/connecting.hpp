// SPDX-License-Identifier: BSL-1.0
// Stage 9: the connection schedule, conductor by conductor, and the cable pieces to cut.
#pragma once

#include <cstddef>

#include "tapewright/plan/plan.hpp"

namespace tapewright::stage {

namespace detail {

/// Polarity of a hub's common: that of its runs' tapes, which the switching stage keeps alike.
constexpr bool common_is_positive(const draft& d, std::int32_t hub) noexcept {
  for (const run_plan& r : d.runs)
    if (r.hub == hub) return d.tape_of(r).common == polarity::common_positive;
  return true;
}

constexpr void push_conductor(draft& d, const laid_cable& w, std::int32_t core, terminal from, terminal to,
                              amps current) noexcept {
  const bool laid = w.cable >= 0;
  d.connections.push({.number = w.number,
                      .cable = w.cable,
                      .core = core,
                      .from = from,
                      .to = to,
                      .area = laid ? w.check.conductor.area : square_millimetres{},
                      .length = w.cut,
                      .current = current});
}

constexpr void push_cable_piece(draft& d, const laid_cable& w, subject about) noexcept {
  if (w.cable < 0) return;
  d.pieces.push({.part = {part_kind::cable, w.cable}, .about = about, .number = w.number, .length = w.cut});
}

/// Driver output -> (fuse) -> the hub's supply terminals; nothing where the hub sits on the output.
constexpr void connect_supply(draft& d, std::int32_t hub) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  if (h.output < 0 || h.supply.cable < 0) return;
  const output_plan& o = d.outputs[static_cast<std::size_t>(h.output)];
  const terminal live = o.device >= 0 ? terminal{terminal_kind::fuse_out, h.output}
                                      : terminal{terminal_kind::driver_positive, h.output};
  push_conductor(d, h.supply, 1, live, {terminal_kind::hub_positive, hub}, h.total);
  push_conductor(d, h.supply, 2, {terminal_kind::driver_negative, h.output},
                 {terminal_kind::hub_negative, hub}, h.total);
  push_cable_piece(d, h.supply, {subject_kind::hub, hub});
}

/// Where a run's common (channel < 0) or channel starts: at its hub's terminals or, for a run that hangs
/// straight on a driver, at the driver's (its fuse's) own.
constexpr terminal near_terminal(const draft& d, const run_plan& r, std::int32_t channel) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(r.hub)];
  const bool positive = common_is_positive(d, r.hub) == (channel < 0);
  if (h.controller >= 0)
    return channel < 0 ? terminal{terminal_kind::hub_common, r.hub}
                       : terminal{terminal_kind::hub_channel, r.hub, channel};
  if (h.supply.cable >= 0)
    return {positive ? terminal_kind::hub_positive : terminal_kind::hub_negative, r.hub};
  if (!positive) return {terminal_kind::driver_negative, h.output};
  const bool fused = h.output >= 0 && d.outputs[static_cast<std::size_t>(h.output)].device >= 0;
  return {fused ? terminal_kind::fuse_out : terminal_kind::driver_positive, h.output};
}

constexpr void connect_run(draft& d, std::int32_t run) noexcept {
  const run_plan& r = d.runs[static_cast<std::size_t>(run)];
  if (r.hub < 0) return;
  for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
    const tape_feed& f = d.feed_of(r, k);
    push_conductor(d, f.feeder, 1, near_terminal(d, r, -1), {terminal_kind::tape_common, run, 0, k},
                   f.current);
    for (std::int32_t c = 0; c < r.load.channels; ++c)
      push_conductor(d, f.feeder, c + 2, near_terminal(d, r, c), {terminal_kind::tape_channel, run, c, k},
                     f.channel_current[static_cast<std::size_t>(c)]);
    push_cable_piece(d, f.feeder, {subject_kind::run, run});
  }
}

}  // namespace detail

/// Takes every decided cable; writes its conductors, core by core, from the driver outward, and its
/// piece for the cutting list. Core 1 of a feeder is the common, core 1 of a supply cable the positive.
/// Needs at most channels + 1 conductors a feed point, 2 a hub and 1 an output.
constexpr void connect(draft& d) noexcept {
  for (std::size_t o = 0; o < d.outputs.size(); ++o) {
    const auto output = static_cast<std::int32_t>(o);
    if (d.outputs[o].device >= 0)
      detail::push_conductor(d, {}, 0, {terminal_kind::driver_positive, output},
                             {terminal_kind::fuse_in, output}, d.outputs[o].current);
    for (std::size_t h = 0; h < d.hubs.size(); ++h) {
      if (d.hubs[h].output != output) continue;
      const auto hub = static_cast<std::int32_t>(h);
      detail::connect_supply(d, hub);
      for (std::size_t r = 0; r < d.runs.size(); ++r)
        if (d.runs[r].hub == hub) detail::connect_run(d, static_cast<std::int32_t>(r));
    }
  }
}

}  // namespace tapewright::stage
