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
#include "tapewright/plan/sections.hpp"

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
      if (const fault f = count_run(i)) return f.item < 0 ? at_item(f, i) : f;
    // a zone of which some run is fed in parts is solved at once, hub by hub
    for (const zone_network& z : networks_)
      if (z.fed && z.doubles > counts.network) counts.network = z.doubles;
    return {};
  }

  /// Room for one run: its stretches, its tape's pitch and its channels tell how much.
  fault count_run(std::size_t i) noexcept {
    tw_run c{};
    if (const fault f = read_row(c, job.run.at, i)) return f;
    run r;
    if (const fault f = from_c(r, c)) return f;
    const auto unknown = [](field which, std::int32_t given, std::int32_t count) noexcept {
      return fault{fault_code::unknown_reference,  which, static_cast<double>(given), 0,
                   static_cast<double>(count) - 1, -1};
    };
    if (c.tape < 0 || c.tape >= catalogue.tapes) return unknown(field::run_tape, c.tape, catalogue.tapes);
    if (c.zone < 0 || c.zone >= job.zones) return unknown(field::run_zone, c.zone, job.zones);
    tw_tape t{};
    if (const fault f = read_row(t, catalogue.tape.at, static_cast<std::size_t>(c.tape))) return f;
    if (const fault f = first_fault(refuse(field::channel_count, t.channels),
                                    refuse(field::longest_piece, t.longest_piece_m)))
      return f;
    const bool plain = c.stretches == 0 && is_plain(r);
    std::int64_t segments = 0, pieces = 0;
    for (std::int32_t s = 0; s < (c.stretches == 0 ? 1 : c.stretches); ++s) {
      tw_stretch wall{0, 0, c.measured_m, 0};
      if (c.stretches > 0)
        if (const fault f = read_row(wall, c.stretch.at, static_cast<std::size_t>(s))) return at_item(f, i);
      const double gap_m = s == 0 ? 0.0 : wall.gap_m;
      if (const fault f = refuse(field::link_gap, gap_m)) return f;
      const outcome<cut_length> cut = cut_to_pitch(metres{wall.measured_m - gap_m}, metres{t.cut_pitch_m});
      if (!cut) return cut.why();
      segments += cut->segments;
      pieces += pieces_of(plain, metres{t.longest_piece_m}, metres{t.cut_pitch_m}, cut->segments);
    }
    if (const fault f = refuse(field::segment_count, static_cast<double>(segments))) return f;
    const std::size_t doubles = line_workspace(segments, t.channels);
    if (doubles > counts.network) counts.network = doubles;
    const run_room room = room_of(r, plain, t.channels, plain ? 1 : most_sections(r), segments, pieces);
    counts.given_stretches += static_cast<std::size_t>(c.stretches);
    counts.sections += room.runs;
    counts.feeds += room.feeds;
    counts.stretches += room.stretches;
    zone_network& z = networks_[c.zone];
    z.doubles += room.network;
    z.fed = z.fed || !plain;
    return {};
  }

  struct zone_network {
    std::size_t doubles = 0;
    bool fed = false;
  };
  static constexpr std::size_t most_zones = static_cast<std::size_t>(range_of(field::zone_count).most);
  zone_network networks_[most_zones];
};

std::uint64_t bytes_of(const block_counts& counts) noexcept {
  carver ruler;
  const plan_room measured{ruler, counts};
  return ruler.used();
}

/// The stretches of all runs one behind the other, each run viewing its own.
fault fill_stretches(plan_room& room) noexcept {
  std::size_t at = 0;
  for (std::size_t i = 0; i < room.runs.rows.size(); ++i) {
    const tw_run& c = room.runs.c[i];
    const auto count = static_cast<std::size_t>(c.stretches);
    for (std::size_t s = 0; s < count; ++s) {
      tw_stretch one{};
      if (const fault f = read_row(one, c.stretch.at, s)) return at_item(f, i);
      if (const fault f = from_c(room.given_stretches[at + s], one)) return at_item(f, i);
    }
    room.runs.rows[i].stretches = room.given_stretches.subspan(at, count);
    at += count;
  }
  return {};
}

fault fill(plan_room& room, const arrived_job& a) noexcept {
  if (const fault f = first_fault(
          room.zones.fill(a.job.zone.at), room.runs.fill(a.job.run.at), room.tapes.fill(a.catalogue.tape.at),
          room.cables.fill(a.catalogue.cable.at), room.connectors.fill(a.catalogue.connector.at),
          room.controllers.fill(a.catalogue.controller.at), room.drivers.fill(a.catalogue.driver.at),
          room.devices.fill(a.catalogue.overcurrent_device.at)))
    return f;
  return fill_stretches(room);
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
