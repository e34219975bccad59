// SPDX-License-Identifier: BSL-1.0
// The shop window's whole frame.
#include "examples/firmware/shop_window.hpp"
#include "subjects.hpp"

std::uint32_t frame_of_window(tapewright::guard_state& state, const std::uint16_t* in,
                              std::uint16_t* out) noexcept {
  return tapewright::guard_frame(shop_window::limits, state, in, out).word;
}
