// SPDX-License-Identifier: BSL-1.0
// Printing of what is wrong with the input.
#include "problem.hpp"

#include <algorithm>
#include <ostream>

#include "utf8.hpp"

namespace order_sheet {

std::string shown(std::string_view text) {
  constexpr std::size_t longest = 60;
  constexpr char hex[] = "0123456789abcdef";
  std::string out = "\"";
  std::size_t at = 0;
  while (at < text.size() && at < longest) {
    const std::size_t length = utf8_length(text.substr(at));
    if (length == 0 || is_control(text[at])) {
      const auto byte = static_cast<unsigned char>(text[at++]);
      out += {'\\', 'x', hex[byte / 16], hex[byte % 16]};
      continue;
    }
    out += text.substr(at, length);
    at += length;
  }
  return out + (at < text.size() ? "…\"" : "\"");
}

void problem_list::print(std::ostream& out) const {
  std::vector<std::string_view> files;  // in the order they were read
  const auto place = [&](const problem& p) {
    const auto at = std::find(files.begin(), files.end(), p.file);
    if (at == files.end()) files.push_back(p.file);
    return static_cast<std::size_t>(std::find(files.begin(), files.end(), p.file) - files.begin());
  };
  for (const problem& p : found_) place(p);

  std::vector<const problem*> sorted;
  for (const problem& p : found_) sorted.push_back(&p);
  std::stable_sort(sorted.begin(), sorted.end(), [&](const problem* a, const problem* b) {
    if (place(*a) != place(*b)) return place(*a) < place(*b);
    return a->line != b->line ? a->line < b->line : a->column < b->column;
  });
  for (const problem* p : sorted) {
    out << p->file;
    if (p->line > 0) out << ':' << p->line;
    out << ": ";
    if (p->column > 0) {
      out << "column " << p->column;
      if (!p->column_name.empty()) out << " (" << p->column_name << ')';
      out << ": ";
    }
    out << "read " << p->read << "; allowed: " << p->allowed << '\n';
  }
}

}  // namespace order_sheet
