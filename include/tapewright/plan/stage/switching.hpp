// SPDX-License-Identifier: BSL-1.0
// Stage 2: the runs of each zone onto as many controllers as the limits ask.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/text.hpp"
#include "tapewright/plan/controller_packing.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/driver_wishes.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/run_load.hpp"
#include "tapewright/plan/spare.hpp"

namespace tapewright::stage {

namespace detail {

constexpr run_plan& run_at(draft& d, std::int32_t at) noexcept {
  return d.runs[static_cast<std::size_t>(at)];
}
constexpr const run_plan& run_at(const draft& d, std::int32_t at) noexcept {
  return d.runs[static_cast<std::size_t>(at)];
}

/// The cheapest carriers of a group, and what any cost at least.
struct carrier_choice {
  std::int32_t lead = -1;  ///< place in catalogue.controllers; -1 = no controller
  cost price = no_choice, price_at_least = no_choice;
  std::int64_t oversize = 0;
  packing_answer packed{};  ///< of the one weighed last, in d.search
  std::int32_t packed_for = -2;
};

/// Weighs every controller that may lead the group, with all that may follow it.
constexpr carrier_choice choose_carriers(draft& d, const switched_group& g,
                                         std::span<const std::int32_t> group) noexcept {
  carrier_choice best;
  const auto weigh = [&](std::int32_t lead) noexcept {
    const auto packed = pack_runs(d, g, group, lead);
    if (!packed.ok()) return;
    best.packed = *packed;
    best.packed_for = lead;
    if (!packed->fits) {
      if (!packed->proven) best.price_at_least = {};
      return;
    }
    best.price_at_least = std::min(best.price_at_least, packed->price_at_least);
    const auto before = [&]() noexcept {
      if (packed->price != best.price) return packed->price < best.price;
      if (packed->oversize != best.oversize) return packed->oversize < best.oversize;
      return text_before(d.parts.controllers[static_cast<std::size_t>(lead)].code,
                         d.parts.controllers[static_cast<std::size_t>(best.lead)].code);
    };
    if (!before()) return;
    best.lead = lead;
    best.price = packed->price;
    best.oversize = packed->oversize;
  };
  if (!g.switched) {
    weigh(-1);
    return best;
  }
  const zone& z = d.question.zones[static_cast<std::size_t>(g.zone)];
  packing_type type;
  for (std::int32_t c = 0; c < static_cast<std::int32_t>(d.parts.controllers.size()); ++c) {
    const controller& one = d.parts.controllers[static_cast<std::size_t>(c)];
    if (pinned_elsewhere(z.pinned_controller, static_cast<std::size_t>(c))) continue;
    if (best.price < counted(g, one)) continue;  // dearer by itself
    if (may_lead(one, z, g.channels) && controller_type(d, g, one, type)) weigh(c);
  }
  return best;
}

/// Writes the hubs of a packing: the leader first, each with its runs in the order of the group.
constexpr void open_hubs(draft& d, const switched_group& g, std::span<const std::int32_t> group,
                         const packing_answer& packed) noexcept {
  const auto base = static_cast<std::int32_t>(d.hubs.size());
  const tape& t = d.tape_of(run_at(d, group[0]));
  for (std::size_t b = 0; b < packed.bins.size(); ++b)
    d.hubs.push({.zone = g.zone,
                 .controller = d.search.part_of[static_cast<std::size_t>(packed.bins[b].type)],
                 .follows = b == 0 ? -1 : base});
  for (std::size_t i = 0; i < group.size(); ++i) put_on_hub(d, run_at(d, group[i]), base + packed.bin_of[i]);
  for (std::size_t h = static_cast<std::size_t>(base); h < d.hubs.size(); ++h) {
    check_controller_of(d, h, t);
    if (const controller* c = d.controller_of(d.hubs[h]); c != nullptr) d.hubs[h].credit = credit_of(g, *c);
  }
}

/// Puts a group where it costs least; false, and nothing decided, where nothing carries all of it.
constexpr bool carry(draft& d, const switched_group& g, std::span<const std::int32_t> group) noexcept {
  switched_group sure = g;  // what is put on a hub is carried by some driver
  sure.supply_limit = g.sure_supply;
  cost at_least = no_choice;
  if (g.sure_supply < g.supply_limit) at_least = choose_carriers(d, g, group).price_at_least;
  const carrier_choice chosen = choose_carriers(d, sure, group);
  if (!(chosen.price < no_choice)) return false;
  at_least = std::min(at_least, chosen.price_at_least);
  packing_answer packed = chosen.packed;
  if (chosen.packed_for != chosen.lead) {  // the room holds another one
    const auto again = pack_runs(d, sure, group, chosen.lead);
    if (!again.ok() || !again->fits) return false;
    packed = *again;
  }
  if (chosen.lead >= 0) d.tally.add(packed.price, at_least);
  const bool proven = !costs_less(at_least, packed.price);
  const std::size_t before = d.hubs.size();
  open_hubs(d, g, group, packed);
  for (std::size_t h = before; h < d.hubs.size(); ++h) hubs_proven(d)[h] = proven ? 1 : 0;
  return true;
}

/// Tells why no controller carries a run: the limit that the nearest candidate breaks, and by how much.
constexpr void tell_no_controller(draft& d, std::int32_t at) noexcept {
  const run_plan& r = d.runs[static_cast<std::size_t>(at)];
  const zone& z = d.zone_of(r);
  const tape& t = d.tape_of(r);
  finding f{.code = finding_code::no_controller,
            .level = severity::failed,
            .subject = {subject_kind::run, at},
            .utilisation = boundless_utilisation,
            .from = source::maker_statement,
            .help = advice::widen_catalogue,
            .stopped_by = needs_controller(d, r) ? governed::features : governed::capacity};
  hub_plan alone{.zone = d.asked(r).zone};
  add_load(alone, r.load);
  for (std::size_t i = 0; i < d.parts.controllers.size(); ++i) {
    const controller& c = d.parts.controllers[i];
    if (!needs_controller(d, r) || pinned_elsewhere(z.pinned_controller, i) ||
        !may_lead(c, z, r.load.channels))
      continue;
    const auto check = check_controller(c, duty_of(d, alone, t));
    if (!check.ok()) continue;
    const double missed = check->fits ? 1.0 : larger(check->utilisation, 1.0);
    if (missed >= f.utilisation) continue;
    f.utilisation = missed;
    f.stopped_by = check->by;
    f.help = advice::larger_controller;
    const auto busiest = static_cast<std::size_t>(check->worst_channel);
    switch (check->by) {
      case governed::channel_current:
        f.value = alone.channel_current[busiest].v;
        f.limit = c.channel_limit.v;
        break;
      case governed::total_current:
        f.value = alone.total.v;
        f.limit = c.total_limit.v;
        break;
      case governed::terminal_current:
        f.value = alone.total.v;
        f.limit = c.terminal.v;
        break;
      case governed::ambient:
        f.value = z.driver_ambient.v;
        f.limit = c.highest_ambient.v;
        f.help = advice::cooler_place;
        break;
      case governed::input_voltage:
        f.value = t.nominal.v;
        f.limit = c.highest_input.v;
        break;
      default: break;
    }
  }
  const amps supply = greatest_output(d, z, t.nominal, power_share_of(r.load, t.nominal));
  if (f.limit == 0 && alone.total > supply) {
    f.value = alone.total.v;
    f.limit = supply.v;
    f.utilisation = utilisation(alone.total, supply);
    f.stopped_by = governed::capacity;
    f.help = advice::feed_more_points;
  }
  d.findings.push(f);
}

/// A run that nothing carries, on a bare hub of its own.
constexpr void leave_bare(draft& d, std::int32_t at) noexcept {
  run_plan& r = run_at(d, at);
  hub_plan bare{.zone = d.asked(r).zone};
  add_load(bare, r.load);
  tell_no_controller(d, at);
  r.hub = static_cast<std::int32_t>(d.hubs.size());
  d.hubs.push(bare);
}

/// Whether a run fits any carrier that the group could have, alone on it.
constexpr bool has_carrier(const draft& d, const switched_group& g, const run_plan& r) noexcept {
  const packing_item item = controller_item(d, g, r, 0);
  const auto held_by = [&](const packing_type& type) noexcept {
    for (std::int32_t k = 0; k < g.loads(); ++k)
      if (item.load[k] > type.capacity[k]) return false;
    return true;
  };
  if (!g.switched) return item.load[g.channels] <= whole_capacity(g.supply_limit.v);
  const zone& z = d.question.zones[static_cast<std::size_t>(g.zone)];
  packing_type type;
  for (std::size_t i = 0; i < d.parts.controllers.size(); ++i) {
    const controller& c = d.parts.controllers[i];
    const bool leads = may_lead(c, z, g.channels) && !pinned_elsewhere(z.pinned_controller, i);
    if ((c.is_repeater || leads) && controller_type(d, g, c, type) && held_by(type)) return true;
  }
  return false;
}

/// Decides the hubs of one group (places in d.runs).
constexpr void switch_group(draft& d, std::span<std::int32_t> all) noexcept {
  const switched_group g = group_of(d, all);
  std::size_t kept = 0;
  const auto group_for = [&](std::int32_t at) noexcept {  // as if it were alone
    switched_group alone = g;
    if (g.sure_supply < g.supply_limit) limit_supply(d, alone, {&at, 1});
    return alone;
  };
  for (const std::int32_t at : all)
    if (has_carrier(d, group_for(at), run_at(d, at))) all[kept++] = at;
    else leave_bare(d, at);
  const std::span<const std::int32_t> group = all.first(kept);
  if (group.empty() || carry(d, g, group)) return;
  const unbounded none{d.tally};  // there may be ways to carry some of them together
  d.tally.split = true;
  for (std::size_t k = 0; k < kept; ++k)
    if (!carry(d, group_for(group[k]), group.subspan(k, 1))) leave_bare(d, group[k]);
}

/// The order in which runs are looked at: zone by zone, group by group, code by code; the order of the
/// job's lists matters only between equal codes.
constexpr bool looked_at_before(const draft& d, std::int32_t x, std::int32_t y) noexcept {
  const run_plan &a = run_at(d, x), &b = run_at(d, y);
  const zone &p = d.zone_of(a), &q = d.zone_of(b);
  if (const int order = text_order(p.code, q.code); order != 0) return order < 0;
  if (d.asked(a).zone != d.asked(b).zone) return d.asked(a).zone < d.asked(b).zone;
  const tape &t = d.tape_of(a), &u = d.tape_of(b);
  if (t.nominal != u.nominal) return t.nominal < u.nominal;
  if (t.common != u.common) return t.common < u.common;
  if (needs_controller(d, a) != needs_controller(d, b)) return needs_controller(d, b);
  if (const int order = text_order(d.asked(a).code, d.asked(b).code); order != 0) return order < 0;
  return x < y;
}

/// The runs of one zone that one kind of controller can carry together: same voltage, same polarity.
constexpr bool same_group(const draft& d, const run_plan& a, const run_plan& b) noexcept {
  return d.asked(a).zone == d.asked(b).zone && d.tape_of(a).nominal == d.tape_of(b).nominal &&
         d.tape_of(a).common == d.tape_of(b).common && needs_controller(d, a) == needs_controller(d, b);
}

/// All runs, group by group, at the start of the scratch.
constexpr std::span<std::int32_t> runs_by_group(draft& d) noexcept {
  const std::span<std::int32_t> order = d.scratch.first(d.runs.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = static_cast<std::int32_t>(i);
  std::sort(order.begin(), order.end(),
            [&](std::int32_t a, std::int32_t b) noexcept { return looked_at_before(d, a, b); });
  return order;
}

/// Calls visit(group) for each group of such an order.
template <class Visit>
constexpr void each_group(const draft& d, std::span<std::int32_t> order, const Visit& visit) noexcept {
  for (std::size_t first = 0, past = 0; first < order.size(); first = past) {
    while (past < order.size() && same_group(d, run_at(d, order[first]), run_at(d, order[past]))) ++past;
    visit(order.subspan(first, past - first));
  }
}

}  // namespace detail

/// Takes the cut runs; decides the hub of each and every hub's controller; scratch: two numbers a run,
/// of which hubs_proven stands until the next stage.
/// Each group of runs that can share controllers is a packing question, asked for every controller that may
/// lead it. A run that nothing carries is told as a finding and gets a bare hub, so that the rest of the
/// plan can still be judged.
constexpr fault switch_runs(draft& d) noexcept {
  const std::span<std::int32_t> proven = hubs_proven(d);
  std::fill(proven.begin(), proven.end(), 0);
  detail::each_group(d, detail::runs_by_group(d),
                     [&](std::span<std::int32_t> group) noexcept { detail::switch_group(d, group); });
  find_runs_of_hubs(d);
  return {};
}

}  // namespace tapewright::stage
