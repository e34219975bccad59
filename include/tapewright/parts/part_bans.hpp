// SPDX-License-Identifier: BSL-1.0
// A catalogue with parts left out: out of stock, not wanted, not allowed on this site.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/parts/catalogue.hpp"

namespace tapewright {

/// Storage for a catalogue's rows: the caller's, one a row of each list that something is left out of.
struct catalogue_space {
  std::span<cable> cables;
  std::span<connector> connectors;
  std::span<controller> controllers;
  std::span<driver> drivers;
  std::span<overcurrent_device> overcurrent_devices;
};

namespace detail {

constexpr bool left_out(std::span<const part_ref> bans, part_kind kind, std::size_t at) noexcept {
  for (const part_ref& b : bans)
    if (b.kind == kind && b.index == static_cast<std::int32_t>(at)) return true;
  return false;
}

/// Copies the rows that are not banned; the list itself where none is.
template <class Part>
constexpr fault keep_others(std::span<const Part>& rows, std::span<const part_ref> bans, part_kind kind,
                            std::span<Part> room) noexcept {
  std::size_t banned = 0, kept = 0;
  for (std::size_t i = 0; i < rows.size(); ++i) banned += left_out(bans, kind, i) ? 1 : 0;
  if (banned == 0) return {};
  if (const fault f = refuse_room(room.size(), rows.size() - banned)) return f;
  for (std::size_t i = 0; i < rows.size(); ++i)
    if (!left_out(bans, kind, i)) room[kept++] = rows[i];
  rows = room.first(kept);
  return {};
}

}  // namespace detail

/// The catalogue without the named parts. Places of a list that loses a row move up: a plan made with the answer
/// refers to the answer. Tapes stay: runs name theirs.
///
/// @param all   the whole catalogue; stays where it is, the answer shares its lists where nothing is left out.
/// @param bans  parts of `all`, any order; cables, connectors, controllers, drivers, overcurrent devices.
/// @return      Faults: unknown_reference for a ban that points at nothing (`item` = its place in `bans`);
///              contradiction for a tape; no_room with the rows needed as `least`.
[[nodiscard]] constexpr outcome<catalogue> catalogue_without(const catalogue& all,
                                                             std::span<const part_ref> bans,
                                                             const catalogue_space& room) noexcept {
  for (std::size_t i = 0; i < bans.size(); ++i) {
    if (bans[i].kind == part_kind::tape || bans[i].kind == part_kind::service)
      return at_item(contradiction(field::place, static_cast<double>(bans[i].kind), 2, 6), i);
    if (code_of(all, bans[i]).empty())
      return at_item(
          {fault_code::unknown_reference, field::place, static_cast<double>(bans[i].index), 0, 0, -1}, i);
  }
  catalogue rest = all;
  if (const fault f =
          first_fault(detail::keep_others(rest.cables, bans, part_kind::cable, room.cables),
                      detail::keep_others(rest.connectors, bans, part_kind::connector, room.connectors),
                      detail::keep_others(rest.controllers, bans, part_kind::controller, room.controllers),
                      detail::keep_others(rest.drivers, bans, part_kind::driver, room.drivers),
                      detail::keep_others(rest.overcurrent_devices, bans, part_kind::overcurrent_device,
                                          room.overcurrent_devices)))
    return f;
  return rest;
}

}  // namespace tapewright
