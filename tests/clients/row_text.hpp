// SPDX-License-Identifier: BSL-1.0
// How figures and answers stand in tests/reference/cross_client.csv and in what its clients print.
#pragma once

#include <bit>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/unit/capi/calls.hpp"

namespace tapewright::test {

/// Seventeen digits bring a double back bit by bit; nan, inf and -inf are spelt so.
inline std::string text_of_figure(double v) {
  char room[40];
  std::snprintf(room, sizeof room, "%.17g", v);
  return v != v ? "nan" : room;
}

/// Arguments with blanks between them; whole ones as whole numbers.
inline std::string text_of_inputs(const std::string& function, const std::vector<double>& in) {
  std::string text;
  std::size_t i = 0;
  for (const capi::entry& e : table_row(function).arguments) {
    if (!is_input(e)) continue;
    const double v = in.at(i++);
    text += text.empty() ? "" : " ";
    text +=
        std::string{e.type} == "double" ? text_of_figure(v) : std::to_string(static_cast<std::int64_t>(v));
  }
  return text;
}

/// The 64 bits of an output: of a double, or of a whole number of any width as one of 64 bits. No standard fixes
/// the bits of NaN, so all of them are written as one.
inline std::string word_of(const cell& c) {
  const std::uint64_t bits = c.is_whole             ? static_cast<std::uint64_t>(c.whole)
                             : c.number != c.number ? 0x7ff8000000000000u
                                                    : std::bit_cast<std::uint64_t>(c.number);
  char room[20];
  std::snprintf(room, sizeof room, "%016llx", static_cast<unsigned long long>(bits));
  return room;
}
inline std::string words_of(const cells& out) {
  std::string text;
  for (const cell& c : out) text += (text.empty() ? "" : " ") + word_of(c);
  return text;
}

/// What a function shows where it has no answer.
inline cells poison_of(const std::string& function) {
  cells out;
  for (const capi::entry& e : table_row(function).arguments) {
    if (std::string{e.type} == "double *") out.push_back(cell::of(__builtin_nan("")));
    else if (is_figure_output(e)) out.push_back(cell::of(0));
  }
  return out;
}

/// Figures out of a cell of the table.
inline std::vector<double> figures_of(const std::string& text) {
  std::vector<double> figures;
  const char* at = text.c_str();
  while (*at != 0) {
    char* end = nullptr;
    figures.push_back(std::strtod(at, &end));
    if (end == at) throw std::runtime_error{"not a figure: " + text};
    at = end;
    while (*at == ' ') ++at;
  }
  return figures;
}

}  // namespace tapewright::test
