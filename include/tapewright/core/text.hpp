// SPDX-License-Identifier: BSL-1.0
// Codes compared byte by byte, so that a library without a C run-time needs no memcmp for it.
#pragma once

#include <cstddef>
#include <string_view>

namespace tapewright {

/// Negative, zero or positive as `a` stands before, with or after `b` in the order of their bytes (as
/// unsigned figures, which keeps UTF-8 in the order of its code points); a text stands before its longer ones.
/// The standard comparison says the same at compile time and calls memcmp at run time.
constexpr int text_order(std::string_view a, std::string_view b) noexcept {
  const std::size_t common = a.size() < b.size() ? a.size() : b.size();
  for (std::size_t i = 0; i < common; ++i) {
    const auto x = static_cast<unsigned char>(a[i]), y = static_cast<unsigned char>(b[i]);
    if (x != y) return x < y ? -1 : 1;
  }
  if (a.size() == b.size()) return 0;
  return a.size() < b.size() ? -1 : 1;
}

constexpr bool text_before(std::string_view a, std::string_view b) noexcept { return text_order(a, b) < 0; }
constexpr bool same_text(std::string_view a, std::string_view b) noexcept { return text_order(a, b) == 0; }

static_assert(text_before("24V-05", "24V-10") && text_before("24V", "24V-05") &&
              text_before("Z", "\xc3\xa4"));
static_assert(same_text("", "") && !same_text("a", "A"));

}  // namespace tapewright
