// SPDX-License-Identifier: BSL-1.0
// What one change of a job does to its order: two plans compared, line by line.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/text.hpp"
#include "tapewright/plan/plan.hpp"

namespace tapewright {

/// A plan with what it answers. All three stay where they are while they are compared.
struct answered_job {
  const job& question;
  const catalogue& parts;
  const plan& answer;
};

/// What became different. A run is known by its code, a part by its kind and code.
enum class change_kind : std::int32_t {
  order_line = 1,      ///< quantity, length or price of a part or service; 0 where it was not there
  run_added = 2,       ///< only the second job has it; lengths are the lit ones
  run_removed = 3,     ///< only the first job has it
  run_length = 4,      ///< lit length
  run_tape = 5,        ///< another tape
  run_feeder = 6,      ///< another cable, or none
  run_joint = 7,       ///< another connector at the tape, or none: free tail, soldered tail
  run_controller = 8,  ///< another kind of controller, or none
  run_driver = 9,      ///< another kind of driver, or none
  run_verdict = 10,    ///< whether all checks of the run hold: quantities 1 and 0
};

/// One difference. Parts are places in their own catalogue, `before` in the first and `after` in the second;
/// index -1 where there is none. `index` is the run's place in the second job, in the first where it was removed.
struct plan_change {
  change_kind kind = change_kind::order_line;
  std::int32_t index = -1;
  part_ref before{}, after{};
  service_kind service = service_kind::none;
  std::int64_t quantity_before = 0, quantity_after = 0;
  metres length_before{}, length_after{};
  money price_before{}, price_after{};
};

/// How many differences there can be at most: every line of both orders, and seven a run of each job (a run of
/// several sections counts as one: parts are told of its first).
constexpr std::size_t change_room(const plan& before, const plan& after) noexcept {
  return before.order.size() + after.order.size() + 7 * (before.runs.size() + after.runs.size());
}

namespace detail {

constexpr bool same_line(const catalogue& a, const order_line& x, const catalogue& b,
                         const order_line& y) noexcept {
  return x.part.kind == y.part.kind && x.service == y.service &&
         same_text(code_of(a, x.part), code_of(b, y.part));
}

constexpr void compare_orders(const answered_job& a, const answered_job& b,
                              span_list<plan_change>& out) noexcept {
  const auto put = [&](const order_line* x, const order_line* y) noexcept {
    plan_change c{.service = (x != nullptr ? x : y)->service};
    if (x != nullptr) {
      c.before = x->part;
      c.quantity_before = x->quantity;
      c.length_before = x->length;
      c.price_before = x->total;
    }
    if (y != nullptr) {
      c.after = y->part;
      c.quantity_after = y->quantity;
      c.length_after = y->length;
      c.price_after = y->total;
    }
    if (c.quantity_before != c.quantity_after || c.price_before != c.price_after) out.push(c);
  };
  const auto find = [](const answered_job& in, const answered_job& from,
                       const order_line& line) noexcept -> const order_line* {
    for (const order_line& other : in.answer.order)
      if (same_line(in.parts, other, from.parts, line)) return &other;
    return nullptr;
  };
  for (const order_line& x : a.answer.order) put(&x, find(b, a, x));
  for (const order_line& y : b.answer.order)
    if (find(a, b, y) == nullptr) put(nullptr, &y);
}

/// The first section of a run of the job, and the cut of all its sections together.
struct whole_run {
  std::size_t first = 0;
  cut_length cut{};
};
constexpr whole_run whole_of(const plan& p, std::size_t run) noexcept {
  whole_run w{.first = p.runs.size()};
  w.cut.segments = 0;
  w.cut.length = {};
  for (std::size_t k = 0; k < p.runs.size(); ++k) {
    if (p.runs[k].run != static_cast<std::int32_t>(run)) continue;
    w.first = k < w.first ? k : w.first;
    w.cut.segments += p.runs[k].cut.segments;
    w.cut.length += p.runs[k].cut.length;
  }
  return w;
}

/// Whether every check of a section of a run, of its hub and of its driver holds.
constexpr bool section_holds(const plan& p, std::size_t run) noexcept {
  const std::int32_t hub = p.runs[run].hub;
  const std::int32_t output = hub < 0 ? -1 : p.hubs[static_cast<std::size_t>(hub)].output;
  const std::int32_t driver = output < 0 ? -1 : p.outputs[static_cast<std::size_t>(output)].driver;
  for (const finding& f : p.findings) {
    if (f.level != severity::failed) continue;
    const subject s = f.subject;
    if ((s.kind == subject_kind::run && s.index == static_cast<std::int32_t>(run)) ||
        (s.kind == subject_kind::hub && s.index == hub) ||
        (s.kind == subject_kind::driver && s.index == driver))
      return false;
  }
  return true;
}

/// The same of all sections of a run of the job.
constexpr bool run_holds(const plan& p, std::size_t run) noexcept {
  for (std::size_t k = 0; k < p.runs.size(); ++k)
    if (p.runs[k].run == static_cast<std::int32_t>(run) && !section_holds(p, k)) return false;
  return true;
}

constexpr std::int32_t driver_part(const plan& p, const run_plan& r) noexcept {
  if (r.hub < 0) return -1;
  const std::int32_t output = p.hubs[static_cast<std::size_t>(r.hub)].output;
  if (output < 0) return -1;
  return p.drivers[static_cast<std::size_t>(p.outputs[static_cast<std::size_t>(output)].driver)].part;
}

constexpr std::int32_t controller_part(const plan& p, const run_plan& r) noexcept {
  return r.hub < 0 ? -1 : p.hubs[static_cast<std::size_t>(r.hub)].controller;
}

constexpr void compare_runs(const answered_job& a, std::size_t before, const answered_job& b,
                            std::size_t after, span_list<plan_change>& out) noexcept {
  const whole_run was_cut = whole_of(a.answer, before), is_cut = whole_of(b.answer, after);
  const run_plan &x = a.answer.runs[was_cut.first], &y = b.answer.runs[is_cut.first];
  const auto at = static_cast<std::int32_t>(after);
  if (was_cut.cut.segments != is_cut.cut.segments)
    out.push({.kind = change_kind::run_length,
              .index = at,
              .quantity_before = was_cut.cut.segments,
              .quantity_after = is_cut.cut.segments,
              .length_before = was_cut.cut.length,
              .length_after = is_cut.cut.length});
  const auto part = [&](change_kind kind, part_kind what, std::int32_t was, std::int32_t is) noexcept {
    const part_ref p{what, was}, q{what, is};
    if ((was < 0) != (is < 0) || !same_text(code_of(a.parts, p), code_of(b.parts, q)))
      out.push({.kind = kind, .index = at, .before = p, .after = q});
  };
  part(change_kind::run_tape, part_kind::tape, a.question.runs[before].tape, b.question.runs[after].tape);
  part(change_kind::run_feeder, part_kind::cable, x.feeder.cable, y.feeder.cable);
  part(change_kind::run_joint, part_kind::connector, x.connector, y.connector);
  part(change_kind::run_controller, part_kind::controller, controller_part(a.answer, x),
       controller_part(b.answer, y));
  part(change_kind::run_driver, part_kind::driver, driver_part(a.answer, x), driver_part(b.answer, y));
  const bool held = run_holds(a.answer, before), now = run_holds(b.answer, after);
  if (held != now)
    out.push({.kind = change_kind::run_verdict, .index = at, .quantity_before = held, .quantity_after = now});
}

}  // namespace detail

/// What became different from one answered job to another: lines of the order first, in the order of the
/// first and then what only the second has; then run by run of the second job, then the runs that are gone.
///
/// @param before, after  two jobs with their catalogues and plans, made in storage of their own.
/// @param room           at least change_room(before, after).
/// @return               how many differences were written. Fault no_room.
/// Example  a run 0.8 m longer: its length, the line of its tape, and whatever the load then asks for
[[nodiscard]] constexpr outcome<std::size_t> plan_changes(const answered_job& before,
                                                          const answered_job& after,
                                                          std::span<plan_change> room) noexcept {
  if (const fault f = refuse_room(room.size(), change_room(before.answer, after.answer))) return f;
  span_list<plan_change> out{room};
  detail::compare_orders(before, after, out);
  const auto place_of = [](const answered_job& in, std::string_view code) noexcept {
    std::size_t at = 0;
    while (at < in.question.runs.size() && !same_text(in.question.runs[at].code, code)) ++at;
    return at;
  };
  for (std::size_t i = 0; i < after.question.runs.size(); ++i) {
    const std::size_t was = place_of(before, after.question.runs[i].code);
    if (was < before.question.runs.size()) detail::compare_runs(before, was, after, i, out);
    else
      out.push({.kind = change_kind::run_added,
                .index = static_cast<std::int32_t>(i),
                .length_after = detail::whole_of(after.answer, i).cut.length});
  }
  for (std::size_t i = 0; i < before.question.runs.size(); ++i)
    if (place_of(after, before.question.runs[i].code) == after.question.runs.size())
      out.push({.kind = change_kind::run_removed,
                .index = static_cast<std::int32_t>(i),
                .length_before = detail::whole_of(before.answer, i).cut.length});
  return out.size();
}

}  // namespace tapewright
