// SPDX-License-Identifier: BSL-1.0
// C interface: a whole job planned in one block of the caller's.
#include <cstddef>
#include <cstdint>

#include "answer.hpp"
#include "block.hpp"
#include "figures.hpp"
#include "plan_block.hpp"
#include "plan_question.hpp"
#include "tapewright.h"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

outcome<tw_plan*> made_in(void* block, std::int64_t bytes, std::int32_t block_place,
                          const arrived_job& a) noexcept {
  if (const fault f = refuse_block(block, bytes, bytes_of<plan_room>(a.counts), block_place)) return f;
  carver carved{block};
  plan_room room{carved, a.counts};
  if (const fault f = fill(room, a)) return f;
  tw_plan& front = room.front[0];
  const outcome<plan> planned = make_plan(front.job, front.catalogue, room.space);
  if (!planned) return planned.why();
  front.plan = *planned;
  front.state = tw_plan::finished;
  return &front;
}

}  // namespace

tw_status tw_rules_default(tw_rules* rules, tw_fault* why) {
  const design_rules defaults;
  return answer(fault{}, &defaults, why, to(rules));
}
tw_status tw_terms_default(tw_terms* terms, tw_fault* why) {
  const design_rules defaults;
  return answer(fault{}, &defaults, why, to(terms));
}

tw_status tw_plan_bytes(const tw_job* job, const tw_catalogue* catalogue, int64_t* bytes, tw_fault* why) {
  const arrived_job a{job, catalogue};
  return tell_bytes<plan_room>(a.why, a.counts, bytes, why);
}
tw_status tw_plan_bytes_by(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                           int64_t* bytes, tw_fault* why) {
  const arrived_job a{job, catalogue, terms};
  return tell_bytes<plan_room>(a.why, a.counts, bytes, why);
}

tw_status tw_plan_make(const tw_job* job, const tw_catalogue* catalogue, void* block, int64_t bytes,
                       tw_plan** plan, tw_fault* why) {
  const arrived_job a{job, catalogue};
  return answer(unless(a.why, [&]() noexcept { return made_in(block, bytes, 2, a); }), why, to(plan));
}
tw_status tw_plan_make_by(const tw_job* job, const tw_catalogue* catalogue, const tw_terms* terms,
                          void* block, int64_t bytes, tw_plan** plan, tw_fault* why) {
  const arrived_job a{job, catalogue, terms};
  return answer(unless(a.why, [&]() noexcept { return made_in(block, bytes, 3, a); }), why, to(plan));
}
