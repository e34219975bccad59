// SPDX-License-Identifier: BSL-1.0
// Contacts: the square law of IEC 60512-5-2 by hand, refusals, laws.
#include "tapewright/rules/contact_derating.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "tests/support/close.hpp"
#include "tests/support/refusals.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr double few_roundings = 8 * 0x1p-53;  // differences, quotient, root, two products

TEST_CASE("contact_current: rows by hand, I = k I0 sqrt((Tlimit - T)/(Tlimit - T0))") {
  struct row {
    const char* name;
    double rated_a, rating_c, limit_c, ambient_c, factor, want_a;
  };
  // IEC 60512-5-2 test 5b: temperature rise ~ I^2, 0.8 of the base curve (factor from memory)
  const row rows[] = {
      {"at its rating, derated already", 10, 20, 105, 20, 1, 10},
      {"at its rating, base curve", 10, 20, 105, 20, 0.8, 8},
      {"a quarter of the rise left", 10, 20, 100, 80, 1, 5},
      {"a quarter of the rise left, base curve", 10, 20, 100, 80, 0.8, 4},
      {"one part in a hundred left", 10, 0, 100, 99, 1, 1},
      {"at the limit", 10, 20, 105, 105, 1, 0},
      {"above the limit", 10, 20, 105, 120, 0.8, 0},
      {"colder than the rating: four times the rise, twice the current", 5, 70, 100, -20, 1, 10},
  };
  for (const row& t : rows) {
    CAPTURE(t.name);
    const auto got = contact_current(amps{t.rated_a}, celsius{t.rating_c}, celsius{t.limit_c},
                                     celsius{t.ambient_c}, t.factor);
    REQUIRE(got.ok());
    CHECK(close_rel(got->v, t.want_a, few_roundings));
  }
  CHECK(base_curve_factor == 0.8);
}

TEST_CASE("contact_current: what is refused") {
  const auto ask = [](double rated, double rating, double limit, double ambient, double factor) {
    return contact_current(amps{rated}, celsius{rating}, celsius{limit}, celsius{ambient}, factor).why();
  };
  check_field_range(field::rated_current, [&](double v) { return ask(v, 20, 105, 20, 1); });
  check_field_range(field::rating_ambient, [&](double v) { return ask(10, v, 250, 20, 1); });
  check_field_range(field::upper_limit, [&](double v) { return ask(10, -20, v, 20, 1); });
  check_field_range(field::ambient, [&](double v) { return ask(10, 20, 105, v, 1); });
  check_range(field::share, 0.1, 1, [&](double v) { return ask(10, 20, 105, 20, v); });
  CHECK(ask(10, 104.999, 105, 20, 1) == fault{});
  for (const double rating : {105.0, 110.0})
    CHECK(ask(10, rating, 105, 20, 1) ==
          fault{fault_code::contradiction, field::rating_ambient, rating, -20, 105, -1});
  CHECK(std::isnan(contact_current(amps{0}, celsius{20}, celsius{105}, celsius{20}, 1)->v));
}

TEST_CASE("law: a hotter place never lets a contact carry more; its heat is what is left of the rise") {
  auto random = law("contact_current never rises with heat", 20261003);
  for (int i = 0; i < law_cases; ++i) {
    const amps rated{random.log_uniform(0.01, 100)};
    const celsius limit{random.uniform(30, 250)};
    const celsius rating{random.uniform(-20, limit.v < 120 ? limit.v - 0.01 : 119.0)};
    const double factor = random.uniform(0.1, 1);
    const celsius cool{random.uniform(-40, 120)};
    const celsius hot{random.uniform(cool.v, 120)};
    const auto more = contact_current(rated, rating, limit, cool, factor);
    const auto less = contact_current(rated, rating, limit, hot, factor);
    CAPTURE(i);
    REQUIRE(more.ok());
    REQUIRE(less.ok());
    REQUIRE(less->v >= 0);
    REQUIRE(*less <= *more);
    if (hot >= limit) REQUIRE(less->v == 0);
    if (cool >= limit) continue;
    const double share = more->v / (factor * rated.v);
    REQUIRE(close_rel(share * share, (limit.v - cool.v) / (limit.v - rating.v), 4 * few_roundings));
  }
}

}  // namespace
