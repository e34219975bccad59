// SPDX-License-Identifier: BSL-1.0
// What the parts of an order have to spare, and what is taken off its price where that is worth something.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/plan/plan.hpp"

namespace tapewright {

/// The most that one output of a driver lets out where it hangs: derated, and as its own connector allows.
constexpr amps usable_current(const driver& s, const driver_check& c) noexcept {
  return s.output_connector.v > 0 && s.output_connector < c.current_limit ? s.output_connector
                                                                          : c.current_limit;
}

/// The greatest load of one output of a driver where it hangs: derated, less headroom, as its current allows.
/// A plan takes drivers that give the nominal voltage as delivered only.
constexpr watts usable_capacity(const driver& s, const driver_check& c, double headroom) noexcept {
  return watts{smaller((c.capacity / (1 + headroom)).v, (usable_current(s, c) * s.output).v)};
}

/// The greatest current of all channels of a controller.
constexpr amps usable_current(const controller& c) noexcept {
  return c.terminal < c.total_limit ? c.terminal : c.total_limit;
}

namespace detail {

/// Calls visit(cable) for each cable that is laid in a plan or a draft.
template <class Plan, class Visit>
constexpr void each_cable(const Plan& p, const Visit& visit) noexcept {
  const auto look = [&](const laid_cable& w) noexcept {
    if (w.cable >= 0) visit(w);
  };
  for (const hub_plan& h : p.hubs) look(h.supply);
  for (const run_plan& r : p.runs) look(r.feeder);
  for (const tape_feed& f : p.feeds) look(f.feeder);
}

/// Calls visit(driver, what an output of it is held to) for each driver of a plan or a draft. Outputs of a driver stand
/// together.
template <class Plan, class Visit>
constexpr void each_driver(const Plan& p, const Visit& visit) noexcept {
  std::int32_t last = -1;
  for (const output_plan& o : p.outputs) {
    if (o.driver != last) visit(p.drivers[static_cast<std::size_t>(o.driver)], o.check);
    last = o.driver;
  }
}

}  // namespace detail

/// What the parts of an order carry beyond their loads. Plan: a plan, or a draft.
template <class Plan>
constexpr spare_capacity spare_of(const design_rules& rules, const catalogue& parts, const Plan& p) noexcept {
  spare_capacity sum;
  detail::each_driver(p, [&](const driver_plan& d, const driver_check& c) noexcept {
    const driver& s = parts.drivers[static_cast<std::size_t>(d.part)];
    const watts all = static_cast<double>(s.outputs) * usable_capacity(s, c, rules.headroom);
    if (all > d.load) sum.drivers += all - d.load;
  });
  for (const hub_plan& h : p.hubs) {
    if (h.controller < 0) continue;
    const amps most = usable_current(parts.controllers[static_cast<std::size_t>(h.controller)]);
    if (most > h.total) sum.controllers += most - h.total;
  }
  detail::each_cable(p, [&](const laid_cable& w) noexcept {
    if (w.check.ampacity_known && w.check.ampacity.allowed > w.check.common_current)
      sum.cables += w.check.ampacity.allowed - w.check.common_current;
  });
  return sum;
}

/// What the rules' weights take off the price of an order, part by part: so much is the capacity of its drivers,
/// controllers and cables worth, each cable as if it were bought alone. 0 without weights.
template <class Plan>
constexpr money capacity_credit(const Plan& p) noexcept {
  money sum;
  for (const driver_plan& d : p.drivers) sum += d.credit;
  for (const hub_plan& h : p.hubs) sum += h.credit;
  detail::each_cable(p, [&](const laid_cable& w) noexcept { sum += w.credit; });
  return sum;
}

}  // namespace tapewright
