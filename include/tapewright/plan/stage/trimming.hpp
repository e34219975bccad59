// SPDX-License-Identifier: BSL-1.0
// Stage 6: the output trim of the drivers that have one, set to centre the drop.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/output_wiring.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/rules/extra_low_voltage.hpp"

namespace tapewright::stage {

namespace detail {

/// Calls visit(hub) for each hub behind a driver.
template <class Visit>
constexpr void each_hub_behind(const draft& d, std::int32_t driver, const Visit& visit) noexcept {
  for (std::size_t h = 0; h < d.hubs.size(); ++h) {
    const std::int32_t output = d.hubs[h].output;
    if (output >= 0 && d.outputs[static_cast<std::size_t>(output)].driver == driver)
      visit(static_cast<std::int32_t>(h));
  }
}

/// The highest voltage that a driver may be set to: its own range; the tapes' highest, tolerance included, which a dark
/// tape sees too; and what its power, controllers, fuses, joints and the extra-low-voltage ceiling leave above the
/// voltage it has as delivered. Below that one only a tape can ask to go.
constexpr volts greatest_setting(const draft& d, std::int32_t at) noexcept {
  const driver_plan& p = d.drivers[static_cast<std::size_t>(at)];
  const driver& s = d.parts.drivers[static_cast<std::size_t>(p.part)];
  const double upper = 1 + d.question.rules.supply_tolerance;
  volts most = s.trim_high;
  const auto keep = [&](volts limit) noexcept {
    if (limit < most) most = limit;
  };
  const auto keep_above = [&](volts limit) noexcept { keep(limit > s.output ? limit : s.output); };
  const auto keep_joint = [&](std::int32_t connector) noexcept {
    if (connector >= 0) keep_above(d.parts.connectors[static_cast<std::size_t>(connector)].rated_voltage);
  };
  keep_above(elv_direct_voltage / upper);
  for (const output_plan& o : d.outputs) {
    if (o.driver != at) continue;
    keep_above(s.output * (o.check.capacity / o.check.needed));
    if (o.device >= 0)
      keep_above(d.parts.overcurrent_devices[static_cast<std::size_t>(o.device)].rated_voltage);
    keep_joint(o.plug);
  }
  each_hub_behind(d, at, [&](std::int32_t hub) noexcept {
    const hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
    if (const controller* c = d.controller_of(h)) keep_above(c->highest_input);
    keep_joint(h.splice);
    for (const run_plan& r : d.runs_of(hub)) {
      if (r.hub != hub) continue;
      keep(d.tape_of(r).highest / upper);
      for (std::int32_t k = 0; k <= r.more_feeds; ++k) keep_joint(d.feed_of(r, k).connector);
      for (std::int32_t k = 0; k < r.stretches; ++k)
        keep_joint(
            d.stretches[static_cast<std::size_t>(r.stretches_from) + static_cast<std::size_t>(k)].connector);
    }
  });
  return most;
}

/// What the lamps behind a driver get while it gives a voltage; `resumed`: they were looked at just before.
struct lamps_behind {
  bool solved = true;
  bool as_sized = true;  ///< no channel of a run carries more than everything upstream of it was sized for
  volts highest{}, lowest{infinity};
};
constexpr lamps_behind lamps_at(draft& d, std::int32_t driver, volts given, bool resumed) noexcept {
  lamps_behind out;
  each_hub_behind(d, driver, [&](std::int32_t hub) noexcept {
    out.solved = out.solved && solve_hub(d, hub, {.source = given, .resumed = resumed}, d.figures).ok();
    for (const run_plan& r : d.runs_of(hub)) {
      if (r.hub != hub || !out.solved) continue;
      const line_figures& f = d.figures[static_cast<std::size_t>(r.place)];
      for (std::int32_t c = 0; c < f.channels; ++c) {
        if (f.first_load[c] > out.highest) out.highest = f.first_load[c];
        if (f.last_load[c] < out.lowest) out.lowest = f.last_load[c];
        if (f.channel_current[c] > r.load.channel_current[c] * (1 + rounding_share)) out.as_sized = false;
      }
    }
  });
  return out;
}

/// True where a far-end short circuit, which falls with the voltage, still opens every device of a driver set down.
constexpr bool devices_open_at(const draft& d, std::int32_t at, volts set_to) noexcept {
  for (const output_plan& o : d.outputs) {
    if (o.driver != at || o.device < 0) continue;
    if (!within(o.protection.fault_utilisation * (driver_of(d, o).output / set_to))) return false;
  }
  return true;
}

/// What a driver is set to, in tenths of a volt: the middle between the highest and the lowest lamp at nominal voltage,
/// as near as the limits leave it; what it has as delivered where that is as near.
constexpr volts setting_of(draft& d, std::int32_t at) noexcept {
  const driver& s = d.parts.drivers[static_cast<std::size_t>(d.drivers[static_cast<std::size_t>(at)].part)];
  const volts most = greatest_setting(d, at);
  const auto tenths = [](volts v) noexcept { return volts{floor_of(v.v * 10 + 1e-6) / 10}; };
  const auto bears = [&](volts set_to) noexcept {
    const lamps_behind lamps = lamps_at(d, at, set_to, most >= s.output);
    return lamps.solved && lamps.as_sized;
  };
  if (most < s.output) {  // constant power draws more there
    const volts down = tenths(most);
    return !(down < s.trim_low) && bears(down) && devices_open_at(d, at, down) ? down : s.output;
  }
  volts given = s.output;
  for (int round = 0; round < 4; ++round) {  // the middle moves almost as the supply does
    const lamps_behind lamps = lamps_at(d, at, given, round > 0);
    if (!lamps.solved || !(lamps.lowest < lamps.highest)) return s.output;
    const volts off = s.output - 0.5 * (lamps.highest + lamps.lowest);
    given += off;
    const volts left{absolute(off.v)};  // more than what is still to go
    if (tenths(given - left) == tenths(given + left)) break;
  }
  for (given = tenths(given < most ? given : most); given > s.output; given = tenths(given - volts{0.1}))
    if (bears(given)) return given;
  return s.output;
}

}  // namespace detail

/// Takes the wired plan; sets the trim of every driver that has one, all outputs of a driver alike, so that the lamps
/// behind it lie around their nominal voltage. What was sized stays as it was: no channel carries more than its nominal
/// current, no driver gives more than its headroom leaves. `figures` as scratch.
///
/// Source  common practice, no source: the supply is raised by half the drop; the tape's highest voltage by its maker.
constexpr fault trim_drivers(draft& d) noexcept {
  for (std::size_t i = 0; i < d.drivers.size(); ++i) {
    driver_plan& p = d.drivers[i];
    const driver& s = d.parts.drivers[static_cast<std::size_t>(p.part)];
    if (!(s.trim_high.v > 0)) continue;
    const auto at = static_cast<std::int32_t>(i);
    const volts set_to = detail::setting_of(d, at);
    if (set_to == s.output) continue;
    for (output_plan& o : d.outputs)
      if (o.driver == at) o.set_to = set_to;
    if (set_to > s.output) p.load = p.load * (set_to / s.output);
  }
  return {};
}

}  // namespace tapewright::stage
