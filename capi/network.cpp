// SPDX-License-Identifier: BSL-1.0
// C interface: a whole installation solved in one block of the caller's, in full light, in its own warmth, dimmed.
#include <cstddef>
#include <cstdint>
#include <span>

#include "answer.hpp"
#include "arrays.hpp"
#include "block.hpp"
#include "figures.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/network/dimming.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/warm_copper.hpp"
#include "tapewright/sizing/dimmed_cores.hpp"

using namespace tapewright;
using namespace tapewright::capi;

/// What stands at the front of the block.
struct tw_solved {
  static constexpr std::uint64_t finished = 0x7477'736f'6c76'3031;

  std::uint64_t state = 0;  ///< `finished` once it may be read
  std::span<const fed_run_figures> runs;
  std::span<const celsius> trace;
  std::span<const fed_run_profile> profiles;
  std::span<const feed_current> feeds;
};

struct tw_dimmed {
  static constexpr std::uint64_t finished = 0x7477'6469'6d6d'3031;

  std::uint64_t state = 0;
  std::span<const dimmed_run> runs;
  std::span<const core_currents> hubs, feeds;
  std::span<const dimmed_profile> profiles;
};

namespace {

/// How many of everything a network has, and the doubles that solving it needs.
struct network_counts {
  std::size_t tapes = 0, hubs = 0, runs = 0, stretches = 0, feeds = 0, loads = 0, doubles = 0;
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
    counts.doubles = network_workspace(hubs_alone);
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
    const dimming_counts need = dimming_room_for({{}, {}, {}, {&measured, 1}});
    counts.doubles += need.doubles;
    counts.loads += need.loads;
    return {};
  }

  /// Adds the next stretch to the line that measures its run.
  fault count_stretch(tape_line& whole) noexcept {
    if (counts.stretches >= static_cast<std::size_t>(c.stretches))
      return refuse_sum(counts.stretches + 1, c.stretches);
    tw_network_stretch s{};
    if (const fault f = read_row(s, c.stretch.at, counts.stretches)) return f;
    if (s.tape < 0 || s.tape >= c.tapes)
      return {fault_code::unknown_reference,    field::run_tape,
              static_cast<double>(s.tape),      0,
              static_cast<double>(c.tapes) - 1, static_cast<std::int32_t>(counts.stretches)};
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

/// The whole block. Made with a ruler it only measures.
struct network_room {
  std::span<tw_solved> solved;
  std::span<tw_dimmed> dimmed;
  row_room<tw_tape, tape> tapes;
  row_room<tw_network_hub, feed_hub> hubs;
  row_room<tw_network_run, fed_run> runs;
  row_room<tw_network_stretch, run_stretch> stretches;
  row_room<tw_network_feed, feed_point> feeds;
  std::span<pwm_timing> timings;
  std::span<tape_surroundings> around;
  std::span<celsius> trace;
  std::span<fed_run_figures> figures;
  std::span<fed_run_profile> profiles, told;
  std::span<dimmed_profile> dimmed_profiles;
  std::span<volts> load_v;
  std::span<amps> load_a;
  std::span<feed_current> currents;
  std::span<fed_run> runs_now;
  std::span<run_stretch> stretches_now;
  std::span<dimmed_run> dimmed_runs;
  std::span<core_currents> dimmed_hubs, dimmed_feeds;
  std::span<double> light, workspace;

  network_room(carver& room, const network_counts& n) noexcept
      : solved{room.array<tw_solved>(1)},
        dimmed{room.array<tw_dimmed>(1)},
        tapes{room, n.tapes},
        hubs{room, n.hubs},
        runs{room, n.runs},
        stretches{room, n.stretches},
        feeds{room, n.feeds},
        timings{room.array<pwm_timing>(n.hubs)},
        around{room.array<tape_surroundings>(n.runs)},
        trace{room.array<celsius>(n.runs)},
        figures{room.array<fed_run_figures>(n.runs)},
        profiles{room.array<fed_run_profile>(n.runs)},
        told{room.array<fed_run_profile>(n.runs)},
        dimmed_profiles{room.array<dimmed_profile>(n.runs)},
        load_v{room.array<volts>(n.loads)},
        load_a{room.array<amps>(n.loads)},
        currents{room.array<feed_current>(n.feeds)},
        runs_now{room.array<fed_run>(n.runs)},
        stretches_now{room.array<run_stretch>(n.stretches)},
        dimmed_runs{room.array<dimmed_run>(n.runs)},
        dimmed_hubs{room.array<core_currents>(n.hubs)},
        dimmed_feeds{room.array<core_currents>(n.feeds)},
        light{room.array<double>(n.loads)},
        workspace{room.array<double>(n.doubles)} {}

  /// Brings the rows in and joins them: each run to its stretches and feed points, each stretch to its tape.
  fault fill(const tw_network& c, bool warm) noexcept {
    if (const fault f = tapes.fill(c.tape.at)) return f;
    if (const fault f = hubs.fill(c.hub.at)) return f;
    if (const fault f = runs.fill(c.run.at)) return f;
    if (const fault f = stretches.fill(c.stretch.at)) return f;
    if (const fault f = feeds.fill(c.feed.at)) return f;
    std::size_t stretch = 0, feed = 0, load = 0;
    for (std::size_t r = 0; r < runs.rows.size(); ++r) {
      const tw_network_run& asked = runs.c[r];
      const auto parts = static_cast<std::size_t>(asked.stretches),
                 points = static_cast<std::size_t>(asked.feeds);
      trace[r] = celsius{stretches.c[stretch].trace_c};
      around[r] = {celsius{asked.ambient_c}, copper_measured, kelvin_metres_per_watt{asked.warming_k_m_per_w},
                   asked.lamp_share};
      for (std::size_t s = stretch; s < stretch + parts; ++s) {
        const tw_network_stretch& part = stretches.c[s];
        const outcome<tape_line> line =
            line_of(tapes.rows[static_cast<std::size_t>(part.tape)], part.segments,
                    warm ? copper_measured : celsius{part.trace_c}, asked.lit);
        if (!line) return at_item(line.why(), s);
        stretches.rows[s].line = *line;
      }
      fed_run& run = runs.rows[r];
      run.stretches = stretches.rows.subspan(stretch, parts);
      run.feeds = feeds.rows.subspan(feed, points);
      const auto loads = static_cast<std::size_t>(segments_of(run) * run.stretches[0].line.channels);
      if (load + loads >
          load_v.size())  // stretches of tapes with different channels: check(fed_run) refuses them
        return at_item(check(run), r);
      told[r] = {load_v.subspan(load, loads), load_a.subspan(load, loads), currents.subspan(feed, points)};
      dimmed_profiles[r] = {light.subspan(load, loads), dimmed_feeds.subspan(feed, points)};
      stretch += parts;
      feed += points;
      load += loads;
    }
    for (std::size_t h = 0; h < timings.size(); ++h)
      for (std::size_t k = 0; k < max_channels; ++k) {
        timings[h].duty[k] = hubs.c[h].duty[k];
        timings[h].phase[k] = hubs.c[h].phase[k];
      }
    return {};
  }

  feed_network network(const tw_network& c) const noexcept {
    return {volts{c.source_v}, ohms{c.lead_ohm}, hubs.rows, runs.rows};
  }

  static constexpr celsius copper_measured{20};  ///< for which a tape's rows state its traces
};

std::uint64_t bytes_of(const network_counts& counts) noexcept {
  carver ruler;
  const network_room measured{ruler, counts};
  return ruler.used();
}

struct solved_network {
  tw_solved* handle = nullptr;
  warm_figures figures;
};
struct dimmed_network {
  tw_dimmed* handle = nullptr;
  dimmed_figures figures;
};

outcome<solved_network> solved_in(void* block, std::int64_t bytes, const arrived_network& a,
                                  bool warm) noexcept {
  if (const fault f = refuse_block(block, bytes, bytes_of(a.counts), 1)) return f;
  carver carved{block};
  network_room room{carved, a.counts};
  if (const fault f = room.fill(a.c, warm)) return f;
  const feed_network n = room.network(a.c);
  solved_network made;
  if (warm) {
    const outcome<warm_figures> got =
        solve_warm(n, room.around, {room.workspace, room.runs_now, room.stretches_now}, room.trace,
                   room.figures, room.told);
    if (!got) return got.why();
    made.figures = *got;
  } else {
    const outcome<network_figures> got = solve_network(n, room.workspace, room.figures, room.told);
    if (!got) return got.why();
    made.figures = {*got, kelvins{}, 0};
  }
  made.handle = &room.solved[0];
  *made.handle = {tw_solved::finished, room.figures, room.trace, room.told, room.currents};
  return made;
}

outcome<dimmed_network> dimmed_in(void* block, std::int64_t bytes, const arrived_network& a) noexcept {
  if (const fault f = refuse_block(block, bytes, bytes_of(a.counts), 1)) return f;
  carver carved{block};
  network_room room{carved, a.counts};
  if (const fault f = room.fill(a.c, false)) return f;
  const outcome<dimmed_figures> got =
      solve_dimmed(room.network(a.c), room.timings,
                   {room.workspace, room.runs_now, room.figures, room.profiles, room.stretches_now,
                    room.load_a, room.currents},
                   room.dimmed_runs, room.dimmed_hubs, room.dimmed_profiles);
  if (!got) return got.why();
  const dimmed_network made{&room.dimmed[0], *got};
  *made.handle = {tw_dimmed::finished, room.dimmed_runs, room.dimmed_hubs, room.dimmed_feeds,
                  room.dimmed_profiles};
  return made;
}

/// Refuses what is not a solved network (argument 0), or a place beyond one of its lists.
template <class Solved>
fault refuse_place(const Solved* s, std::size_t (*length)(const Solved&) noexcept,
                   std::int32_t place) noexcept {
  if (s == nullptr) return null_pointer(0);
  if (s->state != Solved::finished) return {fault_code::version_mismatch, field::pointer, 0, 1, 1, 0};
  const std::size_t rows = length(*s);
  if (place >= 0 && static_cast<std::size_t>(place) < rows) return {};
  return {fault_code::unknown_reference, field::place,
          static_cast<double>(place),    0,
          static_cast<double>(rows) - 1, -1};
}
std::size_t runs_of(const tw_solved& s) noexcept { return s.runs.size(); }
std::size_t feeds_of(const tw_solved& s) noexcept { return s.feeds.size(); }
std::size_t runs_of(const tw_dimmed& s) noexcept { return s.runs.size(); }
std::size_t hubs_of(const tw_dimmed& s) noexcept { return s.hubs.size(); }
std::size_t feeds_of(const tw_dimmed& s) noexcept { return s.feeds.size(); }

/// Copies figures into the caller's room where there is one; refuses one that is too small.
template <class T>
fault copy_to(double* room, std::int64_t count, std::span<const T> figures) noexcept {
  if (room == nullptr) return {};
  if (static_cast<std::uint64_t>(count) < figures.size())
    return {fault_code::no_room,         field::space,
            static_cast<double>(count),  static_cast<double>(figures.size()),
            range_of(field::space).most, -1};
  for (std::size_t i = 0; i < figures.size(); ++i) room[i] = number_of<double>(figures[i]);
  return {};
}

/// Place of row `at` of a list behind a handle, once refuse_place has let it pass.
template <class T>
const T& row_of(std::span<const T> list, std::int32_t at) noexcept {
  return list[static_cast<std::size_t>(at)];
}

}  // namespace

tw_status tw_network_workspace(const tw_network* network, int64_t* bytes, tw_fault* why) {
  const arrived_network a{network};
  return answer(unless(a.why, [&]() noexcept { return outcome<std::uint64_t>{bytes_of(a.counts)}; }), why,
                to(bytes));
}

tw_status tw_solve_network(const tw_network* network, void* block, int64_t bytes, tw_solved** solved,
                           tw_network_figures* figures, tw_fault* why) {
  const arrived_network a{network};
  return answer(unless(a.why, [&]() noexcept { return solved_in(block, bytes, a, false); }), why,
                to(solved, &solved_network::handle), to(figures, &solved_network::figures));
}

tw_status tw_solve_warm_network(const tw_network* network, void* block, int64_t bytes, tw_solved** solved,
                                tw_network_figures* figures, tw_fault* why) {
  const arrived_network a{network};
  return answer(unless(a.why, [&]() noexcept { return solved_in(block, bytes, a, true); }), why,
                to(solved, &solved_network::handle), to(figures, &solved_network::figures));
}

tw_status tw_solved_run(const tw_solved* solved, int32_t run, tw_fed_run_figures* figures, double* trace_c,
                        tw_fault* why) {
  return answer(refuse_place(solved, runs_of, run), solved, why,
                to(figures, [=](const tw_solved& s) noexcept { return row_of(s.runs, run); }),
                to(trace_c, [=](const tw_solved& s) noexcept { return row_of(s.trace, run); }));
}

tw_status tw_solved_profile(const tw_solved* solved, int32_t run, double* load_v, double* load_a,
                            int64_t loads, tw_fault* why) {
  fault f =
      first_fault(refuse_place(solved, runs_of, run), refuse_room(load_v, loads), refuse_room(load_a, loads));
  if (!f) f = copy_to<volts>(load_v, loads, row_of(solved->profiles, run).load_voltage);
  if (!f) f = copy_to<amps>(load_a, loads, row_of(solved->profiles, run).load_current);
  return answer_arrays(f, why, loads, load_v, load_a);
}

tw_status tw_solved_feed(const tw_solved* solved, int32_t feed, double* common_a, double* channel_a,
                         tw_fault* why) {
  const fault f =
      first_fault(refuse_place(solved, feeds_of, feed), channel_a == nullptr ? null_pointer(1) : fault{});
  const tw_status status =
      answer(f, solved, why,
             to(common_a, [=](const tw_solved& s) noexcept { return row_of(s.feeds, feed).common; }));
  poison(channel_a, TW_MOST_CHANNELS);
  if (status == TW_OK) copy_to<amps>(channel_a, TW_MOST_CHANNELS, row_of(solved->feeds, feed).channel);
  return status;
}

tw_status tw_solve_dimmed_network(const tw_network* network, void* block, int64_t bytes, tw_dimmed** dimmed,
                                  tw_dimmed_figures* figures, tw_fault* why) {
  const arrived_network a{network};
  return answer(unless(a.why, [&]() noexcept { return dimmed_in(block, bytes, a); }), why,
                to(dimmed, &dimmed_network::handle), to(figures, &dimmed_network::figures));
}

tw_status tw_dimmed_run(const tw_dimmed* dimmed, int32_t run, tw_dimmed_run_figures* figures,
                        tw_core_currents* feeder, tw_fault* why) {
  return answer(refuse_place(dimmed, runs_of, run), dimmed, why,
                to(figures, [=](const tw_dimmed& s) noexcept { return row_of(s.runs, run); }),
                to(feeder, [=](const tw_dimmed& s) noexcept { return row_of(s.runs, run).feeder; }));
}

tw_status tw_dimmed_hub(const tw_dimmed* dimmed, int32_t hub, tw_core_currents* currents, tw_fault* why) {
  return answer(refuse_place(dimmed, hubs_of, hub), dimmed, why,
                to(currents, [=](const tw_dimmed& s) noexcept { return row_of(s.hubs, hub); }));
}

tw_status tw_dimmed_feed(const tw_dimmed* dimmed, int32_t feed, tw_core_currents* currents, tw_fault* why) {
  return answer(refuse_place(dimmed, feeds_of, feed), dimmed, why,
                to(currents, [=](const tw_dimmed& s) noexcept { return row_of(s.feeds, feed); }));
}

tw_status tw_dimmed_light(const tw_dimmed* dimmed, int32_t run, double* light, int64_t loads, tw_fault* why) {
  fault f = first_fault(refuse_place(dimmed, runs_of, run), light == nullptr ? null_pointer(0) : fault{},
                        refuse_room(light, loads));
  if (!f) f = copy_to<double>(light, loads, row_of(dimmed->profiles, run).light);
  return answer_arrays(f, why, loads, light);
}

tw_status tw_dimmed_cores(const tw_dimmed_question* question, tw_core_currents* currents, tw_fault* why) {
  tw_dimmed_question c{};
  bounded<amps, max_channels> on;
  pwm_timing t;
  fault f = read_argument(c, question, 0);
  if (!f) f = from_c(on, c.on_a, c.channels);
  for (std::size_t k = 0; k < on.size(); ++k) {
    t.duty[k] = c.duty[k];
    t.phase[k] = c.phase[k];
  }
  return answer(unless(f, [&]() noexcept { return dimmed_cores(on.all(), t); }), why, to(currents));
}

tw_status tw_warm_conductor(double current_a, double rated_a, double rated_ambient_c, double limit_c,
                            double ambient_c, double* conductor_c, tw_fault* why) {
  return answer(warm_conductor(amps{current_a}, {amps{rated_a}, celsius{rated_ambient_c}, celsius{limit_c}},
                               celsius{ambient_c}),
                why, to(conductor_c));
}
