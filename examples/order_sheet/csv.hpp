// SPDX-License-Identifier: BSL-1.0
// Comma-separated values by RFC 4180, read strictly and written plainly.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "problem.hpp"

namespace order_sheet {

struct csv_cell {
  std::string text;
  std::size_t line = 0;  ///< where the cell begins, from 1
  bool readable = true;  ///< false: what is wrong with it was told already
};

using csv_record = std::vector<csv_cell>;

/// The records of a file, header and all. Allowed: UTF-8 with or without a byte order mark; lines
/// that end in LF or CRLF, the last one ended or not; cells in double quotes, which may hold commas,
/// line breaks and doubled quotes. Skipped: blank lines, lines that begin with # (comments), and
/// rows of nothing but empty cells, as spreadsheets leave them. Line breaks inside a cell come out
/// as LF whichever kind the file uses. Everything else is a problem, told with line and column.
std::vector<csv_record> parse_csv(std::string_view file_name, std::string_view bytes, problem_list& problems);

/// A cell as RFC 4180 writes it: quoted only where it must be.
std::string csv_text(std::string_view cell);

}  // namespace order_sheet
