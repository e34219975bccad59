// SPDX-License-Identifier: BSL-1.0
// C interface: what a plan has to say in words.
#include <cstddef>
#include <cstdint>

#include "answer.hpp"
#include "plan_block.hpp"
#include "tapewright.h"
#include "tapewright/core/bounded.hpp"
#include "tapewright/plan/explain.hpp"
#include "tapewright/plan/names.hpp"
#include "text_answer.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

fault refuse_subject(const tw_plan& p, std::int32_t kind, std::int32_t place) noexcept {
  switch (static_cast<subject_kind>(kind)) {
    case subject_kind::job: return {};
    case subject_kind::zone: return refuse_place(field::place, place, p.job.zones.size());
    case subject_kind::run: return refuse_place(field::place, place, p.plan.runs.size());
    case subject_kind::hub: return refuse_place(field::place, place, p.plan.hubs.size());
    case subject_kind::driver: return refuse_place(field::place, place, p.plan.drivers.size());
  }
  return {fault_code::not_listed, field::none,       static_cast<double>(kind),
          TW_SUBJECT_JOB,         TW_SUBJECT_DRIVER, -1};
}

std::size_t count_of(const catalogue& c, part_kind kind) noexcept {
  switch (kind) {
    case part_kind::tape: return c.tapes.size();
    case part_kind::cable: return c.cables.size();
    case part_kind::connector: return c.connectors.size();
    case part_kind::controller: return c.controllers.size();
    case part_kind::driver: return c.drivers.size();
    case part_kind::overcurrent_device: return c.overcurrent_devices.size();
    default: return 0;
  }
}

fault refuse_terminal(const tw_plan& p, std::int32_t kind, std::int32_t owner) noexcept {
  if (kind < TW_TERMINAL_DRIVER_POSITIVE || kind > TW_TERMINAL_TAPE_CHANNEL)
    return {fault_code::not_listed,   field::none, static_cast<double>(kind), TW_TERMINAL_DRIVER_POSITIVE,
            TW_TERMINAL_TAPE_CHANNEL, -1};
  if (kind <= TW_TERMINAL_FUSE_OUT) return refuse_place(field::place, owner, p.plan.outputs.size());
  return refuse_place(field::place, owner,
                      kind <= TW_TERMINAL_HUB_CHANNEL ? p.plan.hubs.size() : p.plan.runs.size());
}

}  // namespace

tw_status tw_plan_explain(const tw_plan* plan, int32_t run, char* buffer, int64_t capacity, int64_t* wanted,
                          tw_fault* why) {
  return answer_text(refuse_handle(plan), buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    return explain(plan->plan, plan->job, plan->catalogue, run, out);
  });
}

tw_status tw_plan_subject_name(const tw_plan* plan, int32_t subject_kind, int32_t subject, char* buffer,
                               int64_t capacity, int64_t* wanted, tw_fault* why) {
  return answer_text(refuse_handle(plan), buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    if (const fault f = refuse_subject(*plan, subject_kind, subject)) return f;
    add_subject_name(out, plan->plan, plan->job,
                     {static_cast<tapewright::subject_kind>(subject_kind), subject});
    return fault{};
  });
}

tw_status tw_plan_terminal_name(const tw_plan* plan, int32_t terminal_kind, int32_t owner, int32_t channel,
                                char* buffer, int64_t capacity, int64_t* wanted, tw_fault* why) {
  return answer_text(refuse_handle(plan), buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    if (const fault f = first_fault(refuse_terminal(*plan, terminal_kind, owner),
                                    refuse_place(field::place, channel, max_channels)))
      return f;
    add_terminal_name(out, plan->plan, plan->job, plan->catalogue,
                      {static_cast<tapewright::terminal_kind>(terminal_kind), owner, channel});
    return fault{};
  });
}

tw_status tw_plan_tape_terminal_name(const tw_plan* plan, int32_t run, int32_t feed, int32_t channel,
                                     char* buffer, int64_t capacity, int64_t* wanted, tw_fault* why) {
  return answer_text(refuse_handle(plan), buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    if (const fault f = first_fault(refuse_place(field::place, run, plan->plan.runs.size()),
                                    refuse_place(field::place, feed, max_feed_points),
                                    refuse_outside(field::place, channel, -1, max_channels - 1)))
      return f;
    const auto kind = channel < 0 ? terminal_kind::tape_common : terminal_kind::tape_channel;
    add_terminal_name(out, plan->plan, plan->job, plan->catalogue,
                      {kind, run, channel < 0 ? 0 : channel, feed});
    return fault{};
  });
}

tw_status tw_plan_part_code(const tw_plan* plan, int32_t part_kind, int32_t part, char* buffer,
                            int64_t capacity, int64_t* wanted, tw_fault* why) {
  return answer_text(refuse_handle(plan), buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    if (part_kind < TW_PART_TAPE || part_kind > TW_PART_OVERCURRENT_DEVICE)
      return fault{fault_code::not_listed,     field::none, static_cast<double>(part_kind), TW_PART_TAPE,
                   TW_PART_OVERCURRENT_DEVICE, -1};
    const auto kind = static_cast<tapewright::part_kind>(part_kind);
    if (const fault f = refuse_place(field::place, part, count_of(plan->catalogue, kind))) return f;
    out.add(code_of(plan->catalogue, {kind, part}));
    return fault{};
  });
}
