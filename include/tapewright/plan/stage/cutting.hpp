// SPDX-License-Identifier: BSL-1.0
// Stage 1: cut each run to the pitch, into pieces and sections; find what is sold for it and what it draws.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/sections.hpp"

namespace tapewright::stage {

namespace detail {

/// How much of a dark remainder lies at the near end.
constexpr metres near_share(dark_end where, metres dark) noexcept {
  switch (where) {
    case dark_end::far_end: return {};
    case dark_end::near_end: return dark;
    case dark_end::shared: return dark / 2;
  }
  return {};
}

/// Sale and load of a section whose length is known; its piece or pieces for the cutting list.
constexpr fault finish_section(draft& d, run_plan r, std::size_t item) noexcept {
  const tape& t = d.tape_of(r);
  const auto sold = sale_of(r.cut.length, t.sale_quantum, t.reel);
  if (!sold.ok()) return at_item(sold.why(), item);
  r.tape_sale = *sold;
  const auto load = load_of(t, r.cut.length, false);
  if (!load.ok()) return at_item(load.why(), item);
  r.load = *load;
  r.place = static_cast<std::int32_t>(d.runs.size());
  const subject about{subject_kind::run, r.place};
  const part_ref part{part_kind::tape, d.asked(r).tape};
  for (std::int32_t s = 0; s < r.stretches; ++s) {
    stretch_plan& p = d.stretches[static_cast<std::size_t>(r.stretches_from) + static_cast<std::size_t>(s)];
    p.run = r.place;
    d.pieces.push({.part = part,
                   .about = about,
                   .segments = p.cut.segments,
                   .length = p.cut.length,
                   .dark = p.cut.dark,
                   .dark_near = p.dark_near});
  }
  if (r.stretches == 0)
    d.pieces.push({.part = part,
                   .about = about,
                   .segments = r.cut.segments,
                   .length = r.cut.length,
                   .dark = r.cut.dark,
                   .dark_near = near_share(d.asked(r).dark, r.cut.dark)});
  d.runs.push(r);
  return {};
}

/// Walks the pieces of a run from the near end and deals them out to its sections; a piece in which a section
/// ends is cut there.
constexpr fault cut_in_parts(draft& d, std::size_t item) noexcept {
  const run& asked = d.question.runs[item];
  const tape& t = d.parts.tapes[static_cast<std::size_t>(asked.tape)];
  const auto whole = segments_of(asked, t.cut_pitch);
  if (!whole.ok()) return at_item(whole.why(), item);
  const std::int64_t sections = sections_of(d.question, d.parts, asked, *whole);
  run_plan r;
  const auto open = [&](std::int64_t section, std::int64_t first) noexcept {
    r = {};
    r.run = static_cast<std::int32_t>(item);
    r.section = static_cast<std::int32_t>(section);
    r.sections = static_cast<std::int32_t>(sections);
    r.first = first;
    r.stretches_from = static_cast<std::int32_t>(d.stretches.size());
    r.cut.dark = {};
  };
  const auto close = [&]() noexcept {
    r.cut.length = t.cut_pitch * static_cast<double>(r.cut.segments);
    // one piece without a link is told by the section alone
    if (r.stretches == 1 && !d.stretches.back().linked && !asked.closes) {
      d.stretches.keep(d.stretches.size() - 1);
      r.stretches = 0;
    }
    return finish_section(d, r, item);
  };
  open(0, 0);
  std::int64_t at = 0, section = 0;
  const auto end_of = [&](std::int64_t s) noexcept { return (s + 1) * *whole / sections; };
  for (std::size_t s = 0; s < stretch_count(asked); ++s) {
    const auto cut = cut_to_pitch(lit_wall(asked, s), t.cut_pitch);
    if (!cut.ok()) return at_item(cut.why(), item);
    const metres gap = s == 0 || asked.stretches.empty() ? metres{} : asked.stretches[s].gap;
    const std::int64_t pieces = pieces_of(asked, t, cut->segments);
    for (std::int64_t p = 0, done = 0; p < pieces; ++p) {
      std::int64_t left = (p + 1) * cut->segments / pieces - done;
      done += left;
      bool starts = true;  // of this piece, so that a link stands before it
      while (left > 0) {
        if (at == end_of(section)) {
          if (const fault f = close()) return f;
          open(++section, at);
        }
        const std::int64_t room = end_of(section) - at;
        const std::int64_t taken = left < room ? left : room;
        stretch_plan part;
        part.cut.segments = taken;
        part.cut.length = t.cut_pitch * static_cast<double>(taken);
        part.linked = starts && r.stretches > 0;
        const metres near = near_share(asked.dark, cut->dark);
        if (p == 0 && starts) {
          part.gap = gap;
          part.dark_near = gap + near;
        }
        part.cut.dark = part.dark_near;
        if (p + 1 == pieces && taken == left) part.cut.dark += cut->dark - near;
        r.cut.dark += part.cut.dark;
        r.cut.segments += taken;
        ++r.stretches;
        d.stretches.push(part);
        at += taken;
        left -= taken;
        starts = false;
      }
    }
  }
  return close();
}

}  // namespace detail

/// Takes the job's runs; decides sections, pieces, cut length, sale and load of each; needs one run_plan a
/// section and one cut_piece a piece. The load is the sum of the channels; a controller that enforces the
/// maker's all-on limit lowers it in the switching stage.
constexpr fault cut_runs(draft& d) noexcept {
  for (std::size_t i = 0; i < d.question.runs.size(); ++i) {
    const run& asked = d.question.runs[i];
    if (!is_plain(asked)) {
      if (const fault f = detail::cut_in_parts(d, i)) return f;
      continue;
    }
    run_plan r;
    r.run = static_cast<std::int32_t>(i);
    const auto cut = cut_to_pitch(asked.measured, d.tape_of(r).cut_pitch);
    if (!cut.ok()) return at_item(cut.why(), i);
    r.cut = *cut;
    if (const fault f = detail::finish_section(d, r, i)) return f;
  }
  return {};
}

}  // namespace tapewright::stage
