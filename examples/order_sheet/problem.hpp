// SPDX-License-Identifier: BSL-1.0
// What is wrong with the input: file, line, column, what was read, what is allowed; all of it at once.
#pragma once

#include <cstddef>
#include <iosfwd>
#include <string>
#include <string_view>
#include <vector>

namespace order_sheet {

/// One thing that is wrong. Line and column count from 1; 0 where there is none to point at.
struct problem {
  std::string file;
  std::size_t line = 0;
  std::size_t column = 0;
  std::string column_name;
  std::string read;     ///< as it stands in the file
  std::string allowed;  ///< a phrase: "a number from 0 to 10 V"
};

/// Collects problems while every file is read to its end.
class problem_list {
 public:
  void add(problem found) { found_.push_back(std::move(found)); }
  bool empty() const noexcept { return found_.empty(); }
  std::size_t size() const noexcept { return found_.size(); }

  /// One line each, in the order of the files read, within a file by line and column.
  void print(std::ostream& out) const;

 private:
  std::vector<problem> found_;
};

/// A text between double quotes as it can be shown on a terminal: bytes that are no printable UTF-8
/// become \xNN, and what is longer than 60 bytes is cut with three dots.
std::string shown(std::string_view text);

}  // namespace order_sheet
