// SPDX-License-Identifier: BSL-1.0
// CIE 1976 lightness against its formula in 40 digits, a published value, refusals and laws.
#include "tapewright/rules/lightness.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "tests/support/close.hpp"
#include "tests/support/reference_csv.hpp"
#include "tests/support/refusals.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

// A cube root within one ulp near 1, times 116, less 16: three roundings of at most 1.5e-14 each.
constexpr double accuracy = 5e-14;

static_assert(*lightness(1) == 100 && *lightness(0) == 0);
static_assert(lightness(-1).why().field == field::luminance_ratio);

TEST_CASE("lightness: CIE 1976 rows") {
  const auto table = reference_table::load("cie1976_lightness.csv");
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const double y = table.number(r, "Y_over_Yn"), want = table.number(r, "L_star");
    CAPTURE(y);
    const auto got = lightness(y);
    REQUIRE(got.ok());
    // computed rows have 12 places; the published one 4, cut off and not rounded
    const bool published = table.cell(r, "verified") == "search";
    CHECK(close_abs(*got, want, published ? 1e-4 : 0.5e-12 + accuracy));
    const auto back = luminance_ratio_of(*got);
    REQUIRE(back.ok());
    CHECK(close_abs(*back, y, 4e-15));  // accuracy x 3/116, and four roundings below 1
  }
}

TEST_CASE("lightness: line and curve meet at 8, as 216/24389") {
  const double joint = detail::line_ends_at_ratio;
  CHECK(close_abs(*lightness(joint), 8, accuracy));
  CHECK(close_abs(*lightness(std::nextafter(joint, 1)), 8, accuracy));
  CHECK(close_rel(*luminance_ratio_of(8), joint, 4 * 0x1p-53));
  CHECK(close_rel(*luminance_ratio_of(std::nextafter(8, 9)), joint, 8 * 0x1p-53));
  // (6/29)^3 and 116 x 841/108 are the other spellings of the standard
  CHECK(close_rel(joint, std::pow(6.0 / 29, 3), 8 * 0x1p-53));
  CHECK(close_rel(detail::line_slope, 116.0 * 841 / 108, 4 * 0x1p-53));
}

TEST_CASE("lightness_step_of: what is missing to full light") {
  CHECK(*lightness_step_of(1) == 0);
  CHECK(*lightness_step_of(0) == 100);
  // 40 digits of 100 - (116 cbrt(0.9) - 16) and, on the line, of 100 - 24389 / 27 x 0.001
  CHECK(close_abs(*lightness_step_of(0.9), 4.0032313857469480, accuracy));
  CHECK(close_abs(*lightness_step_of(0.001), 99.096703703703703, accuracy));
  check_field_range(field::luminance_ratio, [](double v) { return lightness_step_of(v).why(); });
}

TEST_CASE("lightness: what is refused") {
  check_field_range(field::luminance_ratio, [](double v) { return lightness(v).why(); });
  check_field_range(field::lightness, [](double v) { return luminance_ratio_of(v).why(); });
  CHECK(std::isnan(*lightness(1.5)));
  CHECK(std::isnan(*luminance_ratio_of(-0.1)));
}

TEST_CASE("law: more light never looks darker, and the inverse returns") {
  auto random = law("lightness rises and turns back", 20261002);
  for (int i = 0; i < law_cases; ++i) {
    const double a = random.one_in(2) ? random.uniform(0, 1) : random.log_uniform(1e-9, 1);
    const double b = random.uniform(a, 1);
    const auto dim = lightness(a), bright = lightness(b);
    CAPTURE(a);
    CAPTURE(b);
    REQUIRE(*bright >= *dim - accuracy);  // two neighbours may differ by the roundings alone
    REQUIRE(close_abs(*luminance_ratio_of(*dim), a, 4e-15));
    const double l = random.uniform(0, 100);
    REQUIRE(close_abs(*lightness(*luminance_ratio_of(l)), l, 4 * accuracy));
  }
}

}  // namespace
