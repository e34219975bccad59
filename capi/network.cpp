// SPDX-License-Identifier: BSL-1.0
// C interface: a whole installation solved in one block of the caller's, in full light, in its own warmth, dimmed.
#include <cstddef>
#include <cstdint>
#include <span>

#include "answer.hpp"
#include "arrays.hpp"
#include "block.hpp"
#include "figures.hpp"
#include "network_block.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/network/dimming.hpp"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/warm_copper.hpp"
#include "tapewright/plan/explain_conditions.hpp"
#include "tapewright/sizing/dimmed_cores.hpp"
#include "text_answer.hpp"

using namespace tapewright;
using namespace tapewright::capi;

/// What stands at the front of the block.
struct tw_dimmed {
  static constexpr std::uint64_t finished = 0x7477'6469'6d6d'3031;

  std::uint64_t state = 0;
  std::span<const dimmed_run> runs;
  std::span<const core_currents> hubs, feeds;
  std::span<const dimmed_profile> profiles;
};

namespace {

/// The whole block. Made with a ruler it only measures.
struct network_room {
  std::span<tw_solved> solved;
  std::span<tw_dimmed> dimmed;
  network_rows rows;
  solution_room told;
  std::span<pwm_timing> timings;
  std::span<tape_surroundings> around;
  std::span<celsius> trace;
  std::span<fed_run_profile> profiles;
  std::span<dimmed_profile> dimmed_profiles;
  std::span<fed_run> runs_now;
  std::span<run_stretch> stretches_now;
  std::span<dimmed_run> dimmed_runs;
  std::span<core_currents> dimmed_hubs, dimmed_feeds;
  std::span<double> light, workspace;

  network_room(carver& room, const network_counts& n) noexcept
      : solved{room.array<tw_solved>(1)},
        dimmed{room.array<tw_dimmed>(1)},
        rows{room, n},
        told{room, n.runs, n.loads, n.feeds},
        timings{room.array<pwm_timing>(n.hubs)},
        around{room.array<tape_surroundings>(n.runs)},
        trace{room.array<celsius>(n.runs)},
        profiles{room.array<fed_run_profile>(n.runs)},
        dimmed_profiles{room.array<dimmed_profile>(n.runs)},
        runs_now{room.array<fed_run>(n.runs)},
        stretches_now{room.array<run_stretch>(n.stretches)},
        dimmed_runs{room.array<dimmed_run>(n.runs)},
        dimmed_hubs{room.array<core_currents>(n.hubs)},
        dimmed_feeds{room.array<core_currents>(n.feeds)},
        light{room.array<double>(n.loads)},
        workspace{room.array<double>(n.solving)} {}

  /// Brings the rows in, joins them, and gives each run its part of every list.
  fault fill(const tw_network& c, bool warm) noexcept {
    if (const fault f = rows.fill(c, warm)) return f;
    told.share(rows.runs.rows);
    std::size_t stretch = 0, feed = 0, load = 0;
    for (std::size_t r = 0; r < around.size(); ++r) {
      const tw_network_run& asked = rows.runs.c[r];
      trace[r] = celsius{rows.stretches.c[stretch].trace_c};
      around[r] = {celsius{asked.ambient_c}, network_rows::copper_measured,
                   kelvin_metres_per_watt{asked.warming_k_m_per_w}, asked.lamp_share};
      const std::size_t loads = told.profiles[r].load_voltage.size(), points = told.profiles[r].feeds.size();
      dimmed_profiles[r] = {light.subspan(load, loads), dimmed_feeds.subspan(feed, points)};
      stretch += static_cast<std::size_t>(asked.stretches);
      feed += points;
      load += loads;
    }
    for (std::size_t h = 0; h < timings.size(); ++h)
      for (std::size_t k = 0; k < max_channels; ++k) {
        timings[h].duty[k] = rows.hubs.c[h].duty[k];
        timings[h].phase[k] = rows.hubs.c[h].phase[k];
      }
    return {};
  }
};

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
  if (const fault f = refuse_block(block, bytes, bytes_of<network_room>(a.counts), 1)) return f;
  carver carved{block};
  network_room room{carved, a.counts};
  if (const fault f = room.fill(a.c, warm)) return f;
  const feed_network n = room.rows.network(a.c);
  solved_network made;
  if (warm) {
    const outcome<warm_figures> got =
        solve_warm(n, room.around, {room.workspace, room.runs_now, room.stretches_now}, room.trace,
                   room.told.figures, room.told.profiles);
    if (!got) return got.why();
    made.figures = *got;
  } else {
    const outcome<network_figures> got =
        solve_network(n, room.workspace, room.told.figures, room.told.profiles);
    if (!got) return got.why();
    made.figures = {*got, kelvins{}, 0};
  }
  made.handle = &room.solved[0];
  *made.handle = {
      tw_solved::finished, room.told.figures, room.trace, room.told.profiles, room.told.currents, {}, {}};
  return made;
}

outcome<dimmed_network> dimmed_in(void* block, std::int64_t bytes, const arrived_network& a) noexcept {
  if (const fault f = refuse_block(block, bytes, bytes_of<network_room>(a.counts), 1)) return f;
  carver carved{block};
  network_room room{carved, a.counts};
  if (const fault f = room.fill(a.c, false)) return f;
  const outcome<dimmed_figures> got =
      solve_dimmed(room.rows.network(a.c), room.timings,
                   {room.workspace, room.runs_now, room.told.figures, room.profiles, room.stretches_now,
                    room.told.load_a, room.told.currents},
                   room.dimmed_runs, room.dimmed_hubs, room.dimmed_profiles);
  if (!got) return got.why();
  const dimmed_network made{&room.dimmed[0], *got};
  *made.handle = {tw_dimmed::finished, room.dimmed_runs, room.dimmed_hubs, room.dimmed_feeds,
                  room.dimmed_profiles};
  return made;
}

std::size_t runs_of(const tw_solved& s) noexcept { return s.runs.size(); }
std::size_t feeds_of(const tw_solved& s) noexcept { return s.feeds.size(); }
std::size_t runs_of(const tw_dimmed& s) noexcept { return s.runs.size(); }
std::size_t hubs_of(const tw_dimmed& s) noexcept { return s.hubs.size(); }
std::size_t feeds_of(const tw_dimmed& s) noexcept { return s.feeds.size(); }

tw_solved_place place_of(const tw_solved& s, std::int32_t run) noexcept {
  const fed_run_profile& of = row_of(s.profiles, run);
  tw_solved_place c{};
  c.plan_run = s.plan_runs.empty() ? -1 : row_of(s.plan_runs, run);
  c.plan_hub = s.plan_hubs.empty() ? -1 : row_of(s.plan_hubs, run);
  c.channels = row_of(s.runs, run).channels;
  c.first_feed = static_cast<std::int32_t>(of.feeds.data() - s.feeds.data());
  c.feeds = static_cast<std::int32_t>(of.feeds.size());
  c.segments = static_cast<std::int64_t>(of.load_voltage.size()) / c.channels;
  return c;
}

/// Copies figures into the caller's room where there is one; refuses one that is too small.
template <class T>
fault copy_to(double* room, std::int64_t count, std::span<const T> figures) noexcept {
  if (room == nullptr) return {};
  if (const fault f = refuse_room(static_cast<std::size_t>(count), figures.size())) return f;
  for (std::size_t i = 0; i < figures.size(); ++i) room[i] = number_of<double>(figures[i]);
  return {};
}

}  // namespace

tw_status tw_network_workspace(const tw_network* network, int64_t* bytes, tw_fault* why) {
  const arrived_network a{network};
  return tell_bytes<network_room>(a.why, a.counts, bytes, why);
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

tw_status tw_solved_runs(const tw_solved* solved, int32_t* runs, tw_fault* why) {
  return answer(refuse_handle(solved), solved, why,
                to(runs, [](const tw_solved& s) noexcept { return runs_of(s); }));
}

tw_status tw_solved_place_of(const tw_solved* solved, int32_t run, tw_solved_place* place, tw_fault* why) {
  return answer(refuse_place(solved, runs_of, run), solved, why,
                to(place, [=](const tw_solved& s) noexcept { return place_of(s, run); }));
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

namespace {

/// A dimmed feeder as it came in.
struct arrived_dimming {
  fault why;
  bounded<amps, max_channels> on;
  pwm_timing timing;

  explicit arrived_dimming(const tw_dimmed_question* question) noexcept {
    tw_dimmed_question c{};
    why = read_argument(c, question, 0);
    if (!why) why = from_c(on, c.on_a, c.channels);
    for (std::size_t k = 0; k < on.size(); ++k) {
      timing.duty[k] = c.duty[k];
      timing.phase[k] = c.phase[k];
    }
  }
};

}  // namespace

tw_status tw_dimmed_cores(const tw_dimmed_question* question, tw_core_currents* currents, tw_fault* why) {
  const arrived_dimming a{question};
  return answer(unless(a.why, [&]() noexcept { return dimmed_cores(a.on.all(), a.timing); }), why,
                to(currents));
}

tw_status tw_explain_dimmed_cores(const tw_dimmed_question* question, char* buffer, int64_t capacity,
                                  int64_t* wanted, tw_fault* why) {
  const arrived_dimming a{question};
  return answer_text(a.why, buffer, capacity, wanted, why, [&](text_sink& out) noexcept {
    return explain_dimmed_cores(a.on.all(), a.timing, out);
  });
}

tw_status tw_warm_conductor(double current_a, double rated_a, double rated_ambient_c, double limit_c,
                            double ambient_c, double* conductor_c, tw_fault* why) {
  return answer(warm_conductor(amps{current_a}, {amps{rated_a}, celsius{rated_ambient_c}, celsius{limit_c}},
                               celsius{ambient_c}),
                why, to(conductor_c));
}

tw_status tw_explain_warm_conductor(double current_a, double rated_a, double rated_ambient_c, double limit_c,
                                    double ambient_c, char* buffer, int64_t capacity, int64_t* wanted,
                                    tw_fault* why) {
  return answer_text({}, buffer, capacity, wanted, why, [=](text_sink& out) noexcept {
    return explain_warm_conductor(amps{current_a},
                                  {amps{rated_a}, celsius{rated_ambient_c}, celsius{limit_c}},
                                  celsius{ambient_c}, out);
  });
}
