// SPDX-License-Identifier: BSL-1.0
// Hubs that may share drivers, with the runs behind them, as a question that is searched together.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/text.hpp"
#include "tapewright/plan/controller_packing.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/driver_packing.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/search/joint_search.hpp"
#include "tapewright/plan/search/packing.hpp"
#include "tapewright/plan/spare.hpp"

namespace tapewright {

using run_places = bounded<std::int32_t, joint_runs>;  ///< places in d.runs
using hub_places = bounded<std::int32_t, joint_runs>;  ///< places in d.hubs

/// The hub that leads the group of a hub: itself, or the one it follows.
constexpr std::int32_t leader_of(const draft& d, std::int32_t hub) noexcept {
  const std::int32_t follows = d.hubs[static_cast<std::size_t>(hub)].follows;
  return follows < 0 ? hub : follows;
}

/// What the controllers of some hubs count, see plan/spare.hpp.
constexpr cost controllers_cost(const draft& d, std::span<const std::int32_t> hubs) noexcept {
  cost sum;
  for (const std::int32_t at : hubs) {
    const hub_plan& h = d.hubs[static_cast<std::size_t>(at)];
    if (const controller* c = d.controller_of(h); c != nullptr) sum += cost_of(c->price - h.credit, 1);
  }
  return sum;
}

namespace detail {

/// The runs behind a leader, in the order of their codes.
constexpr run_places runs_behind(const draft& d, std::int32_t leader) noexcept {
  run_places runs;
  for (std::size_t i = 0; i < d.runs.size(); ++i)
    if (leader_of(d, d.runs[i].hub) == leader) runs.push(static_cast<std::int32_t>(i));
  std::sort(runs.begin(), runs.end(), [&](std::int32_t a, std::int32_t b) noexcept {
    const auto code = [&](std::int32_t at) noexcept {
      return d.asked(d.runs[static_cast<std::size_t>(at)]).code;
    };
    const int order = text_order(code(a), code(b));
    return order != 0 ? order < 0 : a < b;
  });
  return runs;
}

/// Whether one repeater does all that another does for no more money.
constexpr bool does_as_well(const joint_kind& a, const joint_kind& b, std::int32_t loads) noexcept {
  if (a.keeps_limit != b.keeps_limit || b.price < a.price) return false;
  for (std::int32_t k = 0; k < loads; ++k)
    if (a.capacity[k] < b.capacity[k]) return false;
  return true;
}

/// Adds the kinds of hub that a group may have, leaders that could be part of something better first. `most` is
/// what its hubs may cost to be that; false where there are too many, or one of them was not bounded.
constexpr bool add_kinds(draft& d, const switched_group& g, const run_places& runs, const cost& most,
                         joint_question& q) noexcept {
  const std::size_t first = q.kinds.size();
  packing_type type;
  const auto add = [&](std::int32_t part, bool leads, bool repeats, bool keeps) noexcept {
    joint_kind k{.part = part, .leads = leads, .repeats = repeats, .keeps_limit = keeps};
    std::copy(type.capacity, type.capacity + packing_loads, k.capacity);
    return q.kinds.push(k);
  };
  if (!g.switched) {
    controller_types(d, g, -1);
    type = d.search.cutting.types[0];
    return add(-1, true, true, false);
  }
  const zone& z = d.question.zones[static_cast<std::size_t>(g.zone)];
  for (std::size_t c = 0; c < d.parts.controllers.size(); ++c) {
    const controller& one = d.parts.controllers[c];
    const cost price = counted(g, one);
    if (!may_lead(one, z, g.channels) || pinned_elsewhere(z.pinned_controller, c) ||
        !costs_less(price, most) || !controller_type(d, g, one, type))
      continue;
    const auto packed = pack_runs(d, g, runs.all(), static_cast<std::int32_t>(c));
    if (!packed.ok() || (!packed->fits && !packed->proven)) return false;
    if (!packed->fits || !costs_less(packed->price_at_least, most)) continue;
    if (!add(static_cast<std::int32_t>(c), true, false, one.enforces_all_on_limit)) return false;
    q.kinds[q.kinds.size() - 1].price = price;
    q.kinds[q.kinds.size() - 1].group_least = packed->price_at_least;
  }
  const std::size_t leaders = q.kinds.size();
  for (std::size_t c = 0; c < d.parts.controllers.size(); ++c) {
    const controller& one = d.parts.controllers[c];
    if (!one.is_repeater || !controller_type(d, g, one, type)) continue;
    if (!add(static_cast<std::int32_t>(c), false, true, one.enforces_all_on_limit)) return false;
    q.kinds[q.kinds.size() - 1].price = counted(g, one);
  }
  const auto code = [&](const joint_kind& k) noexcept {
    return d.parts.controllers[static_cast<std::size_t>(k.part)].code;
  };
  std::sort(q.kinds.begin() + first, q.kinds.end(), [&](const joint_kind& a, const joint_kind& b) noexcept {
    if (a.leads != b.leads) return a.leads;
    if (a.group_least != b.group_least) return a.group_least < b.group_least;
    const int order = text_order(code(a), code(b));
    return order != 0 ? order < 0 : a.part < b.part;
  });
  std::size_t kept = leaders;
  for (std::size_t k = leaders; k < q.kinds.size(); ++k) {
    bool useless = false;
    for (std::size_t o = leaders; o < q.kinds.size(); ++o)
      useless = useless || (o != k && does_as_well(q.kinds[o], q.kinds[k], g.loads()) &&
                            (o < k || !does_as_well(q.kinds[k], q.kinds[o], g.loads())));
    if (!useless) q.kinds[kept++] = q.kinds[k];
  }
  q.kinds.count = kept;
  return leaders > first;
}

/// Adds the runs of a group, the greatest first.
constexpr bool add_runs(const draft& d, const switched_group& g, const run_places& runs, bool may_keep,
                        joint_question& q) noexcept {
  const std::size_t first = q.runs.size();
  for (const std::int32_t at : runs) {
    const run_plan& r = d.runs[static_cast<std::size_t>(at)];
    const packing_item item = controller_item(d, g, r, 0);
    const auto free = run_load(d, r, false), kept = run_load(d, r, may_keep);
    if (!free.ok() || !kept.ok()) return false;
    joint_run row{.free = {free->sized.v, free->total_sized.v},
                  .kept = {kept->sized.v, kept->total_sized.v},
                  .place = at};
    std::copy(item.load, item.load + packing_loads, row.load);
    if (!q.runs.push(row)) return false;
  }
  // an insertion, because what is equal is to stay in the order of the codes
  const auto greater = [&](const joint_run& a, const joint_run& b) noexcept {
    for (std::int32_t k = g.loads(); k-- > 0;)
      if (a.load[k] != b.load[k]) return a.load[k] > b.load[k];
    if (a.free.watts != b.free.watts) return a.free.watts > b.free.watts;
    if (a.free.amps != b.free.amps) return a.free.amps > b.free.amps;
    if (a.kept.watts != b.kept.watts) return a.kept.watts > b.kept.watts;
    return a.kept.amps > b.kept.amps;
  };
  for (std::size_t i = first + 1; i < q.runs.size(); ++i)
    for (std::size_t k = i; k > first && greater(q.runs[k], q.runs[k - 1]); --k)
      std::swap(q.runs[k], q.runs[k - 1]);
  return true;
}

}  // namespace detail

/// Writes the question for hubs that may share drivers; `slack` is what their drivers cost above their bound. False
/// where it is too large for the search, or where the hubs of some group are not known to be the cheapest.
constexpr bool joint_question_of(draft& d, std::span<const std::int32_t> hubs, const cost& slack,
                                 joint_question& q) noexcept {
  std::size_t count = 0;
  for (const std::int32_t at : hubs) {
    if (hubs_proven(d)[static_cast<std::size_t>(at)] == 0) return false;
    count += static_cast<std::size_t>(d.hubs[static_cast<std::size_t>(at)].runs);
  }
  if (count > joint_runs) return false;
  for (const std::int32_t at : hubs) {
    if (leader_of(d, at) != at) continue;
    const run_places runs = detail::runs_behind(d, at);
    hub_places own;
    for (const std::int32_t h : hubs)
      if (leader_of(d, h) == at) own.push(h);
    const switched_group g = group_of(d, runs.all());
    joint_group group{.first_run = static_cast<std::int32_t>(q.runs.size()),
                      .first_kind = static_cast<std::int32_t>(q.kinds.size()),
                      .loads = g.loads()};
    if (!detail::add_kinds(d, g, runs, controllers_cost(d, own.all()) + slack, q)) return false;
    bool may_keep = false;
    for (std::size_t k = static_cast<std::size_t>(group.first_kind); k < q.kinds.size(); ++k)
      may_keep = may_keep || q.kinds[k].keeps_limit;
    if (!detail::add_runs(d, g, runs, may_keep, q)) return false;
    group.past_run = static_cast<std::int32_t>(q.runs.size());
    group.past_kind = static_cast<std::int32_t>(q.kinds.size());
    if (!q.groups.push(group)) return false;
  }
  return q.runs.size() == count;  // else a group is not here as a whole
}

/// What the drivers of d.search cost for some loads.
struct joint_drivers {
  draft* d;
  std::size_t types;

  constexpr drivers_cost operator()(std::span<const output_load> loads, bool decided,
                                    std::int64_t steps) const noexcept {
    const std::span<packing_item> items = d->search.cutting.items.first(loads.size());
    for (std::size_t i = 0; i < loads.size(); ++i)
      items[i] = driver_item(watts{loads[i].watts}, amps{loads[i].amps}, static_cast<std::int64_t>(i));
    const auto packed = cheapest_packing({.items = items,
                                          .types = d->search.cutting.types.first(types),
                                          .loads = 2,
                                          .of_pieces = !decided,
                                          .steps = steps},
                                         d->search.cutting.packing);
    if (!packed.ok()) return {};
    if (!packed->fits) return {.price_at_least = packed->proven ? no_choice : cost{}, .steps = packed->steps};
    return {true, packed->price, packed->price_at_least, packed->steps};
  }
};

/// Puts the hubs of an answer in the place of those that were there; returns theirs. A group's leader keeps its
/// place; a hub that is not used any more has no runs.
constexpr hub_places put_joint_hubs(draft& d, std::span<const std::int32_t> hubs,
                                    const joint_question& q) noexcept {
  bounded<std::int32_t, joint_groups> leaders;
  for (const joint_group& g : q.groups)
    leaders.push(leader_of(
        d, d.runs[static_cast<std::size_t>(q.runs[static_cast<std::size_t>(g.first_run)].place)].hub));
  for (const std::int32_t at : hubs) {
    hub_plan& h = d.hubs[static_cast<std::size_t>(at)];
    h = {.zone = h.zone};
  }
  const auto place_for_one_more = [&]() noexcept {
    std::size_t at = 0;
    while (at < d.hubs.size() &&
           (d.hubs[at].runs > 0 ||
            std::find(leaders.begin(), leaders.end(), static_cast<std::int32_t>(at)) != leaders.end()))
      ++at;
    if (at == d.hubs.size()) d.hubs.push({});
    return static_cast<std::int32_t>(at);
  };
  hub_places now;
  for (std::size_t g = 0; g < q.groups.size(); ++g) {
    const joint_group& group = q.groups[g];
    const std::int32_t zone = d.hubs[static_cast<std::size_t>(leaders[g])].zone;
    run_places runs;
    for (std::int32_t r = group.first_run; r < group.past_run; ++r)
      runs.push(q.runs[static_cast<std::size_t>(r)].place);
    const switched_group alike = group_of(d, runs.all());
    for (std::int32_t k = 0; k < group.kept_hubs; ++k) {
      const std::int32_t at = k == 0 ? leaders[g] : place_for_one_more();
      hub_plan& h = d.hubs[static_cast<std::size_t>(at)];
      h = {.zone = zone, .follows = k == 0 ? -1 : leaders[g]};
      const tape* t = nullptr;
      for (std::int32_t r = group.first_run; r < group.past_run; ++r) {
        const joint_run& row = q.runs[static_cast<std::size_t>(r)];
        if (row.kept_hub != k) continue;
        h.controller = row.kept_part;
        run_plan& run = d.runs[static_cast<std::size_t>(row.place)];
        put_on_hub(d, run, at);
        t = &d.tape_of(run);
      }
      check_controller_of(d, static_cast<std::size_t>(at), *t);
      if (const controller* c = d.controller_of(h); c != nullptr) h.credit = credit_of(alike, *c);
      now.push(at);
    }
  }
  std::sort(now.begin(), now.end(), [](std::int32_t a, std::int32_t b) noexcept { return a < b; });
  return now;
}

}  // namespace tapewright
