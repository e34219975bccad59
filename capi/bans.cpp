// SPDX-License-Identifier: BSL-1.0
// C interface: a catalogue with parts left out.
#include <cstddef>
#include <cstdint>
#include <span>

#include "answer.hpp"
#include "block.hpp"
#include "plan_block.hpp"
#include "tapewright.h"
#include "tapewright/parts/part_bans.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// What comes in, with its lists known to be reachable.
struct arrived_bans {
  tw_catalogue catalogue{};
  const tw_ban* ban = nullptr;
  std::size_t bans = 0;
  fault why;

  arrived_bans(const tw_catalogue* parts, const tw_ban* list, std::int32_t count) noexcept
      : ban{list}, bans{static_cast<std::size_t>(count)} {
    why = read_argument(catalogue, parts, 0);
    if (!why) why = first_fault(refuse_parts(catalogue, 0), refuse_list(list, count, 1));
  }
};

std::int32_t count_of(const tw_catalogue& c, part_kind kind) noexcept {
  switch (kind) {
    case part_kind::cable: return c.cables;
    case part_kind::connector: return c.connectors;
    case part_kind::controller: return c.controllers;
    case part_kind::driver: return c.drivers;
    case part_kind::overcurrent_device: return c.overcurrent_devices;
    default: return 0;
  }
}

/// The rows of every list, and what is left out of them.
struct shelf_room {
  std::span<part_ref> bans;
  std::span<tw_tape> tapes;
  std::span<tw_cable> cables;
  std::span<tw_connector> connectors;
  std::span<tw_controller> controllers;
  std::span<tw_driver> drivers;
  std::span<tw_overcurrent_device> devices;

  shelf_room(carver& room, const arrived_bans& a) noexcept
      : bans{room.array<part_ref>(a.bans)},
        tapes{rows<tw_tape>(room, a.catalogue.tapes)},
        cables{rows<tw_cable>(room, a.catalogue.cables)},
        connectors{rows<tw_connector>(room, a.catalogue.connectors)},
        controllers{rows<tw_controller>(room, a.catalogue.controllers)},
        drivers{rows<tw_driver>(room, a.catalogue.drivers)},
        devices{rows<tw_overcurrent_device>(room, a.catalogue.overcurrent_devices)} {}

 private:
  template <class C>
  static std::span<C> rows(carver& room, std::int32_t count) noexcept {
    return room.array<C>(static_cast<std::size_t>(count));
  }
};

fault take_bans(std::span<part_ref> into, const arrived_bans& a) noexcept {
  for (std::size_t i = 0; i < into.size(); ++i) {
    tw_ban one{};
    if (const fault f = read_row(one, a.ban, i)) return f;
    if (one.part_kind < TW_PART_CABLE || one.part_kind > TW_PART_OVERCURRENT_DEVICE)
      return at_item({fault_code::not_listed, field::none, static_cast<double>(one.part_kind), TW_PART_CABLE,
                      TW_PART_OVERCURRENT_DEVICE, -1},
                     i);
    into[i] = {static_cast<part_kind>(one.part_kind), one.part};
    const auto rows = static_cast<std::size_t>(count_of(a.catalogue, into[i].kind));
    if (const fault f = refuse_place(field::place, one.part, rows)) return at_item(f, i);
  }
  return {};
}

/// The rows of one list that stay, from the front of its room on.
template <class C, class Pointer>
fault keep(std::span<C> room, Pointer& list, std::int32_t& count, std::span<const part_ref> bans,
           part_kind kind) noexcept {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < room.size(); ++i) {
    if (const fault f = read_row(room[kept], list.at, i)) return f;
    if (tapewright::detail::left_out(bans, kind, i)) continue;
    room[kept++].struct_size = sizeof(C);
  }
  list.at = room.data();
  count = static_cast<std::int32_t>(kept);
  return {};
}

outcome<tw_catalogue> shorter_in(void* block, std::int64_t bytes, const arrived_bans& a) noexcept {
  if (const fault f = refuse_block(block, bytes, bytes_of<shelf_room>(a), 3)) return f;
  carver carved{block};
  const shelf_room room{carved, a};
  tw_catalogue c = a.catalogue;
  fault f = take_bans(room.bans, a);
  if (!f) f = keep(room.tapes, c.tape, c.tapes, room.bans, part_kind::tape);
  if (!f) f = keep(room.cables, c.cable, c.cables, room.bans, part_kind::cable);
  if (!f) f = keep(room.connectors, c.connector, c.connectors, room.bans, part_kind::connector);
  if (!f) f = keep(room.controllers, c.controller, c.controllers, room.bans, part_kind::controller);
  if (!f) f = keep(room.drivers, c.driver, c.drivers, room.bans, part_kind::driver);
  if (!f)
    f = keep(room.devices, c.overcurrent_device, c.overcurrent_devices, room.bans,
             part_kind::overcurrent_device);
  if (f) return f;
  return c;
}

}  // namespace

tw_status tw_catalogue_bytes(const tw_catalogue* catalogue, const tw_ban* ban, int32_t bans, int64_t* bytes,
                             tw_fault* why) {
  const arrived_bans a{catalogue, ban, bans};
  return tell_bytes<shelf_room>(a.why, a, bytes, why);
}
tw_status tw_catalogue_without(const tw_catalogue* catalogue, const tw_ban* ban, int32_t bans, void* block,
                               int64_t bytes, tw_catalogue* rest, tw_fault* why) {
  const arrived_bans a{catalogue, ban, bans};
  return answer(unless(a.why, [&]() noexcept { return shorter_in(block, bytes, a); }), why, to(rest));
}
