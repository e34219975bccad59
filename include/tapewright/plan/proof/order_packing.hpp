// SPDX-License-Identifier: BSL-1.0
// A small job as a question that is searched as a whole, and a plan's hubs, outputs and drivers as an answer gives them.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/text.hpp"
#include "tapewright/plan/controller_packing.hpp"
#include "tapewright/plan/driver_packing.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/proof/price_bound.hpp"
#include "tapewright/plan/search/order_search.hpp"
#include "tapewright/plan/stage/supplying.hpp"
#include "tapewright/plan/stage/switching.hpp"

namespace tapewright {

namespace detail {

/// Adds the controllers that a group may have, in the order of their codes; those without a price are left out, for
/// any order is cheaper that has a price for every line. False where there are too many.
constexpr bool add_controllers(const draft& d, const switched_group& g, order_question& q) noexcept {
  searched_kind k;
  if (!g.switched) {
    controller_types(d, g, -1);
    k = {.type = d.search.cutting.types[0], .part = -1, .leads = true};
    k.type.price = {};
    return q.kinds.push(k);
  }
  const std::size_t first = q.kinds.size();
  const zone& z = d.question.zones[static_cast<std::size_t>(g.zone)];
  for (std::size_t c = 0; c < d.parts.controllers.size(); ++c) {
    const controller& one = d.parts.controllers[c];
    k = {.type = {},
         .part = static_cast<std::int32_t>(c),
         .leads = may_lead(one, z, g.channels) && !pinned_elsewhere(z.pinned_controller, c),
         .repeats = one.is_repeater,
         .keeps_limit = one.enforces_all_on_limit};
    if (!(k.leads || k.repeats) || one.price.minor <= 0 || !controller_type(d, g, one, k.type)) continue;
    if (!q.kinds.push(k)) return false;
  }
  std::sort(q.kinds.begin() + first, q.kinds.end(),
            [&](const searched_kind& a, const searched_kind& b) noexcept {
              const int order = text_order(d.parts.controllers[static_cast<std::size_t>(a.part)].code,
                                           d.parts.controllers[static_cast<std::size_t>(b.part)].code);
              return order != 0 ? order < 0 : a.part < b.part;
            });
  return true;
}

constexpr bool add_drivers(const draft& d, const switched_group& g, order_question& q) noexcept {
  const std::size_t count = driver_types(d, d.question.zones[static_cast<std::size_t>(g.zone)], g.nominal);
  for (std::size_t k = 0; k < count; ++k) {
    const packing_type& type = d.search.cutting.types[k];
    if (type.price.minor > 0 && !q.drivers.push({.type = type, .part = d.search.part_of[k]})) return false;
  }
  return true;
}

constexpr bool add_group(const draft& d, std::span<const std::int32_t> runs, order_question& q) noexcept {
  const switched_group g = group_of(d, runs);
  const hub_bound bound = hub_bound_of(d, runs);
  searched_group group{.zone = g.zone,
                       .loads = g.loads(),
                       .first_kind = static_cast<std::int32_t>(q.kinds.size()),
                       .first_driver = static_cast<std::int32_t>(q.drivers.size()),
                       .hub = bound.hub.price,
                       .splice = bound.splice.price};
  if (!add_controllers(d, g, q)) return false;
  group.past_kind = static_cast<std::int32_t>(q.kinds.size());
  const zone& own = d.question.zones[static_cast<std::size_t>(g.zone)];
  bool shares = false;
  for (const searched_run& other : q.runs) {
    const searched_group& o = q.groups[static_cast<std::size_t>(other.group)];
    const zone& z = d.question.zones[static_cast<std::size_t>(o.zone)];
    if (!(o.zone == g.zone || may_share_driver(z, own)) ||
        d.tape_of(d.runs[static_cast<std::size_t>(other.place)]).nominal != g.nominal)
      continue;
    shares = true;
    group.first_driver = o.first_driver;
    group.past_driver = o.past_driver;
  }
  if (!shares) {
    if (!add_drivers(d, g, q)) return false;
    group.past_driver = static_cast<std::int32_t>(q.drivers.size());
  }
  for (const std::int32_t at : runs) {
    const run_plan& r = d.runs[static_cast<std::size_t>(at)];
    searched_run row{
        .feed = run_at_least(d, r).price, .place = at, .group = static_cast<std::int32_t>(q.groups.size())};
    const packing_item item = controller_item(d, g, r, 0);
    std::copy(item.load, item.load + packing_loads, row.load);
    const auto free = run_load(d, r, false), kept = run_load(d, r, true);
    if (!free.ok() || !kept.ok()) return false;
    const packing_item most = driver_item(free->sized, free->total_sized, 0),
                       least = driver_item(kept->sized, kept->total_sized, 0);
    std::copy(most.load, most.load + 2, row.free);
    std::copy(least.load, least.load + 2, row.kept);
    q.rest += row.feed;
    if (!q.runs.push(row)) return false;
  }
  return q.groups.push(group);
}

}  // namespace detail

/// Writes the question of a job whose runs are cut; `tape` is what tape and its pieces cost at least. False where it
/// is too large to be searched as a whole.
constexpr bool order_question_of(draft& d, money tape, order_question& q) noexcept {
  if (d.runs.size() > searched_runs) return false;
  q.rest = tape;
  bool small = true;
  stage::detail::each_group(
      d, stage::detail::runs_by_group(d),
      [&](std::span<const std::int32_t> group) noexcept { small = small && detail::add_group(d, group, q); });
  return small;
}

namespace stage {

namespace detail {

/// Opens the hubs of a given order behind those there are, for runs (places in d.runs) by their number in it.
constexpr void open_given_hubs(draft& d, const given_order& given,
                               std::span<const std::int32_t> runs) noexcept {
  const auto base = static_cast<std::int32_t>(d.hubs.size());
  for (const given_hub& h : given.hubs)
    d.hubs.push(
        {.zone = h.zone, .controller = h.controller, .follows = h.follows < 0 ? -1 : base + h.follows});
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const std::int32_t at = base + given.hub_of[i];
    put_on_hub(d, run_at(d, runs[i]), at);
    hub_plan& h = hub_at(d, at);
    if (h.past_run == 0 || runs[i] < h.first_run) h.first_run = runs[i];
    h.past_run = std::max(h.past_run, runs[i] + 1);
  }
  for (std::size_t h = static_cast<std::size_t>(base); h < d.hubs.size(); ++h)
    check_controller_of(d, h, d.tape_of(run_at(d, d.hubs[h].first_run)));
}

/// Opens the drivers of a given order whose hubs begin at one. Outputs of one place and one kind share drivers in the
/// order in which they come.
constexpr void open_given_drivers(draft& d, const given_order& given, std::int32_t hubs_from) noexcept {
  bool opened[searched_runs] = {};
  const auto hub_on = [&](std::size_t output) noexcept {
    std::int32_t h = 0;
    while (given.hubs[static_cast<std::size_t>(h)].output != static_cast<std::int32_t>(output)) ++h;
    return hubs_from + h;
  };
  for (std::size_t first = 0; first < given.outputs.size(); ++first) {
    if (opened[first]) continue;
    const auto driver_at = static_cast<std::int32_t>(d.drivers.size());
    d.drivers.push({.part = given.outputs[first]});
    driver_plan& p = d.drivers.back();
    const std::int32_t most = d.parts.drivers[static_cast<std::size_t>(p.part)].outputs;
    for (std::size_t o = first; o < given.outputs.size() && p.outputs < most; ++o) {
      if (opened[o] || given.outputs[o] != p.part || !may_share(d, hub_on(first), hub_on(o))) continue;
      opened[o] = true;
      const auto output_at = static_cast<std::int32_t>(d.outputs.size());
      d.outputs.push({.driver = driver_at, .number = ++p.outputs});
      for (std::size_t h = 0; h < given.hubs.size(); ++h)
        if (given.hubs[h].output == static_cast<std::int32_t>(o))
          hang_on(d, hubs_from + static_cast<std::int32_t>(h), output_at);
      check_output(d, output_at, d.nominal_of(hub_on(o)));
    }
  }
}

}  // namespace detail

/// Takes the cut runs; hubs, controllers, outputs and drivers are those of a given order.
constexpr fault take_given(draft& d, const given_order& given) noexcept {
  bounded<std::int32_t, searched_runs> runs;
  for (const run_plan& r : d.runs) runs.push(r.place);
  detail::open_given_hubs(d, given, runs.all());
  detail::open_given_drivers(d, given, 0);
  return {};
}

}  // namespace stage

}  // namespace tapewright
