// SPDX-License-Identifier: BSL-1.0
// Cells into values, and the header that says which column stands where.
#include "table.hpp"

#include <algorithm>
#include <charconv>
#include <fstream>
#include <iterator>
#include <system_error>

#include "text.hpp"

namespace order_sheet {

using tapewright::field;
using tapewright::field_facts;

number_range number_range_of(field f) {
  const field_facts facts = tapewright::facts_of(f);
  return {facts.least, facts.most, facts.unit, false, false};
}

std::string allowed_text(const number_range& range) {
  std::string out = range.whole ? "a whole number from " : "a number from ";
  out += plain(range.least) + " to " + plain(range.most);
  if (!range.unit.empty()) out += ' ' + std::string{range.unit};
  if (!range.whole) out += ", with a decimal dot";
  if (range.may_be_empty) out += ", or nothing where it is not stated";
  return out;
}

std::string allowed_text(const tapewright::fault& found) {
  const field_facts facts = tapewright::facts_of(found.field);
  std::string out = "a number from " + plain(found.least) + " to " + plain(found.most);
  if (!facts.unit.empty()) out += ' ' + std::string{facts.unit};
  return out + " (" + std::string{facts.name} + " " + std::string{text_of(found.code)} + ")";
}

std::optional<double> number_in(std::string_view cell, const number_range& range) {
  if (cell.empty() && range.may_be_empty) return 0.0;
  double value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (error != std::errc{} || end != cell.data() + cell.size()) return {};
  if (!(value >= range.least && value <= range.most)) return {};  // NaN too
  if (range.whole && value != static_cast<double>(static_cast<long long>(value))) return {};
  return value;
}

std::optional<std::vector<std::string_view>> words_in(std::string_view cell) {
  std::vector<std::string_view> words;
  while (!cell.empty()) {
    const std::string_view word = cell.substr(0, cell.find(' '));
    if (word.empty() || word.size() + 1 == cell.size()) return {};
    words.push_back(word);
    cell.remove_prefix(std::min(cell.size(), word.size() + 1));
  }
  return words;
}

bool has_file(const std::string& folder, std::string_view name) {
  return std::ifstream{folder + "/" + std::string{name}, std::ios::binary}.is_open();
}

std::optional<std::string> file_text(const std::string& folder, std::string_view name,
                                     problem_list& problems) {
  std::ifstream file{folder + "/" + std::string{name}, std::ios::binary};
  std::string text{std::istreambuf_iterator<char>{file}, {}};
  if (file && !file.bad()) return text;
  problems.add(
      {std::string{name}, 0, 0, {}, "nothing", "a file of this name that can be read, in " + folder});
  return {};
}

table_reading::table_reading(std::string file, std::vector<csv_record> records,
                             std::vector<std::string_view> columns,
                             const std::vector<std::string_view>& optional, problem_list& problems)
    : file_{std::move(file)}, problems_{problems} {
  if (records.empty()) return;  // a file that could not be read was told already
  const auto listed = [&] {
    std::string names;
    for (const std::string_view c : columns) names += (names.empty() ? "" : ", ") + std::string{c};
    return names;
  };
  const csv_record& header = records.front();
  const std::size_t header_line = header.front().line;
  for (std::size_t i = 0; i < header.size(); ++i) {
    const std::string& name = header[i].text;
    const auto known = std::find(columns.begin(), columns.end(), name);
    if (known == columns.end())
      problems_.add({file_, header[i].line, i + 1, {}, shown(name), "a column of " + listed()});
    else if (has(*known))
      problems_.add({file_, header[i].line, i + 1, name, shown(name), "each column once"});
    else positions_.emplace_back(*known, i + 1);
  }
  for (const std::string_view c : columns) {
    if (has(c) || std::find(optional.begin(), optional.end(), c) != optional.end()) continue;
    problems_.add(
        {file_, header_line, 0, {}, "a header without " + std::string{c}, "the columns " + listed()});
    all_columns_ = false;
  }
  if (records.size() == 1)
    problems_.add({file_, header_line, 0, {}, "a header and no rows", "at least one row"});

  for (std::size_t r = 1; r < records.size(); ++r) {
    if (records[r].size() == header.size()) {
      rows_.push_back(std::move(records[r]));
      continue;
    }
    problems_.add({file_,
                   records[r].front().line,
                   0,
                   {},
                   std::to_string(records[r].size()) + " cells",
                   std::to_string(header.size()) + " cells, as in the header"});
  }
  for (const csv_record& row : rows_)
    told_of_.push_back(!std::all_of(row.begin(), row.end(), [](const csv_cell& c) { return c.readable; }));
}

std::size_t table_reading::position_of(std::string_view column) const noexcept {
  for (const auto& [name, position] : positions_)
    if (name == column) return position;
  return 0;
}

const csv_cell& table_reading::cell(std::size_t row, std::string_view column) const {
  static const csv_cell none;
  const std::size_t position = position_of(column);
  return position == 0 ? none : rows_[row][position - 1];
}

void table_reading::tell(std::size_t row, std::string_view column, std::string allowed) {
  tell(row, column, shown(cell(row, column).text), std::move(allowed));
}

void table_reading::tell(std::size_t row, std::string_view column, std::string read, std::string allowed) {
  const std::size_t position = position_of(column);
  const std::size_t line = position == 0 ? rows_[row].front().line : cell(row, column).line;
  problems_.add({file_, line, position, std::string{column}, std::move(read), std::move(allowed)});
  told_of_[row] = true;
}

void table_reading::refuse_repeats(std::string_view column) {
  if (!has(column)) return;
  for (std::size_t r = 0; r < rows(); ++r)
    for (std::size_t before = 0; before < r; ++before)
      if (!cell(r, column).text.empty() && cell(r, column).text == cell(before, column).text) {
        tell(r, column,
             "each " + std::string{column} + " once; it stands in line " +
                 std::to_string(cell(before, column).line) + " already");
        break;
      }
}

}  // namespace order_sheet
