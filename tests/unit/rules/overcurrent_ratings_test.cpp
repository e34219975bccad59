// SPDX-License-Identifier: BSL-1.0
// Fuses and breakers against their standards: ratings, operating factors, bands; refusals, laws.
#include "tapewright/rules/overcurrent_ratings.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <iterator>
#include <string>
#include <vector>

#include "tests/support/close.hpp"
#include "tests/support/reference_csv.hpp"
#include "tests/support/refusals.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr overcurrent_family families[] = {
    overcurrent_family::fuse_gg,   overcurrent_family::breaker_b,  overcurrent_family::breaker_c,
    overcurrent_family::breaker_d, overcurrent_family::blade_fuse, overcurrent_family::cartridge_fuse};

overcurrent_family family_of(const std::string& name) {
  constexpr const char* names[] = {"fuse_gg",   "breaker_b",  "breaker_c",
                                   "breaker_d", "blade_fuse", "cartridge_fuse"};
  for (std::size_t i = 0; i < std::size(names); ++i)
    if (name == names[i]) return families[i];
  FAIL("no family " << name);
  return {};
}

std::vector<double> listed_ratings(const std::string& family) {
  const auto table = reference_table::load("overcurrent_ratings.csv");
  std::vector<double> out;
  for (std::size_t r = 0; r < table.rows(); ++r)
    if (table.cell(r, "family") == family) out.push_back(table.number(r, "rated_A"));
  return out;
}

void same(std::span<const double> got, const std::vector<double>& want) {
  REQUIRE(got.size() == want.size());
  for (std::size_t i = 0; i < want.size(); ++i) CHECK(got[i] == want[i]);
}

TEST_CASE("preferred_ratings_a: every family's list") {
  same(preferred_ratings_a(overcurrent_family::fuse_gg), listed_ratings("fuse_gg"));
  for (const auto f :
       {overcurrent_family::breaker_b, overcurrent_family::breaker_c, overcurrent_family::breaker_d})
    same(preferred_ratings_a(f), listed_ratings("breaker"));
  same(preferred_ratings_a(overcurrent_family::blade_fuse), listed_ratings("blade_fuse"));
  same(preferred_ratings_a(overcurrent_family::cartridge_fuse), listed_ratings("cartridge_fuse"));
  same(plug_fuse_ratings_a, listed_ratings("plug_fuse"));
  const auto table = reference_table::load("overcurrent_ratings.csv");
  for (std::size_t r = 0; r < table.rows(); ++r)
    if (table.cell(r, "family") == "breaker")
      CHECK((table.number(r, "rated_A") >= least_preferred_breaker_a) ==
            (table.cell(r, "clause") == "preferred values"));
}

TEST_CASE(
    "preferred_ratings_a: fuses follow the preferred numbers of ISO 3, as far as the standards round them") {
  const auto iso = reference_table::load("iso3_preferred_numbers.csv");
  const auto step_of = [&](double a, const std::string& series) {
    const double mantissa = a / std::pow(10, std::floor(std::log10(a) + 1e-9));
    for (std::size_t r = 0; r < iso.rows(); ++r)
      // IEC rounds 1.25 to 1.2 (12 A), 3.15 to 3.2, 6.3 to 6 in part: 5 % at most, steps being 12 % or more
      if (iso.cell(r, "series") == series && close_rel(mantissa, iso.number(r, "value"), 0.05)) return true;
    return false;
  };
  for (const double a : fuse_gg_ratings_a) {
    CAPTURE(a);
    CHECK(step_of(a, "R10"));
  }
  for (const double a : cartridge_fuse_ratings_a) {
    CAPTURE(a);
    CHECK(step_of(a, "R20"));
  }
}

TEST_CASE("operating_factor: rows") {
  const auto table = reference_table::load("overcurrent_operating.csv");
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const auto family = family_of(table.cell(r, "family"));
    CAPTURE(table.cell(r, "family"));
    int seen = 0;
    for (const double a : preferred_ratings_a(family)) {
      if (!(a > table.number(r, "over_A") && a <= table.number(r, "up_to_A"))) continue;
      CAPTURE(a);
      ++seen;
      const auto factor = operating_factor(family, amps{a});
      REQUIRE(factor.ok());
      CHECK(*factor == table.number(r, "operating_factor"));
    }
    CHECK(seen > 0);
  }
  // IEC 60364-4-43 cl. 433.1 with I2 = 1.6 In asks for In <= Iz / 1.10 (looked up): 1.6 / 1.45
  CHECK(close_abs(*operating_factor(overcurrent_family::fuse_gg, amps{16}) / 1.45, 1.10, 0.005));
  CHECK(close_abs(*operating_factor(overcurrent_family::fuse_gg, amps{4}) / 1.45, 1.45, 0.005));
}

TEST_CASE("instantaneous_band: rows; a fuse has none") {
  const auto table = reference_table::load("breaker_bands.csv");
  CHECK(table.rows() == 3);
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const auto band = instantaneous_band(family_of(table.cell(r, "family")));
    REQUIRE(band.ok());
    CHECK(band->lower == table.number(r, "over_In"));
    CHECK(band->upper == table.number(r, "up_to_In"));
  }
  for (const auto f :
       {overcurrent_family::fuse_gg, overcurrent_family::blade_fuse, overcurrent_family::cartridge_fuse}) {
    CHECK(instantaneous_band(f).why() ==
          fault{fault_code::not_listed, field::overcurrent_family, static_cast<double>(f), 1, 3, -1});
    CHECK(std::isnan(instantaneous_band(f)->lower));
  }
}

TEST_CASE("nec_small_conductor_limit: 240.4(D)") {
  const auto table = reference_table::load("nec_small_conductor_ocpd_240_4D.csv");
  CHECK(table.rows() == 5);
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const auto limit = nec_small_conductor_limit(static_cast<int>(table.number(r, "awg")));
    REQUIRE(limit.ok());
    CHECK(limit->v == table.number(r, "max_ocpd_A"));
  }
  for (const int other : {8, 9, 11, 13, 15, 17, 19, 20, -3, 40})
    CHECK(nec_small_conductor_limit(other).why() ==
          fault{fault_code::not_listed, field::gauge, static_cast<double>(other), 10, 18, -1});
  check_whole_range(field::gauge, -3, 40, [](std::int32_t v) { return nec_small_conductor_limit(v).why(); });
  CHECK(nec_continuous_factor == 1.25);  // NEC 210.20(A)
}

TEST_CASE("overcurrent_ratings: what is refused") {
  constexpr auto blade = overcurrent_family::blade_fuse;
  check_field_range(field::fuse_rating, [&](double v) { return operating_factor(blade, amps{v}).why(); });
  check_field_range(field::current, [&](double v) { return preferred_rating(blade, amps{v}).why(); });
  const auto family = [](std::int32_t v) { return static_cast<overcurrent_family>(v); };
  check_whole_range(field::overcurrent_family, 0, 5,
                    [&](std::int32_t v) { return operating_factor(family(v), amps{1}).why(); });
  check_whole_range(field::overcurrent_family, 0, 5,
                    [&](std::int32_t v) { return preferred_rating(family(v), amps{1}).why(); });
  check_whole_range(field::overcurrent_family, 0, 5,
                    [&](std::int32_t v) { return instantaneous_band(family(v)).why(); });
  CHECK(preferred_ratings_a(family(6)).empty());
  CHECK(source_of(family(6)) == source::none);
  for (const auto f : families) CHECK(source_of(f) != source::none);
  CHECK(preferred_rating(blade, amps{40.01}).why() ==
        fault{fault_code::not_listed, field::fuse_rating, 40.01, 1, 40, -1});
}

TEST_CASE("law: the rating found is the least that is not below; a larger current never gets a smaller one") {
  auto random = law("preferred_rating is the least above", 20261005);
  for (int i = 0; i < law_cases; ++i) {
    const auto f = random.pick(families);
    const auto ratings = preferred_ratings_a(f);
    const amps wish{random.one_in(3) ? random.pick(ratings) : random.uniform(0, ratings.back())};
    const amps more{random.uniform(wish.v, ratings.back())};
    const auto got = preferred_rating(f, wish);
    CAPTURE(wish.v);
    REQUIRE(got.ok());
    REQUIRE(*got >= wish);
    for (const double a : ratings) REQUIRE((a < wish.v || a >= got->v));
    REQUIRE(*preferred_rating(f, more) >= *got);
    REQUIRE(*operating_factor(f, *got) >= 1.35);  // every device lets its rating pass
    // more rating, more operating current, though the factor of a gG fuse falls in steps
    REQUIRE(*operating_factor(f, *preferred_rating(f, more)) * preferred_rating(f, more)->v >=
            *operating_factor(f, *got) * got->v);
  }
}

}  // namespace
