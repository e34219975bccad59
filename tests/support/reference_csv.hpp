// SPDX-License-Identifier: BSL-1.0
// Reads tests/reference/*.csv, the published values that the library is checked against.
#pragma once

#include <charconv>
#include <cstddef>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#ifndef TAPEWRIGHT_REFERENCE_DIR
#error "the build passes TAPEWRIGHT_REFERENCE_DIR, the folder tests/reference"
#endif

namespace tapewright::test {

/// One file of reference values: a header line, then rows; RFC 4180 quoting; lines that begin with
/// `#` are comments. Everything that is wrong with a file or a question throws, so that a test
/// about a column that is not there fails instead of passing over it.
class reference_table {
 public:
  /// @param name  file name inside tests/reference, e.g. "awg_solid_wire.csv".
  static reference_table load(std::string_view name) {
    const std::string path = std::string{TAPEWRIGHT_REFERENCE_DIR} + "/" + std::string{name};
    std::ifstream file{path, std::ios::binary};
    if (!file) throw std::runtime_error("cannot read " + path);
    const std::string text{std::istreambuf_iterator<char>{file}, {}};
    reference_table table;
    table.name_ = name;
    table.records_ = parse(text);
    if (table.records_.size() < 2) throw std::runtime_error(path + ": no rows");
    for (std::size_t r = 1; r < table.records_.size(); ++r)
      if (table.records_[r].size() != table.records_[0].size())
        throw std::runtime_error(path + ": row " + std::to_string(r) + " has " +
                                 std::to_string(table.records_[r].size()) + " cells, its header " +
                                 std::to_string(table.records_[0].size()));
    return table;
  }

  /// Number of rows, the header not counted.
  std::size_t rows() const noexcept { return records_.size() - 1; }

  bool has(std::string_view column) const noexcept {
    for (const std::string& c : records_[0])
      if (c == column) return true;
    return false;
  }

  const std::string& cell(std::size_t row, std::string_view column) const {
    for (std::size_t c = 0; c < records_[0].size(); ++c)
      if (records_[0][c] == column) return records_.at(row + 1)[c];
    throw std::runtime_error(name_ + ": no column " + std::string{column});
  }

  bool blank(std::size_t row, std::string_view column) const { return cell(row, column).empty(); }

  /// The whole cell as one number with a decimal dot, or an exception.
  double number(std::size_t row, std::string_view column) const {
    const std::string& text = cell(row, column);
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size())
      throw std::runtime_error(name_ + ": row " + std::to_string(row) + ", column " + std::string{column} +
                               ": not a number: '" + text + "'");
    return value;
  }

 private:
  using record = std::vector<std::string>;

  static std::vector<record> parse(std::string_view text) {
    std::vector<record> out;
    record now;
    std::string field;
    bool quoted = false;
    const auto end_field = [&] { now.push_back(std::exchange(field, {})); };
    const auto end_record = [&] {
      end_field();
      const bool blank_line = now.size() == 1 && now[0].empty();
      if (!blank_line) out.push_back(std::exchange(now, {}));
      now.clear();
    };
    for (std::size_t i = 0; i < text.size(); ++i) {
      const char c = text[i];
      const bool line_start = !quoted && now.empty() && field.empty();
      if (quoted) {
        if (c != '"') field += c;
        else if (i + 1 < text.size() && text[i + 1] == '"') field += text[++i];
        else quoted = false;
      } else if (line_start && c == '#') {
        while (i + 1 < text.size() && text[i + 1] != '\n') ++i;
      } else if (c == '"') {
        quoted = true;
      } else if (c == ',') {
        end_field();
      } else if (c == '\n') {
        end_record();
      } else if (c != '\r') {
        field += c;
      }
    }
    if (quoted) throw std::runtime_error("a quoted cell has no end");
    if (!field.empty() || !now.empty()) end_record();
    return out;
  }

  std::string name_;
  std::vector<record> records_;
};

}  // namespace tapewright::test
