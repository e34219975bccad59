// SPDX-License-Identifier: BSL-1.0
// A run of a finished plan lamp by lamp: its volts and currents with everything lit.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/plan/hub_network.hpp"
#include "tapewright/plan/plan.hpp"

namespace tapewright {

/// Room that the profile of a run needs.
struct profile_room {
  std::size_t stretches, points, doubles;
};
constexpr profile_room profile_room_of(const run_plan& r, const tape& t) noexcept {
  if (!is_fed_in_parts(r))
    return {0, 0, line_workspace(r.cut.segments, static_cast<std::int32_t>(t.channels.size()))};
  const std::size_t points = feed_points_of(r);
  return {r.stretches > 0 ? static_cast<std::size_t>(r.stretches) : 1, points,
          arrangement_workspace(r.cut.segments, static_cast<std::int32_t>(t.channels.size()), points)};
}

/// Solves a run of a plan again, lamp by lamp: all channels on, supply as it is set, hot cables, everything else of
/// its driver lit.
///
/// @param run   place in p.runs.
/// @param stretches, points, workspace  room as profile_room_of says.
/// @param out   a figure for each load, segment-major: see line_profile.
/// @return      unknown_reference of place; not_converged for a run that the plan could not solve; no_room with
///              the room needed as `least`; faults of solve_line and solve_network.
/// Formula  What stands before the hub's terminals, and of a run that is not fed in parts before its feed point,
///          is put as one resistance in each channel, (U - u) / I: the same voltages and currents there, so the
///          same everywhere behind it.
/// Source   closed form: Kirchhoff's laws.
constexpr fault solve_profile(const plan& p, const job& j, const catalogue& parts, std::int32_t run,
                              std::span<run_stretch> stretches, std::span<feed_point> points,
                              std::span<double> workspace, line_profile out) noexcept {
  if (const fault f = refuse_place(field::place, run, p.runs.size())) return f;
  const run_plan& r = p.runs[static_cast<std::size_t>(run)];
  if (!r.solved) return {fault_code::not_converged, field::voltage, 0, 0, 0, -1};
  const tapewright::run& asked = j.runs[static_cast<std::size_t>(r.run)];
  const tape& t = parts.tapes[static_cast<std::size_t>(asked.tape)];
  const std::int32_t output = r.hub < 0 ? -1 : p.hubs[static_cast<std::size_t>(r.hub)].output;
  const volts given = output < 0 ? t.nominal : p.outputs[static_cast<std::size_t>(output)].gives(t.nominal);
  const auto before = [&](std::size_t c, volts here) noexcept {
    return r.all_on.channel_current[c].v > 0 ? (given - here) / r.all_on.channel_current[c] : ohms{};
  };
  if (!is_fed_in_parts(r)) {
    const auto line = line_of(t, r.cut.segments, asked.ambient);
    if (!line.ok()) return line.why();
    line_feed feed{.source = given};
    for (std::size_t c = 0; c < t.channels.size(); ++c) feed.channel[c] = before(c, r.all_on.at_feed[c]);
    return solve_line(*line, feed, out, workspace).why();
  }
  const profile_room need = profile_room_of(r, t);
  if (const fault f =
          first_fault(refuse_room(stretches.size(), need.stretches), refuse_room(points.size(), need.points)))
    return f;
  const ohms splice = detail::contact_at(parts, p.hubs[static_cast<std::size_t>(r.hub)].splice);
  const auto core = [&](const tape_feed& f) noexcept {
    return core_of(f.feeder, hot_copper) + splice + detail::contact_at(parts, f.connector);
  };
  const auto pieces = detail::stretches_of(r, t, asked.ambient, all_lit, p.stretches, parts, stretches);
  if (!pieces.ok()) return pieces.why();
  const std::size_t fed = detail::points_of(r, p.feeds, p.stretches, parts, core, points);
  fed_run one = detail::network_run(r, stretches.first(*pieces), points.first(fed), core);
  for (std::size_t c = 0; c < t.channels.size(); ++c) one.channel[c] += before(c, r.at_hub[c]);
  const feed_hub hub;
  const feed_network n{given, {}, {&hub, 1}, {&one, 1}};
  fed_run_figures figures;
  const fed_run_profile profile{out.load_voltage, out.load_current, {}};
  return solve_network(n, workspace, {&figures, 1}, {&profile, 1}).why();
}

}  // namespace tapewright
