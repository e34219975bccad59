// SPDX-License-Identifier: BSL-1.0
// Writing to temporary names, renaming at the end.
#include "output_files.hpp"

#include <filesystem>
#include <fstream>
#include <system_error>

namespace order_sheet {
namespace {

namespace fs = std::filesystem;

std::string temporary_name(const std::string& path) { return path + ".part"; }

bool write_whole(const std::string& path, const std::string& content) {
  std::ofstream file{path, std::ios::binary | std::ios::trunc};
  file.write(content.data(), static_cast<std::streamsize>(content.size()));
  file.close();
  return file.good();
}

}  // namespace

std::string output_files::write_all() const {
  const auto give_up = [&](const std::string& why) {
    for (const auto& written : files_) {
      std::error_code ignored;
      fs::remove(temporary_name(written.first), ignored);
    }
    return why;
  };
  for (const auto& [path, content] : files_) {
    std::error_code failed;
    if (const fs::path folder = fs::path{path}.parent_path(); !folder.empty())
      fs::create_directories(folder, failed);
    if (failed) return give_up("cannot make the folder of " + path + ": " + failed.message());
    if (fs::is_directory(path, failed)) return give_up("cannot write " + path + ": it is a folder");
    if (!write_whole(temporary_name(path), content)) return give_up("cannot write " + path);
  }
  for (const auto& written : files_) {
    std::error_code failed;
    fs::rename(temporary_name(written.first), written.first, failed);
    if (failed) return give_up("cannot write " + written.first + ": " + failed.message());
  }
  return {};
}

}  // namespace order_sheet
