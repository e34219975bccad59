// SPDX-License-Identifier: BSL-1.0
// Well-formed UTF-8 by the Unicode standard, table 3-7.
#pragma once

#include <cstddef>
#include <string_view>

namespace order_sheet {

/// Bytes of the character that `text` begins with, 1..4; 0 when it begins with none (a stray or
/// missing byte, an overlong form, a surrogate, past U+10FFFF) or is empty.
constexpr std::size_t utf8_length(std::string_view text) noexcept {
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
  const auto follows = [&](std::size_t i, unsigned least = 0x80, unsigned most = 0xbf) {
    return byte(i) >= least && byte(i) <= most;
  };
  if (text.empty()) return 0;
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  if (first >= 0xc2 && first <= 0xdf) return follows(1) ? 2 : 0;
  if (first >= 0xe0 && first <= 0xef) {
    const unsigned least = first == 0xe0 ? 0xa0 : 0x80, most = first == 0xed ? 0x9f : 0xbf;
    return follows(1, least, most) && follows(2) ? 3 : 0;
  }
  if (first >= 0xf0 && first <= 0xf4) {
    const unsigned least = first == 0xf0 ? 0x90 : 0x80, most = first == 0xf4 ? 0x8f : 0xbf;
    return follows(1, least, most) && follows(2) && follows(3) ? 4 : 0;
  }
  return 0;
}

constexpr bool is_utf8(std::string_view text) noexcept {
  while (!text.empty()) {
    const std::size_t length = utf8_length(text);
    if (length == 0) return false;
    text.remove_prefix(length);
  }
  return true;
}

/// Characters, so that columns of a text sheet line up; a byte that is no UTF-8 counts as one.
constexpr std::size_t characters_in(std::string_view text) noexcept {
  std::size_t count = 0;
  for (; !text.empty(); ++count) {
    const std::size_t length = utf8_length(text);
    text.remove_prefix(length == 0 ? 1 : length);
  }
  return count;
}

/// A character that draws nothing and moves the cursor of a terminal.
constexpr bool is_control(char c) noexcept {
  const auto byte = static_cast<unsigned char>(c);
  return byte < 0x20 || byte == 0x7f;
}

static_assert(is_utf8("Café – 24 V") && !is_utf8("Caf\xe9") && !is_utf8("\xc0\xaf") &&
              !is_utf8("\xed\xa0\x80"));

}  // namespace order_sheet
