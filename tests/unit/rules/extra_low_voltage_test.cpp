// SPDX-License-Identifier: BSL-1.0
// Extra-low voltage against IEC 61140, 60364-4-41, -7-701, -7-715, -5-52 and NEC Class 2; refusals, laws.
#include "tapewright/rules/extra_low_voltage.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "tests/support/close.hpp"
#include "tests/support/reference_csv.hpp"
#include "tests/support/refusals.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

double printed(const std::string& id) {
  static const auto table = reference_table::load("elv_and_drop_limits.csv");
  for (std::size_t r = 0; r < table.rows(); ++r)
    if (table.cell(r, "id") == id) return table.number(r, "value");
  FAIL("no row " << id);
  return 0;
}

TEST_CASE("extra_low_voltage: ceilings, sections and drops as printed") {
  CHECK(elv_direct_voltage.v == printed("elv_dc"));
  CHECK(elv_direct_voltage.v == printed("elv_lighting_scope_dc"));
  CHECK(elv_alternating_voltage.v == printed("elv_ac"));
  CHECK(bare_dry_voltage.v == printed("no_basic_dry_dc"));
  CHECK(bare_wet_voltage.v == printed("no_basic_other_dc"));
  CHECK(bathroom_ceiling(0)->direct.v == printed("bath_zone0_dc"));
  CHECK(bathroom_ceiling(1)->direct.v == printed("bath_zone1_dc"));
  CHECK(bathroom_ceiling(2)->direct.v == printed("elv_dc"));
  CHECK(bathroom_ceiling(0)->from == source::iec_60364_7_701);
  CHECK(bathroom_ceiling(2)->from == source::iec_61140);
  CHECK(class2_direct_voltage.v == printed("ul1310_max_dc"));
  CHECK(class2_wet_direct_voltage.v == printed("wet_dc"));
  CHECK(close_rel(100 * elv_lighting_drop, printed("elv_lighting_drop"), 0x1p-52));  // per cent: one rounding
  CHECK(close_rel(100 * lighting_drop_public, printed("drop_lighting_public"), 0x1p-52));
  CHECK(close_rel(100 * other_drop_public, printed("drop_other_public"), 0x1p-52));
  CHECK(close_rel(100 * lighting_drop_own, printed("drop_lighting_private"), 0x1p-52));
  CHECK(close_rel(100 * other_drop_own, printed("drop_other_private"), 0x1p-52));
  CHECK(close_rel(100 * nec_branch_drop, printed("nec_branch"), 0x1p-52));
  CHECK(close_rel(100 * nec_total_drop, printed("nec_total"), 0x1p-52));
}

TEST_CASE("least_elv_section: IEC 60364-7-715 cl. 715.524 (from memory)") {
  for (const double length : {0.0, 3.0, 3.0000001, 50.0}) {
    CAPTURE(length);
    CHECK(least_elv_section(elv_wiring::fixed, metres{length})->v == printed("elv_lighting_min_csa"));
    CHECK(least_elv_section(elv_wiring::flexible, metres{length})->v ==
          printed(length <= 3 ? "elv_lighting_min_csa_flex" : "elv_lighting_min_csa"));
    CHECK(least_elv_section(elv_wiring::suspended, metres{length})->v ==
          printed("elv_lighting_min_csa_suspended"));
  }
}

// "8.0", "100", "5.0*Vmax", "100/Vmax", as the table prints them
double expression(const std::string& text, double v) {
  const std::size_t sign = text.find_first_of("*/");
  const double figure = std::stod(text.substr(0, sign));
  if (sign == std::string::npos) return figure;
  REQUIRE(text.substr(sign + 1) == "Vmax");
  return text[sign] == '*' ? figure * v : figure / v;
}

TEST_CASE("class2_limit: NEC Chapter 9 Table 11(B), each range at its edges and inside") {
  const auto table = reference_table::load("nec_class2_limits.csv");
  int rows = 0;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const double over = table.number(r, "Vmax_over_V"), up_to = table.number(r, "Vmax_up_to_V");
    if (up_to > 60) {  // no power source: milliamperes only
      CHECK_FALSE(class2_limit(volts{60.0001}).ok());
      continue;
    }
    ++rows;
    for (const double v : {over > 0 ? std::nextafter(over, 100) : 0.1, (over + up_to) / 2, up_to}) {
      CAPTURE(v);
      const auto limit = class2_limit(volts{v});
      REQUIRE(limit.ok());
      CHECK(limit->nameplate.v == expression(table.cell(r, "nameplate_A"), v));
      CHECK(limit->rated_power.v == expression(table.cell(r, "nameplate_VA"), v));
      CHECK(limit->most_current.v == expression(table.cell(r, "Imax_A"), v));
      CHECK(limit->from == source::nec_chapter_9_table_11);
    }
  }
  CHECK(rows == 3);
}

TEST_CASE("extra_low_voltage: what is refused") {
  check_range(field::voltage, 0.1, 60, [](double v) { return class2_limit(volts{v}).why(); });
  check_whole_range(field::bath_zone, 0, 2, [](std::int32_t v) { return bathroom_ceiling(v).why(); });
  check_whole_range(field::feeder_method, 0, 2, [](std::int32_t v) {
    return least_elv_section(static_cast<elv_wiring>(v), metres{1}).why();
  });
  check_field_range(field::one_way,
                    [](double v) { return least_elv_section(elv_wiring::fixed, metres{v}).why(); });
  CHECK(std::isnan(class2_limit(volts{0})->nameplate.v));
  CHECK(std::isnan(bathroom_ceiling(3)->direct.v));
  CHECK(std::isnan(least_elv_section(elv_wiring::fixed, metres{-1})->v));
}

TEST_CASE("law: Class 2: current never rises with voltage, power never falls and never exceeds 100 VA") {
  auto random = law("class2_limit over the voltage", 20261006);
  for (int i = 0; i < law_cases; ++i) {
    const volts low{random.uniform(0.1, 60)};
    const volts high{random.uniform(low.v, 60)};
    const auto a = class2_limit(low), b = class2_limit(high);
    CAPTURE(low.v);
    CAPTURE(high.v);
    REQUIRE(b->nameplate <= a->nameplate);
    REQUIRE(b->rated_power >= a->rated_power);
    REQUIRE(b->rated_power.v <= 100);
    REQUIRE(b->most_current <= a->most_current);
    REQUIRE(b->most_current > b->nameplate);
    REQUIRE(close_rel(a->nameplate.v * low.v, a->rated_power.v, 4 * 0x1p-53));  // product of a quotient
  }
}

}  // namespace
