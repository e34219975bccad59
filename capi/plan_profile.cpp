// SPDX-License-Identifier: BSL-1.0
// C interface: a run of a plan lamp by lamp.
#include <cstddef>
#include <cstdint>
#include <span>

#include "answer.hpp"
#include "arrays.hpp"
#include "block.hpp"
#include "figures.hpp"
#include "plan_block.hpp"
#include "tapewright.h"
#include "tapewright/plan/names.hpp"
#include "tapewright/plan/run_profile.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// What solving a run again works in. Made with a ruler it only measures.
struct working_room {
  std::span<run_stretch> stretches;
  std::span<feed_point> points;
  std::span<double> doubles;

  working_room(carver& room, const profile_room& n) noexcept
      : stretches{room.array<run_stretch>(n.stretches)},
        points{room.array<feed_point>(n.points)},
        doubles{room.array<double>(n.doubles)} {}
};

/// A run of the plan, and how much there is of it.
struct asked_run {
  profile_room need{};
  std::uint64_t bytes = 0;
  std::int64_t loads = 0;
  fault why;

  asked_run(const tw_plan* p, std::int32_t run) noexcept : why{refuse_handle(p)} {
    if (why) return;
    why = refuse_place(field::place, run, p->plan.runs.size());
    if (why) return;
    const run_plan& r = p->plan.runs[static_cast<std::size_t>(run)];
    const tape& t = *tape_of(p->plan, p->job, p->catalogue, run);
    need = profile_room_of(r, t);
    bytes = bytes_of<working_room>(need);
    loads = r.cut.segments * static_cast<std::int64_t>(t.channels.size());
  }
};

fault solve_again(const tw_plan& p, std::int32_t run, const asked_run& a, line_profile out, void* block,
                  std::int64_t bytes) noexcept {
  if (const fault f = refuse_block(block, bytes, a.bytes, 3)) return f;
  carver carved{block};
  const working_room room{carved, a.need};
  return solve_profile(p.plan, p.job, p.catalogue, run, room.stretches, room.points, room.doubles, out);
}

fault refuse_fewer(const double* room, std::int64_t count, std::int64_t wanted) noexcept {
  return room == nullptr ? fault{}
                         : refuse_room(static_cast<std::size_t>(count), static_cast<std::size_t>(wanted));
}

}  // namespace

tw_status tw_plan_profile_room(const tw_plan* plan, int32_t run, int64_t* loads, int64_t* bytes,
                               tw_fault* why) {
  const asked_run a{plan, run};
  return answer(a.why, &a, why, to(loads, &asked_run::loads), to(bytes, &asked_run::bytes));
}

tw_status tw_plan_profile(const tw_plan* plan, int32_t run, double* load_v, double* load_a, int64_t loads,
                          void* block, int64_t bytes, tw_fault* why) {
  const asked_run a{plan, run};
  fault f = first_fault(a.why, refuse_room(load_v, loads), refuse_room(load_a, loads),
                        refuse_fewer(load_v, loads, a.loads), refuse_fewer(load_a, loads, a.loads));
  if (!f)
    f = solve_again(*plan, run, a, {as<volts>(load_v, a.loads), as<amps>(load_a, a.loads)}, block, bytes);
  return answer_arrays(f, why, loads, load_v, load_a);
}
