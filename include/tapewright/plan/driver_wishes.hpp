// SPDX-License-Identifier: BSL-1.0
// What a zone asks of the driver that feeds it.
#pragma once

#include "tapewright/core/text.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/spare.hpp"

namespace tapewright {

/// The duty of one output: a load, at a voltage, in a zone's driver place, under the job's rules. A plan sets no
/// trim, so that the driver must give the voltage as it is delivered.
constexpr driver_duty duty_for(const design_rules& rules, const zone& z, volts nominal, watts load,
                               amps current) noexcept {
  return {.load = load,
          .current = current,
          .headroom = rules.headroom,
          .ambient = z.driver_ambient,
          .nominal = nominal,
          .as_delivered = true,
          .mains = rules.mains,
          .limited_energy = z.limited_energy,
          .any_mount = z.mount == fitting_wish::any,
          .mount = z.mount == fitting_wish::plug_in ? fitting::plug_in : fitting::hardwired};
}

constexpr driver_duty duty_for(const draft& d, const zone& z, volts nominal, watts load,
                               amps current) noexcept {
  return duty_for(d.question.rules, z, nominal, load, current);
}

/// Zones whose controllers may share a driver: they name the same place and ask the same of it. A zone
/// that names no place shares with no other.
constexpr bool may_share_driver(const zone& a, const zone& b) noexcept {
  return !a.driver_place.empty() && same_text(a.driver_place, b.driver_place) && a.mount == b.mount &&
         a.limited_energy == b.limited_energy && a.driver_ambient == b.driver_ambient &&
         a.pinned_driver == b.pinned_driver;
}

/// The most current that one output of any driver gives in this zone at this voltage with the headroom
/// kept; 0 where none fits at all. Limits: derated power and current, and the output's own connector.
/// `power_share`: of the load, as power_share_of tells; over 0, up to 1.
constexpr amps greatest_output(const design_rules& rules, const catalogue& parts, const zone& z,
                               volts nominal, double power_share) noexcept {
  amps greatest;
  for (std::size_t i = 0; i < parts.drivers.size(); ++i) {
    const driver& s = parts.drivers[i];
    if (pinned_elsewhere(z.pinned_driver, i)) continue;
    // asked for the least load it allows, what does not fit now fits at no load
    const watts little{larger(s.least_load.v, 0.001)};
    const auto check = check_driver(s, duty_for(rules, z, nominal, little, little / nominal));
    if (!check.ok() || !check->fits) continue;
    const double by_power = (check->capacity / nominal).v / (1 + rules.headroom) / power_share;
    const amps most{smaller(by_power, usable_current(s, *check).v)};
    if (most > greatest) greatest = most;
  }
  return greatest;
}
constexpr amps greatest_output(const draft& d, const zone& z, volts nominal, double power_share) noexcept {
  return greatest_output(d.question.rules, d.parts, z, nominal, power_share);
}

/// What a load draws of nominal voltage times the current that cables and controllers are sized for; over 0, up to 1.
/// Below 1 for constant power: it is sized for the current that it draws at the voltage left to a lamp.
/// Formula  share = sized power / (sized current x nominal).  Source: closed form.
constexpr double power_share_of(const tape_load& load, volts nominal) noexcept {
  const watts at_nominal = load.total_sized * nominal;
  return at_nominal > load.sized && load.sized.v > 0 ? load.sized / at_nominal : 1.0;
}

}  // namespace tapewright
