// SPDX-License-Identifier: BSL-1.0
// The shared rows answered by the C++ headers, inline, as this compiler makes them of run-time figures.
#include <cstdio>
#include <map>
#include <string>

#include "tests/clients/row_text.hpp"
#include "tests/support/reference_csv.hpp"
#include "tests/unit/capi/scalar_calls.hpp"

using namespace tapewright;
using namespace tapewright::test;

int main() try {
  std::map<std::string, scalar_call> calls;
  for (const scalar_call& c : scalar_calls()) calls.emplace(c.name, c);
  const reference_table rows = reference_table::load("cross_client.csv");
  for (std::size_t r = 0; r < rows.rows(); ++r) {
    const std::string function = rows.cell(r, "function");
    cells out;
    const fault why = calls.at(function).ask(figures_of(rows.cell(r, "arguments")), out);
    if (why) out = poison_of(function);
    std::printf("%s %d %s\n", rows.cell(r, "id").c_str(), static_cast<int>(why.code), words_of(out).c_str());
  }
} catch (const std::exception& e) {
  std::fprintf(stderr, "%s\n", e.what());
  return 1;
}
