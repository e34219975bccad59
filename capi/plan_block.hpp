// SPDX-License-Identifier: BSL-1.0
// A plan and all it stands on, in one block of the caller's.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "answer.hpp"
#include "block.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/sections.hpp"

/// What stands at the front of the block; the lists follow it.
struct tw_plan {
  static constexpr std::uint64_t finished = 0x7477'706c'616e'3031;

  std::uint64_t state = 0;  ///< `finished` once the plan may be read
  tapewright::job job;
  tapewright::catalogue catalogue;
  tapewright::plan plan;
};

namespace tapewright::capi {

/// How many rows of everything a plan has room for.
struct block_counts {
  std::size_t zones = 0, runs = 0, tapes = 0, cables = 0, connectors = 0, controllers = 0, drivers = 0,
              devices = 0;
  std::size_t network = 0;  ///< doubles that are enough for the longest line, and for runs fed in parts
  std::size_t given_stretches = 0;
  std::size_t sections = 0, feeds = 0, stretches = 0;  ///< at most, see plan/sections.hpp
};

/// The whole block. Made with a ruler it only measures.
struct plan_room {
  std::span<tw_plan> front;
  row_room<tw_zone, zone> zones;
  row_room<tw_run, run> runs;
  row_room<tw_tape, tape> tapes;
  row_room<tw_cable, cable> cables;
  row_room<tw_connector, connector> connectors;
  row_room<tw_controller, controller> controllers;
  row_room<tw_driver, driver> drivers;
  row_room<tw_overcurrent_device, overcurrent_device> devices;
  std::span<stretch> given_stretches;
  plan_space space;

  plan_room(carver& room, const block_counts& n) noexcept
      : front{room.array<tw_plan>(1)},
        zones{room, n.zones},
        runs{room, n.runs},
        tapes{room, n.tapes},
        cables{room, n.cables},
        connectors{room, n.connectors},
        controllers{room, n.controllers},
        drivers{room, n.drivers},
        devices{room, n.devices},
        given_stretches{room.array<stretch>(n.given_stretches)} {
    const std::size_t parts = n.controllers > n.drivers ? n.controllers : n.drivers;
    plan_counts p = space_for(n.sections, n.feeds, n.stretches, n.network, parts);
    const std::size_t lines =
        most_order_lines(n.tapes + n.cables + n.connectors + n.controllers + n.drivers + n.devices);
    p.order = p.order < lines ? p.order : lines;
    space.runs = room.array<run_plan>(p.runs);
    space.hubs = room.array<hub_plan>(p.hubs);
    space.outputs = room.array<output_plan>(p.outputs);
    space.drivers = room.array<driver_plan>(p.drivers);
    space.order = room.array<order_line>(p.order);
    space.pieces = room.array<cut_piece>(p.pieces);
    space.connections = room.array<connection>(p.connections);
    space.findings = room.array<finding>(p.findings);
    space.readings = room.array<reading>(p.readings);
    space.notes = room.array<note>(p.notes);
    space.figures = room.array<line_figures>(p.figures);
    space.network = room.array<double>(n.network);
    space.scratch = room.array<std::int32_t>(p.scratch);
    space.feeds = room.array<tape_feed>(p.feeds);
    space.stretches = room.array<stretch_plan>(p.stretches);
    space.fed.stretches = room.array<run_stretch>(p.fed_stretches);
    space.fed.points = room.array<feed_point>(p.fed_points);
    space.fed.currents = room.array<feed_current>(p.fed_points);
    space.fed.runs = room.array<fed_run>(p.fed_runs);
    space.fed.figures = room.array<fed_run_figures>(p.fed_runs);
    space.fed.profiles = room.array<fed_run_profile>(p.fed_runs);
    space.fed.feeds = room.array<fed_point>(p.fed_points);
    space.search.part_of = room.array<std::int32_t>(p.search.part_of);
    space.search.pieces = room.array<stock_piece>(p.search.pieces);
    space.search.piece_of = room.array<std::int32_t>(p.search.pieces);
    const cutting_counts& c = p.search.cutting;
    cutting_space& cutting = space.search.cutting;
    cutting.packing.items = room.array<tapewright::detail::packing_item_row>(c.packing.items);
    cutting.packing.types = room.array<tapewright::detail::packing_type_row>(c.packing.types);
    cutting.packing.bins = room.array<tapewright::detail::packing_bin_row>(c.packing.bins);
    cutting.packing.bin_of = room.array<std::int32_t>(c.packing.bin_of);
    cutting.packing.packed = room.array<packed_bin>(c.packing.packed);
    cutting.items = room.array<packing_item>(c.items);
    cutting.types = room.array<packing_type>(c.types);
    cutting.choices = room.array<sold_length>(c.choices);
    cutting.sold = room.array<sold_length>(c.sold);
  }
};

}  // namespace tapewright::capi
