// SPDX-License-Identifier: BSL-1.0
// Stage 12: cautions, the electrician's tasks, unknown prices; and the findings put worst first.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>

#include "tapewright/plan/plan.hpp"

namespace tapewright::stage {

/// Writes the cautions that hold for every job and the tasks that this one asks for. Needs 13 notes and
/// 3 a driver.
constexpr void write_notes(draft& d) noexcept {
  const subject whole{subject_kind::job, 0};
  for (auto code = static_cast<std::int32_t>(note_code::isolate_first);
       code <= static_cast<std::int32_t>(note_code::measure_before_light); ++code)
    d.notes.push({static_cast<note_code>(code), whole});
  for (std::size_t i = 0; i < d.drivers.size(); ++i) {
    const driver& s = d.parts.drivers[static_cast<std::size_t>(d.drivers[i].part)];
    const subject about{subject_kind::driver, static_cast<std::int32_t>(i)};
    d.notes.push(
        {s.mount == fitting::plug_in ? note_code::fit_socket_outlet : note_code::fit_fused_connection,
         about});
    if (s.inrush_peak.v == 0) d.notes.push({note_code::ask_inrush, about});
    bool trimmed = false;
    for (const output_plan& o : d.outputs)
      trimmed = trimmed || (o.driver == static_cast<std::int32_t>(i) && o.set_to.v > 0);
    if (trimmed) d.notes.push({note_code::set_trim, about});
  }
  d.notes.push({note_code::reserve_breaker, whole});
  if (d.mains.leakage.v > 0) d.notes.push({note_code::fit_residual_current_device, whole});
  d.notes.push({note_code::route_apart_from_mains, whole});
  d.notes.push({note_code::no_mains_in_same_enclosure, whole});
}

/// Tells once if the total is only a lower bound.
constexpr void judge_prices(draft& d) noexcept {
  std::int32_t unknown = 0;
  for (const order_line& line : d.order) unknown += line.price_known ? 0 : 1;
  if (unknown > 0)
    d.findings.push({.code = finding_code::price_unknown,
                     .level = severity::note,
                     .subject = {subject_kind::job, 0},
                     .value = static_cast<double>(unknown),
                     .from = source::maker_statement,
                     .help = advice::ask_maker});
}

/// Worst first: by severity, then by utilisation; then in the order of codes and subjects, so that the
/// list is the same wherever it is made.
constexpr void rank_findings(draft& d) noexcept {
  std::sort(d.findings.begin(), d.findings.end(), [](const finding& a, const finding& b) {
    if (a.level != b.level) return a.level > b.level;
    if (a.utilisation != b.utilisation) return a.utilisation > b.utilisation;
    if (a.code != b.code) return a.code < b.code;
    if (a.subject.kind != b.subject.kind) return a.subject.kind < b.subject.kind;
    return a.subject.index < b.subject.index;
  });
}

}  // namespace tapewright::stage
