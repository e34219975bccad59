// SPDX-License-Identifier: BSL-1.0
// The rows that every client of the interface answers: C gives their bits, C++ does, and the printed figures agree.
#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <map>
#include <set>
#include <string>

#include "tests/clients/row_text.hpp"
#include "tests/support/reference_csv.hpp"
#include "tests/unit/capi/scalar_calls.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

const reference_table& rows() {
  static const reference_table table = reference_table::load("cross_client.csv");
  return table;
}

TEST_CASE("the shared rows: C and C++ give their status and their bits") {
  std::map<std::string, scalar_call> calls;
  for (const scalar_call& c : scalar_calls()) calls.emplace(c.name, c);
  for (std::size_t r = 0; r < rows().rows(); ++r) {
    const std::string function = rows().cell(r, "function");
    CAPTURE(rows().cell(r, "id"));
    REQUIRE(calls.count(function) == 1);
    const scalar_call& c = calls.at(function);
    frame f;
    f.in = figures_of(rows().cell(r, "arguments"));
    // what is written down is read back bit by bit
    REQUIRE(text_of_inputs(function, f.in) == rows().cell(r, "arguments"));
    const tw_status status = c.call(f);
    CHECK(std::to_string(status) == rows().cell(r, "status"));
    CHECK(words_of(f.out) == rows().cell(r, "words"));
    cells wanted;
    const fault why = c.ask(f.in, wanted);
    CHECK(static_cast<tw_status>(why.code) == status);
    if (!why) CHECK(words_of(wanted) == rows().cell(r, "words"));
  }
}

TEST_CASE("the shared rows: at least 150, every function of figures among them, answers and refusals") {
  std::set<std::string> answered, refused;
  int published = 0;
  for (std::size_t r = 0; r < rows().rows(); ++r) {
    (rows().cell(r, "status") == "0" ? answered : refused).insert(rows().cell(r, "function"));
    published += rows().blank(r, "published") ? 0 : 1;
  }
  CHECK(rows().rows() >= 150);
  CHECK(published >= 80);
  for (const scalar_call& c : scalar_calls()) {
    if (!c.arrays.empty()) continue;
    CAPTURE(std::string{c.name});
    CHECK(answered.count(c.name) == 1);
    CHECK(refused.count(c.name) == 1);
  }
}

TEST_CASE("the shared rows: the first output is the printed figure, as near as it was printed") {
  for (std::size_t r = 0; r < rows().rows(); ++r) {
    if (rows().blank(r, "published")) continue;
    CAPTURE(rows().cell(r, "id"));
    REQUIRE(rows().cell(r, "status") == "0");
    const std::uint64_t bits = std::strtoull(rows().cell(r, "words").substr(0, 16).c_str(), nullptr, 16);
    const double answer = std::bit_cast<double>(bits);
    CHECK(std::abs(answer - rows().number(r, "published")) <= rows().number(r, "within"));
  }
}

}  // namespace
