// SPDX-License-Identifier: BSL-1.0
// Text out of a demo, on a board (board/console.cpp) or on a computer (host_console.cpp), without a library.
#pragma once

#include <cstdint>

namespace console {

/// Writes a text that ends with a zero byte.
void write(const char* text) noexcept;

/// Writes a whole number, right in a field of `width`, at most 11.
inline void write_number(std::uint32_t value, int width = 0) noexcept {
  constexpr std::uint32_t tens[] = {1'000'000'000, 100'000'000, 10'000'000, 1'000'000, 100'000,
                                    10'000,        1'000,       100,        10,        1};
  char text[16] = {};
  int at = 0;
  for (int blanks = 11 - width; blanks < 11; ++blanks) text[at++] = ' ';
  int first = at;
  bool leading = true;
  char digits[11] = {};
  int count = 0;
  for (const std::uint32_t ten : tens) {
    char digit = '0';
    for (; value >= ten; value -= ten) ++digit;  // no division on the smallest boards
    if (digit != '0' || ten == 1) leading = false;
    if (!leading) digits[count++] = digit;
  }
  if (count < first) first -= count;
  else first = 0;
  for (int i = 0; i < count; ++i) text[first + i] = digits[i];
  text[first + count] = 0;
  write(text);
}

/// Writes the eight hexadecimal digits of a word.
inline void write_hex(std::uint32_t word) noexcept {
  char text[9] = {};
  for (int i = 0; i < 8; ++i) text[i] = "0123456789abcdef"[word >> (28 - 4 * i) & 15];
  write(text);
}

}  // namespace console
