// SPDX-License-Identifier: BSL-1.0
// Stage 3: controllers (and bare hubs) onto driver outputs, and outputs onto drivers.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/plan/controller_packing.hpp"
#include "tapewright/plan/driver_packing.hpp"
#include "tapewright/plan/joint_packing.hpp"
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
        f.value = c.class_nameplate.v;
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

/// The cheapest drivers for the hubs of `group`, of the types in d.search; the packing stands there too.
constexpr outcome<packing_answer> pack_hubs(draft& d, std::span<const std::int32_t> group, std::size_t types,
                                            std::int64_t steps) noexcept {
  const std::span<packing_item> items = d.search.cutting.items.first(group.size());
  for (std::size_t i = 0; i < group.size(); ++i) {
    const hub_plan& h = hub_at(d, group[i]);
    items[i] = driver_item(h.load, h.total, group[i]);
  }
  const auto packed = cheapest_packing(
      {.items = items, .types = d.search.cutting.types.first(types), .loads = 2, .steps = steps},
      d.search.cutting.packing);
  if (packed.ok()) d.tally.spend(packed->steps);
  return packed;
}

/// What drivers for the runs behind the hubs of `group` cost at least, whatever hubs they had been put on:
/// every way to put hubs on outputs puts runs on outputs too.
constexpr cost drivers_at_least(draft& d, std::span<const std::int32_t> group, std::size_t types,
                                std::span<std::int32_t> in_group) noexcept {
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
                                        .of_pieces = true,
                                        .steps = d.tally.steps_of_one()},
                                       d.search.cutting.packing);
  if (!packed.ok() || !packed->fits) return {};
  d.tally.spend(packed->steps);
  return packed->price_at_least;
}

/// Whether two hubs may hang on one driver.
constexpr bool may_share(const draft& d, std::int32_t a, std::int32_t b) noexcept {
  const hub_plan &x = hub_at(d, a), &y = hub_at(d, b);
  return (x.zone == y.zone || may_share_driver(d.zone_of(x), d.zone_of(y))) &&
         d.nominal_of(a) == d.nominal_of(b);
}

/// Hangs a hub on an output; the first one tells the place of its driver.
constexpr void hang_on(draft& d, std::int32_t hub, std::int32_t output) noexcept {
  hub_plan& h = hub_at(d, hub);
  h.output = output;
  output_plan& o = d.outputs[static_cast<std::size_t>(output)];
  o.load += h.load;
  o.current += h.total;
  driver_plan& p = d.drivers[static_cast<std::size_t>(o.driver)];
  if (!(p.load.v > 0)) p.zone = h.zone;
  p.load += h.load;
}

/// Judges the driver of an output by all that hangs on it.
constexpr void check_output(draft& d, std::int32_t output, volts nominal) noexcept {
  output_plan& o = d.outputs[static_cast<std::size_t>(output)];
  const driver_plan& p = d.drivers[static_cast<std::size_t>(o.driver)];
  const zone& z = d.question.zones[static_cast<std::size_t>(p.zone)];
  const auto check = check_driver(d.parts.drivers[static_cast<std::size_t>(p.part)],
                                  duty_for(d, z, nominal, o.load, o.current));
  if (check.ok()) o.check = *check;
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
    p.credit = d.parts.drivers[static_cast<std::size_t>(p.part)].price -
               d.search.cutting.types[static_cast<std::size_t>(bin.type)].price;
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
    const packed_bin& bin = packed.bins[static_cast<std::size_t>(packed.bin_of[i])];
    const std::int32_t at = output_of(bin);
    output_plan& o = d.outputs[static_cast<std::size_t>(at)];
    o.driver = base_driver + bin.part;
    o.number = bin.output;
    hang_on(d, group[i], at);
  }
  for (std::size_t at = static_cast<std::size_t>(base_output); at < d.outputs.size(); ++at)
    check_output(d, static_cast<std::int32_t>(at), d.nominal_of(group[0]));
}

/// What a search of controllers and drivers together may take: it leaves half of all steps to the others.
constexpr std::int64_t steps_together(const draft& d) noexcept {
  return std::max(d.tally.steps_left - d.question.rules.search_steps / 2, std::int64_t{0}) / 4;
}

/// Other hubs that are better; none where there are none.
struct better_hubs {
  hub_places hubs{};
  std::int64_t packing_steps = 0;  ///< that their drivers are found in
  cost price_at_least{};           ///< of controllers and drivers
};

/// Looks for other controllers for the runs of a group whose drivers cost `price` and at least `least`, and puts
/// them in place where they and their drivers cost less together.
constexpr better_hubs improve_together(draft& d, std::span<const std::int32_t> group, const cost& price,
                                       const cost& least) noexcept {
  const cost controllers = controllers_cost(d, group);
  joint_question q;
  if (!joint_question_of(d, group, price - least, q)) return {.price_at_least = controllers + least};
  const std::size_t types = driver_types(d, d.zone_of(hub_at(d, group[0])), d.nominal_of(group[0]));
  const joint_answer answer =
      search_together(q, joint_drivers{&d, types}, controllers + price, steps_together(d));
  d.tally.spend(answer.steps);
  better_hubs better{.packing_steps = answer.packing_steps,
                     .price_at_least = std::max(answer.price_at_least, controllers + least)};
  if (answer.improved && !d.first_hubs) better.hubs = put_joint_hubs(d, group, q);
  return better;
}

/// Gives the group its outputs and drivers at the least cost; false, and nothing decided, where the drivers
/// of the catalogue do not carry all of it.
constexpr bool supply(draft& d, std::span<const std::int32_t> group,
                      std::span<std::int32_t> in_group) noexcept {
  const zone& z = d.zone_of(hub_at(d, group[0]));
  const volts nominal = d.nominal_of(group[0]);
  const std::size_t types = driver_types(d, z, nominal);
  const auto packed = pack_hubs(d, group, types, d.tally.steps_of_one());
  if (!packed.ok() || !packed->fits) return false;
  const std::size_t outputs = d.outputs.size(), drivers = d.drivers.size();
  open_drivers(d, group, *packed);
  const cost least = drivers_at_least(d, group, types, in_group);  // the room is used again
  if (!costs_less(least, packed->price)) {
    d.tally.add(packed->price, least);
    return true;
  }
  const cost controllers = controllers_cost(d, group);  // the tally has them
  const better_hubs better = improve_together(d, group, packed->price, least);
  if (better.hubs.empty()) {
    d.tally.add(packed->price, better.price_at_least - controllers);
    return true;
  }
  d.other_hubs = true;
  d.outputs.keep(outputs);
  d.drivers.keep(drivers);
  const std::span<const std::int32_t> hubs = better.hubs.all();
  const auto again = pack_hubs(d, hubs, driver_types(d, z, nominal),
                               std::max(d.tally.steps_of_one(), better.packing_steps + 1));
  if (!again.ok() || !again->fits) return false;
  open_drivers(d, hubs, *again);
  d.tally.add(controllers_cost(d, hubs) + again->price - controllers, better.price_at_least - controllers);
  return true;
}

/// Takes the hubs that no driver carries even alone out of a group, and tells of them; returns what is left.
constexpr std::span<std::int32_t> without_hopeless(draft& d, std::span<std::int32_t> group) noexcept {
  const hub_plan& first = hub_at(d, group[0]);
  const std::size_t types = driver_types(d, d.zone_of(first), d.nominal_of(group[0]));
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

/// Takes out the hubs that have no runs any more, where some were given up for others; those behind move up.
constexpr void drop_empty_hubs(draft& d) noexcept {
  if (std::none_of(d.hubs.begin(), d.hubs.end(), [](const hub_plan& h) noexcept { return h.past_run == 0; }))
    return;
  const std::span<std::int32_t> now_at = d.scratch.first(d.hubs.size());
  std::size_t kept = 0;
  for (std::size_t h = 0; h < d.hubs.size(); ++h) {
    now_at[h] = static_cast<std::int32_t>(kept);
    if (d.hubs[h].runs > 0) d.hubs[kept++] = d.hubs[h];
  }
  d.hubs.keep(kept);
  for (hub_plan& h : d.hubs)
    if (h.follows >= 0) h.follows = now_at[static_cast<std::size_t>(h.follows)];
  for (run_plan& r : d.runs) r.hub = now_at[static_cast<std::size_t>(r.hub)];
  for (finding& f : d.findings)
    if (f.subject.kind == subject_kind::hub)
      f.subject.index = now_at[static_cast<std::size_t>(f.subject.index)];
  find_runs_of_hubs(d);
}

}  // namespace detail

/// Takes the hubs; decides the output of each, every output's driver and how many drivers there are.
/// Scratch: three numbers a run, beside hubs_proven. Outputs are never joined: a hub hangs on one output.
/// A hub that no driver of the catalogue carries is told as a finding and stays without one.
///
/// Hubs that may share a driver (same place, same wishes, same voltage) are one packing question. Where their
/// drivers cost more than the bound over single runs, controllers and drivers are searched together, and the hubs
/// of the switching stage are given up for others that cost less with their drivers.
constexpr fault supply_hubs(draft& d) noexcept {
  const std::size_t hubs = d.hubs.size();
  std::span<std::int32_t> rest = d.scratch.first(hubs);
  for (std::size_t h = 0; h < hubs; ++h) rest[h] = static_cast<std::int32_t>(h);
  const std::size_t runs = d.runs.size();  // there may be more hubs, up to one a run
  const std::span<std::int32_t> in_group = d.scratch.subspan(2 * runs, runs);
  std::fill(in_group.begin(), in_group.end(), 0);
  while (!rest.empty()) {
    const std::int32_t first = rest[0];
    std::size_t count = 0, left = 0;
    for (const std::int32_t at : rest)
      if (detail::may_share(d, first, at)) d.scratch[runs + count++] = at;
      else rest[left++] = at;
    rest = rest.first(left);
    const std::span<std::int32_t> all = d.scratch.subspan(runs, count);
    const std::span<std::int32_t> group = detail::without_hopeless(d, all);
    if (group.empty() || detail::supply(d, group, in_group)) continue;
    // a least load can keep a whole group from fitting
    const unbounded none{d.tally};
    for (std::size_t k = 0; k < group.size(); ++k)
      if (!detail::supply(d, group.subspan(k, 1), in_group)) detail::tell_no_driver(d, group[k]);
  }
  detail::drop_empty_hubs(d);
  return {};
}

}  // namespace tapewright::stage
