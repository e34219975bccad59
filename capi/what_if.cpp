// SPDX-License-Identifier: BSL-1.0
// C interface: what became different, the next best orders, why a job cannot be done as asked.
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <span>
#include <utility>

#include "answer.hpp"
#include "block.hpp"
#include "figures.hpp"
#include "plan_block.hpp"
#include "plan_question.hpp"
#include "tapewright.h"
#include "tapewright/core/bounded.hpp"
#include "tapewright/plan/planner.hpp"
#include "tapewright/plan/what_if/alternatives.hpp"
#include "tapewright/plan/what_if/conflict.hpp"
#include "tapewright/plan/what_if/plan_changes.hpp"

namespace tapewright {

void to_c(tw_plan_change& c, const plan_change& a) noexcept {
  to_c(c.kind, a.kind);
  to_c(c.run, a.index);
  to_c(c.service, a.service);
  to_c(c.kind_before, a.before.kind);
  to_c(c.part_before, a.before.index);
  to_c(c.kind_after, a.after.kind);
  to_c(c.part_after, a.after.index);
  to_c(c.quantity_before, a.quantity_before);
  to_c(c.quantity_after, a.quantity_after);
  to_c(c.price_before_minor, a.price_before);
  to_c(c.price_after_minor, a.price_after);
  to_c(c.length_before_m, a.length_before);
  to_c(c.length_after_m, a.length_after);
}

void to_c(tw_alternative& c, const alternative& a) noexcept {
  to_c(c.kind, a.kind);
  to_c(c.every_price_known, a.every_price_known);
  to_c(c.drivers, a.drivers);
  to_c(c.plug_in, a.plug_in);
  to_c(c.soldered, a.soldered);
  to_c(c.price_minor, a.price);
  to_c(c.capacity_credit_minor, a.capacity_credit);
  to_c(c.thickest_mm2, a.thickest);
}

void to_c(tw_conflict_facts& c, const conflict_answer& a) noexcept {
  to_c(c.conflicting, a.conflicting);
  to_c(c.smallest, a.smallest);
  to_c(c.demands, a.core.size());
  to_c(c.relaxations, a.help.size());
  to_c(c.plans, a.plans);
}

void to_c(tw_demand& c, const demand& a) noexcept {
  to_c(c.kind, a.kind);
  to_c(c.place, a.index);
  to_c(c.value, a.value);
}

void to_c(tw_relaxation& c, const relaxation& a) noexcept {
  to_c(c.kind, a.what.kind);
  to_c(c.place, a.what.index);
  to_c(c.every_price_known, a.every_price_known);
  to_c(c.whole_job_fits, a.whole_job_fits);
  to_c(c.from, a.what.value);
  to_c(c.to, a.to);
  to_c(c.price_minor, a.price);
}

}  // namespace tapewright

using namespace tapewright;
using namespace tapewright::capi;

// What stands at the front of each block; `state` is `finished` once it may be read.

struct tw_changes {
  static constexpr std::uint64_t finished = 0x7477'6368'616e'3031;
  std::uint64_t state = 0;
  std::span<const plan_change> rows;
};

struct tw_alternatives {
  static constexpr std::uint64_t finished = 0x7477'616c'7465'3031;
  std::uint64_t state = 0;
  tw_plan* shown = nullptr;  ///< the one that was asked for in full
  job question;
  catalogue parts;
  alternative_space space;
  bounded<alternative, std::size(all_alternatives)> rows;
};

struct tw_conflict {
  static constexpr std::uint64_t finished = 0x7477'636f'6e66'3031;
  std::uint64_t state = 0;
  conflict_answer answer;
};

namespace {

/// `ask(room)` with the question brought into the caller's block (argument 3).
template <class Room, class Ask>
auto asked_in(void* block, std::int64_t bytes, const arrived_job& a, Ask ask) noexcept
    -> decltype(ask(std::declval<Room&>())) {
  if (a.why) return a.why;
  if (const fault f = refuse_block(block, bytes, bytes_of<Room>(a.counts), 3)) return f;
  carver carved{block};
  Room room{carved, a.counts};
  if (const fault f = fill(room.plan, a)) return f;
  return ask(room);
}

/// A list that was made, and how many rows it has.
template <class Handle>
struct made_list {
  Handle* handle = nullptr;
  std::size_t rows = 0;
};

// ---- what became different ------------------------------------------------------------------------------

struct changes_room {
  std::span<tw_changes> front;
  std::span<plan_change> all;

  changes_room(carver& room, std::size_t count) noexcept
      : front{room.array<tw_changes>(1)}, all{room.array<plan_change>(count)} {}
};

fault refuse_plans(const tw_plan* before, const tw_plan* after) noexcept {
  return first_fault(refuse_handle(before), refuse_handle(after, 1));
}

outcome<made_list<tw_changes>> changes_in(void* block, std::int64_t bytes, const tw_plan& before,
                                          const tw_plan& after) noexcept {
  const std::size_t most = change_room(before.plan, after.plan);
  if (const fault f = refuse_block(block, bytes, bytes_of<changes_room>(most), 2)) return f;
  carver carved{block};
  const changes_room room{carved, most};
  const auto count = plan_changes({before.job, before.catalogue, before.plan},
                                  {after.job, after.catalogue, after.plan}, room.all);
  if (!count) return count.why();
  tw_changes& front = room.front[0];
  front.rows = room.all.first(*count);
  front.state = tw_changes::finished;
  return made_list<tw_changes>{&front, *count};
}

// ---- the next best orders -------------------------------------------------------------------------------

struct alternatives_room {
  std::span<tw_alternatives> front;
  plan_room plan;
  alternative_space space;

  alternatives_room(carver& room, const block_counts& n) noexcept
      : front{room.array<tw_alternatives>(1)},
        plan{room, n},
        space{room.array<zone>(n.zones), room.array<driver>(n.drivers), room.array<cable>(n.cables),
              plan.space} {}
};

outcome<made_list<tw_alternatives>> alternatives_in(alternatives_room& room) noexcept {
  tw_alternatives& front = room.front[0];
  front.shown = &room.plan.front[0];
  front.question = front.shown->job;
  front.parts = front.shown->catalogue;
  front.space = room.space;
  alternative found[decltype(front.rows)::capacity()];
  const auto count = alternatives(front.question, front.parts, front.space, found);
  if (!count) return count.why();
  for (std::size_t i = 0; i < *count; ++i) front.rows.push(found[i]);
  front.state = tw_alternatives::finished;
  return made_list<tw_alternatives>{&front, *count};
}

outcome<tw_plan*> shown_in_full(const tw_alternatives& of, const alternative& asked) noexcept {
  tw_plan& shown = *of.shown;
  shown.state = 0;
  square_millimetres thinner_than;
  if (asked.kind == alternative_kind::thinner_cable) {
    const auto cheapest = make_plan(of.question, of.parts, of.space.plan);
    if (!cheapest) return cheapest.why();
    thinner_than = thickest_conductor(*cheapest);
  }
  const auto made = make_alternative(asked.kind, of.question, of.parts, thinner_than, of.space);
  if (!made) return made.why();
  shown.job = of.question;
  shown.catalogue = made->parts;
  shown.plan = made->answer;
  shown.state = tw_plan::finished;
  return &shown;
}

// ---- why it cannot be done as asked ---------------------------------------------------------------------

struct conflict_room {
  std::span<tw_conflict> front;
  plan_room plan;
  conflict_space space;

  conflict_room(carver& room, const block_counts& n) noexcept
      : front{room.array<tw_conflict>(1)},
        plan{room, n},
        space{room.array<run>(n.runs), room.array<zone>(n.zones),
              room.array<demand>(demand_room(n.runs, n.zones)),
              room.array<relaxation>(demand_room(n.runs, n.zones)), plan.space} {}
};

outcome<tw_conflict*> conflict_in(conflict_room& room) noexcept {
  const tw_plan& asked = room.plan.front[0];
  const auto found = find_conflict(asked.job, asked.catalogue, room.space);
  if (!found) return found.why();
  tw_conflict& front = room.front[0];
  front.answer = *found;
  front.state = tw_conflict::finished;
  return &front;
}

}  // namespace

tw_status tw_changes_bytes(const tw_plan* before, const tw_plan* after, int64_t* bytes, tw_fault* why) {
  const fault f = refuse_plans(before, after);
  return tell_bytes<changes_room>(f, f ? 0 : change_room(before->plan, after->plan), bytes, why);
}
tw_status tw_changes_make(const tw_plan* before, const tw_plan* after, void* block, int64_t bytes,
                          tw_changes** changes, int32_t* count, tw_fault* why) {
  const auto made = [&]() noexcept { return changes_in(block, bytes, *before, *after); };
  return answer(unless(refuse_plans(before, after), made), why, to(changes, &made_list<tw_changes>::handle),
                to(count, &made_list<tw_changes>::rows));
}
tw_status tw_changes_row(const tw_changes* changes, int32_t place, tw_plan_change* change, tw_fault* why) {
  return answer_row(
      changes, [](auto& c) noexcept { return c.rows; }, place, why, to(change));
}

tw_status tw_alternatives_bytes(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                                int64_t* bytes, tw_fault* why) {
  const arrived_job a{job, catalogue, terms};
  return tell_bytes<alternatives_room>(a.why, a.counts, bytes, why);
}
tw_status tw_alternatives_make(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                               void* block, int64_t bytes, tw_alternatives** alternatives, int32_t* count,
                               tw_fault* why) {
  const arrived_job a{job, catalogue, terms};
  return answer(asked_in<alternatives_room>(block, bytes, a, alternatives_in), why,
                to(alternatives, &made_list<tw_alternatives>::handle),
                to(count, &made_list<tw_alternatives>::rows));
}
tw_status tw_alternatives_row(const tw_alternatives* alternatives, int32_t place, tw_alternative* alternative,
                              tw_fault* why) {
  return answer_row(
      alternatives, [](auto& found) noexcept { return found.rows.all(); }, place, why, to(alternative));
}
tw_status tw_alternatives_plan(tw_alternatives* alternatives, int32_t place, tw_plan** plan, tw_fault* why) {
  fault f = refuse_handle(alternatives);
  if (!f) f = refuse_place(field::place, place, alternatives->rows.size());
  const auto made = [&]() noexcept {
    return shown_in_full(*alternatives, alternatives->rows[static_cast<std::size_t>(place)]);
  };
  return answer(unless(f, made), why, to(plan));
}

tw_status tw_conflict_bytes(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                            int64_t* bytes, tw_fault* why) {
  const arrived_job a{job, catalogue, terms};
  return tell_bytes<conflict_room>(a.why, a.counts, bytes, why);
}
tw_status tw_conflict_make(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                           void* block, int64_t bytes, tw_conflict** conflict, tw_fault* why) {
  const arrived_job a{job, catalogue, terms};
  return answer(asked_in<conflict_room>(block, bytes, a, conflict_in), why, to(conflict));
}
tw_status tw_conflict_summary(const tw_conflict* conflict, tw_conflict_facts* facts, tw_fault* why) {
  return answer(refuse_handle(conflict), conflict, why, to(facts, &tw_conflict::answer));
}
tw_status tw_conflict_finding(const tw_conflict* conflict, tw_finding* finding, tw_fault* why) {
  return answer(refuse_handle(conflict), conflict, why,
                to(finding, [](const tw_conflict& c) noexcept { return c.answer.broken; }));
}
tw_status tw_conflict_demand(const tw_conflict* conflict, int32_t place, tw_demand* demand, tw_fault* why) {
  return answer_row(
      conflict, [](auto& c) noexcept { return c.answer.core; }, place, why, to(demand));
}
tw_status tw_conflict_relaxation(const tw_conflict* conflict, int32_t place, tw_relaxation* relaxation,
                                 tw_fault* why) {
  return answer_row(
      conflict, [](auto& c) noexcept { return c.answer.help; }, place, why, to(relaxation));
}
