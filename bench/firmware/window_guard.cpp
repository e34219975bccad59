// SPDX-License-Identifier: BSL-1.0
// The shop window's guard.
#include "examples/firmware/shop_window.hpp"
#include "subjects.hpp"

std::uint32_t guard_of_window(const std::uint16_t* in, std::uint16_t* out) noexcept {
  return tapewright::guard(shop_window::limits, in, out).word;
}
