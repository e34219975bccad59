// SPDX-License-Identifier: BSL-1.0
// The wiring behind a driver's output as its overcurrent protection sees it.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/rules/conductor_sizes.hpp"
#include "tapewright/rules/overcurrent_ratings.hpp"
#include "tapewright/sizing/overcurrent_choice.hpp"

namespace tapewright {

constexpr const driver& driver_of(const draft& d, const output_plan& o) noexcept {
  return d.parts.drivers[static_cast<std::size_t>(d.drivers[static_cast<std::size_t>(o.driver)].part)];
}

/// What is asked of the connector that mates with a driver's own; `conductor` 0 = not looked at.
constexpr connector_duty plug_duty(const draft& d, const output_plan& o,
                                   square_millimetres conductor) noexcept {
  const driver_plan& p = d.drivers[static_cast<std::size_t>(o.driver)];
  return {.poles = 2,
          .pole_current = o.current,
          .voltage = driver_of(d, o).output,
          .ambient = d.question.zones[static_cast<std::size_t>(p.zone)].driver_ambient,
          .conductor = conductor,
          .curve_factor = d.question.rules.contact_factor};
}

/// The largest device that the job's code allows on a conductor, whatever it may carry; 0 = it names none. A metric
/// section counts as the gauge below it, as it does for its ampacity.
/// Source  NEC 240.4(D); 18, 16 and 10 AWG from memory.
constexpr amps code_device_limit(const design_rules& rules, const conductor_size& c) noexcept {
  if (rules.family != code_family::nec) return {};
  for (const int gauge : {8, 10, 12, 14, 16, 18}) {
    if (c.area < awg_conductor(gauge)->area) continue;
    const auto limit = nec_small_conductor_limit(gauge);
    return limit.ok() ? *limit : amps{};
  }
  return {};
}

/// The thinnest conductor on which the job's code allows a device, whatever it may carry; 0 = it names none.
/// Source  NEC 240.4(D); 18, 16 and 10 AWG from memory.
constexpr square_millimetres code_least_conductor(const design_rules& rules, amps rated) noexcept {
  if (rules.family != code_family::nec) return {};
  for (const int gauge : {18, 16, 14, 12, 10}) {
    const conductor_size size = *awg_conductor(gauge);
    if (rated <= code_device_limit(rules, size)) return size.area;
  }
  return awg_conductor(8)->area;
}

/// What the protection of an output looks at: the thinnest conductor behind it, the longest loop.
struct wiring_behind {
  amps ampacity{infinity};             ///< infinite where no cable of a known current is laid
  amps device_limit;                   ///< least code_device_limit of a conductor behind it; 0 = none
  ohms fault_loop;                     ///< out and back to the farthest feed point, hot
  square_millimetres first_conductor;  ///< of the cable that meets the output; 0 = none

  constexpr bool has_cable() const noexcept { return ampacity.v < infinity; }
};

constexpr wiring_behind wiring_of(const draft& d, std::int32_t output) noexcept {
  wiring_behind w;
  const auto weigh = [&](const laid_cable& c) noexcept {
    if (c.cable < 0) return;
    const amps limit = code_device_limit(d.question.rules, c.check.conductor);
    if (limit.v > 0 && (w.device_limit.v == 0 || limit < w.device_limit)) w.device_limit = limit;
    if (!c.check.ampacity_known) return;
    if (c.check.ampacity.allowed < w.ampacity) w.ampacity = c.check.ampacity.allowed;
  };
  for (std::size_t h = 0; h < d.hubs.size(); ++h) {
    const hub_plan& hub = d.hubs[h];
    if (hub.output != output) continue;
    weigh(hub.supply);
    if (hub.supply.cable >= 0) w.first_conductor = hub.supply.check.conductor.area;
    for (const run_plan& r : d.runs_of(static_cast<std::int32_t>(h))) {
      if (r.hub != static_cast<std::int32_t>(h)) continue;
      for (std::int32_t k = 0; k <= r.more_feeds; ++k) {
        const laid_cable& feeder = d.feed_of(r, k).feeder;
        weigh(feeder);
        if (hub.supply.cable < 0 && feeder.cable >= 0) w.first_conductor = feeder.check.conductor.area;
        const ohms loop = 2 * (core_of(hub.supply, hot_copper) + core_of(feeder, hot_copper));
        if (loop > w.fault_loop) w.fault_loop = loop;
      }
    }
  }
  return w;
}

/// What an output asks of its overcurrent device, given the wiring behind it. Only for wiring that has a cable.
constexpr overcurrent_duty duty_of(const draft& d, const output_plan& o, const wiring_behind& w) noexcept {
  const driver& s = driver_of(d, o);
  const bool set_down = o.set_to.v > 0 && o.set_to < s.output;  // a short circuit then sends less
  return {.load = o.current,
          .ampacity = w.ampacity,
          .voltage = set_down ? o.set_to : s.output,
          .fault_loop = w.fault_loop,
          .source_limit = s.overload_limit,
          .load_factor = d.question.rules.family == code_family::nec ? nec_continuous_factor : 1.0,
          .device_limit = w.device_limit};
}

/// What protection asks of every cable behind an output.
struct protection_demand {
  amps ampacity{};                  ///< least current that each may carry; 0 = no more than its load
  ohms greatest_loop{};             ///< out and back to the farthest feed point, hot; 0 = any
  square_millimetres least_area{};  ///< of each conductor; 0 = any
};

/// What a device asks of the cables that it protects: In <= Iz, I2 <= 1.45 Iz, and a far-end short circuit of at
/// least I2; and a conductor as thick as the code allows it on.
///
/// Formula  Iz >= max(In, I2 / 1.45);  R_loop <= U / I2
/// Source   IEC 60364-4-43 cl. 433.1 and 434.5, from memory; NEC 240.4(D), 18, 16 and 10 AWG from memory.
constexpr protection_demand demand_of(const design_rules& rules, const overcurrent_device& o,
                                      volts voltage) noexcept {
  const auto factor = operating_factor(o.family, o.rated);
  const amps operating = (factor.ok() ? *factor : 1.0) * o.rated,
             by_operating = operating / greatest_operating_share;
  return {.ampacity = by_operating > o.rated ? by_operating : o.rated,
          .greatest_loop = voltage / operating,
          .least_area = code_least_conductor(rules, o.rated)};
}
static_assert(demand_of({}, {"C10", "", overcurrent_family::breaker_c, amps{10}, volts{60}, {}}, volts{24})
                  .ampacity == amps{10});

}  // namespace tapewright
