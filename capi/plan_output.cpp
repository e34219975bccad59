// SPDX-License-Identifier: BSL-1.0
// C interface: everything on one driver output of a plan, solved at once in a block of the caller's.
#include <cstddef>
#include <cstdint>
#include <span>

#include "answer.hpp"
#include "block.hpp"
#include "figures.hpp"
#include "network_block.hpp"
#include "plan_block.hpp"
#include "tapewright.h"
#include "tapewright/plan/plan_network.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// How many of everything hang on an output, of a plan that was seen to be one.
struct output_needs {
  output_counts lists;
  std::size_t loads = 0, doubles = 0;
  fault why;

  output_needs(const tw_plan* plan, std::int32_t output) noexcept : why{refuse_handle(plan)} {
    if (why) return;
    const tapewright::plan& p = plan->plan;
    why = refuse_place(field::place, output, p.outputs.size());
    if (why) return;
    lists = output_counts_of(p, output);
    doubles = network_workspace({{}, {}, only_counted<feed_hub>(lists.hubs), {}});
    for (const run_plan& r : p.runs)
      if (r.hub >= 0 && p.hubs[static_cast<std::size_t>(r.hub)].output == output) count_run(*plan, r);
  }

 private:
  void count_run(const tw_plan& plan, const run_plan& r) noexcept {
    run_stretch whole;
    whole.line.segments = r.stretches == 0 ? r.cut.segments : 0;
    for (const stretch_plan& s : plan.plan.stretches.subspan(static_cast<std::size_t>(r.stretches_from),
                                                             static_cast<std::size_t>(r.stretches)))
      whole.line.segments += s.cut.segments;
    const run& asked = plan.job.runs[static_cast<std::size_t>(r.run)];
    const tape& t = plan.catalogue.tapes[static_cast<std::size_t>(asked.tape)];
    whole.line.channels = static_cast<std::int32_t>(t.channels.size());
    const fed_run measured{.hub = 0,
                           .stretches = {&whole, 1},
                           .feeds = only_counted<feed_point>(feed_points_of(r)),
                           .common = {},
                           .channel = {}};
    doubles += network_workspace({{}, {}, {}, {&measured, 1}});
    loads += static_cast<std::size_t>(whole.line.segments * whole.line.channels);
  }
};

/// The whole block. Made with a ruler it only measures.
struct output_block {
  std::span<tw_solved> front;
  output_room network;
  std::span<std::int32_t> hub_of_run;
  solution_room told;
  std::span<celsius> trace;
  std::span<double> workspace;

  output_block(carver& room, const output_needs& n) noexcept
      : front{room.array<tw_solved>(1)},
        network{room.array<feed_hub>(n.lists.hubs),         room.array<fed_run>(n.lists.runs),
                room.array<run_stretch>(n.lists.stretches), room.array<feed_point>(n.lists.feeds),
                room.array<std::int32_t>(n.lists.hubs),     room.array<std::int32_t>(n.lists.runs)},
        hub_of_run{room.array<std::int32_t>(n.lists.runs)},
        told{room, n.lists.runs, n.loads, n.lists.feeds},
        trace{room.array<celsius>(n.lists.runs)},
        workspace{room.array<double>(n.doubles)} {}
};

struct solved_output {
  tw_solved* handle = nullptr;
  network_figures figures;
};

outcome<solved_output> solved_in(void* block, std::int64_t bytes, const tw_plan& p, std::int32_t output,
                                 const output_needs& need, const hub_state& state) noexcept {
  if (const fault f = first_fault(refuse(field::temperature, state.copper),
                                  refuse_block(block, bytes, bytes_of<output_block>(need), 5)))
    return f;
  carver carved{block};
  output_block room{carved, need};
  const outcome<feed_network> n = network_of_output(p.job, p.catalogue, p.plan, output, state, room.network);
  if (!n) return n.why();
  room.told.share(n->runs);
  for (std::size_t r = 0; r < n->runs.size(); ++r) {
    const run_plan& of = p.plan.runs[static_cast<std::size_t>(room.network.run_places[r])];
    room.trace[r] = p.job.runs[static_cast<std::size_t>(of.run)].ambient;
    room.hub_of_run[r] = of.hub;
  }
  const outcome<network_figures> all =
      solve_network(*n, room.workspace, room.told.figures, room.told.profiles);
  if (!all) return all.why();
  room.front[0] = {tw_solved::finished, room.told.figures,       room.trace,     room.told.profiles,
                   room.told.currents,  room.network.run_places, room.hub_of_run};
  return solved_output{&room.front[0], *all};
}

}  // namespace

tw_status tw_plan_output_workspace(const tw_plan* plan, int32_t output, int64_t* bytes, tw_fault* why) {
  const output_needs need{plan, output};
  return tell_bytes<output_block>(need.why, need, bytes, why);
}

tw_status tw_plan_solve_output(const tw_plan* plan, int32_t output, double source_v, double copper_c,
                               int32_t lit, void* block, int64_t bytes, tw_solved** solved,
                               tw_network_figures* figures, tw_fault* why) {
  const output_needs need{plan, output};
  const hub_state state{
      .source = volts{source_v}, .copper = celsius{copper_c}, .lit = static_cast<std::uint32_t>(lit)};
  return answer(
      unless(need.why, [&]() noexcept { return solved_in(block, bytes, *plan, output, need, state); }), why,
      to(solved, &solved_output::handle), to(figures, &solved_output::figures));
}
