// SPDX-License-Identifier: BSL-1.0
// From measured runs to a whole order: the stages in their order, and nothing else.
#pragma once

#include <algorithm>

#include "tapewright/core/outcome.hpp"
#include "tapewright/plan/cost.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/proof/order_packing.hpp"
#include "tapewright/plan/proof/place_bound.hpp"
#include "tapewright/plan/sections.hpp"
#include "tapewright/plan/spare.hpp"
#include "tapewright/plan/stage/connecting.hpp"
#include "tapewright/plan/stage/cutting.hpp"
#include "tapewright/plan/stage/feeding.hpp"
#include "tapewright/plan/stage/mains.hpp"
#include "tapewright/plan/stage/noting.hpp"
#include "tapewright/plan/stage/ordering.hpp"
#include "tapewright/plan/stage/protecting.hpp"
#include "tapewright/plan/stage/readings.hpp"
#include "tapewright/plan/stage/supplying.hpp"
#include "tapewright/plan/stage/switching.hpp"
#include "tapewright/plan/stage/trimming.hpp"
#include "tapewright/plan/stage/verifying.hpp"

namespace tapewright {

namespace detail {

/// The smallest list of a space that does not reach what `need` asks, as a fault; none when all do.
constexpr fault refuse_small(const plan_space& s, const plan_counts& need) noexcept {
  return first_fault(
      refuse_room(s.runs.size(), need.runs), refuse_room(s.hubs.size(), need.hubs),
      refuse_room(s.outputs.size(), need.outputs), refuse_room(s.drivers.size(), need.drivers),
      refuse_room(s.order.size(), need.order), refuse_room(s.pieces.size(), need.pieces),
      refuse_room(s.connections.size(), need.connections), refuse_room(s.findings.size(), need.findings),
      refuse_room(s.readings.size(), need.readings), refuse_room(s.notes.size(), need.notes),
      refuse_room(s.figures.size(), need.figures), refuse_room(s.scratch.size(), need.scratch),
      refuse_room(s.feeds.size(), need.feeds), refuse_room(s.stretches.size(), need.stretches),
      refuse_room(s.network.size(), need.network), refuse_room(s.fed.runs.size(), need.fed_runs),
      refuse_room(s.fed.figures.size(), need.fed_runs), refuse_room(s.fed.profiles.size(), need.fed_runs),
      refuse_room(s.fed.stretches.size(), need.fed_stretches),
      refuse_room(s.fed.points.size(), need.fed_points), refuse_room(s.fed.currents.size(), need.fed_points),
      refuse_room(s.fed.feeds.size(), need.fed_points),
      refuse_room(s.search.cutting.items.size(), need.search.cutting.items),
      refuse_room(s.search.cutting.sold.size(), need.search.cutting.sold),
      refuse_room(s.search.cutting.packing.items.size(), need.search.cutting.packing.items),
      refuse_room(s.search.cutting.packing.bins.size(), need.search.cutting.packing.bins),
      refuse_room(s.search.cutting.packing.bin_of.size(), need.search.cutting.packing.bin_of),
      refuse_room(s.search.cutting.packing.packed.size(), need.search.cutting.packing.packed),
      refuse_room(s.search.cutting.types.size(), need.search.cutting.types),
      refuse_room(s.search.cutting.choices.size(), need.search.cutting.choices),
      refuse_room(s.search.cutting.packing.types.size(), need.search.cutting.packing.types),
      refuse_room(s.search.part_of.size(), need.search.part_of),
      refuse_room(s.search.pieces.size(), need.search.pieces),
      refuse_room(s.search.piece_of.size(), need.search.pieces));
}

/// The sums of an order's lines, and what is paid for them by the terms.
constexpr void add_up(plan& p, const price_terms& terms) noexcept {
  price_document document{terms};
  p.price = {};
  p.every_price_known = true;
  for (const order_line& line : p.order) {
    p.price += line.total;
    p.every_price_known = p.every_price_known && line.price_known;
    document.add(line.total);
  }
  const auto sum = document.sum();
  p.to_pay = sum.ok() ? *sum : price_sum{};
}

constexpr draft empty_draft(const job& question, const catalogue& parts, const plan_space& space) noexcept {
  return {.question = question,
          .parts = parts,
          .runs = span_list{space.runs},
          .hubs = span_list{space.hubs},
          .outputs = span_list{space.outputs},
          .drivers = span_list{space.drivers},
          .order = span_list{space.order},
          .pieces = span_list{space.pieces},
          .connections = span_list{space.connections},
          .findings = span_list{space.findings},
          .readings = span_list{space.readings},
          .notes = span_list{space.notes},
          .figures = space.figures,
          .network = space.network,
          .scratch = space.scratch,
          .mains = {},
          .feeds = span_list{space.feeds},
          .stretches = span_list{space.stretches},
          .fed = space.fed,
          .search = space.search,
          .tally = {.steps_left = question.rules.search_steps}};
}

/// From the measured runs to the order, stage by stage. With an order given: who carries whom is as it says.
constexpr fault decide(draft& d, const given_order* given = nullptr) noexcept {
  if (const fault f = stage::cut_runs(d)) return f;  // how long, how much current
  if (given != nullptr) {
    if (const fault f = stage::take_given(d, *given)) return f;
  } else {
    if (const fault f = stage::switch_runs(d)) return f;  // which controller carries which runs
    if (const fault f = stage::supply_hubs(d)) return f;  // which driver carries which controllers
  }
  if (const fault f = stage::feed_runs(d)) return f;        // which cable, which joint
  if (const fault f = stage::protect_outputs(d)) return f;  // which fuse, which plug
  if (const fault f = stage::trim_drivers(d)) return f;     // which output voltage
  stage::tell_far_ends(d);                                  // does each fuse open at that
  if (const fault f = stage::size_mains(d)) return f;       // which circuits
  if (const fault f = stage::verify(d)) return f;           // does all of it hold together
  stage::connect(d);
  return stage::order_parts(d);
}

/// What else is to be told of a decided order: readings, notes, the worst finding first.
constexpr fault tell(draft& d) noexcept {
  if (const fault f = stage::expect_readings(d)) return f;
  stage::write_notes(d);
  stage::judge_prices(d);
  stage::rank_findings(d);
  const auto room_of = [](const auto& list) noexcept { return refuse_room(list.capacity(), list.wanted()); };
  return first_fault(room_of(d.findings), room_of(d.order), room_of(d.connections), room_of(d.readings),
                     room_of(d.notes), room_of(d.pieces), room_of(d.feeds), room_of(d.stretches),
                     room_of(d.runs));
}

/// How good a whole order is: what fails, what has no price, the price less what its capacity is worth.
constexpr cost judged(const draft& d) noexcept {
  cost sum;
  for (const finding& f : d.findings) sum.unbuildable += f.level == severity::failed ? 1 : 0;
  for (const order_line& line : d.order) sum += {.unpriced = line.price_known ? 0 : 1, .price = line.total};
  sum.price = sum.price - capacity_credit(d);
  return sum;
}

constexpr plan finished(const draft& d) noexcept {
  plan p{.runs = d.runs.all(),
         .hubs = d.hubs.all(),
         .outputs = d.outputs.all(),
         .drivers = d.drivers.all(),
         .order = d.order.all(),
         .pieces = d.pieces.all(),
         .connections = d.connections.all(),
         .findings = d.findings.all(),
         .readings = d.readings.all(),
         .notes = d.notes.all(),
         .feeds = d.feeds.all(),
         .stretches = d.stretches.all(),
         .mains = d.mains};
  add_up(p, d.question.rules.terms());
  for (const driver_plan& t : p.drivers) p.load += t.load;
  p.fits = true;
  for (const finding& f : p.findings) p.fits = p.fits && f.level != severity::failed;
  p.spare = spare_of(d.question.rules, d.parts, d);
  p.capacity_credit = capacity_credit(d);
  const search_tally& t = d.tally;
  p.steps = t.steps;
  // prices are compared between orders with as many parts without one
  if (t.split || t.price.unpriced != t.price_at_least.unpriced) return p;
  const money counts = p.price - p.capacity_credit;
  p.price_at_least = d.question.rules.weighs_capacity() ? counts - t.price.price + t.price_at_least.price
                                                        : std::min(counts, t.price_at_least.price);
  p.proven = p.fits && p.price_at_least == counts;
  return p;
}

/// A plan, and what was found on the way to it.
struct found_plan {
  plan answer;
  search_tally tally;
};

/// Whether a whole order can be told to be the cheapest: it holds every rule and has all its prices, which nothing is
/// taken off.
constexpr bool may_be_proven(const draft& d, const cost& whole) noexcept {
  return whole.unbuildable == 0 && whole.unpriced == 0 && !d.tally.split &&
         !d.question.rules.weighs_capacity();
}

/// A decided order with all that is to be told of it, and its bound.
constexpr outcome<found_plan> found_in(draft& d) noexcept {
  if (const fault f = tell(d)) return f;
  const cost whole = judged(d);
  const bool by_places =
      d.runs.size() > searched_runs && may_be_proven(d, whole) && bound_by_places(d, whole.price);
  if (!by_places && !d.question.rules.weighs_capacity()) d.tally.add(wiring_cost(d), wiring_at_least(d));
  return found_plan{finished(d), d.tally};
}

/// Controllers and drivers by themselves, then all that follows from them.
constexpr outcome<found_plan> plan_by_stages(const job& question, const catalogue& parts,
                                             const plan_space& space) noexcept {
  draft d = empty_draft(question, parts, space);
  if (const fault f = decide(d)) return f;
  if (!d.other_hubs) return found_in(d);
  // cheaper controllers and drivers, but are their cables and joints?
  const cost together = judged(d);
  draft first = empty_draft(question, parts, space);
  first.first_hubs = true;
  if (const fault f = decide(first)) return f;
  if (costs_less(judged(first), together)) return found_in(first);
  draft again = empty_draft(question, parts, space);
  if (const fault f = decide(again)) return f;
  return found_in(again);
}

/// What asking for a whole order counts in steps: so long does it take.
inline constexpr std::int64_t steps_of_order = 500;

/// A small order that holds every rule and costs more than its bound, beside every other one that could cost less.
constexpr outcome<plan> search_whole(const job& question, const catalogue& parts, const plan_space& space,
                                     const found_plan& first) noexcept {
  draft cut = empty_draft(question, parts, space);
  if (const fault f = stage::cut_runs(cut)) return f;
  order_question q;
  order_answer found;
  if (order_question_of(cut, first.tally.tape_at_least.price, q)) {
    const auto whole = [&](const given_order& given) noexcept {
      draft d = empty_draft(question, parts, space);
      return decide(d, &given) ? no_choice : judged(d);
    };
    found =
        search_orders(q, whole, cost{.price = first.answer.price}, first.tally.steps_left, steps_of_order);
  }
  draft d = empty_draft(question, parts, space);
  if (found.improved)
    if (const fault f = decide(d, &found.best)) return f;
  const outcome<found_plan> best = found.improved ? found_in(d) : plan_by_stages(question, parts, space);
  if (!best) return best.why();
  plan p = best->answer;
  p.steps = first.tally.steps + found.steps;
  p.price_at_least = found.all_seen ? p.price : first.answer.price_at_least;
  p.proven = p.price_at_least == p.price;
  return p;
}

}  // namespace detail

/// Plans a job: cuts, feeds, switches, supplies, protects, verifies and writes the whole order.
///
/// @param question  the measured runs, their zones and the rules; ranges as check(job) tells.
/// @param parts     the catalogue chosen from; rows as check(catalogue) tells.
/// @param space     the caller's storage, at least space_for(question, parts) of each list, which
///                  is space_for(runs) for plain runs over a catalogue of up to 64 controllers and 64
///                  drivers; nothing else is used.
/// @return          the plan, as views of `space`. A design that breaks a rule is an answer: it stands
///                  in the findings and `fits` is false. Faults: a figure outside its range, a name
///                  that points at nothing, too little room.
/// Every decision is verified on the solved network before the plan is returned. Where controllers and drivers
/// together are cheaper than one after the other, both orders are made, and the one that keeps more rules, or
/// costs less as a whole, is returned. A job of up to 8 runs is then searched as a whole: every other way to share
/// runs out to controllers, outputs and drivers that could cost less is made an order of (search_orders). Up to 5
/// runs, 4 controllers and 6 drivers this has always ended within the default search_steps. Where the rules say what
/// spare capacity is worth (`balanced`), every choice by price is one by price less that worth (plan/spare.hpp), and
/// orders are not searched as a whole; the order's lines tell what is paid.
[[nodiscard]] constexpr outcome<plan> make_plan(const job& question, const catalogue& parts,
                                                const plan_space& space) noexcept {
  if (const fault f = check(question, parts)) return f;
  const outcome<plan_counts> needed = space_for(question, parts);
  if (!needed) return needed.why();
  if (const fault f = detail::refuse_small(space, *needed)) return f;
  const outcome<detail::found_plan> first = detail::plan_by_stages(question, parts, space);
  if (!first) return first.why();
  const plan& p = first->answer;
  if (p.proven || !p.fits || !p.every_price_known || first->tally.split || p.runs.size() > searched_runs ||
      question.rules.weighs_capacity())
    return p;
  return detail::search_whole(question, parts, space, *first);
}

}  // namespace tapewright
