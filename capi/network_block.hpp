// SPDX-License-Identifier: BSL-1.0
// A network in a block of the caller's: its rows as they come in, counted and joined, and room for what it does.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "answer.hpp"
#include "block.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/network/dimming.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/sensitivity.hpp"
#include "tapewright/network/tolerance.hpp"

/// What stands at the front of the block of a solved network.
struct tw_solved {
  static constexpr std::uint64_t finished = 0x7477'736f'6c76'3031;

  std::uint64_t state = 0;  ///< `finished` once it may be read
  std::span<const tapewright::fed_run_figures> runs;
  std::span<const tapewright::celsius> trace;
  std::span<const tapewright::fed_run_profile> profiles;
  std::span<const tapewright::feed_current> feeds;
  std::span<const std::int32_t> plan_runs, plan_hubs;  ///< of each run; none where no plan was solved
};

namespace tapewright::capi {

/// How many of everything a network has, and the doubles that it takes to solve it and to ask more about it.
struct network_counts {
  std::size_t tapes = 0, hubs = 0, runs = 0, stretches = 0, feeds = 0, loads = 0, solving = 0, asking = 0;
};

/// A list of which only the length is asked.
template <class T>
std::span<const T> only_counted(std::size_t length) noexcept {
  return {static_cast<const T*>(nullptr), length};
}

/// The network as it comes in, with its lists known to be reachable and to belong together.
struct arrived_network {
  tw_network c{};
  network_counts counts;
  fault why;

  explicit arrived_network(const tw_network* from) noexcept {
    why = read_argument(c, from, 0);
    if (!why) why = refuse_lists();
    if (!why) why = count();
  }

 private:
  fault refuse_lists() const noexcept {
    return first_fault(refuse_list(c.tape.at, c.tapes, 0), refuse_list(c.hub.at, c.hubs, 0),
                       refuse_list(c.run.at, c.runs, 0), refuse_list(c.stretch.at, c.stretches, 0),
                       refuse_list(c.feed.at, c.feeds, 0));
  }

  fault count() noexcept {
    const auto size = [](std::int32_t n) noexcept { return static_cast<std::size_t>(n); };
    counts = {.tapes = size(c.tapes), .hubs = size(c.hubs), .runs = size(c.runs)};
    const feed_network hubs_alone{{}, {}, only_counted<feed_hub>(counts.hubs), {}};
    counts.solving = network_workspace(hubs_alone);
    counts.asking = asking(hubs_alone);
    for (std::size_t r = 0; r < counts.runs; ++r)
      if (const fault f = count_run(r)) return f.item < 0 ? at_item(f, r) : f;
    if (const fault f = refuse_sum(counts.stretches, c.stretches)) return f;
    return refuse_sum(counts.feeds, c.feeds);
  }

  fault count_run(std::size_t r) noexcept {
    tw_network_run run{};
    if (const fault f = read_row(run, c.run.at, r)) return f;
    if (const fault f = first_fault(refuse_outside(field::row_count, run.stretches, 1, c.stretches),
                                    refuse_outside(field::row_count, run.feeds, 1, c.feeds)))
      return f;
    run_stretch whole;
    whole.line.segments = 0;
    for (std::int32_t s = 0; s < run.stretches; ++s)
      if (const fault f = count_stretch(whole.line)) return f;
    if (const fault f = refuse(field::segment_count, static_cast<double>(whole.line.segments))) return f;
    counts.feeds += static_cast<std::size_t>(run.feeds);
    const fed_run measured{.hub = 0,
                           .stretches = {&whole, 1},
                           .feeds = only_counted<feed_point>(static_cast<std::size_t>(run.feeds)),
                           .common = {},
                           .channel = {}};
    const feed_network alone{{}, {}, {}, {&measured, 1}};
    const dimming_counts need = dimming_room_for(alone);
    counts.solving += need.doubles;
    counts.asking += asking(alone);
    counts.loads += need.loads;
    return {};
  }

  /// Whichever question asks for most.
  static std::size_t asking(const feed_network& n) noexcept {
    const std::size_t slopes = sensitivity_workspace(n), bounds = tolerance_space_for(n).doubles;
    return slopes > bounds ? slopes : bounds;
  }

  /// Adds the next stretch to the line that measures its run.
  fault count_stretch(tape_line& whole) noexcept {
    if (counts.stretches >= static_cast<std::size_t>(c.stretches))
      return refuse_sum(counts.stretches + 1, c.stretches);
    tw_network_stretch s{};
    if (const fault f = read_row(s, c.stretch.at, counts.stretches)) return f;
    if (const fault f = refuse_place(field::run_tape, s.tape, counts.tapes))
      return at_item(f, counts.stretches);
    tw_tape t{};
    if (const fault f = read_row(t, c.tape.at, static_cast<std::size_t>(s.tape))) return f;
    if (const fault f = first_fault(refuse(field::segment_count, static_cast<double>(s.segments)),
                                    refuse(field::channel_count, t.channels)))
      return at_item(f, counts.stretches);
    whole.segments += s.segments;
    whole.channels = t.channels;
    ++counts.stretches;
    return {};
  }

  static fault refuse_sum(std::size_t sum, std::int32_t listed) noexcept {
    if (sum == static_cast<std::size_t>(listed)) return {};
    return {fault_code::contradiction,   field::row_count,
            static_cast<double>(sum),    static_cast<double>(listed),
            static_cast<double>(listed), -1};
  }
};

/// The rows of a network and what they are in C++, joined: each run views its stretches and feed points.
struct network_rows {
  row_room<tw_tape, tape> tapes;
  row_room<tw_network_hub, feed_hub> hubs;
  row_room<tw_network_run, fed_run> runs;
  row_room<tw_network_stretch, run_stretch> stretches;
  row_room<tw_network_feed, feed_point> feeds;

  network_rows(carver& room, const network_counts& n) noexcept
      : tapes{room, n.tapes},
        hubs{room, n.hubs},
        runs{room, n.runs},
        stretches{room, n.stretches},
        feeds{room, n.feeds} {}

  /// @param warm  traces as the tapes' rows state them, not as warm as the stretches say.
  fault fill(const tw_network& c, bool warm) noexcept {
    if (const fault f = tapes.fill(c.tape.at)) return f;
    if (const fault f = hubs.fill(c.hub.at)) return f;
    if (const fault f = runs.fill(c.run.at)) return f;
    if (const fault f = stretches.fill(c.stretch.at)) return f;
    if (const fault f = feeds.fill(c.feed.at)) return f;
    std::size_t stretch = 0, feed = 0;
    for (std::size_t r = 0; r < runs.rows.size(); ++r) {
      const tw_network_run& asked = runs.c[r];
      const auto parts = static_cast<std::size_t>(asked.stretches),
                 points = static_cast<std::size_t>(asked.feeds);
      fed_run& run = runs.rows[r];
      run.stretches = stretches.rows.subspan(stretch, parts);
      run.feeds = feeds.rows.subspan(feed, points);
      for (std::size_t s = stretch; s < stretch + parts; ++s) {
        const tw_network_stretch& part = stretches.c[s];
        const outcome<tape_line> line =
            line_of(tapes.rows[static_cast<std::size_t>(part.tape)], part.segments,
                    warm ? copper_measured : celsius{part.trace_c}, asked.lit);
        if (!line) return at_item(line.why(), s);
        stretches.rows[s].line = *line;
      }
      // loads were counted for stretches of the same channels
      for (const run_stretch& s : run.stretches)
        if (s.line.channels != run.stretches[0].line.channels) return at_item(check(run), r);
      stretch += parts;
      feed += points;
    }
    return {};
  }

  feed_network network(const tw_network& c) const noexcept {
    return {volts{c.source_v}, ohms{c.lead_ohm}, hubs.rows, runs.rows};
  }

  static constexpr celsius copper_measured{20};  ///< for which a tape's rows state its traces
};

/// Room for what the runs of a network do: figures, every load, every feed point.
struct solution_room {
  std::span<fed_run_figures> figures;
  std::span<fed_run_profile> profiles;
  std::span<volts> load_v;
  std::span<amps> load_a;
  std::span<feed_current> currents;

  solution_room(carver& room, std::size_t runs, std::size_t loads, std::size_t feeds) noexcept
      : figures{room.array<fed_run_figures>(runs)},
        profiles{room.array<fed_run_profile>(runs)},
        load_v{room.array<volts>(loads)},
        load_a{room.array<amps>(loads)},
        currents{room.array<feed_current>(feeds)} {}

  /// Gives each run its part of the lists.
  void share(std::span<const fed_run> runs) noexcept {
    std::size_t load = 0, feed = 0;
    for (std::size_t r = 0; r < runs.size(); ++r) {
      const auto loads = static_cast<std::size_t>(segments_of(runs[r]) * runs[r].stretches[0].line.channels);
      const std::size_t points = runs[r].feeds.size();
      profiles[r] = {load_v.subspan(load, loads), load_a.subspan(load, loads),
                     currents.subspan(feed, points)};
      load += loads;
      feed += points;
    }
  }
};

/// Refuses what is no finished answer (argument 0), and a place beyond one of its lists.
template <class Solved>
fault refuse_place(const Solved* s, std::size_t (*length)(const Solved&) noexcept,
                   std::int32_t place) noexcept {
  if (const fault f = refuse_handle(s)) return f;
  return refuse_place(field::place, place, length(*s));
}

/// Place of row `at` of a list behind a handle, once refuse_place has let it pass.
template <class T>
const T& row_of(std::span<const T> list, std::int32_t at) noexcept {
  return list[static_cast<std::size_t>(at)];
}

}  // namespace tapewright::capi
