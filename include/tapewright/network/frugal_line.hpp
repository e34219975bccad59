// SPDX-License-Identifier: BSL-1.0
// A tape line solved with little stack and little flash: for controllers that size on board.
#pragma once

#include "tapewright/core/outcome.hpp"
#include "tapewright/network/tape_line.hpp"

namespace tapewright {

/// Solves a line as solve_line does, to the same bits, in the caller's storage.
///
/// One number of channels and, unless `Power`, no constant-power loads: the other eleven solvers then stay out of the
/// flash. The Jacobian is marched column by column, so that the stack holds one matrix, and never depends on the length.
/// @param line     exactly C channels lit; a contradiction of channel_count otherwise. `Power` says whether it has
///                 constant-power loads; a contradiction of load_law otherwise.
/// @param figures  written whole; on a fault as made by default.
/// @return         the faults of solve_line without workspace: no_room where it would need one.
template <int C, bool Power = false>
constexpr fault solve_line_frugally(const tape_line& line, const line_feed& feed,
                                    line_figures& figures) noexcept {
  figures = {};
  if (const fault f = check(line)) return f;
  if (const fault f = check(feed, line.channels)) return f;
  const detail::lit_channels lit = detail::lit_of(line);
  if (lit.count != C) return contradiction(field::channel_count, static_cast<double>(lit.count), C, C);
  bool power = false;
  for (int x = 0; x < C; ++x) power = power || line.law[lit.of[x]].kind == load_kind::constant_power;
  if (power != Power)
    return contradiction(field::load_law, power ? 2.0 : 0.0, Power ? 2.0 : 0.0, Power ? 2.0 : 1.0);

  const detail::ladder<C> l = detail::ladder_of<C>(line, feed, lit);
  double residual = infinity, last[C] = {};
  int steps = 0;
  const detail::settling how = detail::settle_by_march<Power, true>(l, last, residual, steps);
  if (how == detail::settling::no_operating_point)
    return {fault_code::no_operating_point, field::power, 0, 0, 0, -1};
  if (how != detail::settling::settled || (Power && !detail::on_upper_branch(l, last)))
    return refuse_room(0, detail::sweep_doubles(line.segments, C));
  detail::gather_figures(figures, line, feed, l, lit, detail::walk_from_end<C>{l, last}, {});
  figures.residual = volts{residual};
  figures.steps = steps;
  return {};
}

}  // namespace tapewright
