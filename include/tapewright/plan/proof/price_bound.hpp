// SPDX-License-Identifier: BSL-1.0
// What the wiring of runs costs at least, whatever controllers, drivers and ways of feeding are chosen.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/run_load.hpp"
#include "tapewright/plan/stage/feeding.hpp"
#include "tapewright/plan/stage/switching.hpp"

namespace tapewright {

namespace detail {

/// The least that a length of cable costs: its own share of the lengths that all pieces of it are cut from. These
/// are whole quanta and no shorter than their pieces together.
constexpr cost cable_share(const cable& k, metres cut) noexcept {
  if (k.price.minor <= 0) return {.unpriced = 1, .parts = 1};
  const double price = static_cast<double>(k.price.minor) * larger(quanta_needed(cut, k.sale_quantum), 0);
  return {.price = {static_cast<long long>(price)}, .parts = 1};
}

/// What a cable must hold in any order that holds the rules: cores, the code's least conductor, its piece, and the
/// current it carries at least. Drop, terminals and protection depend on what is upstream and are left out.
constexpr bool may_be_laid(const feeder_question& q, const cable& k) noexcept {
  if (static_cast<std::size_t>(k.cores) <= q.channel_current.size()) return false;
  const auto check = check_feeder(q, k);
  return check.ok() && check->area_fits && check->piece_fits && check->ampacity_known &&
         within(check->ampacity_utilisation);
}

/// The least load of a run: behind a controller that keeps the tape's all-on limit, where the catalogue has one.
constexpr tape_load least_load(const draft& d, const run_plan& r) noexcept {
  const bool kept = std::any_of(d.parts.controllers.begin(), d.parts.controllers.end(),
                                [](const controller& c) noexcept { return c.enforces_all_on_limit; });
  const auto load = run_load(d, r, kept);
  return load.ok() ? *load : r.load;
}

/// The cheapest joint there is at a tape for a conductor: a connector that clamps it, or a soldered tail.
constexpr cost joint_at_least(const draft& d, const run_plan& r, amps current,
                              square_millimetres conductor) noexcept {
  const cost soldered = cost_of(d.question.rules.solder_fee, 1);
  if (d.question.rules.join == join_preference::soldered_first) return soldered;
  const auto choice = choose_connector(stage::detail::joint_duty(d, r, current, conductor),
                                       connector_use::tape_to_cable, d.parts.connectors);
  if (!choice.ok() || choice->connector < 0) return soldered;
  return std::min(soldered,
                  cost_of(d.parts.connectors[static_cast<std::size_t>(choice->connector)].price, 1));
}

/// What a feed point costs at least: the cheapest cable over its route that may be laid, and its joint. Where a run
/// has several points each may carry as good as nothing.
constexpr cost feed_at_least(const draft& d, const run_plan& r, metres route, const tape_load& load,
                             bool alone) noexcept {
  if (alone && route <= d.tape_of(r).free_tail) return {};
  feeder_question q = stage::detail::question_of(d, d.tape_of(r).nominal, stage::detail::cut_of(d, route),
                                                 d.asked(r).cable_ambient, 0, {});
  amps sum;
  for (std::int32_t c = 0; c < load.channels; ++c) {
    q.channel_current.push(alone ? load.channel_current[c] : amps{});
    sum += q.channel_current[static_cast<std::size_t>(c)];
  }
  if (load.total_sized < sum) q.common = load.total_sized;
  cost least = no_choice;
  for (std::size_t i = 0; i < d.parts.cables.size(); ++i) {
    const cable& k = d.parts.cables[i];
    const cost share = cable_share(k, q.one_way);
    if (pinned_elsewhere(d.asked(r).pinned_feeder, i) || !(share < least) || !may_be_laid(q, k)) continue;
    const auto conductor = listed(k.conductor);
    least = std::min(least, share + joint_at_least(d, r, alone ? load.total_sized : amps{},
                                                   conductor.ok() ? conductor->area : square_millimetres{}));
  }
  return least.unbuildable > 0 ? cost{} : least;
}

/// What the links between the pieces of a run cost at least; one that closes a ring may not be there.
constexpr cost links_at_least(const draft& d, const run_plan& r) noexcept {
  cost each = cost_of(d.question.rules.solder_fee, 1);
  if (d.question.rules.join != join_preference::soldered_first)
    for (const connector& c : d.parts.connectors)
      if (c.use == connector_use::tape_to_tape && c.poles > r.load.channels)
        each = std::min(each, cost_of(c.price, 1));
  cost sum;
  for (std::int32_t s = 1; s < r.stretches; ++s)
    if (d.stretches[static_cast<std::size_t>(r.stretches_from) + static_cast<std::size_t>(s)].linked)
      sum += each;
  return sum;
}

/// What the cable from the driver costs at least to a hub whose total is at least `current`.
constexpr cost supply_at_least(const draft& d, metres cut, volts nominal, amps current) noexcept {
  feeder_question q = stage::detail::question_of(d, nominal, cut, d.question.rules.cable_ambient, 0, {});
  q.channel_current.push(current);
  cost least = no_choice;
  for (const cable& k : d.parts.cables) {
    const cost share = cable_share(k, cut);
    if (share < least && may_be_laid(q, k)) least = share;
  }
  return least.unbuildable > 0 ? cost{} : least;
}

/// The least that one feed point more at a hub adds to its splices. k splices of w ways join k (w - 2) + 2 ends, so
/// that it adds 1 / (w - 2) of one for each conductor.
constexpr cost splice_at_least(const draft& d, std::int32_t conductors) noexcept {
  cost least = no_choice;
  for (const connector& c : d.parts.connectors) {
    if (c.use != connector_use::cable_to_cable || c.ways < 3) continue;
    const cost share{.unpriced = c.price.minor > 0 ? 0 : 1,
                     .price = {c.price.minor * conductors / (c.poles * (c.ways - 2))}};
    least = std::min(least, share);
  }
  return least.unbuildable > 0 ? cost{} : least;
}

}  // namespace detail

/// What feeding a run costs at least: the cheapest of the ways that reach it.
constexpr cost run_at_least(const draft& d, const run_plan& r) noexcept {
  const tape_load load = detail::least_load(d, r);
  if (is_plain(d.asked(r))) return detail::feed_at_least(d, r, d.asked(r).from_controller, load, true);
  cost least = no_choice;
  for (std::int32_t n = 0; n < stage::detail::ways_to_feed; ++n) {
    const stage::detail::feed_way way = stage::detail::way_at(n);
    if (!stage::detail::reaches(d, r, way)) continue;
    const feed_places places = detail::places_of(way.how, r.cut.segments, way.points);
    const std::size_t points = way.how == feed_arrangement::ring ? 1 : places.size();
    cost sum;
    for (std::size_t k = 0; k < points; ++k)
      sum += detail::feed_at_least(d, r, stage::detail::route_to(d, r, places[k]), load, points == 1);
    least = std::min(least, sum);
  }
  return (least.unbuildable > 0 ? cost{} : least) + detail::links_at_least(d, r);
}

/// What hubs for the runs of a group, which may share controllers, cost at least to wire.
struct hub_bound {
  cost hub{};     ///< the cable from the driver that a hub has of its own
  cost splice{};  ///< of each run but one of a hub

  /// Whatever hubs there are: each run but the first has a hub of its own or is spliced to another.
  constexpr cost at_least(std::size_t runs) const noexcept {
    cost sum = hub;
    for (std::size_t r = 1; r < runs; ++r) sum += std::min(hub, splice);
    return sum;
  }
};

/// A run without a controller may hang straight on the driver, by a feeder that is as much longer.
constexpr hub_bound hub_bound_of(const draft& d, std::span<const std::int32_t> group) noexcept {
  const run_plan& first = d.runs[static_cast<std::size_t>(group[0])];
  const metres to_hub = d.zone_of(first).from_driver;
  const volts nominal = d.tape_of(first).nominal;
  hub_bound out;
  amps least{infinity};
  std::int32_t channels = max_channels;
  bool tail_reaches = false;
  for (const std::int32_t at : group) {
    const run_plan& r = d.runs[static_cast<std::size_t>(at)];
    const tape_load load = detail::least_load(d, r);
    if (load.total_sized < least) least = load.total_sized;
    channels = std::min(channels, load.channels);
    tail_reaches = tail_reaches || to_hub <= d.tape_of(r).free_tail;
  }
  const bool switched = needs_controller(d, first);
  out.splice = detail::splice_at_least(d, switched ? channels + 1 : 2);
  if (switched) out.hub = detail::supply_at_least(d, stage::detail::cut_of(d, to_hub), nominal, least);
  else if (!tail_reaches) out.hub = detail::supply_at_least(d, to_hub, nominal, {});
  return out;
}

/// What wiring all runs costs at least: cables from the driver, feeders, joints, links and splices. Overcurrent
/// devices and plugs are counted with nothing: there are orders that need none. Scratch: a number a run.
constexpr cost wiring_at_least(draft& d) noexcept {
  cost sum;
  stage::detail::each_group(d, stage::detail::runs_by_group(d),
                            [&](std::span<const std::int32_t> group) noexcept {
                              sum += hub_bound_of(d, group).at_least(group.size());
                              for (const std::int32_t r : group)
                                sum += run_at_least(d, d.runs[static_cast<std::size_t>(r)]);
                            });
  return sum;
}

/// What an output's device and the plug that mates with it cost.
constexpr cost protection_cost(const draft& d, const output_plan& o) noexcept {
  cost sum;
  if (o.device >= 0) sum += cost_of(d.parts.overcurrent_devices[static_cast<std::size_t>(o.device)].price, 1);
  if (o.plug >= 0) sum += cost_of(d.parts.connectors[static_cast<std::size_t>(o.plug)].price, 1);
  return sum;
}

/// What the wiring of a plan costs, piece by piece.
constexpr cost wiring_cost(draft& d) noexcept {
  cost sum;
  for (std::size_t o = 0; o < d.outputs.size(); ++o)
    sum += stage::detail::cost_of_wiring(d, static_cast<std::int32_t>(o)) + protection_cost(d, d.outputs[o]);
  return sum;
}

}  // namespace tapewright
