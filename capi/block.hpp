// SPDX-License-Identifier: BSL-1.0
// A block of the caller's, carved into arrays; and lists of C rows brought into such a block.
#pragma once

#include <cstddef>
#include <cstdint>
#include <new>
#include <span>

#include "answer.hpp"
#include "rows.hpp"
#include "tapewright.h"

namespace tapewright::capi {

inline constexpr std::uint64_t block_alignment = 8;

/// Carves arrays one behind the other. Without a block it only counts, so that what is needed and what is
/// used come out of the same lines.
class carver {
 public:
  constexpr carver() noexcept = default;
  explicit carver(void* block) noexcept : block_{static_cast<unsigned char*>(block)} {}

  template <class T>
  std::span<T> array(std::size_t count) noexcept {
    static_assert(alignof(T) <= block_alignment && std::is_trivially_destructible_v<T>);
    used_ = (used_ + (block_alignment - 1)) / block_alignment * block_alignment;
    const std::uint64_t at = used_;
    used_ += std::uint64_t{count} * sizeof(T);
    if (block_ == nullptr) return {};
    T* first = nullptr;
    for (std::size_t i = 0; i < count; ++i) {
      T* made = ::new (static_cast<void*>(block_ + at + i * sizeof(T))) T;
      if (i == 0) first = made;
    }
    return {first, count};
  }
  constexpr std::uint64_t used() const noexcept { return used_; }

 private:
  unsigned char* block_ = nullptr;
  std::uint64_t used_ = 0;
};

/// Bytes that a Room for `counts` takes of a block.
template <class Room, class Counts>
std::uint64_t bytes_of(const Counts& counts) noexcept {
  carver ruler;
  const Room measured{ruler, counts};
  return ruler.used();
}
template <class Room, class Counts>
tw_status tell_bytes(const fault& before, const Counts& counts, std::int64_t* bytes, tw_fault* why) noexcept {
  const auto measured = [&]() noexcept { return outcome<std::uint64_t>{bytes_of<Room>(counts)}; };
  return answer(unless(before, measured), why, to(bytes));
}

/// Refuses a block (argument `place`) that is null, crooked, or smaller than `wanted` bytes.
inline fault refuse_block(const void* block, std::int64_t bytes, std::uint64_t wanted,
                          std::int32_t place) noexcept {
  if (block == nullptr) return null_pointer(place);
  const auto address = reinterpret_cast<std::uintptr_t>(block);
  if (address % block_alignment != 0) {
    const std::uintptr_t divides = address & (~address + 1);
    return refuse(field::alignment, static_cast<double>(divides));
  }
  if (bytes < 0 || static_cast<std::uint64_t>(bytes) < wanted)
    return {fault_code::no_room,         field::space, static_cast<double>(bytes),
            static_cast<double>(wanted), 1e15,         -1};
  return {};
}

/// Refuses argument `place` where it is no handle of its kind: null, or into a block in which none was finished.
template <class Handle>
fault refuse_handle(const Handle* h, std::int32_t place = 0) noexcept {
  if (h == nullptr) return null_pointer(place);
  if (h->state != Handle::finished) return {fault_code::version_mismatch, field::pointer, 0, 1, 1, place};
  return {};
}

/// Row `place` of a list behind a handle, or what is wrong with asking for it. `list(handle)` gives the list.
template <class Handle, class List, class... Outputs>
tw_status answer_row(const Handle* from, List list, std::int32_t place, tw_fault* why,
                     const Outputs&... outputs) noexcept {
  fault f = refuse_handle(from);
  if (!f) f = refuse_place(field::place, place, list(*from).size());
  const auto* row = f ? nullptr : &list(*from)[static_cast<std::size_t>(place)];
  return answer(f, row, why, outputs...);
}

/// Row `i` of a C list. Rows lie struct_size apart, which is the first row's and must be every row's.
template <class C>
fault read_row(C& into, const C* rows, std::size_t i) noexcept {
  const std::uint32_t stride = rows->struct_size;
  if (const fault f = refuse_size(stride, layout<C>::first_release, sizeof(C))) return at_item(f, i);
  const auto* at = reinterpret_cast<const unsigned char*>(rows) + i * stride;
  std::uint32_t size = 0;
  __builtin_memcpy(&size, at, sizeof size);
  if (size != stride)
    return {fault_code::version_mismatch, field::struct_size,          static_cast<double>(size),
            static_cast<double>(stride),  static_cast<double>(stride), static_cast<std::int32_t>(i)};
  // one after the other: arguments of one call are evaluated in any order
  if (const fault f = take(&into, at, size, layout<C>::first_release, sizeof(C))) return at_item(f, i);
  if (const fault f = refuse_reserved(&into, layout<C>::members, layout<C>::count)) return at_item(f, i);
  return {};
}

/// A list of C rows as C++ rows: both copies in the block, the C++ ones viewing the texts of the C ones.
template <class C, class Row>
struct row_room {
  std::span<C> c;
  std::span<Row> rows;

  row_room(carver& room, std::size_t count) noexcept
      : c{room.array<C>(count)}, rows{room.array<Row>(count)} {}

  fault fill(const C* from) noexcept {
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (const fault f = read_row(c[i], from, i)) return f;
      rows[i] = Row{};
      if (const fault f = from_c(rows[i], c[i])) return at_item(f, i);
    }
    return {};
  }
};

/// Refuses a list (argument or pointer `place`) that cannot be one.
inline fault refuse_list(const void* list, std::int32_t count, std::int32_t place) noexcept {
  if (const fault f = refuse(field::row_count, count)) return f;
  return list == nullptr && count > 0 ? null_pointer(place) : fault{};
}

/// Refuses the lists of a catalogue (argument `place`) that cannot be ones.
inline fault refuse_parts(const tw_catalogue& c, std::int32_t place) noexcept {
  return first_fault(refuse_list(c.tape.at, c.tapes, place), refuse_list(c.cable.at, c.cables, place),
                     refuse_list(c.connector.at, c.connectors, place),
                     refuse_list(c.controller.at, c.controllers, place),
                     refuse_list(c.driver.at, c.drivers, place),
                     refuse_list(c.overcurrent_device.at, c.overcurrent_devices, place));
}

/// A list that comes in as an argument, brought into a block that comes in as another.
template <class C, class Row>
struct arrived_rows {
  std::span<const Row> all;
  fault why;

  arrived_rows(const C* list, std::int32_t count, std::int32_t place, void* block, std::int64_t bytes,
               std::int32_t block_place) noexcept {
    why = refuse_list(list, count, place);
    if (why || count == 0) return;
    const auto rows = static_cast<std::size_t>(count);
    why = refuse_block(block, bytes, bytes_of<row_room<C, Row>>(rows), block_place);
    if (why) return;
    carver room{block};
    row_room<C, Row> both{room, rows};
    why = both.fill(list);
    all = both.rows;
  }
};

template <class C, class Row>
std::int64_t bytes_of_rows(std::int32_t count) noexcept {
  return static_cast<std::int64_t>(bytes_of<row_room<C, Row>>(static_cast<std::size_t>(count)));
}

}  // namespace tapewright::capi
