// SPDX-License-Identifier: BSL-1.0
// C interface: a whole job planned in one block of the caller's.
#include <cstddef>
#include <cstdint>

#include "answer.hpp"
#include "block.hpp"
#include "figures.hpp"
#include "plan_block.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/plan/planner.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// The question as it comes in, with its lists known to be reachable.
struct arrived_job {
  tw_job job{};
  tw_catalogue catalogue{};
  design_rules rules;
  block_counts counts;
  fault why;

  arrived_job(const tw_job* from, const tw_catalogue* parts) noexcept {
    why = first_fault(read_argument(job, from, 0), read_argument(catalogue, parts, 1));
    if (!why) why = take_rules();
    if (!why) why = refuse_lists();
    if (!why) why = count();
  }

 private:
  fault take_rules() noexcept {
    if (job.rules.at == nullptr) return {};
    tw_rules c{};
    const fault f = read(c, job.rules.at);
    return f ? f : from_c(rules, c);
  }

  fault refuse_lists() const noexcept {
    return first_fault(refuse(field::zone_count, job.zones), refuse(field::run_count, job.runs),
                       refuse(field::tape_count, catalogue.tapes), refuse_list(job.zone.at, job.zones, 0),
                       refuse_list(job.run.at, job.runs, 0),
                       refuse_list(catalogue.tape.at, catalogue.tapes, 1),
                       refuse_list(catalogue.cable.at, catalogue.cables, 1),
                       refuse_list(catalogue.connector.at, catalogue.connectors, 1),
                       refuse_list(catalogue.controller.at, catalogue.controllers, 1),
                       refuse_list(catalogue.driver.at, catalogue.drivers, 1),
                       refuse_list(catalogue.overcurrent_device.at, catalogue.overcurrent_devices, 1));
  }

  fault count() noexcept {
    const auto size = [](std::int32_t n) noexcept { return static_cast<std::size_t>(n); };
    counts = {.zones = size(job.zones),
              .runs = size(job.runs),
              .tapes = size(catalogue.tapes),
              .cables = size(catalogue.cables),
              .connectors = size(catalogue.connectors),
              .controllers = size(catalogue.controllers),
              .drivers = size(catalogue.drivers),
              .devices = size(catalogue.overcurrent_devices)};
    for (std::size_t i = 0; i < counts.runs; ++i)
      if (const fault f = count_line(i)) return f.item < 0 ? at_item(f, i) : f;
    return {};
  }

  /// Room of the network for one run: its tape's pitch and channels tell how much.
  fault count_line(std::size_t i) noexcept {
    tw_run r{};
    if (const fault f = read_row(r, job.run.at, i)) return f;
    if (r.tape < 0 || r.tape >= catalogue.tapes)
      return {fault_code::unknown_reference,
              field::run_tape,
              static_cast<double>(r.tape),
              0,
              static_cast<double>(catalogue.tapes) - 1,
              -1};
    tw_tape t{};
    if (const fault f = read_row(t, catalogue.tape.at, static_cast<std::size_t>(r.tape))) return f;
    const outcome<cut_length> cut = cut_to_pitch(metres{r.measured_m}, metres{t.cut_pitch_m});
    if (!cut) return cut.why();
    if (const fault f = first_fault(refuse(field::segment_count, static_cast<double>(cut->segments)),
                                    refuse(field::channel_count, t.channels)))
      return f;
    const std::size_t doubles = line_workspace(cut->segments, t.channels);
    if (doubles > counts.network) counts.network = doubles;
    return {};
  }
};

std::uint64_t bytes_of(const block_counts& counts) noexcept {
  carver ruler;
  const plan_room measured{ruler, counts};
  return ruler.used();
}

fault fill(plan_room& room, const arrived_job& a) noexcept {
  return first_fault(
      room.zones.fill(a.job.zone.at), room.runs.fill(a.job.run.at), room.tapes.fill(a.catalogue.tape.at),
      room.cables.fill(a.catalogue.cable.at), room.connectors.fill(a.catalogue.connector.at),
      room.controllers.fill(a.catalogue.controller.at), room.drivers.fill(a.catalogue.driver.at),
      room.devices.fill(a.catalogue.overcurrent_device.at));
}

outcome<tw_plan*> made_in(void* block, std::int64_t bytes, const arrived_job& a) noexcept {
  if (const fault f = refuse_block(block, bytes, bytes_of(a.counts), 2)) return f;
  carver carved{block};
  plan_room room{carved, a.counts};
  if (const fault f = fill(room, a)) return f;
  tw_plan& front = room.front[0];
  front.job = {room.zones.rows, room.runs.rows, a.rules};
  front.catalogue = {room.tapes.rows,       room.cables.rows,  room.connectors.rows,
                     room.controllers.rows, room.drivers.rows, room.devices.rows};
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

tw_status tw_plan_bytes(const tw_job* job, const tw_catalogue* catalogue, int64_t* bytes, tw_fault* why) {
  const arrived_job a{job, catalogue};
  return answer(unless(a.why, [&]() noexcept { return outcome<std::uint64_t>{bytes_of(a.counts)}; }), why,
                to(bytes));
}

tw_status tw_plan_make(const tw_job* job, const tw_catalogue* catalogue, void* block, int64_t bytes,
                       tw_plan** plan, tw_fault* why) {
  const arrived_job a{job, catalogue};
  return answer(unless(a.why, [&]() noexcept { return made_in(block, bytes, a); }), why, to(plan));
}
