// SPDX-License-Identifier: BSL-1.0
// The plain functions of the C interface: the bits of C++, the ranges of the table, poison on every refusal.
#include <doctest/doctest.h>

#include <cfenv>
#include <cmath>
#include <limits>
#include <set>
#include <string>

#include "tests/support/random.hpp"
#include "tests/support/reference_csv.hpp"
#include "tests/unit/capi/calls.hpp"
#include "tests/unit/capi/scalar_calls.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr double inf = std::numeric_limits<double>::infinity();
constexpr double nan = std::numeric_limits<double>::quiet_NaN();

frame frame_of(const scalar_call& c, const std::vector<double>& in) {
  frame f;
  f.in = in;
  for (const auto& array : c.arrays) f.arrays.push_back(array.data());
  return f;
}

bool all_poisoned(const frame& f) {
  for (std::size_t i = 0; i < f.out.size(); ++i)
    if (static_cast<int>(i) != f.null_output && !f.out[i].is_poison()) return false;
  return true;
}

/// Asks both languages the same; true when status, fault and every bit agree.
bool answers_agree(const scalar_call& c, const std::vector<double>& in) {
  frame f = frame_of(c, in);
  tw_fault told = empty_fault();
  f.why = &told;
  const tw_status status = c.call(f);
  cells wanted;
  const fault why = c.ask(in, wanted);
  CHECK(status == static_cast<tw_status>(why.code));
  CHECK(same_fault(told, why));
  if (why) return all_poisoned(f);
  CHECK(f.out.size() == wanted.size());
  return f.out == wanted;
}

std::vector<capi::entry> inputs_of(const char* name) {
  std::vector<capi::entry> inputs;
  for (const capi::entry& e : table_row(name).arguments)
    if (is_input(e)) inputs.push_back(e);
  return inputs;
}

void show(const std::vector<double>& in) {
  std::string text;
  for (const double v : in) text += std::to_string(v) + ' ';
  INFO("figures: " << text);
}

TEST_CASE("every plain function of the table is called here") {
  std::set<std::string> called;
  for (const scalar_call& c : scalar_calls()) called.insert(c.name);
  for (const table_function& f : functions_of_table()) {
    bool plain = f.returns == "tw_status" && !f.arguments.empty();
    for (const capi::entry& e : f.arguments) {
      const std::string type = e.type;
      plain =
          plain && (is_input(e) || is_figure_output(e) || type == "tw_fault *" || type == "const double *");
    }
    const bool column = f.name.size() > 2 && f.name.substr(f.name.size() - 2) == "_n";
    // these two ask the library about itself; tests/unit/capi/header_test.cpp and structures_test.cpp have them
    const bool about_itself = f.name == "tw_field_range" || f.name == "tw_choice_bytes";
    CAPTURE(f.name);
    if (plain && !column && !about_itself) CHECK(called.count(f.name) == 1);
  }
  CHECK(called.size() >= 25);
}

TEST_CASE("plain functions: the same bits as C++ on a row that a fitter could ask") {
  for (const scalar_call& c : scalar_calls()) {
    CAPTURE(std::string{c.name});
    cells wanted;
    REQUIRE_FALSE(c.ask(c.good, wanted));
    CHECK(answers_agree(c, c.good));
  }
}

TEST_CASE("plain functions: the same bits and the same faults as C++ on random figures") {
  constexpr std::uint64_t seed = 20261125;
  constexpr int cases = 600;
  std::printf("law: C and C++ agree; seed %llu, %d cases a function\n", static_cast<unsigned long long>(seed),
              cases);
  random_source random{seed};
  for (const scalar_call& c : scalar_calls()) {
    CAPTURE(std::string{c.name});
    const std::vector<capi::entry> inputs = inputs_of(c.name);
    REQUIRE(inputs.size() == c.good.size());
    int answered = 0;
    for (int n = 0; n < cases; ++n) {
      std::vector<double> in;
      for (std::size_t i = 0; i < inputs.size(); ++i) {
        double least = inputs[i].least, most = inputs[i].most;
        for (const scalar_call::range& r : c.narrow)
          if (r.argument == i) least = r.least, most = r.most;
        if (i == c.listed_at && !c.listed.empty()) {
          in.push_back(random.pick(std::span<const double>{c.listed}));
          continue;
        }
        const bool whole = std::string{inputs[i].type} != "double";
        const bool wide = least >= 0 && most > 100 * (least + 1);
        double v = wide ? random.log_uniform(least > 0 ? least : 1e-3, most) : random.uniform(least, most);
        if (whole) v = std::round(v);
        in.push_back(v < least ? least : v > most ? most : v);
      }
      show(in);
      const bool agree = answers_agree(c, in);
      CHECK(agree);
      cells wanted;
      if (!c.ask(in, wanted)) ++answered;
      if (!agree) break;
    }
    // a function that nearly always refuses has hardly been compared
    CAPTURE(answered);
    CHECK(answered >= cases / 20);
  }
}

TEST_CASE("plain functions: just outside each range, NaN and infinities are refused, told and poisoned") {
  for (const scalar_call& c : scalar_calls()) {
    CAPTURE(std::string{c.name});
    const std::vector<capi::entry> inputs = inputs_of(c.name);
    REQUIRE(inputs.size() == c.good.size());
    for (std::size_t i = 0; i < inputs.size(); ++i) {
      const capi::entry& e = inputs[i];
      CAPTURE(std::string{e.name});
      REQUIRE(e.answers_to != field::none);
      const bool whole = std::string{e.type} != "double";
      const std::vector<double> bad =
          whole ? std::vector<double>{e.least - 1, e.most + 1, -2147483647, 2147483647}
                : std::vector<double>{beyond(e.least, -inf), beyond(e.most, inf), -inf, inf, nan};
      for (const double value : bad) {
        CAPTURE(value);
        if (value >= e.least && value <= e.most) continue;  // as an amount of money may be
        std::vector<double> in = c.good;
        in[i] = value;
        frame f = frame_of(c, in);
        tw_fault told = empty_fault();
        f.why = &told;
        CHECK(c.call(f) == TW_OUT_OF_RANGE);
        CHECK(told.code == TW_OUT_OF_RANGE);
        CHECK(told.field == static_cast<std::int32_t>(e.answers_to));
        CHECK(((told.given == value) || (told.given != told.given && value != value)));
        CHECK(told.least == e.least);
        CHECK(told.most == e.most);
        CHECK(all_poisoned(f));
        f.why = nullptr;
        CHECK(c.call(f) == TW_OUT_OF_RANGE);
        CHECK(all_poisoned(f));
      }
      for (const double value : {e.least, e.most}) {
        CAPTURE(value);
        std::vector<double> in = c.good;
        in[i] = value;
        if (e.answers_to == field::segment_count || !c.arrays.empty())
          continue;  // the arrays have no more figures
        frame f = frame_of(c, in);
        tw_fault told = empty_fault();
        f.why = &told;
        const tw_status status = c.call(f);
        // at the edge itself another figure may contradict it, but the range does not
        const bool refused_by_range = status == TW_OUT_OF_RANGE &&
                                      told.field == static_cast<std::int32_t>(e.answers_to) &&
                                      told.least == e.least && told.most == e.most;
        CHECK_FALSE(refused_by_range);
      }
    }
  }
}

TEST_CASE("plain functions: null outputs, null arrays and faults of an unknown size") {
  for (const scalar_call& c : scalar_calls()) {
    CAPTURE(std::string{c.name});
    frame good = frame_of(c, c.good);
    REQUIRE(c.call(good) == TW_OK);
    for (std::size_t i = 0; i < good.out.size(); ++i) {
      CAPTURE(i);
      frame f = frame_of(c, c.good);
      f.null_output = static_cast<int>(i);
      tw_fault told = empty_fault();
      f.why = &told;
      CHECK(c.call(f) == TW_NULL_POINTER);
      CHECK(told.field == TW_FIELD_POINTER);
      CHECK(told.item == static_cast<std::int32_t>(i));
      CHECK(all_poisoned(f));
    }
    for (std::size_t i = 0; i < c.arrays.size(); ++i) {
      frame f = frame_of(c, c.good);
      f.null_array = static_cast<int>(i);
      tw_fault told = empty_fault();
      f.why = &told;
      CHECK(c.call(f) == TW_NULL_POINTER);
      CHECK(told.item == static_cast<std::int32_t>(i));
      CHECK(all_poisoned(f));
    }
    for (const std::uint32_t size :
         {0u, 4u, static_cast<std::uint32_t>(sizeof(tw_fault)) - 1u, 0xffffffffu}) {
      CAPTURE(size);
      frame f = frame_of(c, c.good);
      tw_fault told = empty_fault();
      told.struct_size = size;
      f.why = &told;
      CHECK(c.call(f) == TW_VERSION_MISMATCH);
      CHECK(all_poisoned(f));
      CHECK(told.code == -7);  // nothing was written into it
      CHECK(told.most == -7);
    }
    tw_fault cleared = empty_fault();
    frame f = frame_of(c, c.good);
    f.why = &cleared;
    CHECK(c.call(f) == TW_OK);
    CHECK(same_fault(cleared, fault{}));
    CHECK(cleared.struct_size == sizeof(tw_fault));
  }
}

// The same bits over what the standards list; the values themselves are held against the tables in
// tests/unit/rules, through C++.
TEST_CASE("conductors: C gives the bits of C++ for every listed size") {
  const reference_table gauges = reference_table::load("awg_solid_wire.csv");
  for (std::size_t r = 0; r < gauges.rows(); ++r) {
    const double n = gauges.number(r, "n");
    CAPTURE(n);
    double area = 0, resistance = 0;
    REQUIRE(tw_awg_area(static_cast<std::int32_t>(n), &area, nullptr) == TW_OK);
    CHECK(area == awg_conductor(static_cast<int>(n))->area.v);
    REQUIRE(tw_awg_resistance(static_cast<std::int32_t>(n), 20, &resistance, nullptr) == TW_OK);
    // printed to 9 digits
    CHECK(std::abs(resistance * 1000 / gauges.number(r, "R20_from_exact_area_ohm_per_km") - 1) < 1e-8);
  }
  const reference_table sizes = reference_table::load("iec60228_conductor_resistance_20C.csv");
  for (std::size_t r = 0; r < sizes.rows(); ++r) {
    const double area = sizes.number(r, "size_mm2");
    CAPTURE(area);
    for (const std::int32_t kind : {1, 2, 5}) {
      const char* column = kind == 5 ? "class5_plain_ohm_per_km" : "class1_2_plain_ohm_per_km";
      double resistance = 0;
      REQUIRE(tw_metric_resistance(kind, area, 20, &resistance, nullptr) == TW_OK);
      CHECK(resistance == sizes.number(r, column) / 1000);
    }
  }
}

TEST_CASE(
    "ampacity: C gives the figures of IEC 60364-5-52 and NEC 310.16 where the table's own conditions hold") {
  const reference_table table = reference_table::load("iec60364_5_52_ampacity_copper.csv");
  const std::vector<std::string> methods{"A1", "A2", "B1", "B2", "C", "D1", "E"};
  int seen = 0;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    std::int32_t method = -1;
    for (std::size_t m = 0; m < methods.size(); ++m)
      if (table.cell(r, "method") == methods[m]) method = static_cast<std::int32_t>(m);
    if (method < 0) continue;
    double allowed = 0;
    const auto loaded = static_cast<std::int32_t>(table.number(r, "loaded_conductors"));
    const double limit = table.number(r, "conductor_max_C"), base = table.number(r, "base_ambient_C");
    CAPTURE(r);
    const tw_status status = tw_metric_ampacity(TW_CODE_IEC, method, table.number(r, "size_mm2"), limit,
                                                loaded, base, 1, TW_GROUPING_BUNCHED, &allowed, nullptr);
    if (status != TW_OK) continue;
    ++seen;
    // the ambient factor sqrt((Tc - Ta) / (Tc - T0)) is exactly 1 at the table's own ambient
    CHECK(allowed == table.number(r, "ampacity_A"));
  }
  CHECK(seen >= 90);
  const reference_table nec = reference_table::load("nec_310_16_copper.csv");
  for (std::size_t r = 0; r < nec.rows(); ++r) {
    if (nec.blank(r, "ampacity_75C_A")) continue;
    double allowed = 0;
    REQUIRE(tw_awg_ampacity(TW_CODE_NEC, 0, static_cast<std::int32_t>(nec.number(r, "n")), 75, 3, 30, 1, 0,
                            &allowed, nullptr) == TW_OK);
    CHECK(allowed == nec.number(r, "ampacity_75C_A"));
  }
}

TEST_CASE("light: C gives CIE 1976 lightness") {
  const reference_table table = reference_table::load("cie1976_lightness.csv");
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const double ratio = table.number(r, "Y_over_Yn");
    if (table.cell(r, "verified") != "derived") continue;  // a printed row of few digits
    double out = 0;
    REQUIRE(tw_lightness(ratio, &out, nullptr) == TW_OK);
    CHECK(out == *lightness(ratio));
    CHECK(std::abs(out - table.number(r, "L_star")) < 5e-12);  // the table has twelve decimals
  }
}

// Found by tests/abuse: each of these raised a floating-point flag, which ends a host that traps them.
TEST_CASE("figures that once overflowed, or were compared as NaN, raise no flag") {
#if defined(__clang__)
  constexpr int flags = 0;  // it takes it that nobody looks at them
#else
  constexpr int flags = FE_INVALID | FE_DIVBYZERO | FE_OVERFLOW;
#endif
  std::feclearexcept(FE_ALL_EXCEPT);
  std::int32_t by_steady = 0, by_inrush = 0, count = 0;
  const tw_status many = tw_drivers_per_breaker(96, 0.92, 0.95, 230, 5e-324, 16, 2, 0.8, &by_steady,
                                                &by_inrush, &count, nullptr);
  const int after_breaker = std::fetestexcept(flags);
  CHECK(many == TW_OK);
  CHECK(by_inrush == 1'000'000);  // as many as are told at all
  CHECK(after_breaker == 0);

  std::feclearexcept(FE_ALL_EXCEPT);
  double drop = 0;
  const tw_status refused = tw_two_wire_drop(nan, 0.021, 4, &drop, nullptr);
  const int after_nan = std::fetestexcept(flags);
  CHECK(refused == TW_OUT_OF_RANGE);
  CHECK(after_nan == 0);
}

}  // namespace
