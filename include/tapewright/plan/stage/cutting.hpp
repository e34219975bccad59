// SPDX-License-Identifier: BSL-1.0
// Stage 1: cut each run to the pitch, find what is sold for it and what it draws.
#pragma once

#include <cstddef>

#include "tapewright/plan/plan.hpp"

namespace tapewright::stage {

/// Takes the job's runs; decides cut length, sale and load of each; needs one run_plan and one
/// cut_piece a run. The load is the sum of the channels; a controller that enforces the maker's
/// all-on limit lowers it in the switching stage.
constexpr fault cut_runs(draft& d) noexcept {
  for (std::size_t i = 0; i < d.question.runs.size(); ++i) {
    run_plan r;
    r.run = static_cast<std::int32_t>(i);
    const run& asked = d.question.runs[i];
    const tape& t = d.tape_of(r);
    const auto cut = cut_to_pitch(asked.measured, t.cut_pitch);
    if (!cut.ok()) return at_item(cut.why(), i);
    r.cut = *cut;
    const auto sold = sale_of(r.cut.length, t.sale_quantum, t.reel);
    if (!sold.ok()) return at_item(sold.why(), i);
    r.tape_sale = *sold;
    const auto load = load_of(t, r.cut.length, false);
    if (!load.ok()) return at_item(load.why(), i);
    r.load = *load;
    d.runs.push(r);
    d.pieces.push({.part = {part_kind::tape, asked.tape},
                   .about = {subject_kind::run, r.run},
                   .segments = r.cut.segments,
                   .length = r.cut.length,
                   .dark = r.cut.dark});
  }
  return {};
}

}  // namespace tapewright::stage
