// SPDX-License-Identifier: BSL-1.0
// Ends a call that answers with a text: into a buffer of the caller's, cut where it is too small, its length told.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "answer.hpp"
#include "tapewright.h"
#include "tapewright/core/number_text.hpp"

namespace tapewright::capi {

/// Writes a text into the caller's buffer with a zero byte behind it, and tells how long all of it is.
/// `tell_text(text_sink&)` returns the fault of what was asked.
template <class Tell>
tw_status answer_text(const fault& before, char* buffer, std::int64_t capacity, std::int64_t* wanted,
                      tw_fault* why, Tell tell_text) noexcept {
  const bool has_room = buffer != nullptr && capacity > 0;
  fault f = first_fault(before, refuse_outside(field::space, static_cast<double>(capacity), 0, 1e9),
                        buffer == nullptr && capacity > 0 ? null_pointer(0) : fault{});
  if (has_room) buffer[0] = 0;
  if (f || wanted == nullptr)
    return answer(f, &f, why, to(wanted, [](const fault&) noexcept { return std::int64_t{}; }));

  const auto room = static_cast<std::size_t>(has_room ? capacity - 1 : 0);  // the last byte is the zero's
  text_sink out{std::span<char>{buffer, room}};
  f = tell_text(out);
  if (has_room) buffer[f ? 0 : out.view().size()] = 0;
  const auto length = static_cast<std::int64_t>(out.wanted());
  if (!f && out.wanted() >= static_cast<std::size_t>(capacity))
    f = {fault_code::no_room,
         field::space,
         static_cast<double>(capacity),
         static_cast<double>(length + 1),
         1e9,
         -1};
  const tw_status status = answer(f, &length, why, to(wanted));
  if (status == TW_NO_ROOM) *wanted = length;
  return status;
}

}  // namespace tapewright::capi
