// SPDX-License-Identifier: BSL-1.0
// An order of many small driver places, proven place by place.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/bounded.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/proof/order_packing.hpp"
#include "tapewright/plan/proof/price_bound.hpp"
#include "tapewright/plan/search/order_search.hpp"
#include "tapewright/plan/stage/feeding.hpp"
#include "tapewright/plan/stage/protecting.hpp"
#include "tapewright/plan/stage/supplying.hpp"

namespace tapewright {

namespace detail {

/// What asking for another order of a place counts in steps.
inline constexpr std::int64_t steps_of_place = 200;

using place_runs = bounded<std::int32_t, searched_runs>;  ///< places in d.runs

/// What controllers and drivers cost: of those hubs and drivers for whose driver `here` is true.
template <class Here>
constexpr cost carriers_cost(const draft& d, const Here& here) noexcept {
  cost sum;
  for (std::size_t p = 0; p < d.drivers.size(); ++p)
    if (here(static_cast<std::int32_t>(p)))
      sum += cost_of(d.parts.drivers[static_cast<std::size_t>(d.drivers[p].part)].price, 1);
  for (const hub_plan& h : d.hubs)
    if (const controller* c = d.controller_of(h);
        c != nullptr && here(d.outputs[static_cast<std::size_t>(h.output)].driver))
      sum += cost_of(c->price, 1);
  return sum;
}

/// What wiring and protection of an output cost, each piece of cable by its share.
constexpr cost output_cost(draft& d, std::size_t output) noexcept {
  return stage::detail::cost_of_wiring(d, static_cast<std::int32_t>(output), cable_share) +
         protection_cost(d, d.outputs[output]);
}

/// All of that together.
template <class Here>
constexpr cost place_cost(draft& d, const Here& here) noexcept {
  cost sum = carriers_cost(d, here);
  for (std::size_t o = 0; o < d.outputs.size(); ++o)
    if (here(d.outputs[o].driver)) sum += output_cost(d, o);
  return sum;
}

/// The output of a run.
constexpr const output_plan& output_of(const draft& d, std::int32_t run) noexcept {
  const hub_plan& h = d.hubs[static_cast<std::size_t>(d.runs[static_cast<std::size_t>(run)].hub)];
  return d.outputs[static_cast<std::size_t>(h.output)];
}

/// What a place costs as it is planned.
constexpr cost planned_cost(draft& d, const place_runs& runs) noexcept {
  return place_cost(d, [&](std::int32_t driver) noexcept {
    return std::any_of(runs.begin(), runs.end(),
                       [&](std::int32_t r) noexcept { return output_of(d, r).driver == driver; });
  });
}

/// What the same place costs as another order would have it, and whether it can be wired and protected so; its drop is
/// not looked at. All is put back as it was.
///
/// With the same pieces of cable an order differs by its parts alone, whatever the other places have: unless it costs
/// less, it is of no use.
struct other_orders {
  draft* d;
  const place_runs* runs;
  const order_question* q;
  cost now;     ///< of the place as it is planned
  money limit;  ///< what costs as much is of no use either

  constexpr cost operator()(const given_order& given) const noexcept {
    kept_runs kept;
    for (const std::int32_t r : *runs) kept.push(d->runs[static_cast<std::size_t>(r)]);
    const std::size_t hubs = d->hubs.size(), outputs = d->outputs.size(), drivers = d->drivers.size(),
                      findings = d->findings.size();
    stage::detail::open_given_hubs(*d, given, runs->all());
    stage::detail::open_given_drivers(*d, given, static_cast<std::int32_t>(hubs));
    const auto added = [&](std::int32_t driver) noexcept {
      return static_cast<std::size_t>(driver) >= drivers;
    };
    bool as_before[searched_runs] = {}, differs = false;
    cost least = carriers_cost(*d, added);
    for (std::size_t o = outputs; o < d->outputs.size(); ++o) {
      const bool same = as_before[o - outputs] = take_as_before(kept, o);
      least += same ? output_cost(*d, o) : wiring_of_output_at_least(o);
      differs = differs || !same;
    }
    cost sum = no_choice;
    if (differs && least.price < limit) {
      bool wired = true;
      for (std::size_t o = outputs; o < d->outputs.size(); ++o)
        wired = wired && (as_before[o - outputs] || wire(o));
      for (std::size_t f = findings; f < d->findings.size(); ++f)
        wired = wired && d->findings[f].level != severity::failed;
      if (wired) sum = place_cost(*d, added);
      if (!(sum < now) && has_pieces_of(kept)) sum = no_choice;
    }
    d->hubs.keep(hubs);
    d->outputs.keep(outputs);
    d->drivers.keep(drivers);
    d->findings.keep(findings);
    for (std::size_t i = 0; i < kept.size(); ++i) run_at(i) = kept[i];
    return sum;
  }

 private:
  using kept_runs = bounded<run_plan, searched_runs>;  ///< as they are in the plan

  constexpr run_plan& run_at(std::size_t i) const noexcept {
    return d->runs[static_cast<std::size_t>((*runs)[i])];
  }
  constexpr hub_plan& hub_of(const run_plan& r) const noexcept {
    return d->hubs[static_cast<std::size_t>(r.hub)];
  }
  constexpr output_plan& output_of(const run_plan& r) const noexcept {
    return d->outputs[static_cast<std::size_t>(hub_of(r).output)];
  }

  constexpr bool wire(std::size_t output) const noexcept {
    const auto at = static_cast<std::int32_t>(output);
    if (stage::detail::feed_output(*d, at, {}) || stage::detail::thicken_for_protection(*d, at)) return false;
    stage::detail::protect_output(*d, output);
    stage::detail::each_hub(*d, at, [&](std::int32_t hub) noexcept { stage::detail::tell_missing(*d, hub); });
    return true;
  }

  constexpr cost wiring_of_output_at_least(std::size_t output) const noexcept {
    cost sum;
    for (std::size_t i = 0; i < runs->size(); ++i) {
      if (&output_of(run_at(i)) != &d->outputs[output]) continue;
      const searched_group& g = q->groups[static_cast<std::size_t>(q->runs[i].group)];
      const bool first = std::none_of(runs->begin(), runs->begin() + i, [&](std::int32_t r) noexcept {
        return d->runs[static_cast<std::size_t>(r)].hub == run_at(i).hub;
      });
      sum.price += q->runs[i].feed + (first ? g.hub : g.splice);
    }
    return sum;
  }

  /// Whether an output carries what one of the plan does, as that one does; then its wiring is taken over.
  constexpr bool take_as_before(const kept_runs& kept, std::size_t output) const noexcept {
    const output_plan* before = nullptr;
    for (std::size_t i = 0; i < kept.size(); ++i) {
      if (&output_of(run_at(i)) != &d->outputs[output]) continue;
      before = &output_of(kept[i]);
      if (hub_of(run_at(i)).controller != hub_of(kept[i]).controller ||
          &driver_of(*d, *before) != &driver_of(*d, d->outputs[output]))
        return false;
      for (std::size_t k = 0; k < kept.size(); ++k)
        if ((run_at(k).hub == run_at(i).hub) != (kept[k].hub == kept[i].hub) ||
            (&output_of(run_at(k)) == &d->outputs[output]) != (&output_of(kept[k]) == before))
          return false;
    }
    d->outputs[output].device = before->device;
    d->outputs[output].plug = before->plug;
    for (std::size_t i = 0; i < kept.size(); ++i) {
      if (&output_of(run_at(i)) != &d->outputs[output]) continue;
      hub_plan& now_there = hub_of(run_at(i));
      const std::int32_t hangs_on = now_there.output;
      now_there = hub_of(kept[i]);
      now_there.output = hangs_on;
    }
    return true;
  }

  /// Whether the runs share hubs as they did, with the same cables.
  constexpr bool has_pieces_of(const kept_runs& kept) const noexcept {
    const auto alike = [](const laid_cable& a, const laid_cable& b) noexcept {
      return a.cable == b.cable && a.cut == b.cut;
    };
    for (std::size_t i = 0; i < kept.size(); ++i) {
      if (!alike(kept[i].feeder, run_at(i).feeder) ||
          !alike(hub_of(kept[i]).supply, hub_of(run_at(i)).supply))
        return false;
      for (std::size_t k = 0; k < i; ++k)
        if ((kept[k].hub == kept[i].hub) != (run_at(k).hub == run_at(i).hub)) return false;
    }
    return true;
  }
};

/// The runs that may share drivers with one of `order`, group by group; false where they are too many, or one of them
/// is fed in parts.
constexpr bool runs_of_place(const draft& d, std::span<const std::int32_t> order, std::int32_t one,
                             place_runs& runs) noexcept {
  const std::int32_t hub = d.runs[static_cast<std::size_t>(one)].hub;
  for (const std::int32_t at : order) {
    const run_plan& r = d.runs[static_cast<std::size_t>(at)];
    if (stage::detail::may_share(d, hub, r.hub) && (!is_plain(d.asked(r)) || !runs.push(at))) return false;
  }
  return true;
}

/// The runs of a place as a question of their own, with runs by their number in it.
constexpr bool place_question_of(const draft& d, const place_runs& runs, order_question& q) noexcept {
  const auto run_of = [&](std::size_t k) noexcept -> const run_plan& {
    return d.runs[static_cast<std::size_t>(runs[k])];
  };
  for (std::size_t first = 0, past = 0; first < runs.size(); first = past) {
    while (past < runs.size() && stage::detail::same_group(d, run_of(first), run_of(past))) ++past;
    if (!add_group(d, runs.all().subspan(first, past - first), q)) return false;
  }
  for (std::size_t k = 0; k < q.runs.size(); ++k) q.runs[k].place = static_cast<std::int32_t>(k);
  return true;
}

/// Whether another order of a place has room beside all that there is.
constexpr bool has_room(const draft& d, const place_runs& runs) noexcept {
  return std::max({d.hubs.size(), d.outputs.size(), d.drivers.size()}) + runs.size() <= d.runs.size();
}

}  // namespace detail

/// Bounds a plan place by place; `price` is that of its order, which holds every rule. False, and nothing done, where it
/// has a place that is too large, or steps run out.
///
/// Shares of cable are the least that its pieces cost in any order; in this one they cost `slack` more. No order is
/// cheaper where every other one for each place costs that much more than this one, both by shares. For small places of
/// plain runs only. Scratch: two numbers a run.
constexpr bool bound_by_places(draft& d, money price) noexcept {
  const std::span<const std::int32_t> order = d.scratch.subspan(d.runs.size(), d.runs.size());
  const std::span<const std::int32_t> sorted = stage::detail::runs_by_group(d);
  std::copy(sorted.begin(), sorted.end(), d.scratch.begin() + static_cast<std::ptrdiff_t>(d.runs.size()));
  const auto everywhere = [](std::int32_t) noexcept { return true; };
  money least = d.tally.tape_at_least.price;
  const money slack = price - least - detail::place_cost(d, everywhere).price;
  bool proven = true;
  for (const std::int32_t one : order) {
    detail::place_runs runs;
    if (!detail::runs_of_place(d, order, one, runs)) return false;
    if (runs[0] != one) continue;  // seen
    order_question q;
    if (!detail::has_room(d, runs) || !detail::place_question_of(d, runs, q)) return false;
    const cost now = detail::planned_cost(d, runs);
    const order_answer others =
        search_orders(q, detail::other_orders{&d, &runs, &q, now, now.price + slack},
                      now + cost{.price = slack}, d.tally.steps_of_one(), detail::steps_of_place);
    d.tally.spend(others.steps);
    if (!others.all_seen) return false;
    proven = proven && !others.improved;
    least += std::min(now.price, others.price.price);
  }
  d.tally.price = {.price = price};
  d.tally.price_at_least = {.price = proven ? price : least};
  return true;
}

}  // namespace tapewright
