// SPDX-License-Identifier: BSL-1.0
// A table described once: each column's name, what it allows, and where its value goes.
#pragma once

#include <concepts>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "csv.hpp"
#include "problem.hpp"
#include "tapewright/core/bounded.hpp"
#include "tapewright/core/field.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"

namespace order_sheet {

/// Owns texts, so that the library's rows can hold views of them. A text kept never moves.
class text_store {
 public:
  std::string_view keep(std::string text) { return kept_.emplace_back(std::move(text)); }

 private:
  std::deque<std::string> kept_;
};

/// What a number in a cell may be, and how a message says so.
struct number_range {
  double least = 0, most = 0;
  std::string_view unit;
  bool whole = false;
  bool may_be_empty = false;  ///< an empty cell reads as 0, "not stated"
};

/// The range that the library gives for a figure.
number_range number_range_of(tapewright::field f);

/// "a number from 0 to 10 V, with a decimal dot"
std::string allowed_text(const number_range& range);

/// The whole cell as one number with a decimal dot and inside the range, or nothing.
std::optional<double> number_in(std::string_view cell, const number_range& range);

/// The words of a cell, parted by single spaces, or nothing where there are empty ones.
std::optional<std::vector<std::string_view>> words_in(std::string_view cell);

/// One reading of one table: its records with the order of their columns, for cross-references.
class table_reading {
 public:
  /// Columns named in `optional` too may be missing.
  table_reading(std::string file, std::vector<csv_record> records, std::vector<std::string_view> columns,
                const std::vector<std::string_view>& optional, problem_list& problems);

  std::size_t rows() const noexcept { return rows_.size(); }
  const csv_cell& cell(std::size_t row, std::string_view column) const;

  /// Tells of one cell of a row, by the name of its column.
  void tell(std::size_t row, std::string_view column, std::string allowed);
  /// The same with another text for what was read.
  void tell(std::size_t row, std::string_view column, std::string read, std::string allowed);

  /// Tells of every cell that repeats one above it in a column whose cells name their rows.
  void refuse_repeats(std::string_view column);

  /// Nothing is wrong with a row as far as told, and no column of it is missing.
  bool is_clean(std::size_t row) const { return all_columns_ && !told_of_[row]; }
  bool has(std::string_view column) const { return position_of(column) != 0; }

 private:
  std::size_t position_of(std::string_view column) const noexcept;  // from 1; 0 = not there

  std::string file_;
  std::vector<csv_record> rows_;
  std::vector<std::pair<std::string_view, std::size_t>> positions_;
  std::vector<bool> told_of_;
  bool all_columns_ = true;
  problem_list& problems_;
};

/// Whether a folder has a file of this name.
bool has_file(const std::string& folder, std::string_view name);

/// The file's text, or a problem. `folder` may be written with or without a slash at its end.
std::optional<std::string> file_text(const std::string& folder, std::string_view name,
                                     problem_list& problems);

/// A table of rows of one kind. The columns are described by calls in a chain, then `read` fills rows:
///   table<zone>{"zones.csv"}.code("zone", &zone::code).number(field::from_driver, &zone::from_driver)
/// Column names of figures come from the library's table of fields (unit last) unless another is given.
template <class Row>
class table {
 public:
  /// Takes a cell that is known to be there; an empty answer means good, else it says what is allowed.
  using setter = std::function<std::string(Row&, std::string_view)>;

  table(std::string file, text_store& texts) : file_{std::move(file)}, texts_{&texts} {}

  table& column(std::string_view name, setter set, tapewright::field figure = tapewright::field::none) {
    columns_.push_back({name, std::move(set), figure, false});
    return *this;
  }

  /// The column described last may be missing, and its cells may be empty: what it sets keeps its default.
  table& optional() {
    described& last = columns_.back();
    last.optional = true;
    last.set = [set = std::move(last.set)](Row& row, std::string_view cell) {
      return cell.empty() ? std::string{} : set(row, cell);
    };
    return *this;
  }

  /// A text that names the row or another row: not empty.
  template <class Owner>
  table& code(std::string_view name, std::string_view Owner::*member) {
    return column(
        name,
        [member, texts = texts_](Row& row, std::string_view cell) -> std::string {
          if (cell.empty() || !is_one_line(cell))
            return "a text of one line, not empty, without spaces around it";
          row.*member = texts->keep(std::string{cell});
          return {};
        },
        tapewright::field::name);
  }

  /// A text for people, may be empty.
  template <class Owner>
  table& text(std::string_view name, std::string_view Owner::*member) {
    return column(name, [member, texts = texts_](Row& row, std::string_view cell) -> std::string {
      row.*member = texts->keep(one_line(cell));
      return {};
    });
  }

  /// A figure of the library, given in `per_unit`ths of its unit (1000: milliamperes for amperes).
  template <class Owner, class Quantity>
  table& number(tapewright::field figure, Quantity Owner::*member, double per_unit = 1) {
    return number(tapewright::facts_of(figure).name, figure, member, per_unit);
  }
  template <class Owner, class Quantity>
  table& number(std::string_view name, tapewright::field figure, Quantity Owner::*member,
                double per_unit = 1) {
    return figure_column(name, figure, number_range_of(figure), member, per_unit);
  }

  /// The same where an empty cell says "not stated" and reads as 0.
  template <class Owner, class Quantity>
  table& number_if_stated(tapewright::field figure, Quantity Owner::*member, double per_unit = 1) {
    return number_if_stated(tapewright::facts_of(figure).name, figure, member, per_unit);
  }
  template <class Owner, class Quantity>
  table& number_if_stated(std::string_view name, tapewright::field figure, Quantity Owner::*member,
                          double per_unit = 1) {
    number_range range = number_range_of(figure);
    range.may_be_empty = true;
    return figure_column(name, figure, range, member, per_unit);
  }

  /// A figure that may be missing: an empty cell leaves the member without a value.
  template <class Owner>
  table& number_or_none(std::string_view name, tapewright::field figure, std::optional<double> Owner::*member,
                        bool whole = false) {
    number_range range = number_range_of(figure);
    range.may_be_empty = true;
    range.whole = whole;
    return column(
        name,
        [member, range](Row& row, std::string_view cell) -> std::string {
          if (cell.empty()) return {};
          row.*member = number_in(cell, range);
          return row.*member ? std::string{} : allowed_text(range);
        },
        figure);
  }

  /// One of a few words.
  template <class Owner, class Value>
  table& choice(std::string_view name, Value Owner::*member,
                std::vector<std::pair<std::string_view, Value>> choices) {
    return column(name, [member, choices](Row& row, std::string_view cell) -> std::string {
      std::string allowed = "one of";
      for (const auto& [word, value] : choices) {
        if (word == cell) {
          row.*member = value;
          return {};
        }
        allowed += allowed == "one of" ? " " : ", ";
        allowed += word;
      }
      return allowed;
    });
  }

  template <class Owner>
  table& yes_or_no(std::string_view name, bool Owner::*member) {
    return choice<Owner, bool>(name, member, {{"yes", true}, {"no", false}});
  }

  /// Words parted by single spaces, as many as the member has room for; an empty cell holds none.
  template <class Owner, std::size_t N>
  table& words(std::string_view name, tapewright::bounded<std::string_view, N> Owner::*member) {
    return column(name, [member, texts = texts_](Row& row, std::string_view cell) -> std::string {
      const auto found = words_in(cell);
      if (!found || found->size() > N || !is_one_line(cell))
        return "at most " + std::to_string(N) + " words with one space between them";
      for (const std::string_view word : *found) (row.*member).push(texts->keep(std::string{word}));
      return {};
    });
  }

  /// Reads the file into rows, one for each record, good or bad; what is wrong goes to `problems`.
  table_reading read(const std::string& folder, std::vector<Row>& rows, problem_list& problems) const {
    std::vector<std::string_view> names, optional;
    for (const described& c : columns_) {
      names.push_back(c.name);
      if (c.optional) optional.push_back(c.name);
    }
    const std::optional<std::string> bytes = file_text(folder, file_, problems);
    std::vector<csv_record> records;
    if (bytes) {
      records = parse_csv(file_, *bytes, problems);
      if (records.empty()) problems.add({file_, 1, 0, {}, "no header", "a header and rows under it"});
    }
    table_reading reading{file_, std::move(records), names, optional, problems};
    for (std::size_t r = 0; r < reading.rows(); ++r) {
      Row row{};
      for (const described& c : columns_) {
        if (!reading.has(c.name) || !reading.cell(r, c.name).readable) continue;
        if (std::string allowed = c.set(row, reading.cell(r, c.name).text); !allowed.empty())
          reading.tell(r, c.name, std::move(allowed));
      }
      rows.push_back(row);
    }
    return reading;
  }

  /// Tells what the library finds wrong with a row whose cells were good one by one.
  template <class Checked>
  void tell_fault(table_reading& reading, std::size_t row, const Checked& value) const {
    if (!reading.is_clean(row)) return;
    if (const tapewright::fault found = check(value)) tell_fault(reading, row, found);
  }
  void tell_fault(table_reading& reading, std::size_t row, const tapewright::fault& found) const;

 private:
  struct described {
    std::string_view name;
    setter set;
    tapewright::field figure;
    bool optional = false;
  };

  static bool is_one_line(std::string_view cell) {
    if (cell.starts_with(' ') || cell.ends_with(' ')) return false;
    for (const char c : cell)
      if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) return false;
    return true;
  }
  // Line breaks and other control characters of a cell would tear the sheet: each becomes a space.
  static std::string one_line(std::string_view cell) {
    std::string out{cell};
    for (char& c : out)
      if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = ' ';
    return out;
  }

  template <class Owner, class Quantity>
  table& figure_column(std::string_view name, tapewright::field figure, number_range range,
                       Quantity Owner::*member, double per_unit) {
    range.whole = std::integral<Quantity> || std::same_as<Quantity, tapewright::money>;
    return column(
        name,
        [member, range, per_unit](Row& row, std::string_view cell) -> std::string {
          const std::optional<double> told = number_in(cell, range);
          if (!told) return allowed_text(range);
          const double value = *told / per_unit;
          if constexpr (std::same_as<Quantity, tapewright::money>)
            (row.*member).minor = static_cast<long long>(value);
          else if constexpr (std::integral<Quantity>) row.*member = static_cast<Quantity>(value);
          else if constexpr (std::floating_point<Quantity>) row.*member = value;
          else row.*member = Quantity{value};
          return {};
        },
        figure);
  }

  std::string file_;
  text_store* texts_;
  std::vector<described> columns_;
};

/// "a number from 3 to 24 V: contradicts another figure" of a fault.
std::string allowed_text(const tapewright::fault& found);

template <class Row>
void table<Row>::tell_fault(table_reading& reading, std::size_t row, const tapewright::fault& found) const {
  for (const described& c : columns_)
    if (c.figure == found.field && c.figure != tapewright::field::none) {
      reading.tell(row, c.name, allowed_text(found));
      return;
    }
  reading.tell(row, columns_.front().name, allowed_text(found));
}

}  // namespace order_sheet
