// SPDX-License-Identifier: BSL-1.0
// The column functions: row by row what the plain function of the same name gives.
#include <doctest/doctest.h>

#include <cfenv>
#include <cstdint>
#include <functional>
#include <set>
#include <string>
#include <vector>

#include "tests/support/random.hpp"
#include "tests/unit/capi/calls.hpp"
#include "tests/unit/capi/scalar_calls.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

using rows_in = std::vector<const double*>;
using strides = std::vector<std::int64_t>;

/// A column function as its plain twin sees it: columns and strides in, columns out (two outputs and a whole one
/// at most).
struct column_call {
  std::string name;
  std::size_t inputs;
  bool whole_first;     ///< the first output is int64_t
  std::size_t numbers;  ///< outputs that are double
  std::function<tw_status(const rows_in&, const strides&, std::int64_t, std::int64_t*, double*, double*,
                          std::int64_t, tw_fault*)>
      call;
};

std::vector<column_call> column_calls() {
  return {
      {"tw_cut_length", 2, true, 2,
       [](auto& c, auto& s, auto n, auto* w, auto* a, auto* b, auto out, auto* why) {
         return tw_cut_length_n(c[0], s[0], c[1], s[1], n, w, out, a, out, b, out, why);
       }},
      {"tw_sale_units", 2, true, 0,
       [](auto& c, auto& s, auto n, auto* w, auto*, auto*, auto out, auto* why) {
         return tw_sale_units_n(c[0], s[0], c[1], s[1], n, w, out, why);
       }},
      {"tw_channel_load", 3, false, 2,
       [](auto& c, auto& s, auto n, auto*, auto* a, auto* b, auto out, auto* why) {
         return tw_channel_load_n(c[0], s[0], c[1], s[1], c[2], s[2], n, a, out, b, out, why);
       }},
      {"tw_copper_resistance", 2, false, 1,
       [](auto& c, auto& s, auto n, auto*, auto* a, auto*, auto out, auto* why) {
         return tw_copper_resistance_n(c[0], s[0], c[1], s[1], n, a, out, why);
       }},
      {"tw_two_wire_drop", 3, false, 1,
       [](auto& c, auto& s, auto n, auto*, auto* a, auto*, auto out, auto* why) {
         return tw_two_wire_drop_n(c[0], s[0], c[1], s[1], c[2], s[2], n, a, out, why);
       }},
      {"tw_feeder_drop", 4, false, 1,
       [](auto& c, auto& s, auto n, auto*, auto* a, auto*, auto out, auto* why) {
         return tw_feeder_drop_n(c[0], s[0], c[1], s[1], c[2], s[2], c[3], s[3], n, a, out, why);
       }},
      {"tw_least_area", 4, false, 1,
       [](auto& c, auto& s, auto n, auto*, auto* a, auto*, auto out, auto* why) {
         return tw_least_area_n(c[0], s[0], c[1], s[1], c[2], s[2], c[3], s[3], n, a, out, why);
       }},
      {"tw_contact_current", 5, false, 1,
       [](auto& c, auto& s, auto n, auto*, auto* a, auto*, auto out, auto* why) {
         return tw_contact_current_n(c[0], s[0], c[1], s[1], c[2], s[2], c[3], s[3], c[4], s[4], n, a, out,
                                     why);
       }},
      {"tw_least_capacity", 2, false, 1,
       [](auto& c, auto& s, auto n, auto*, auto* a, auto*, auto out, auto* why) {
         return tw_least_capacity_n(c[0], s[0], c[1], s[1], n, a, out, why);
       }},
      {"tw_yearly_energy", 2, false, 1,
       [](auto& c, auto& s, auto n, auto*, auto* a, auto*, auto out, auto* why) {
         return tw_yearly_energy_n(c[0], s[0], c[1], s[1], n, a, out, why);
       }},
      {"tw_lightness", 1, false, 1,
       [](auto& c, auto& s, auto n, auto*, auto* a, auto*, auto out, auto* why) {
         return tw_lightness_n(c[0], s[0], n, a, out, why);
       }},
  };
}

scalar_call plain_twin(const std::string& name) {
  for (const scalar_call& c : scalar_calls())
    if (name == c.name) return c;
  throw std::runtime_error{name};
}

constexpr std::int64_t rows = 50, gap = 2;

/// Columns of figures near the good row, two elements apart, and room for the outputs likewise.
struct sheet {
  std::vector<std::vector<double>> columns;
  std::vector<double> a = std::vector<double>(rows * gap, 9), b = a;
  std::vector<std::int64_t> whole = std::vector<std::int64_t>(rows * gap, 9);

  explicit sheet(const scalar_call& twin) {
    for (const double good : twin.good) {
      std::vector<double> column(rows * gap, 1e300);  // between the rows stands what would be refused
      for (std::int64_t r = 0; r < rows; ++r)
        column[static_cast<std::size_t>(r * gap)] = good * (1 - 0.004 * static_cast<double>(r));
      columns.push_back(column);
    }
  }
  rows_in in() const {
    rows_in all;
    for (const auto& c : columns) all.push_back(c.data());
    return all;
  }
  double& at(std::size_t column, std::int64_t row) {
    return columns[column][static_cast<std::size_t>(row * gap)];
  }
};

TEST_CASE("every column function is called here") {
  std::set<std::string> called;
  for (const column_call& c : column_calls()) called.insert(c.name + "_n");
  for (const table_function& f : functions_of_table()) {
    CAPTURE(f.name);
    if (f.name.size() > 2 && f.name.substr(f.name.size() - 2) == "_n") CHECK(called.count(f.name) == 1);
  }
}

TEST_CASE("columns: every row has the bits of the plain function; what lies between rows stays") {
  for (const column_call& c : column_calls()) {
    CAPTURE(c.name);
    const scalar_call twin = plain_twin(c.name);
    REQUIRE(twin.good.size() == c.inputs);
    sheet s{twin};
    const strides step(c.inputs, gap);
    tw_fault why = empty_fault();
    REQUIRE(c.call(s.in(), step, rows, s.whole.data(), s.a.data(), s.b.data(), gap, &why) == TW_OK);
    CHECK(why.code == TW_OK);
    for (std::int64_t r = 0; r < rows; ++r) {
      CAPTURE(r);
      std::vector<double> in;
      for (std::size_t k = 0; k < c.inputs; ++k) in.push_back(s.at(k, r));
      cells wanted;
      REQUIRE_FALSE(twin.ask(in, wanted));
      const auto at = static_cast<std::size_t>(r * gap);
      std::size_t next = 0;
      if (c.whole_first) CHECK(cell::of(s.whole[at]) == wanted.at(next++));
      if (c.numbers > 0) CHECK(cell::of(s.a[at]) == wanted.at(next++));
      if (c.numbers > 1) CHECK(cell::of(s.b[at]) == wanted.at(next++));
      CHECK(next == wanted.size());
      CHECK(s.whole[at + 1] == 9);
      CHECK(s.a[at + 1] == 9);
      CHECK(s.b[at + 1] == 9);
    }
  }
}

TEST_CASE("columns: a stride of 0 gives every row the same figure") {
  for (const column_call& c : column_calls()) {
    CAPTURE(c.name);
    const scalar_call twin = plain_twin(c.name);
    sheet s{twin};
    REQUIRE(c.call(s.in(), strides(c.inputs, 0), rows, s.whole.data(), s.a.data(), s.b.data(), 1, nullptr) ==
            TW_OK);
    cells wanted;
    REQUIRE_FALSE(twin.ask(twin.good, wanted));
    const cell& first = wanted[0];
    for (std::size_t r = 0; r < rows; ++r)
      CHECK((c.whole_first ? cell::of(s.whole[r]) : cell::of(s.a[r])) == first);
  }
}

TEST_CASE("columns: rows at fault are poisoned, the first is told, all others are computed") {
  for (const column_call& c : column_calls()) {
    CAPTURE(c.name);
    const scalar_call twin = plain_twin(c.name);
    const table_function listed = table_row(c.name);
    for (std::size_t k = 0; k < c.inputs; ++k) {
      CAPTURE(k);
      sheet s{twin};
      s.at(k, 7) = __builtin_nan("");
      s.at(k, 31) = -1e300;
      tw_fault why = empty_fault();
      CHECK(c.call(s.in(), strides(c.inputs, gap), rows, s.whole.data(), s.a.data(), s.b.data(), gap, &why) ==
            TW_OUT_OF_RANGE);
      CHECK(why.item == 7);
      CHECK(why.field == static_cast<std::int32_t>(listed.arguments[k].answers_to));
      CHECK(why.least == listed.arguments[k].least);
      CHECK(why.most == listed.arguments[k].most);
      for (std::int64_t r = 0; r < rows; ++r) {
        const auto at = static_cast<std::size_t>(r * gap);
        const bool poisoned = r == 7 || r == 31;
        if (c.whole_first && poisoned) CHECK(s.whole[at] == 0);
        if (c.numbers > 0) CHECK((s.a[at] != s.a[at]) == poisoned);
        if (c.numbers > 1) CHECK((s.b[at] != s.b[at]) == poisoned);
      }
    }
  }
}

/// Some blocks of rows and a rest, in columns of every spacing: each figure in its range, often at one of its ends.
struct long_sheet {
  static constexpr std::int64_t rows = 900;
  std::vector<std::vector<double>> columns;
  strides step;
  std::vector<double> a = std::vector<double>(rows), b = a;
  std::vector<std::int64_t> whole = std::vector<std::int64_t>(rows);

  long_sheet(const std::vector<capi::entry>& figures, std::size_t inputs, random_source& random) {
    for (std::size_t k = 0; k < inputs; ++k) {
      step.push_back(random.integer(0, 2));
      columns.emplace_back(static_cast<std::size_t>((rows - 1) * step.back() + 1), not_a_number);
      for (std::int64_t row = 0; row < rows; ++row) {
        const double anywhere = random.uniform(figures[k].least, figures[k].most);
        const double ends[] = {figures[k].least, figures[k].most};
        at(k, row) = random.one_in(5) ? random.pick(ends) : anywhere;
      }
    }
  }
  double& at(std::size_t column, std::int64_t row) {
    return columns[column][static_cast<std::size_t>(row * step[column])];
  }
  std::vector<double> row_at(std::int64_t row) {
    std::vector<double> figures;
    for (std::size_t k = 0; k < columns.size(); ++k) figures.push_back(at(k, row));
    return figures;
  }
  /// Figures in range may still make no sense together: such rows, but for a few, become good ones.
  void mend(const scalar_call& twin, random_source& random) {
    for (std::size_t k = 0; k < columns.size(); ++k)
      if (step[k] == 0) at(k, 0) = twin.good[k];
    for (std::int64_t row = 0; row < rows; ++row) {
      cells unread;
      if (!twin.ask(row_at(row), unread) || random.one_in(100)) continue;
      for (std::size_t k = 0; k < columns.size(); ++k) at(k, row) = twin.good[k];
    }
  }
};

TEST_CASE("columns: many rows, with and without some that are refused, give what the plain function gives") {
  random_source random{20261127};
  CAPTURE(random.seed());
  for (const column_call& c : column_calls()) {
    CAPTURE(c.name);
    const scalar_call twin = plain_twin(c.name);
    const std::vector<capi::entry> figures = table_row(c.name).arguments;
    int whole_sheets = 0;
    for (int sheet = 0; sheet < 40; ++sheet) {
      CAPTURE(sheet);
      long_sheet s{figures, c.inputs, random};
      if (sheet % 4 != 0) s.mend(twin, random);
      for (std::int64_t spoilt = random.integer(-3, 3); spoilt > 0; --spoilt) {
        const auto k = static_cast<std::size_t>(random.integer(0, static_cast<std::int64_t>(c.inputs) - 1));
        const double bad[] = {not_a_number, beyond(figures[k].least, -infinity),
                              beyond(figures[k].most, infinity), -infinity, infinity};
        const std::int64_t row = random.integer(0, long_sheet::rows - 1);
        s.at(k, row) = random.pick(bad);
      }
      rows_in in;
      for (const auto& column : s.columns) in.push_back(column.data());
      tw_fault why = empty_fault();
      std::feclearexcept(FE_ALL_EXCEPT);
      c.call(in, s.step, long_sheet::rows, s.whole.data(), s.a.data(), s.b.data(), 1, &why);
#ifndef __clang__  // which takes it that nobody looks at flags
      CHECK(std::fetestexcept(FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW) == 0);
#endif

      fault first;
      std::int64_t wrong_rows = 0;
      for (std::int64_t row = 0; row < long_sheet::rows; ++row) {
        cells wanted;
        const fault f = twin.ask(s.row_at(row), wanted);
        if (f && !first) first = at_item(f, static_cast<std::size_t>(row));
        const auto at = static_cast<std::size_t>(row);
        cells got;
        if (c.whole_first) got.push_back(cell::of(s.whole[at]));
        if (c.numbers > 0) got.push_back(cell::of(s.a[at]));
        if (c.numbers > 1) got.push_back(cell::of(s.b[at]));
        bool right = f || got == wanted;
        for (const cell& g : got) right = right && (!f || g.is_poison());
        wrong_rows += right ? 0 : 1;
      }
      CHECK(wrong_rows == 0);
      CHECK(same_fault(why, first ? first : fault{.item = -1}));
      whole_sheets += first ? 0 : 1;
    }
    CHECK(whole_sheets > 5);
  }
}

/// A column function over several blocks of `good` rows but for one: what became of that row, and of all others.
void check_one_row(const std::string& name, const std::vector<double>& good, const std::vector<double>& odd) {
  const scalar_call twin = plain_twin(name);
  column_call c;
  for (const column_call& each : column_calls())
    if (each.name == name) c = each;
  cells wanted, wanted_of_odd;
  REQUIRE_FALSE(twin.ask(good, wanted));
  const fault why_odd = twin.ask(odd, wanted_of_odd);
  constexpr std::int64_t all = 600;
  for (const std::int64_t place : {0, 1, 100, 254, 255, 256, 511, 512, 599}) {
    CAPTURE(place);
    std::vector<std::vector<double>> columns;
    rows_in in;
    for (std::size_t k = 0; k < c.inputs; ++k) {
      columns.emplace_back(all, good[k]);
      columns[k][static_cast<std::size_t>(place)] = odd[k];
    }
    for (const auto& column : columns) in.push_back(column.data());
    std::vector<std::int64_t> whole(all, 9);
    std::vector<double> a(all, 9), b(all, 9);
    tw_fault why = empty_fault();
    c.call(in, strides(c.inputs, 1), all, whole.data(), a.data(), b.data(), 1, &why);
    CHECK(same_fault(why, why_odd ? at_item(why_odd, static_cast<std::size_t>(place)) : fault{.item = -1}));
    std::int64_t wrong_rows = 0;
    for (std::int64_t row = 0; row < all; ++row) {
      const auto at = static_cast<std::size_t>(row);
      cells got;
      if (c.whole_first) got.push_back(cell::of(whole[at]));
      if (c.numbers > 0) got.push_back(cell::of(a[at]));
      if (c.numbers > 1) got.push_back(cell::of(b[at]));
      bool right = true;
      if (row == place && why_odd)
        for (const cell& g : got) right = right && g.is_poison();
      else right = got == (row == place ? wanted_of_odd : wanted);
      wrong_rows += right ? 0 : 1;
    }
    CHECK(wrong_rows == 0);
  }
}

TEST_CASE("columns: a row whose figures are in range and make no sense together, wherever it stands") {
  const double pitch = 0.05,
               edge = pitch - 1e-6;  // shorter by what is taken for rounding, and still a segment
  double below = edge;
  while (below + 1e-6 >= pitch) below = beyond(below, -infinity);
  for (const double measured : {pitch, beyond(below, infinity), below, beyond(below, -infinity), 0.04, 0.001})
    check_one_row("tw_cut_length", {4.63, pitch}, {measured, pitch});
  for (const double limit : {45.0, beyond(45, infinity), beyond(45, -infinity), 30.0})
    check_one_row("tw_contact_current", {10, 20, 105, 40, 0.8}, {10, 45, limit, 40, 0.8});
  for (const double ambient : {105.0, beyond(105, infinity), beyond(105, -infinity), 120.0, not_a_number})
    check_one_row("tw_contact_current", {10, 20, 105, 40, 0.8}, {10, 20, 105, ambient, 0.8});
}

TEST_CASE("columns: null columns, counts and faults that make no sense") {
  for (const column_call& c : column_calls()) {
    CAPTURE(c.name);
    const scalar_call twin = plain_twin(c.name);
    sheet s{twin};
    const strides step(c.inputs, gap);
    tw_fault why = empty_fault();
    for (std::size_t k = 0; k < c.inputs; ++k) {
      rows_in in = s.in();
      in[k] = nullptr;
      CHECK(c.call(in, step, rows, s.whole.data(), s.a.data(), s.b.data(), gap, &why) == TW_NULL_POINTER);
      CHECK(why.item == static_cast<std::int32_t>(k));
      if (c.numbers > 0) CHECK(s.a[0] != s.a[0]);
      else CHECK(s.whole[0] == 0);
    }
    if (c.whole_first)
      CHECK(c.call(s.in(), step, rows, nullptr, s.a.data(), s.b.data(), gap, &why) == TW_NULL_POINTER);
    if (c.numbers > 0)
      CHECK(c.call(s.in(), step, rows, s.whole.data(), nullptr, s.b.data(), gap, &why) == TW_NULL_POINTER);
    if (c.numbers > 1)
      CHECK(c.call(s.in(), step, rows, s.whole.data(), s.a.data(), nullptr, gap, &why) == TW_NULL_POINTER);
    s = sheet{twin};
    for (const std::int64_t bad : {std::int64_t{-1}, std::int64_t{1'000'000'001}}) {
      CHECK(c.call(s.in(), step, bad, s.whole.data(), s.a.data(), s.b.data(), gap, &why) == TW_OUT_OF_RANGE);
      CHECK(why.field == TW_FIELD_ROW_COUNT);
      CHECK(s.a[0] == 9);  // nothing is touched where the count is no count
    }
    CHECK(c.call(s.in(), step, 0, s.whole.data(), s.a.data(), s.b.data(), gap, &why) == TW_OK);
    CHECK(s.a[0] == 9);
    why.struct_size = 3;
    CHECK(c.call(s.in(), step, rows, s.whole.data(), s.a.data(), s.b.data(), gap, &why) ==
          TW_VERSION_MISMATCH);
    if (c.numbers > 0) CHECK(s.a[0] != s.a[0]);
    else CHECK(s.whole[0] == 0);
  }
}

}  // namespace
