// SPDX-License-Identifier: BSL-1.0
// Stage 3: controllers (and bare hubs) onto driver outputs, and outputs onto drivers.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/plan/driver_packing.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/run_load.hpp"
#include "tapewright/plan/search/packing.hpp"

namespace tapewright::stage {

namespace detail {

constexpr hub_plan& hub_at(draft& d, std::int32_t at) noexcept {
  return d.hubs[static_cast<std::size_t>(at)];
}
constexpr const hub_plan& hub_at(const draft& d, std::int32_t at) noexcept {
  return d.hubs[static_cast<std::size_t>(at)];
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

/// The cheapest drivers for the hubs of `group`, as a packing in d.search.
constexpr outcome<packing_answer> pack_hubs(draft& d, std::span<const std::int32_t> group) noexcept {
  const hub_plan& first = hub_at(d, group[0]);
  const std::size_t types = driver_types(d, d.zone_of(first), d.nominal_of(group[0]), true);
  const std::span<packing_item> items = d.search.cutting.items.first(group.size());
  for (std::size_t i = 0; i < group.size(); ++i) {
    const hub_plan& h = hub_at(d, group[i]);
    items[i] = driver_item(h.load, h.total, group[i]);
  }
  const auto packed = cheapest_packing({.items = items,
                                        .types = d.search.cutting.types.first(types),
                                        .loads = 2,
                                        .steps = d.tally.steps_of_one()},
                                       d.search.cutting.packing);
  if (packed.ok()) d.tally.spend(packed->steps);
  return packed;
}

/// What drivers for the runs behind the hubs of `group` cost at least, whatever hubs they had been put on:
/// every way to put hubs on outputs puts runs on outputs too.
constexpr cost drivers_at_least(draft& d, std::span<const std::int32_t> group,
                                std::span<std::int32_t> in_group) noexcept {
  const hub_plan& first = hub_at(d, group[0]);
  const std::size_t types = driver_types(d, d.zone_of(first), d.nominal_of(group[0]), false);
  for (packing_type& t : d.search.cutting.types.first(types)) t.least = 0;
  for (const std::int32_t at : group) in_group[static_cast<std::size_t>(at)] = 1;
  std::size_t count = 0;
  for (const run_plan& r : d.runs) {
    if (in_group[static_cast<std::size_t>(r.hub)] == 0) continue;
    // the least it can draw: with a controller that keeps the tape's all-on limit
    const auto load = run_load(d, r, true);
    if (!load.ok()) continue;
    d.search.cutting.items[count] =
        driver_item(load->sized, load->total_sized, static_cast<std::int64_t>(count));
    ++count;
  }
  for (const std::int32_t at : group) in_group[static_cast<std::size_t>(at)] = 0;
  const auto packed = cheapest_packing({.items = d.search.cutting.items.first(count),
                                        .types = d.search.cutting.types.first(types),
                                        .loads = 2,
                                        .steps = d.tally.steps_of_one()},
                                       d.search.cutting.packing);
  if (!packed.ok() || !packed->fits) return {};
  d.tally.spend(packed->steps);
  return packed->price_at_least;
}

/// Writes the drivers of a packing, driver by driver and output by output.
constexpr void open_drivers(draft& d, std::span<const std::int32_t> group,
                            const packing_answer& packed) noexcept {
  std::int32_t parts = 0;
  for (const packed_bin& bin : packed.bins) parts = std::max(parts, bin.part + 1);
  const auto base_driver = static_cast<std::int32_t>(d.drivers.size());
  for (std::int32_t part = 0; part < parts; ++part) d.drivers.push({});
  for (const packed_bin& bin : packed.bins) {
    driver_plan& p = d.drivers[static_cast<std::size_t>(base_driver) + static_cast<std::size_t>(bin.part)];
    p.part = d.search.part_of[static_cast<std::size_t>(bin.type)];
    ++p.outputs;
  }
  // a driver's outputs stand together: its first one follows those of the drivers before it
  const auto base_output = static_cast<std::int32_t>(d.outputs.size());
  const auto output_of = [&](const packed_bin& bin) noexcept {
    std::int32_t at = base_output + bin.output - 1;
    for (std::int32_t p = base_driver; p < base_driver + bin.part; ++p)
      at += d.drivers[static_cast<std::size_t>(p)].outputs;
    return at;
  };
  for (std::size_t b = 0; b < packed.bins.size(); ++b) d.outputs.push({});
  for (std::size_t i = 0; i < group.size(); ++i) {
    hub_plan& h = hub_at(d, group[i]);
    const packed_bin& bin = packed.bins[static_cast<std::size_t>(packed.bin_of[i])];
    h.output = output_of(bin);
    output_plan& o = d.outputs[static_cast<std::size_t>(h.output)];
    o.driver = base_driver + bin.part;
    o.number = bin.output;
    o.load += h.load;
    o.current += h.total;
    driver_plan& p = d.drivers[static_cast<std::size_t>(o.driver)];
    if (!(p.load.v > 0)) p.zone = h.zone;
    p.load += h.load;
  }
  const volts nominal = d.nominal_of(group[0]);
  for (std::size_t at = static_cast<std::size_t>(base_output); at < d.outputs.size(); ++at) {
    output_plan& o = d.outputs[at];
    const driver_plan& p = d.drivers[static_cast<std::size_t>(o.driver)];
    const zone& z = d.question.zones[static_cast<std::size_t>(p.zone)];
    const auto check = check_driver(d.parts.drivers[static_cast<std::size_t>(p.part)],
                                    duty_for(d, z, nominal, o.load, o.current));
    if (check.ok()) o.check = *check;
  }
}

/// Gives the group its outputs and drivers at the least cost; false, and nothing decided, where the drivers
/// of the catalogue do not carry all of it.
constexpr bool supply(draft& d, std::span<const std::int32_t> group,
                      std::span<std::int32_t> in_group) noexcept {
  const auto packed = pack_hubs(d, group);
  if (!packed.ok() || !packed->fits) return false;
  open_drivers(d, group, *packed);
  const cost price = packed->price;  // the room is used again
  d.tally.add(price, drivers_at_least(d, group, in_group));
  return true;
}

/// Takes the hubs that no driver carries even alone out of a group, and tells of them; returns what is left.
constexpr std::span<std::int32_t> without_hopeless(draft& d, std::span<std::int32_t> group) noexcept {
  const hub_plan& first = hub_at(d, group[0]);
  const std::size_t types = driver_types(d, d.zone_of(first), d.nominal_of(group[0]), true);
  std::size_t kept = 0;
  for (const std::int32_t at : group) {
    const hub_plan& h = hub_at(d, at);
    const packing_item item = driver_item(h.load, h.total, 0);
    bool held = false;
    for (const packing_type& t : d.search.cutting.types.first(types))
      held = held || (item.load[0] <= t.capacity[0] && item.load[1] <= t.capacity[1]);
    if (held) group[kept++] = at;
    else tell_no_driver(d, at);
  }
  return group.first(kept);
}

}  // namespace detail

/// Takes the hubs; decides the output of each, every output's driver and how many drivers there are;
/// scratch: three numbers a hub. Outputs are never joined: a hub hangs on one output. A hub that no driver
/// of the catalogue carries is told as a finding and stays without one.
///
/// Hubs that may share a driver (same place, same wishes, same voltage) are one packing question: whatever
/// drivers carry them, none cost less while that is proven.
constexpr fault supply_hubs(draft& d) noexcept {
  const auto may_share = [&](std::int32_t a, std::int32_t b) noexcept {
    const hub_plan &x = detail::hub_at(d, a), &y = detail::hub_at(d, b);
    return (x.zone == y.zone || may_share_driver(d.zone_of(x), d.zone_of(y))) &&
           d.nominal_of(a) == d.nominal_of(b);
  };
  const std::size_t hubs = d.hubs.size();
  std::span<std::int32_t> rest = d.scratch.first(hubs);
  for (std::size_t h = 0; h < hubs; ++h) rest[h] = static_cast<std::int32_t>(h);
  const std::span<std::int32_t> in_group = d.scratch.subspan(2 * hubs, hubs);
  std::fill(in_group.begin(), in_group.end(), 0);
  while (!rest.empty()) {
    const std::int32_t first = rest[0];
    std::size_t count = 0, left = 0;
    for (const std::int32_t at : rest)
      if (may_share(first, at)) d.scratch[hubs + count++] = at;
      else rest[left++] = at;
    rest = rest.first(left);
    const std::span<std::int32_t> all = d.scratch.subspan(hubs, count);
    const std::span<std::int32_t> group = detail::without_hopeless(d, all);
    if (group.empty() || detail::supply(d, group, in_group)) continue;
    // a least load can keep a whole group from fitting
    for (std::size_t k = 0; k < group.size(); ++k)
      if (!detail::supply(d, group.subspan(k, 1), in_group)) detail::tell_no_driver(d, group[k]);
  }
  return {};
}

}  // namespace tapewright::stage
