// SPDX-License-Identifier: BSL-1.0
// A list of the plan as rows and columns, to be read as text or opened in a spreadsheet.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "tapewright/core/quantity.hpp"

namespace order_sheet {

/// A number with the decimals it is shown with in text; a spreadsheet gets all of its digits.
struct figure {
  double value = 0;
  int decimals = 2;

  friend bool operator==(const figure&, const figure&) = default;
};

/// What one cell holds; an empty one holds a monostate.
using list_cell = std::variant<std::monostate, std::string, std::int64_t, figure, tapewright::money>;

struct list_column {
  std::string title;          ///< above the column in the text sheet; empty = not shown there
  std::string csv_name;       ///< with unit, as in the input files; empty = not in the CSV
  std::size_t widest = 0;     ///< characters after which a text is wrapped; 0 = never
  bool to_the_right = false;  ///< a text that holds a number; numbers always are
};

struct list {
  std::string file;  ///< of the CSV, without folder
  std::string title;
  std::vector<list_column> columns;
  std::vector<std::vector<list_cell>> rows;
};

/// Columns under their titles, numbers to the right, texts wrapped; every line ends in LF.
std::string text_of(const list& shown);

/// A header and rows by RFC 4180, lines ended in CRLF as it asks. Numbers are written with as many
/// digits as bring the same double back, money in minor units.
std::string csv_of(const list& written);

/// A paragraph broken into lines of at most `width` characters, each after `indent` spaces but the first.
std::string wrapped(const std::string& text, std::size_t width, std::size_t indent);

}  // namespace order_sheet
