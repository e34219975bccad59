// SPDX-License-Identifier: BSL-1.0
// Net, discount, tax, gross: rows worked by hand, laws, refusals.
#include "tapewright/plan/search/price_sum.hpp"

#include <doctest/doctest.h>

#include <cstdio>
#include <vector>

#include "tests/support/random.hpp"
#include "tests/support/refusals.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

struct price_row {
  const char* name;
  std::vector<money> lines;
  price_terms terms;
  price_sum want;
};

TEST_CASE("price: rows worked by hand") {
  constexpr auto line = price_rounding::each_line;
  const price_row rows[] = {
      {"no terms", {{1999}, {1}}, {}, {{2000}, {0}, {2000}, {0}, {2000}}},
      {"1234.50, 5 % = 61.725 up, 20 % of 1172.77 = 234.554 down",
       {{123450}},
       {per_cent(5), per_cent(20)},
       {{123450}, {6173}, {117277}, {23455}, {140732}}},
      {"half a cent goes up: 7.7 % of 50.00 is 3.85, of 5.00 is 0.385",
       {{500}},
       {{}, per_mille(77)},
       {{500}, {0}, {500}, {39}, {539}}},
      {"just below half goes down: 19 % of 0.07 is 0.0133",
       {{7}},
       {{}, per_cent(19)},
       {{7}, {0}, {7}, {1}, {8}}},
      {"three lines of 0.25 at 10 %: 0.025 up each, 0.09",
       {{25}, {25}, {25}},
       {{}, per_cent(10), line},
       {{75}, {0}, {75}, {9}, {84}}},
      {"the same in total: 0.075 up, 0.08",
       {{25}, {25}, {25}},
       {{}, per_cent(10)},
       {{75}, {0}, {75}, {8}, {83}}},
      {"lines of 0.33 less 10 %: 0.033 down each, 0.06; in total 0.066 up",
       {{33}, {33}},
       {per_cent(10), {}, line},
       {{66}, {6}, {60}, {0}, {60}}},
      {"the same in total", {{33}, {33}}, {per_cent(10), {}}, {{66}, {7}, {59}, {0}, {59}}},
      {"8.875 % of 100.00 is 8.875 up",
       {{10000}},
       {{}, per_hundred_thousand(8875)},
       {{10000}, {0}, {10000}, {888}, {10888}}},
      {"the whole off", {{10000}}, {per_cent(100), per_cent(20)}, {{10000}, {10000}, {0}, {0}, {0}}},
      {"no lines", {}, {per_cent(5), per_cent(20)}, {}},
      {"the greatest sum, a third off, tenfold tax",
       {{greatest_price_sum}},
       {{1, 3}, {10, 1}},
       {{4'000'000'000'000'000},
        {1'333'333'333'333'333},
        {2'666'666'666'666'667},
        {26'666'666'666'666'670},
        {29'333'333'333'333'337}}},
      {"the finest share of the greatest sum",
       {{greatest_price_sum}},
       {{}, {9'999'999, 1'000'000}},
       {{4'000'000'000'000'000},
        {0},
        {4'000'000'000'000'000},
        {39'999'996'000'000'000},
        {43'999'996'000'000'000}}},
  };
  for (const price_row& row : rows) {
    CAPTURE(row.name);
    const auto got = price_of(row.lines, row.terms);
    REQUIRE(got.ok());
    CHECK(got->net.minor == row.want.net.minor);
    CHECK(got->discount.minor == row.want.discount.minor);
    CHECK(got->taxable.minor == row.want.taxable.minor);
    CHECK(got->tax.minor == row.want.tax.minor);
    CHECK(got->gross.minor == row.want.gross.minor);
    if (row.lines.size() == 1) CHECK(*price_of(row.lines[0], row.terms) == row.want);
  }
}

TEST_CASE("price: what is shown adds up, is off by half a unit at most, and does not depend on the order") {
  random_source random{51};
  std::printf("laws of prices; seed 51, 5000 cases\n");
  for (int k = 0; k < 5000; ++k) {
    CAPTURE(k);
    price_terms terms{per_mille(static_cast<std::int32_t>(random.integer(0, 1000))),
                      per_mille(static_cast<std::int32_t>(random.integer(0, 300))), price_rounding::total};
    std::vector<money> lines;
    const std::int64_t count = random.integer(1, 12);
    for (std::int64_t i = 0; i < count; ++i) lines.push_back({random.integer(0, 99999)});
    const auto total = price_of(lines, terms);
    terms.rounding = price_rounding::each_line;
    const auto by_line = price_of(lines, terms);
    std::vector<money> turned(lines.rbegin(), lines.rend());
    REQUIRE(total.ok());
    REQUIRE(by_line.ok());
    CHECK(*by_line == *price_of(turned, terms));
    for (const price_sum& s : {*total, *by_line}) {
      CHECK(s.taxable == s.net - s.discount);
      CHECK(s.gross == s.taxable + s.tax);
    }
    CHECK(total->net == by_line->net);
    // 2000 x the exact discount is net x 2 x parts; half a unit is 1000 of these
    const long long off = total->discount.minor * 2000 - total->net.minor * 2 * terms.discount.parts;
    CHECK((off > -1000 && off <= 1000));
    const long long tax_off = total->tax.minor * 2000 - total->taxable.minor * 2 * terms.tax.parts;
    CHECK((tax_off > -1000 && tax_off <= 1000));
    // each line is off by half a unit in discount and tax, at most
    const long long apart = by_line->discount.minor - total->discount.minor;
    CHECK(2 * (apart < 0 ? -apart : apart) <= count + 1);
  }
}

TEST_CASE("price: refusals") {
  const money some{1000};
  const auto discount = [&](exact_share s) { return price_of(some, {s, {}}).why(); };
  const auto tax = [&](exact_share s) { return price_of(some, {{}, s}).why(); };
  check_whole_range(field::share, 1, 1'000'000, [&](std::int32_t of) { return discount({0, of}); });
  check_whole_range(field::share, 1, 1'000'000, [&](std::int32_t of) { return tax({0, of}); });
  check_whole_range(field::share, 0, 100, [&](std::int32_t parts) { return discount({parts, 100}); });
  check_whole_range(field::share, 0, 1000, [&](std::int32_t parts) { return tax({parts, 100}); });
  CHECK(price_of(some, {{}, {}, static_cast<price_rounding>(2)}).why().code == fault_code::out_of_range);
  CHECK(price_of(money{-1}, {}).why() == fault{fault_code::out_of_range, field::price, -1, 0, 4e15, -1});
  CHECK(price_of(money{greatest_price_sum + 1}, {}).why().field == field::price);
  const money lines[] = {{5}, {-5}, {7}};
  CHECK(price_of(lines, {}).why() == fault{fault_code::out_of_range, field::price, -5, 0, 4e15 - 5, 1});
  const money large[] = {{greatest_price_sum}, {0}, {1}};
  CHECK(price_of(large, {}).why() == fault{fault_code::out_of_range, field::price, 1, 0, 0, 2});
  price_document refused{{per_cent(101), {}}};
  refused.add(some);
  CHECK(refused.sum().why().field == field::share);
  CHECK(refused.sum().value() == price_sum{});
}

}  // namespace
