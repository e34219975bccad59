// SPDX-License-Identifier: BSL-1.0
// What a run is divided into before anything is chosen: pieces of tape, and sections where a limit demands it.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/plan/driver_wishes.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/run_load.hpp"
#include "tapewright/sizing/controller_check.hpp"

namespace tapewright {

/// Most sections of one run that the planner makes: one near each end where only the ends are reached.
constexpr std::int64_t most_sections(const run& r) noexcept {
  const auto may = [&](feed_arrangement how) noexcept { return (r.arrangements & bit_of(how)) != 0; };
  if (r.reach == feed_reach::anywhere) return r.arrangements == bit_of(feed_arrangement::ring) ? 1 : 8;
  const bool each_end = may(feed_arrangement::one_end) && may(feed_arrangement::far_end);
  return r.reach == feed_reach::ends && each_end ? 2 : 1;
}

/// Most feed points of one section.
constexpr std::int64_t most_feeds(const run& r) noexcept {
  return r.reach == feed_reach::anywhere ? static_cast<std::int64_t>(max_feed_points)
         : r.reach == feed_reach::ends   ? 2
                                         : 1;
}

/// Wall that the tape of stretch `s` of a run may cover, its gap left out.
constexpr metres lit_wall(const run& r, std::size_t s) noexcept {
  if (r.stretches.empty()) return r.measured;
  return r.stretches[s].measured - (s == 0 ? metres{} : r.stretches[s].gap);
}
constexpr std::size_t stretch_count(const run& r) noexcept {
  return r.stretches.empty() ? 1 : r.stretches.size();
}

/// Whole cut segments of a run, all stretches together.
constexpr outcome<std::int64_t> segments_of(const run& r, metres pitch) noexcept {
  std::int64_t sum = 0;
  for (std::size_t s = 0; s < stretch_count(r); ++s) {
    const auto cut = cut_to_pitch(lit_wall(r, s), pitch);
    if (!cut) return cut.why();
    sum += cut->segments;
  }
  return sum;
}

/// Pieces that `segments` of a straight stretch are cut into: as few as the maker's longest allows, equal to
/// within a segment. A plain run stays one piece: its length is told as a finding.
constexpr std::int64_t pieces_of(bool plain, metres longest_piece, metres pitch,
                                 std::int64_t segments) noexcept {
  if (plain) return 1;
  const double most = larger(1, floor_of((longest_piece.v + 1e-9) / pitch.v));
  return static_cast<std::int64_t>(ceil_of(static_cast<double>(segments) / most));
}
constexpr std::int64_t pieces_of(const run& r, const tape& t, std::int64_t segments) noexcept {
  return pieces_of(is_plain(r), t.longest_piece, t.cut_pitch, segments);
}

namespace detail {

constexpr std::size_t larger_count(std::size_t a, std::size_t b) noexcept { return a > b ? a : b; }

/// Whether something in the catalogue carries so much of a run's tape as one hub.
constexpr bool carriable(const job& j, const catalogue& parts, const run& r, std::int64_t segments) noexcept {
  const tape& t = parts.tapes[static_cast<std::size_t>(r.tape)];
  const zone& z = j.zones[static_cast<std::size_t>(r.zone)];
  const metres length = t.cut_pitch * static_cast<double>(segments);
  const auto sized = [&](bool kept) noexcept { return sized_load(t, length, j.rules.drop_to_lamp, kept); };
  const auto driven = [&](const outcome<tape_load>& load) noexcept {
    return load.ok() && load->total_sized <=
                            greatest_output(j.rules, parts, z, t.nominal, power_share_of(*load, t.nominal));
  };
  const outcome<tape_load> free = sized(false), kept = sized(true);
  const bool free_driven = driven(free), kept_driven = driven(kept);
  const auto carries = [&](const controller* c) noexcept {
    const bool keeps = c != nullptr && c->enforces_all_on_limit;
    if (!(keeps ? kept_driven : free_driven)) return false;
    if (c == nullptr) return true;
    const outcome<tape_load>& load = keeps ? kept : free;
    controller_duty duty{
        .total = load->total_sized, .input = t.nominal, .common = t.common, .ambient = z.driver_ambient};
    for (std::int32_t k = 0; k < load->channels; ++k) duty.channel_current.push(load->channel_current[k]);
    const auto check = check_controller(*c, duty);
    return check.ok() && check->fits;
  };
  if (!(z.wants_controller || !z.features.empty() || t.channels.size() > 1)) return carries(nullptr);
  for (const controller& c : parts.controllers)
    if (static_cast<std::size_t>(c.channels) >= t.channels.size() &&
        (c.is_repeater || meets(c.features, z.features)) && carries(&c))
      return true;
  return false;
}

}  // namespace detail

/// How many sections a run is divided into: as few as its longest one can be carried by one controller and one
/// driver output of the catalogue. One where no number up to most_sections would do: then a finding tells.
constexpr std::int64_t sections_of(const job& j, const catalogue& parts, const run& r,
                                   std::int64_t segments) noexcept {
  for (std::int64_t s = 1; s <= most_sections(r) && s <= segments && most_sections(r) > 1; ++s)
    if (detail::carriable(j, parts, r, (segments + s - 1) / s)) return s;
  return 1;
}

/// What one run adds to the room of a plan.
struct run_room {
  std::size_t runs = 0, feeds = 0, stretches = 0;
  std::size_t network = 0;  ///< doubles, where some run of its zone is fed in parts
};

/// @param sections  1..most_sections(r); more is room for more.
constexpr run_room room_of(const run& r, bool plain, std::int32_t channels, std::int64_t sections,
                           std::int64_t segments, std::int64_t pieces) noexcept {
  run_room room;
  const std::size_t points = detail::larger_count(r.closes ? 2 : 1, static_cast<std::size_t>(most_feeds(r)));
  // workspace grows with segments by as much each: the sections' sum is that of the whole and of what each adds
  room.network = arrangement_workspace(segments, channels, points) +
                 static_cast<std::size_t>(sections - 1) * arrangement_workspace(1, channels, points);
  room.runs = static_cast<std::size_t>(sections);
  if (plain) return room;
  room.feeds = static_cast<std::size_t>(sections * (most_feeds(r) - 1));
  room.stretches =
      static_cast<std::size_t>(pieces + 2 * sections);  // a section may begin and end within a piece
  return room;
}
constexpr outcome<run_room> room_of(const run& r, const tape& t, std::int64_t sections) noexcept {
  std::int64_t segments = 0, pieces = 0;
  for (std::size_t s = 0; s < stretch_count(r); ++s) {
    const auto cut = cut_to_pitch(lit_wall(r, s), t.cut_pitch);
    if (!cut) return cut.why();
    segments += cut->segments;
    pieces += pieces_of(r, t, cut->segments);
  }
  if (const fault f = refuse(field::segment_count, static_cast<double>(segments))) return f;
  return room_of(r, is_plain(r), static_cast<std::int32_t>(t.channels.size()), sections, segments, pieces);
}

/// Lines of an order at most: one for each part of the catalogue and each service there is.
constexpr std::size_t most_order_lines(std::size_t parts) noexcept { return parts + 3; }

/// Room that is always enough for this job: space_for of its sections, further feed points and pieces.
/// @param j, parts  as check(job) accepts them.
/// @return          `network` counts the doubles that a zone with several feed points or pieces asks for; 0 for
///                  a job of plain runs, which need none.
constexpr outcome<plan_counts> space_for(const job& j, const catalogue& parts) noexcept {
  run_room all;
  for (std::size_t z = 0; z < j.zones.size(); ++z) {
    std::size_t doubles = 0;
    bool fed = false;
    for (std::size_t i = 0; i < j.runs.size(); ++i) {
      const run& r = j.runs[i];
      if (static_cast<std::size_t>(r.zone) != z) continue;
      const tape& t = parts.tapes[static_cast<std::size_t>(r.tape)];
      const auto segments = segments_of(r, t.cut_pitch);
      if (!segments) return at_item(segments.why(), i);
      const auto room = room_of(r, t, sections_of(j, parts, r, *segments));
      if (!room) return at_item(room.why(), i);
      all.runs += room->runs;
      all.feeds += room->feeds;
      all.stretches += room->stretches;
      doubles += room->network;
      fed = fed || !is_plain(r);
    }
    if (fed) all.network = detail::larger_count(all.network, doubles);
  }
  plan_counts n = space_for(all.runs, all.feeds, all.stretches, all.network,
                            detail::larger_count(usual_parts, detail::larger_count(parts.controllers.size(),
                                                                                   parts.drivers.size())));
  const std::size_t lines =
      most_order_lines(parts.tapes.size() + parts.cables.size() + parts.connectors.size() +
                       parts.controllers.size() + parts.drivers.size() + parts.overcurrent_devices.size());
  n.order = n.order < lines ? n.order : lines;
  return n;
}

}  // namespace tapewright
