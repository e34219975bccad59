// SPDX-License-Identifier: BSL-1.0
// What parts have to spare, and the prices they are chosen by where that is worth something.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/parts/cable.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/sizing/run_length.hpp"
#include "tapewright/sizing/spare_worth.hpp"

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

/// What a driver counts where drivers are chosen: its price less what the capacity of all its outputs is worth.
constexpr money weighed_price(const design_rules& rules, const driver& s, const driver_check& c) noexcept {
  const watts capacity = usable_capacity(s, c, rules.headroom);
  return weighed(s.price, worth_of(rules.balanced.driver, capacity, s.outputs));
}

/// What a controller counts where controllers are chosen.
constexpr money weighed_price(const design_rules& rules, const controller& c) noexcept {
  return weighed(c.price, worth_of(rules.balanced.controller, usable_current(c)));
}

/// What a piece of cable counts where cables are chosen, however long it is: its price less what its ampacity is worth.
constexpr cost weighed_cost(const design_rules& rules, const cable& k, std::int64_t quanta,
                            const feeder_check& c) noexcept {
  cost sum = cost_of_piece(k.price, quanta);
  sum.price = weighed(sum.price, ampacity_worth(rules.balanced.cable, c));
  return sum;
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

/// What the rules' weights take off the price of an order, part by part: the capacity that its drivers, controllers and
/// cables have is worth so much, but no part counts less than one minor unit. Each cable counts as if it were bought
/// alone. 0 without weights.
template <class Plan>
constexpr money capacity_credit(const design_rules& rules, const catalogue& parts, const Plan& p) noexcept {
  money sum;
  if (rules.balanced == spare_weights{}) return sum;
  detail::each_driver(p, [&](const driver_plan& d, const driver_check& c) noexcept {
    const driver& s = parts.drivers[static_cast<std::size_t>(d.part)];
    sum += s.price - weighed_price(rules, s, c);
  });
  for (const hub_plan& h : p.hubs) {
    if (h.controller < 0) continue;
    const controller& c = parts.controllers[static_cast<std::size_t>(h.controller)];
    sum += c.price - weighed_price(rules, c);
  }
  detail::each_cable(p, [&](const laid_cable& w) noexcept {
    const cable& k = parts.cables[static_cast<std::size_t>(w.cable)];
    if (const auto quanta = sale_units(w.cut, k.sale_quantum); quanta.ok())
      sum += k.price * *quanta - weighed_cost(rules, k, *quanta, w.check).price;
  });
  return sum;
}

}  // namespace tapewright
