// SPDX-License-Identifier: BSL-1.0
// Runs onto controllers, as a packing question with a leader.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/text.hpp"
#include "tapewright/plan/driver_packing.hpp"
#include "tapewright/plan/driver_wishes.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/run_load.hpp"
#include "tapewright/plan/search/packing.hpp"
#include "tapewright/plan/spare.hpp"

namespace tapewright {

/// What the runs of one zone that one kind of controller can carry together have in common.
struct switched_group {
  std::int32_t zone = 0;
  volts nominal{};
  polarity common = polarity::common_positive;
  std::int32_t channels = 1;  ///< of the tape that has most
  bool switched = false;      ///< wants a controller at all
  amps supply_limit{};        ///< no output of any driver gives more, whichever of the runs are on it
  amps sure_supply{};         ///< some output gives so much, whichever they are
  money ampere_worth{};       ///< what an ampere of a controller's total is worth

  /// Loads of an item: its channels, the total of all, the total where the controller keeps the all-on limit.
  constexpr std::int32_t loads() const noexcept { return channels + 2; }
};
static_assert(max_channels + 2 <= packing_loads);

constexpr bool needs_controller(const draft& d, const run_plan& r) noexcept {
  const zone& z = d.zone_of(r);
  return z.wants_controller || !z.features.empty() || d.tape_of(r).channels.size() > 1;
}

/// Whether a controller may be used in a group at all: what it is, before how much it carries.
constexpr bool may_switch(const draft& d, const switched_group& g, const controller& c) noexcept {
  return c.lowest_input <= g.nominal && g.nominal <= c.highest_input && c.common == g.common &&
         d.question.zones[static_cast<std::size_t>(g.zone)].driver_ambient <= c.highest_ambient;
}

/// What the total of a controller is worth where one is chosen for a group.
constexpr money credit_of(const switched_group& g, const controller& c) noexcept {
  return credit_of(worth_of(g.ampere_worth, valued(usable_current(c))), c.price);
}

/// What it counts there.
constexpr cost counted(const switched_group& g, const controller& c) noexcept {
  return cost_of(c.price - credit_of(g, c), 1);
}

/// Writes what the outputs of drivers give to some runs of a group. Together their power is no less a share of nominal
/// voltage times current than the least of theirs, and no more than the greatest.
constexpr void limit_supply(const draft& d, switched_group& g, std::span<const std::int32_t> runs) noexcept {
  double least = 1, greatest = 0;
  for (const std::int32_t at : runs)
    for (const bool kept : {false, true})
      if (const auto load = run_load(d, d.runs[static_cast<std::size_t>(at)], kept); load.ok()) {
        least = smaller(least, power_share_of(*load, g.nominal));
        greatest = larger(greatest, power_share_of(*load, g.nominal));
      }
  if (!(greatest > 0)) greatest = 1;
  const zone& z = d.question.zones[static_cast<std::size_t>(g.zone)];
  g.supply_limit = g.sure_supply = greatest_output(d, z, g.nominal, greatest);
  if (least < greatest * (1 - rounding_share)) g.supply_limit = greatest_output(d, z, g.nominal, least);
}

/// The group of some runs (places in d.runs) that same_switched_group holds alike.
constexpr switched_group group_of(const draft& d, std::span<const std::int32_t> runs) noexcept {
  const run_plan& first = d.runs[static_cast<std::size_t>(runs[0])];
  const tape& t = d.tape_of(first);
  switched_group g{.zone = d.asked(first).zone,
                   .nominal = t.nominal,
                   .common = t.common,
                   .switched = needs_controller(d, first)};
  for (const std::int32_t at : runs)
    g.channels = std::max(g.channels, d.runs[static_cast<std::size_t>(at)].load.channels);
  limit_supply(d, g, runs);
  g.ampere_worth = d.question.rules.balanced.controller;
  for (const controller& c : d.parts.controllers)
    if (g.ampere_worth.minor > 0 && may_switch(d, g, c))
      g.ampere_worth = limited(g.ampere_worth, c.price, valued(usable_current(c)));
  return g;
}

/// A run as an item. Faults: none, the cutting stage has judged its tape.
constexpr packing_item controller_item(const draft& d, const switched_group& g, const run_plan& r,
                                       std::int64_t rank) noexcept {
  packing_item item{.rank = rank};
  const auto free = run_load(d, r, false), kept = run_load(d, r, true);
  if (!free.ok() || !kept.ok()) return item;
  for (std::int32_t c = 0; c < free->channels; ++c) item.load[c] = whole_load(free->channel_current[c].v);
  item.load[g.channels] = whole_load(free->total_sized.v);
  item.load[g.channels + 1] = whole_load(kept->total_sized.v);
  return item;
}

/// A controller as a type; false where it may not be used in this group at all. The total that does not
/// apply to it is held wherever the channels are, so that it never binds.
constexpr bool controller_type(const draft& d, const switched_group& g, const controller& c,
                               packing_type& type) noexcept {
  if (!may_switch(d, g, c)) return false;
  type = {.price = counted(g, c).price, .may_lead = !c.is_repeater, .may_follow = true};
  const std::int32_t own = std::min(c.channels, g.channels);
  for (std::int32_t k = 0; k < own; ++k) type.capacity[k] = whole_capacity(c.channel_limit.v);
  const std::int64_t total = whole_capacity(smaller(usable_current(c).v, g.supply_limit.v));
  std::int64_t channels = 0;
  for (std::int32_t k = 0; k < own; ++k) channels += type.capacity[k];
  channels = std::min(channels, most_load_units - 1);
  type.capacity[g.channels] = c.enforces_all_on_limit ? std::max(channels, total) : total;
  type.capacity[g.channels + 1] = total;
  return true;
}

/// Whether a controller may lead a zone at all: what it is, before how much it carries.
constexpr bool may_lead(const controller& c, const zone& z, std::int32_t channels) noexcept {
  return !c.is_repeater && meets(c.features, z.features) && c.channels >= channels;
}

/// Writes a leader and what may follow it (more of the same, or any repeater) as types, in the order of their
/// codes; `part_of` tells which is which. Without a leader (-1): hubs without controller, 1 a hub.
constexpr std::size_t controller_types(const draft& d, const switched_group& g, std::int32_t lead) noexcept {
  const std::span<packing_type> types = d.search.cutting.types;
  const std::span<std::int32_t> part_of = d.search.part_of;
  if (lead < 0) {
    types[0] = {.price = {1}};
    std::fill(types[0].capacity, types[0].capacity + packing_loads, most_load_units - 1);
    types[0].capacity[g.channels] = types[0].capacity[g.channels + 1] = whole_capacity(g.supply_limit.v);
    part_of[0] = -1;
    return 1;
  }
  const auto controller_at = [&](std::int32_t at) noexcept -> const controller& {
    return d.parts.controllers[static_cast<std::size_t>(at)];
  };
  std::size_t count = 0;
  packing_type type;
  for (std::int32_t c = 0; c < static_cast<std::int32_t>(d.parts.controllers.size()); ++c)
    if ((c == lead || controller_at(c).is_repeater) && controller_type(d, g, controller_at(c), type))
      part_of[count++] = c;
  std::sort(part_of.begin(), part_of.begin() + static_cast<std::ptrdiff_t>(count),
            [&](std::int32_t a, std::int32_t b) noexcept {
              const int order = text_order(controller_at(a).code, controller_at(b).code);
              return order != 0 ? order < 0 : a < b;
            });
  for (std::size_t k = 0; k < count; ++k) {
    controller_type(d, g, controller_at(part_of[k]), types[k]);
    types[k].rank = static_cast<std::int64_t>(k);
  }
  return count;
}

/// The cheapest way to carry the runs of a group behind one leader, as a packing in d.search.
constexpr outcome<packing_answer> pack_runs(draft& d, const switched_group& g,
                                            std::span<const std::int32_t> group, std::int32_t lead) noexcept {
  const std::size_t types = controller_types(d, g, lead);
  const std::span<packing_item> items = d.search.cutting.items.first(group.size());
  for (std::size_t i = 0; i < group.size(); ++i)
    items[i] =
        controller_item(d, g, d.runs[static_cast<std::size_t>(group[i])], static_cast<std::int64_t>(i));
  const auto packed = cheapest_packing({.items = items,
                                        .types = d.search.cutting.types.first(types),
                                        .loads = g.loads(),
                                        .oversize_in = g.channels,
                                        .one_leads = lead >= 0,
                                        .steps = d.tally.steps_of_one()},
                                       d.search.cutting.packing);
  if (packed.ok()) d.tally.spend(packed->steps);
  return packed;
}

constexpr controller_duty duty_of(const draft& d, const hub_plan& h, const tape& t) noexcept {
  return {.channel_current = h.channel_current,
          .total = h.total,
          .input = t.nominal,
          .common = t.common,
          .ambient = d.zone_of(h).driver_ambient};
}

/// Adds a run's load to a hub that may be empty.
constexpr void add_load(hub_plan& h, const tape_load& load) noexcept {
  for (std::int32_t c = 0; c < load.channels; ++c) {
    const auto at = static_cast<std::size_t>(c);
    if (at < h.channel_current.size()) h.channel_current[at] += load.channel_current[at];
    else h.channel_current.push(load.channel_current[at]);
  }
  h.total += load.total_sized;
  h.load += load.sized;
  ++h.runs;
}

/// Puts a run on a hub, with the load that it has behind the hub's controller.
constexpr void put_on_hub(draft& d, run_plan& r, std::int32_t hub) noexcept {
  r.hub = hub;
  hub_plan& h = d.hubs[static_cast<std::size_t>(hub)];
  const controller* c = d.controller_of(h);
  if (const auto load = run_load(d, r, c != nullptr && c->enforces_all_on_limit); load.ok()) r.load = *load;
  add_load(h, r.load);
}

/// Judges the controller of a hub by all that is on it.
constexpr void check_controller_of(draft& d, std::size_t hub, const tape& t) noexcept {
  hub_plan& h = d.hubs[hub];
  const controller* c = d.controller_of(h);
  if (c == nullptr) return;
  if (const auto check = check_controller(*c, duty_of(d, h, t)); check.ok()) h.check = *check;
}

/// Tells each hub between which places of d.runs its runs stand.
constexpr void find_runs_of_hubs(draft& d) noexcept {
  for (hub_plan& h : d.hubs) h.first_run = h.past_run = 0;
  for (std::size_t i = 0; i < d.runs.size(); ++i) {
    hub_plan& h = d.hubs[static_cast<std::size_t>(d.runs[i].hub)];
    if (h.past_run == 0) h.first_run = static_cast<std::int32_t>(i);
    h.past_run = static_cast<std::int32_t>(i) + 1;
  }
}

/// Of each hub: 1 where its group is known to have the cheapest hubs there are. From the switching stage to the
/// supplying stage it stands at the end of the scratch (8 numbers a run: space_for).
constexpr std::span<std::int32_t> hubs_proven(draft& d) noexcept {
  return d.scratch.subspan(7 * d.runs.size(), d.runs.size());
}

}  // namespace tapewright
