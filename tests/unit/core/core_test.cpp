// SPDX-License-Identifier: BSL-1.0
// Quantities, fields, outcomes and bounded storage: what everything else takes for granted.
#include <array>
#include <string_view>

#include "doctest/doctest.h"
#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/scalar_math.hpp"

using namespace tapewright;
using namespace tapewright::literals;

TEST_CASE("quantities: products, quotients and their inverse") {
  volts u = 24_V;
  amps i = 2_A;
  CHECK((u * i) == 48_W);
  CHECK((i * u) == 48_W);
  CHECK((48_W / u) == i);
  CHECK((48_W / i) == u);
  CHECK((i * 3_ohm) == 6_V);
  CHECK((0.02_ohm_per_m * 50_m) == 1_ohm);
  CHECK((21_W_per_m * 2_m) == 42_W);
  CHECK((watts{1000} * 2_h) == kilowatt_hours{2});
  CHECK((2_h * watts{1000}) == kilowatt_hours{2});
  CHECK(u / 12_V == 2.0);
  u += 1_V;
  u -= 0.5_V;
  u *= 2;
  CHECK(u == 49_V);
  CHECK(-u == volts{-49});
  CHECK(3 * 2_m == 6_m);
  CHECK(6_m / 4 == 1.5_m);
  CHECK(1_m < 1.5_m);
}

TEST_CASE("temperatures: points differ by kelvins and do not add") {
  celsius t = 70_degC;
  CHECK(t - 20_degC == 50_K);
  CHECK(t + 5_K == 75_degC);
  CHECK(t - 5_K == 65_degC);
}

TEST_CASE("money is counted in whole units") {
  money m{150};
  m += money{5};
  CHECK(m * 3 == money{465});
  CHECK(m - money{55} == money{100});
  CHECK(money{1} + money{2} == money{3});
  CHECK(money{1} < money{2});
}

TEST_CASE("an unset quantity is not a number and passes no range") {
  const metres none = unset;
  const celsius nowhere = unset;
  CHECK(is_nan(none.v));
  CHECK(is_nan(nowhere.v));
  CHECK(refuse(field::length, none).code == fault_code::out_of_range);
  CHECK(refuse(field::ambient, nowhere).field == field::ambient);
}

TEST_CASE("fields: every one has a name with its unit, a range that is finite and not empty, a meaning") {
  for (const field_facts& f : field_table) {
    CAPTURE(f.name);
    CHECK(!f.name.empty());
    CHECK(!f.meaning.empty());
    CHECK(f.least <= f.most);
    CHECK(is_finite(f.least));
    CHECK(is_finite(f.most));
    CHECK(facts_of(f.id).name == f.name);
    CHECK(!refuse(f.id, f.least));
    CHECK(!refuse(f.id, f.most));
    CHECK(refuse(f.id, not_a_number).field == f.id);
    for (const field_facts& g : field_table)
      if (g.id != f.id) CHECK(g.name != f.name);
  }
  CHECK(facts_of(field::none).name.empty());
  CHECK(facts_of(static_cast<field>(100000)).name.empty());
  CHECK(facts_of(static_cast<field>(-5)).name.empty());
}

TEST_CASE("outcomes: a faulted one shows nothing that could pass for an answer") {
  const fault why{fault_code::out_of_range, field::area, 1, 2, 3, -1};
  const outcome<volts> refused = why;
  CHECK(!refused.ok());
  CHECK(!refused);
  CHECK(is_nan(refused->v));
  CHECK(refused.why() == why);
  const outcome<volts> given = 5_V;
  CHECK(given.ok());
  CHECK(*given == 5_V);
  CHECK(given.value() == 5_V);
  CHECK(given.why() == fault{});
  CHECK(is_nan(*outcome<double>{why}));
  CHECK(*outcome<int>{why} == 0);
}

TEST_CASE("the first fault of several is told; none when all is well") {
  const fault a = refuse(field::length, -1.0), b = refuse(field::area, 0.0);
  CHECK(first_fault(fault{}, a, b) == a);
  CHECK(first_fault(fault{}, fault{}) == fault{});
  CHECK(at_item(a, 7).item == 7);
}

TEST_CASE("every fault code has a text of its own") {
  for (std::int32_t c = 0; c <= static_cast<std::int32_t>(fault_code::unreachable); ++c) {
    CHECK(text_of(static_cast<fault_code>(c)) != "unknown fault");
    for (std::int32_t other = 0; other < c; ++other)
      CHECK(text_of(static_cast<fault_code>(c)) != text_of(static_cast<fault_code>(other)));
  }
  CHECK(text_of(static_cast<fault_code>(999)) == "unknown fault");
}

TEST_CASE("bounded: full is told") {
  bounded<int, 2> two;
  CHECK(two.empty());
  CHECK(two.push(1));
  CHECK(two.push(2));
  CHECK(!two.push(3));
  CHECK(two.size() == 2);
  CHECK(two.capacity() == 2);
  CHECK(two.all().size() == 2);
  int sum = 0;
  for (const int i : two) sum += i;
  CHECK(sum == 3);
}

TEST_CASE("span_list: counts past its end and writes nothing there") {
  std::array<int, 3> room{9, 9, 9};
  span_list<int> list{std::span{room}.first(2)};
  CHECK(list.push(1));
  CHECK(list.push(2));
  CHECK(!list.push(3));
  CHECK(list.overflowed());
  CHECK(list.wanted() == 3);
  CHECK(list.size() == 2);
  CHECK(room[2] == 9);
  CHECK(list.back() == 2);
  list.keep(1);
  CHECK(list.size() == 1);
  CHECK(!list.overflowed());
  list.keep(5);
  CHECK(list.size() == 1);
  list.clear();
  CHECK(list.empty());
}

TEST_CASE("text_sink: cut text is told, the rest is counted") {
  char room[4];
  text_sink out{room};
  out.add("abc").add('d');
  CHECK(!out.cut());
  CHECK(out.view() == "abcd");
  out.add("e");
  CHECK(out.cut());
  CHECK(out.wanted() == 5);
  CHECK(out.view() == "abcd");
}
