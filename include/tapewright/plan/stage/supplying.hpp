// SPDX-License-Identifier: BSL-1.0
// Stage 3: controllers (and bare hubs) onto driver outputs, and outputs onto drivers.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/driver_wishes.hpp"
#include "tapewright/plan/plan.hpp"

namespace tapewright::stage {

namespace detail {

constexpr const hub_plan& hub_at(const draft& d, std::int32_t at) noexcept {
  return d.hubs[static_cast<std::size_t>(at)];
}

/// Whether one output of a driver carries a load that starts with hub `first`.
constexpr outcome<driver_check> try_output(const draft& d, std::int32_t part, std::int32_t first, watts load,
                                           amps current) noexcept {
  return check_driver(d.parts.drivers[static_cast<std::size_t>(part)],
                      duty_for(d, d.zone_of(hub_at(d, first)), d.nominal_of(first), load, current));
}

/// Puts the hubs of `group` (greatest load first) onto outputs of one kind of driver, each on the first
/// output that still takes it; outputs are appended to d.outputs with the driver's catalogue place in
/// `driver`. Returns how many outputs, or 0 and nothing appended where a hub fits none.
constexpr std::int32_t fill_outputs(draft& d, std::span<const std::int32_t> group,
                                    std::int32_t part) noexcept {
  const std::size_t base = d.outputs.size();
  for (const std::int32_t at : group) {
    hub_plan& h = d.hubs[static_cast<std::size_t>(at)];
    bool placed = false;
    for (std::size_t o = base; o <= d.outputs.size() && o < d.outputs.capacity() && !placed; ++o) {
      const bool opened = o == d.outputs.size();
      // an output with a connector of its own takes one cable; terminals take several
      if (!opened && d.parts.drivers[static_cast<std::size_t>(part)].output_connector.v > 0) continue;
      output_plan tried = opened ? output_plan{.driver = part} : d.outputs[o];
      tried.load += h.load;
      tried.current += h.total;
      const auto check = try_output(d, part, at, tried.load, tried.current);
      // the least load is judged when all is placed: an output may still be filling up
      placed = check.ok() && (check->fits || (!check->least_load_met && check->by == governed::least_load));
      if (placed) {
        tried.check = *check;
        h.output = static_cast<std::int32_t>(o);
        if (opened) d.outputs.push(tried);
        else d.outputs[o] = tried;
      } else if (opened) {
        break;
      }
    }
    if (!placed) {
      d.outputs.keep(base);
      return 0;
    }
  }
  for (std::size_t o = base; o < d.outputs.size(); ++o)
    if (!d.outputs[o].check.fits) {
      d.outputs.keep(base);
      return 0;
    }
  return static_cast<std::int32_t>(d.outputs.size() - base);
}

/// The cheapest driver for the load of output `o`, its hubs left as they are.
constexpr void settle_output(draft& d, std::size_t o, std::int32_t first_hub) noexcept {
  output_plan& out = d.outputs[o];
  if (d.parts.drivers[static_cast<std::size_t>(out.driver)].outputs > 1) return;
  const auto choice = choose_driver(
      duty_for(d, d.zone_of(hub_at(d, first_hub)), d.nominal_of(first_hub), out.load, out.current),
      d.parts.drivers);
  if (!choice.ok() || choice->driver < 0) return;
  std::int32_t hubs = 0;
  for (const hub_plan& h : d.hubs) hubs += h.output == static_cast<std::int32_t>(o);
  // an output with a connector of its own takes one cable
  if (hubs > 1 && d.parts.drivers[static_cast<std::size_t>(choice->driver)].output_connector.v > 0) return;
  out.driver = choice->driver;
  out.check = choice->check;
}

/// Settles every output from `base` on with the cheapest driver that carries it and tells what all cost.
constexpr cost settle_outputs(draft& d, std::span<const std::int32_t> group, std::size_t base) noexcept {
  cost all;
  std::int32_t shared_outputs = 0;
  for (std::size_t o = base; o < d.outputs.size(); ++o) {
    for (const std::int32_t at : group)
      if (hub_at(d, at).output == static_cast<std::int32_t>(o)) {
        settle_output(d, o, at);
        break;
      }
    const driver& s = d.parts.drivers[static_cast<std::size_t>(d.outputs[o].driver)];
    if (s.outputs == 1) all += cost_of(s.price, 1);
    else if (shared_outputs++ % s.outputs == 0) all += cost_of(s.price, 1);
  }
  return all;
}

/// Tells why no driver carries a hub, by the nearest candidate.
constexpr void tell_no_driver(draft& d, std::int32_t at) noexcept {
  const hub_plan& h = hub_at(d, at);
  finding f{.code = finding_code::no_driver,
            .level = severity::failed,
            .subject = {subject_kind::hub, at},
            .utilisation = boundless_utilisation,
            .from = source::maker_statement,
            .help = advice::widen_catalogue};
  const auto choice =
      choose_driver(duty_for(d, d.zone_of(h), d.nominal_of(at), h.load, h.total), d.parts.drivers);
  if (choice.ok() && choice->nearest >= 0) {
    const driver& s = d.parts.drivers[static_cast<std::size_t>(choice->nearest)];
    const driver_check& c = choice->check;
    f.stopped_by = choice->stopped_by;
    switch (choice->stopped_by) {
      case governed::capacity:
        f.value = c.needed.v;
        f.limit = c.capacity.v;
        f.help = advice::feed_more_points;
        break;
      case governed::output_current:
        f.value = c.current.v;
        f.limit = c.current_limit.v;
        f.help = advice::feed_more_points;
        break;
      case governed::own_connector:
        f.value = c.current.v;
        f.limit = s.output_connector.v;
        f.help = advice::feed_more_points;
        break;
      case governed::ambient:
        f.value = d.zone_of(h).driver_ambient.v;
        f.limit = s.derating[s.derating.size() - 1].ambient.v;
        f.help = advice::cooler_place;
        break;
      case governed::limited_energy:
        f.value = c.current.v;
        f.limit = c.class_current.v;
        f.help = advice::feed_more_points;
        break;
      case governed::least_load:
        f.value = h.load.v;
        f.limit = s.least_load.v;
        break;
      case governed::output_voltage:
        f.value = s.output.v;
        f.limit = d.nominal_of(at).v;
        break;
      default: break;
    }
    if (f.limit > 0) f.utilisation = utilisation(f.value, f.limit);
  }
  d.findings.push(f);
}

/// Outputs become drivers: single-output drivers one to one, the others filled in order.
constexpr void open_drivers(draft& d, std::size_t base, std::span<const std::int32_t> group) noexcept {
  std::int32_t open = -1;  // a driver with outputs left
  for (std::size_t o = base; o < d.outputs.size(); ++o) {
    output_plan& out = d.outputs[o];
    const driver& s = d.parts.drivers[static_cast<std::size_t>(out.driver)];
    const bool joins = open >= 0 && d.drivers[static_cast<std::size_t>(open)].part == out.driver;
    if (!joins) {
      driver_plan fresh{.part = out.driver};
      for (const std::int32_t at : group)
        if (hub_at(d, at).output == static_cast<std::int32_t>(o)) fresh.zone = hub_at(d, at).zone;
      d.drivers.push(fresh);
    }
    out.driver = joins ? open : static_cast<std::int32_t>(d.drivers.size()) - 1;
    driver_plan& p = d.drivers[static_cast<std::size_t>(out.driver)];
    out.number = ++p.outputs;
    p.load += out.load;
    open = p.outputs < s.outputs ? out.driver : -1;
  }
}

/// Gives the group its outputs and drivers at the least cost; false where one of them fits no driver.
constexpr bool supply(draft& d, std::span<const std::int32_t> group) noexcept {
  const std::size_t base = d.outputs.size();
  std::int32_t best = -1;
  cost least = no_choice;
  for (std::size_t s = 0; s < d.parts.drivers.size(); ++s) {
    const auto part = static_cast<std::int32_t>(s);
    const bool fills = fill_outputs(d, group, part) > 0;
    const cost price = fills ? settle_outputs(d, group, base) : no_choice;
    d.outputs.keep(base);
    if (!(price < least)) continue;
    least = price;
    best = part;
  }
  if (best < 0) {
    for (const std::int32_t at : group) d.hubs[static_cast<std::size_t>(at)].output = -1;
    return false;
  }
  fill_outputs(d, group, best);
  settle_outputs(d, group, base);
  open_drivers(d, base, group);
  return true;
}

}  // namespace detail

/// Takes the hubs; decides the output of each, every output's driver and how many drivers there are;
/// scratch: one number a hub. Outputs are never joined: a hub hangs on one output. A hub that no driver
/// of the catalogue carries is told as a finding and stays without one.
constexpr fault supply_hubs(draft& d) noexcept {
  const std::span<std::int32_t> told = d.scratch.subspan(d.hubs.size(), d.hubs.size());
  for (std::int32_t& t : told) t = 0;
  for (std::size_t i = 0; i < d.hubs.size(); ++i) {
    if (d.hubs[i].output >= 0 || told[i] != 0) continue;
    std::size_t count = 0;
    for (std::size_t k = i; k < d.hubs.size(); ++k) {
      const bool same_zone = d.hubs[k].zone == d.hubs[i].zone;
      if (d.hubs[k].output < 0 && told[k] == 0 &&
          (same_zone || may_share_driver(d.zone_of(d.hubs[i]), d.zone_of(d.hubs[k]))) &&
          d.nominal_of(static_cast<std::int32_t>(k)) == d.nominal_of(static_cast<std::int32_t>(i)))
        d.scratch[count++] = static_cast<std::int32_t>(k);
    }
    const std::span<std::int32_t> group = d.scratch.first(count);
    std::sort(group.begin(), group.end(), [&](std::int32_t a, std::int32_t b) {
      const watts x = detail::hub_at(d, a).load, y = detail::hub_at(d, b).load;
      return x != y ? x > y : a < b;
    });
    if (detail::supply(d, group)) continue;
    for (std::size_t k = 0; k < count; ++k) {
      const std::span<const std::int32_t> alone = group.subspan(k, 1);
      if (count > 1 && detail::supply(d, alone)) continue;
      detail::tell_no_driver(d, alone[0]);
      told[static_cast<std::size_t>(alone[0])] = 1;
    }
  }
  return {};
}

}  // namespace tapewright::stage
