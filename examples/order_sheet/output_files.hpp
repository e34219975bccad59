// SPDX-License-Identifier: BSL-1.0
// Files that appear whole or not at all.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace order_sheet {

/// Files to be written together. Each is written beside its place under a temporary name; only when
/// every one is complete are they renamed into place. What goes wrong before that leaves nothing.
class output_files {
 public:
  void add(std::string path, std::string content) {
    files_.emplace_back(std::move(path), std::move(content));
  }

  /// Empty when all is written; otherwise what could not be done.
  std::string write_all() const;

 private:
  std::vector<std::pair<std::string, std::string>> files_;  // path, content
};

}  // namespace order_sheet
