// SPDX-License-Identifier: BSL-1.0
// The two ways a list is written.
#include "list.hpp"

#include <algorithm>
#include <charconv>

#include "csv.hpp"
#include "text.hpp"
#include "utf8.hpp"

namespace order_sheet {
namespace {

bool is_text(const list_cell& c) { return std::holds_alternative<std::string>(c); }

std::string shown_cell(const list_cell& c) {
  if (const auto* text = std::get_if<std::string>(&c)) return *text;
  if (const auto* whole = std::get_if<std::int64_t>(&c)) return std::to_string(*whole);
  if (const auto* number = std::get_if<figure>(&c)) return fixed(number->value, number->decimals);
  if (const auto* price = std::get_if<tapewright::money>(&c)) return amount(*price);
  return {};
}

std::string csv_cell_text(const list_cell& c) {
  if (const auto* price = std::get_if<tapewright::money>(&c)) return std::to_string(price->minor);
  if (const auto* number = std::get_if<figure>(&c)) {
    char digits[32];
    return {digits, std::to_chars(digits, digits + sizeof digits, number->value).ptr};
  }
  return csv_text(shown_cell(c));
}

std::vector<std::string> lines_of(const std::string& text, std::size_t width) {
  if (width == 0 || characters_in(text) <= width) return {text};
  std::vector<std::string> lines;
  std::string line;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t space = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, space - at);
    if (!line.empty() && characters_in(line) + 1 + characters_in(word) > width) {
      lines.push_back(line);
      line.clear();
    }
    line += (line.empty() ? "" : " ") + word;
    at = space + 1;
  }
  lines.push_back(line);
  return lines;
}

std::string padded(const std::string& text, std::size_t width, bool to_the_right) {
  const std::size_t length = characters_in(text);
  const std::string gap(width > length ? width - length : 0, ' ');
  return to_the_right ? gap + text : text + gap;
}

}  // namespace

std::string wrapped(const std::string& text, std::size_t width, std::size_t indent) {
  std::string out;
  for (const std::string& line : lines_of(text, width))
    out += (out.empty() ? "" : "\n" + std::string(indent, ' ')) + line;
  return out;
}

std::string text_of(const list& shown) {
  struct shape {
    std::size_t column, width;
    bool numbers;
  };
  std::vector<shape> shapes;
  for (std::size_t c = 0; c < shown.columns.size(); ++c) {
    const list_column& column = shown.columns[c];
    if (column.title.empty()) continue;
    shape s{c, characters_in(column.title), column.to_the_right};
    for (const auto& row : shown.rows) {
      for (const std::string& line : lines_of(shown_cell(row[c]), column.widest))
        s.width = std::max(s.width, characters_in(line));
      s.numbers = s.numbers || !(is_text(row[c]) || std::holds_alternative<std::monostate>(row[c]));
    }
    shapes.push_back(s);
  }

  const auto line_with = [&](const auto& cell_text) {
    std::string line = " ";
    for (const shape& s : shapes) line += " " + padded(cell_text(s), s.width, s.numbers) + " ";
    line.erase(line.find_last_not_of(' ') + 1);
    return line + "\n";
  };
  std::string out = line_with([&](const shape& s) { return shown.columns[s.column].title; });
  out += line_with([](const shape& s) { return std::string(s.width, '-'); });
  for (const auto& row : shown.rows) {
    std::size_t height = 1;
    for (const shape& s : shapes)
      height = std::max(height, lines_of(shown_cell(row[s.column]), shown.columns[s.column].widest).size());
    for (std::size_t i = 0; i < height; ++i)
      out += line_with([&](const shape& s) {
        const auto lines = lines_of(shown_cell(row[s.column]), shown.columns[s.column].widest);
        return i < lines.size() ? lines[i] : std::string{};
      });
  }
  return out;
}

std::string csv_of(const list& written) {
  std::string out;
  const auto line_with = [&](const auto& cell_text) {
    std::string line;
    bool first = true;
    for (std::size_t c = 0; c < written.columns.size(); ++c) {
      if (written.columns[c].csv_name.empty()) continue;
      line += (first ? "" : ",") + cell_text(c);
      first = false;
    }
    return line + "\r\n";
  };
  out += line_with([&](std::size_t c) { return csv_text(written.columns[c].csv_name); });
  for (const auto& row : written.rows) out += line_with([&](std::size_t c) { return csv_cell_text(row[c]); });
  return out;
}

}  // namespace order_sheet
