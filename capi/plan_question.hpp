// SPDX-License-Identifier: BSL-1.0
// A job that comes in with its catalogue and terms: looked through, measured, brought into a block.
#pragma once

#include <cstddef>
#include <cstdint>

#include "answer.hpp"
#include "block.hpp"
#include "plan_block.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/plan/sections.hpp"

namespace tapewright::capi {

/// The question as it comes in, with its lists known to be reachable.
struct arrived_job {
  tw_job job{};
  tw_catalogue catalogue{};
  tw_terms terms{};
  design_rules rules;
  block_counts counts;
  fault why;

  arrived_job(const tw_job* from, const tw_catalogue* parts, const tw_terms* by = nullptr) noexcept {
    why = first_fault(read_argument(job, from, 0), read_argument(catalogue, parts, 1));
    if (!why) why = take_rules();
    if (!why && by != nullptr) why = take_terms(by);
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

  fault take_terms(const tw_terms* by) noexcept {
    if (const fault f = read_argument(terms, by, 2)) return f;
    return first_fault(from_c(rules, terms), refuse_list(terms.pin.at, terms.pins, 2));
  }

  fault refuse_lists() const noexcept {
    return first_fault(refuse(field::zone_count, job.zones), refuse(field::run_count, job.runs),
                       refuse(field::tape_count, catalogue.tapes), refuse_list(job.zone.at, job.zones, 0),
                       refuse_list(job.run.at, job.runs, 0), refuse_parts(catalogue, 1));
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
    if (const fault f = first_fault(refuse_place(field::run_tape, c.tape, counts.tapes),
                                    refuse_place(field::run_zone, c.zone, counts.zones)))
      return f;
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

/// The stretches of all runs one behind the other, each run viewing its own.
inline fault fill_stretches(plan_room& room) noexcept {
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

/// Pins a row of a zone or run to a part of a list of `parts`; nothing twice to different ones.
template <class Row>
fault pin_to(std::span<Row> rows, std::int32_t Row::*pinned, field what, std::size_t parts,
             const tw_pin& p) noexcept {
  if (const fault f =
          first_fault(refuse_place(field::place, p.place, rows.size()), refuse_place(what, p.part, parts)))
    return f;
  std::int32_t& pin = rows[static_cast<std::size_t>(p.place)].*pinned;
  if (pin >= 0 && pin != p.part)
    return {fault_code::contradiction, what, static_cast<double>(p.part), static_cast<double>(pin),
            static_cast<double>(pin),  -1};
  pin = p.part;
  return {};
}

inline fault fill_pins(plan_room& room, const tw_terms& terms) noexcept {
  const auto pin = [&](const tw_pin& p) noexcept -> fault {
    switch (p.pin) {
      case TW_PIN_ZONE_DRIVER:
        return pin_to(room.zones.rows, &zone::pinned_driver, field::pinned_driver, room.drivers.rows.size(),
                      p);
      case TW_PIN_ZONE_CONTROLLER:
        return pin_to(room.zones.rows, &zone::pinned_controller, field::pinned_controller,
                      room.controllers.rows.size(), p);
      case TW_PIN_RUN_FEEDER:
        return pin_to(room.runs.rows, &run::pinned_feeder, field::pinned_feeder, room.cables.rows.size(), p);
      default:
        return {fault_code::not_listed, field::none,       static_cast<double>(p.pin),
                TW_PIN_ZONE_DRIVER,     TW_PIN_RUN_FEEDER, -1};
    }
  };
  for (std::size_t i = 0; i < static_cast<std::size_t>(terms.pins); ++i) {
    tw_pin one{};
    if (const fault f = read_row(one, terms.pin.at, i)) return f;
    if (const fault f = pin(one)) return at_item(f, i);
  }
  return {};
}

/// Brings rows, stretches and pins of a question into the room that was carved for them.
inline fault fill(plan_room& room, const arrived_job& a) noexcept {
  if (const fault f = first_fault(
          room.zones.fill(a.job.zone.at), room.runs.fill(a.job.run.at), room.tapes.fill(a.catalogue.tape.at),
          room.cables.fill(a.catalogue.cable.at), room.connectors.fill(a.catalogue.connector.at),
          room.controllers.fill(a.catalogue.controller.at), room.drivers.fill(a.catalogue.driver.at),
          room.devices.fill(a.catalogue.overcurrent_device.at)))
    return f;
  if (const fault f = fill_stretches(room)) return f;
  if (const fault f = fill_pins(room, a.terms)) return f;
  tw_plan& front = room.front[0];
  front.job = {room.zones.rows, room.runs.rows, a.rules};
  front.catalogue = {room.tapes.rows,       room.cables.rows,  room.connectors.rows,
                     room.controllers.rows, room.drivers.rows, room.devices.rows};
  return {};
}

}  // namespace tapewright::capi
