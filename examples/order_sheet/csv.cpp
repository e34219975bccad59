// SPDX-License-Identifier: BSL-1.0
// The reader and the writer of comma-separated values.
#include "csv.hpp"

#include "utf8.hpp"

namespace order_sheet {
namespace {

class parser {
 public:
  parser(std::string_view file, std::string_view bytes, problem_list& problems)
      : file_{file}, rest_{bytes}, problems_{problems} {}

  std::vector<csv_record> all() {
    constexpr std::string_view byte_order_mark = "\xef\xbb\xbf";
    if (rest_.starts_with(byte_order_mark)) rest_.remove_prefix(byte_order_mark.size());
    std::vector<csv_record> records;
    while (!rest_.empty()) {
      if (rest_.front() == '#') {
        skip_comment();
        continue;
      }
      csv_record found = record();
      bool all_empty = true;
      for (const csv_cell& c : found) all_empty = all_empty && c.text.empty();
      if (!all_empty) records.push_back(std::move(found));
    }
    return records;
  }

 private:
  // Takes a line break of either kind from the front, if one stands there.
  bool take_line_break() {
    const std::size_t length = rest_.starts_with("\r\n") ? 2 : rest_.starts_with("\n") ? 1 : 0;
    rest_.remove_prefix(length);
    if (length > 0) ++line_;
    return length > 0;
  }

  void skip_comment() {
    const std::string_view comment = rest_.substr(0, rest_.find('\n'));
    if (!is_utf8(comment)) tell(line_, 0, shown(comment), "UTF-8 text, in comments too");
    rest_.remove_prefix(comment.size());
    take_line_break();
  }

  csv_record record() {
    csv_record found;
    for (;;) {
      found.push_back(cell(found.size() + 1));
      if (rest_.empty() || take_line_break()) return found;
      rest_.remove_prefix(1);  // the comma
    }
  }

  // Reads up to a comma, a line break or the end, whatever is wrong with the cell.
  csv_cell cell(std::size_t column) {
    csv_cell found{{}, line_, true};
    const std::size_t told_before = problems_.size();
    const bool in_quotes = rest_.starts_with('"');
    if (in_quotes) found.text = quoted(column);
    const std::string_view bare = rest_.substr(0, end_of_bare_cell());
    rest_.remove_prefix(bare.size());
    if (!in_quotes) found.text = bare;
    if (in_quotes && !bare.empty())
      tell(line_, column, shown(bare), "a comma or the end of the line after a closing quote");
    else if (bare.find('"') != bare.npos)
      tell(line_, column, shown(bare), "a double quote only in a cell in quotes, doubled");
    else if (bare.find('\r') != bare.npos) tell(line_, column, shown(bare), "lines that end in LF or CRLF");
    if (problems_.size() == told_before && !is_utf8(found.text))
      tell(found.line, column, shown(found.text), "UTF-8 text");
    found.readable = problems_.size() == told_before;
    return found;
  }

  std::size_t end_of_bare_cell() const {
    std::size_t at = rest_.find_first_of(",\n");
    if (at == rest_.npos) return rest_.size();
    return rest_[at] == '\n' && at > 0 && rest_[at - 1] == '\r' ? at - 1 : at;
  }

  std::string quoted(std::size_t column) {
    const std::size_t began = line_;
    std::string text;
    rest_.remove_prefix(1);
    while (!rest_.empty()) {
      if (rest_.starts_with("\"\"")) {
        text += '"';
        rest_.remove_prefix(2);
      } else if (rest_.front() == '"') {
        rest_.remove_prefix(1);
        return text;
      } else if (take_line_break()) {
        text += '\n';
      } else {
        text += rest_.front();
        rest_.remove_prefix(1);
      }
    }
    tell(began, column, shown('"' + text), "a closing quote before the end of the file");
    return text;
  }

  void tell(std::size_t line, std::size_t column, std::string read, std::string allowed) {
    problems_.add({std::string{file_}, line, column, {}, std::move(read), std::move(allowed)});
  }

  std::string_view file_, rest_;
  problem_list& problems_;
  std::size_t line_ = 1;
};

}  // namespace

std::vector<csv_record> parse_csv(std::string_view file_name, std::string_view bytes,
                                  problem_list& problems) {
  return parser{file_name, bytes, problems}.all();
}

std::string csv_text(std::string_view cell) {
  if (cell.find_first_of(",\"\r\n") == cell.npos && !cell.starts_with('#')) return std::string{cell};
  std::string out = "\"";
  for (const char c : cell) out += c == '"' ? "\"\"" : std::string(1, c);
  return out + '"';
}

}  // namespace order_sheet
