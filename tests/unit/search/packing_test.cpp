// SPDX-License-Identifier: BSL-1.0
// Packing: worked by hand, against every possible answer for tiny questions, and laws for larger ones.
#include "tapewright/plan/search/packing.hpp"

#include <doctest/doctest.h>

#include <cstdio>
#include <numeric>
#include <vector>

#include "tests/support/refusals.hpp"
#include "tests/unit/search/random_packing.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

/// Holds an answer against the question alone: every item in one bin, no bin over its capacity, parts and
/// outputs numbered without a gap, the leader first, the price that of the parts.
void check_packing(const packing_case& c, const packing_answer& a) {
  REQUIRE(a.bin_of.size() == c.items.size());
  std::vector<packing_bin_totals> bins(a.bins.size());
  for (std::size_t i = 0; i < c.items.size(); ++i) {
    REQUIRE(a.bin_of[i] >= 0);
    REQUIRE(static_cast<std::size_t>(a.bin_of[i]) < a.bins.size());
    packing_bin_totals& bin = bins[static_cast<std::size_t>(a.bin_of[i])];
    ++bin.items;
    for (int d = 0; d < c.loads; ++d) bin.load[d] += c.items[i].load[d];
  }
  std::map<std::int32_t, std::vector<const packed_bin*>> parts;
  for (std::size_t b = 0; b < bins.size(); ++b) {
    const packing_type& type = c.types.at(static_cast<std::size_t>(a.bins[b].type));
    CHECK(bins[b].items > 0);
    for (int d = 0; d < c.loads; ++d) CHECK(bins[b].load[d] <= type.capacity[d]);
    CHECK((type.most_items == 0 || bins[b].items <= type.most_items));
    CHECK(bins[b].load[c.oversize_in] >= type.least);
    if (c.one_leads) CHECK((b == 0 ? type.may_lead : type.may_follow));
    parts[a.bins[b].part].push_back(&a.bins[b]);
  }
  cost price;
  std::int64_t oversize = 0;
  std::int32_t number = 0;
  for (const auto& [part, used] : parts) {
    CHECK(part == number++);
    const packing_type& type = c.types[static_cast<std::size_t>(used[0]->type)];
    CHECK(used.size() <= static_cast<std::size_t>(type.outputs));
    std::int32_t output = 0;
    for (const packed_bin* bin : used) {
      CHECK(bin->type == used[0]->type);
      CHECK(bin->output == ++output);
    }
    price += cost_of(type.price, 1);
    oversize += type.outputs * type.capacity[c.oversize_in];
  }
  for (const packing_item& item : c.items) oversize -= item.load[c.oversize_in];
  CHECK(a.price == price);
  CHECK(a.oversize == oversize);
  CHECK(!(a.price < a.price_at_least));
  if (a.proven) CHECK(a.price.price == a.price_at_least.price);
  if (a.proven) CHECK(a.price.unpriced == a.price_at_least.unpriced);
}

packing_answer answer_of(const packing_case& c, packing_heap& heap) {
  const auto answer = cheapest_packing(c.question(), heap.space());
  REQUIRE(answer.ok());
  if (answer->fits) check_packing(c, *answer);
  return *answer;
}
packing_answer answer_of(const packing_case& c) {
  packing_heap heap{c.items.size(), c.types.size()};
  packing_answer a = answer_of(c, heap);
  a.bin_of = {};
  a.bins = {};
  return a;
}

// ---- worked by hand --------------------------------------------------------------------------------

struct worked_row {
  const char* name;
  std::vector<std::int64_t> loads;
  std::vector<packing_type> types;
  long long price;
  std::int64_t parts, oversize;
};

TEST_CASE("packing: worked by hand") {
  // Drivers in watts, prices in cents, invented. The reasoning stands beside each row.
  const worked_row rows[] = {
      {"one of 12 beats two of 6 (30.00 against 40.00)",
       {5, 4, 3},
       {{.capacity = {6}, .price = {2000}}, {.capacity = {12}, .price = {3000}}},
       3000,
       1,
       0},
      {"first fit decreasing would open three of 10: 6+4 | 5+5 needs two",
       {6, 5, 5, 4},
       {{.capacity = {10}, .price = {100}}},
       200,
       2,
       0},
      {"two small ones at 20.00 beat one large at 45.00",
       {5, 5},
       {{.capacity = {5}, .price = {2000}}, {.capacity = {10}, .price = {4500}}},
       4000,
       2,
       0},
      {"same price: fewer parts",
       {5, 5},
       {{.capacity = {5}, .price = {2000}}, {.capacity = {10}, .price = {4000}}},
       4000,
       1,
       0},
      {"same price and parts: less oversize",
       {5},
       {{.capacity = {9}, .price = {2000}}, {.capacity = {7}, .price = {2000}}},
       2000,
       1,
       2},
      {"a part of three outputs for one price",
       {5, 5, 5},
       {{.capacity = {5}, .price = {1500}, .outputs = 3}, {.capacity = {8}, .price = {900}}},
       1500,
       1,
       0},
      {"a fourth needs a second part, or the single one at 9.00",
       {5, 5, 5, 5},
       {{.capacity = {5}, .price = {1500}, .outputs = 3}, {.capacity = {8}, .price = {900}}},
       2400,
       2,
       3},
      {"a connector of its own takes one cable only",
       {2, 2},
       {{.capacity = {9}, .price = {700}, .most_items = 1}, {.capacity = {9}, .price = {1500}}},
       1400,
       2,
       14},
      {"a least load of 4 keeps 2 W off the cheap driver",
       {2},
       {{.capacity = {9}, .price = {700}, .least = 4}, {.capacity = {9}, .price = {1500}}},
       1500,
       1,
       7},
      {"but together they reach it",
       {2, 2},
       {{.capacity = {9}, .price = {700}, .least = 4}, {.capacity = {9}, .price = {1500}}},
       700,
       1,
       5},
      {"an unknown price never passes for a cheap one",
       {3},
       {{.capacity = {3}}, {.capacity = {3}, .price = {999999}}},
       999999,
       1,
       0},
      {"without any price: fewest parts", {3, 3}, {{.capacity = {3}}, {.capacity = {6}}}, 0, 1, 0},
  };
  for (const worked_row& row : rows) {
    CAPTURE(row.name);
    packing_case c;
    for (const std::int64_t load : row.loads)
      c.items.push_back({.load = {load}, .rank = static_cast<std::int64_t>(c.items.size())});
    c.types = row.types;
    const packing_answer a = answer_of(c);
    REQUIRE(a.fits);
    CHECK(a.price.price.minor == row.price);
    CHECK(a.price.parts == row.parts);
    CHECK(a.oversize == row.oversize);
    CHECK(a.proven);
    CHECK(a.ties_proven);
  }
}

TEST_CASE("packing: one leads and others follow") {
  // A controller of 10 A at 60.00 leads; repeaters of 10 A at 40.00 follow. 9 + 9 + 9 A: 60 + 40 + 40.
  packing_case c;
  c.one_leads = true;
  for (std::int64_t i = 0; i < 3; ++i) c.items.push_back({.load = {9}, .rank = i});
  c.types = {{.capacity = {10}, .price = {6000}, .may_lead = true, .may_follow = true},
             {.capacity = {10}, .price = {4000}, .may_lead = false, .may_follow = true}};
  packing_heap heap{3, 2};
  const packing_answer a = answer_of(c, heap);
  CHECK(a.price.price.minor == 14000);
  CHECK(a.bins[0].type == 0);
  // only a controller with a connector for nobody behind it: no answer, and that is proven
  c.types[1].may_follow = false;
  c.types[0].may_follow = false;
  const packing_answer none = answer_of(c, heap);
  CHECK_FALSE(none.fits);
  CHECK(none.stuck == -1);
  CHECK(none.proven);
}

TEST_CASE("packing: nothing to carry, and what nothing carries") {
  packing_case c;
  CHECK(answer_of(c).fits);
  CHECK(answer_of(c).price == cost{});
  c.items = {{.load = {7}, .rank = 5}, {.load = {8}, .rank = 2}, {.load = {1}, .rank = 1}};
  CHECK(answer_of(c).stuck == 2);  // no types at all: the item of least rank
  c.types = {{.capacity = {6}, .price = {100}}};
  CHECK(answer_of(c).stuck == 1);
  CHECK_FALSE(answer_of(c).fits);
  CHECK(answer_of(c).proven);
}

TEST_CASE("packing: figures at the ends of their ranges") {
  for (const std::int64_t load : {std::int64_t{0}, std::int64_t{100'000'000'000'000}})
    for (const long long price : {0LL, 1LL, 1'000'000'000'000LL})
      for (const std::int32_t outputs : {1, 16})
        for (const int items : {1, 5, 40}) {
          CAPTURE(load);
          CAPTURE(price);
          CAPTURE(outputs);
          CAPTURE(items);
          packing_case c;
          c.loads = 2;
          for (int i = 0; i < items; ++i) c.items.push_back({.load = {load, 0}, .rank = i});
          c.types = {
              {.capacity = {100'000'000'000'000, 0}, .price = {price}, .outputs = outputs, .most_items = 1}};
          const packing_answer a = answer_of(c);
          REQUIRE(a.fits);
          CHECK(a.proven);
          CHECK(a.price.parts == (items + outputs - 1) / outputs);
        }
}

// ---- against every answer --------------------------------------------------------------------------

TEST_CASE("packing: the best of all answers, ties included, in every combination of rules") {
  constexpr int cases_each = 150;
  int fitting = 0;
  std::int64_t most_steps = 0;
  for (std::uint64_t rules = 0; rules < 64; ++rules) {
    random_source random{1000 + rules};
    CAPTURE(random.seed());
    packing_family family;
    family.loads = (rules & 1) != 0 ? 3 : 1;
    family.shared_parts = (rules & 2) != 0;
    family.leaders = (rules & 4) != 0;
    family.lone_items = (rules & 8) != 0;
    family.least_loads = (rules & 16) != 0;
    family.unpriced = (rules & 32) != 0;
    family.most_items = family.shared_parts ? 5 : 6;
    for (int k = 0; k < cases_each; ++k) {
      CAPTURE(k);
      const packing_case c = random_packing(random, family);
      const packing_answer a = answer_of(c);
      const every_packing all{c};
      REQUIRE(a.fits == all.fits());
      REQUIRE(a.proven);
      most_steps = std::max(most_steps, a.steps);
      if (!a.fits) continue;
      ++fitting;
      std::int64_t carried = 0;
      for (const packing_item& item : c.items) carried += item.load[c.oversize_in];
      packing_case unsearched = c;  // what stands before any search: an answer, and a bound that holds
      unsearched.steps = 0;
      const packing_answer rough = answer_of(unsearched);
      const packing_price best = all.best();
      REQUIRE(std::pair{std::int64_t{rough.price_at_least.unpriced},
                        std::int64_t{rough.price_at_least.price.minor}} <=
              std::pair{best.unpriced, best.price});
      packing_heap rows{c.items.size(), c.types.size()};
      detail::arranged_packing rows_in_order = detail::arranged(unsearched.question(), rows.space());
      for (std::size_t m = 0; m < rows_in_order.table.measures; ++m)
        REQUIRE(detail::bound_of_parts(rows_in_order.table, m, c.one_leads) <=
                best.unpriced * rows_in_order.table.unknown_price + best.price);
      const packing_price got{a.price.unpriced, a.price.price.minor, a.price.parts, a.oversize + carried};
      REQUIRE(got == best);
    }
  }
  std::printf(
      "packing against every answer: seeds 1000..1063, %d cases, %d with an answer, at most %lld steps\n",
      64 * cases_each, fitting, static_cast<long long>(most_steps));
  CHECK(fitting > 64 * cases_each / 2);
}

// ---- laws ------------------------------------------------------------------------------------------

packing_family some_family(random_source& random, std::int64_t most_items) {
  packing_family family;
  family.most_items = most_items;
  family.most_types = 8;
  family.loads = static_cast<std::int32_t>(random.integer(1, 4));
  family.leaders = random.one_in(3);
  family.shared_parts = random.one_in(3);
  family.lone_items = random.one_in(4);
  family.least_loads = random.one_in(4);
  family.unpriced = random.one_in(5);
  return family;
}

TEST_CASE("packing: the order of the lists does not matter") {
  random_source random{31};
  std::printf("law: order of the lists; seed 31, 400 cases\n");
  for (int k = 0; k < 400; ++k) {
    CAPTURE(k);
    packing_family family = some_family(random, k % 10 == 0 ? 120 : 14);
    packing_case c = random_packing(random, family);
    c.steps = k % 2 == 0 ? default_search_steps / 10 : 300;  // with and without a proof
    packing_heap heap{c.items.size(), c.types.size()}, other{c.items.size(), c.types.size()};
    const packing_answer a = answer_of(c, heap);

    std::vector<std::size_t> items(c.items.size()), types(c.types.size());
    std::iota(items.begin(), items.end(), 0u);
    std::iota(types.begin(), types.end(), 0u);
    const auto mix = [&](std::vector<std::size_t>& list) {
      for (std::size_t i = list.size(); i > 1; --i)
        std::swap(list[i - 1],
                  list[static_cast<std::size_t>(random.integer(0, static_cast<std::int64_t>(i) - 1))]);
    };
    mix(items);
    mix(types);
    packing_case mixed = c;
    for (std::size_t i = 0; i < items.size(); ++i) mixed.items[i] = c.items[items[i]];
    for (std::size_t t = 0; t < types.size(); ++t) mixed.types[t] = c.types[types[t]];
    const packing_answer b = answer_of(mixed, other);

    REQUIRE(a.fits == b.fits);
    CHECK(a.price == b.price);
    CHECK(a.price_at_least == b.price_at_least);
    CHECK(a.proven == b.proven);
    CHECK(a.oversize == b.oversize);
    CHECK(a.steps == b.steps);
    REQUIRE(a.bins.size() == b.bins.size());
    if (!a.fits && a.stuck >= 0)
      CHECK(c.items[static_cast<std::size_t>(a.stuck)].rank ==
            mixed.items[static_cast<std::size_t>(b.stuck)].rank);
    if (!a.fits) continue;
    for (std::size_t i = 0; i < items.size(); ++i) CHECK(b.bin_of[i] == a.bin_of[items[i]]);
    for (std::size_t n = 0; n < a.bins.size(); ++n) {
      CHECK(types[static_cast<std::size_t>(b.bins[n].type)] == static_cast<std::size_t>(a.bins[n].type));
      CHECK(b.bins[n].part == a.bins[n].part);
      CHECK(b.bins[n].output == a.bins[n].output);
    }
  }
}

TEST_CASE("packing: a cheaper part, a larger part or a lighter item never makes it dearer while proven") {
  random_source random{32};
  std::printf("law: cheaper, larger, lighter; seed 32, 600 cases\n");
  int compared = 0;
  for (int k = 0; k < 600; ++k) {
    CAPTURE(k);
    packing_case c = random_packing(random, some_family(random, 10));
    const packing_answer before = answer_of(c);
    if (!before.fits || !before.proven) continue;
    packing_type& type =
        c.types[static_cast<std::size_t>(random.integer(0, static_cast<std::int64_t>(c.types.size()) - 1))];
    packing_item& item =
        c.items[static_cast<std::size_t>(random.integer(0, static_cast<std::int64_t>(c.items.size()) - 1))];
    const auto load = static_cast<std::size_t>(random.integer(0, c.loads - 1));
    switch (k % 3) {
      case 0:
        if (type.price.minor > 1) type.price.minor -= random.integer(1, type.price.minor - 1);
        break;
      case 1: type.capacity[load] += random.integer(1, 20); break;
      default:
        // lighter in what a least load counts may forbid a part
        if (load != static_cast<std::size_t>(c.oversize_in)) item.load[load] /= 2;
        break;
    }
    const packing_answer after = answer_of(c);
    REQUIRE(after.fits);
    if (!after.proven) continue;
    ++compared;
    CHECK(after.price.unpriced <= before.price.unpriced);
    if (after.price.unpriced == before.price.unpriced) CHECK(after.price.price <= before.price.price);
  }
  CHECK(compared > 300);
}

TEST_CASE("packing: more steps are never worse, and none at all is an answer too") {
  random_source random{33};
  std::printf("law: more steps; seed 33, 200 cases\n");
  for (int k = 0; k < 200; ++k) {
    CAPTURE(k);
    packing_family family = some_family(random, 16);
    family.least_loads = false;
    packing_case c = random_packing(random, family);
    cost last = no_choice, least{};
    for (const std::int64_t steps : {0, 10, 1000, 100'000}) {
      c.steps = steps;
      const packing_answer a = answer_of(c);
      CHECK(a.steps <= steps);
      if (!a.fits) continue;
      CHECK(a.price <= last);
      CHECK(!(a.price_at_least < least));
      last = a.price;
      least = {.unpriced = a.price_at_least.unpriced, .price = a.price_at_least.price};
    }
  }
}

TEST_CASE("packing: the sizes that are always proven") {
  // Bell numbers B(1)..B(9): https://oeis.org/A000110, from memory; the recurrence below makes them again.
  constexpr std::int64_t bell[] = {1, 2, 5, 15, 52, 203, 877, 4140, 21147};
  std::int64_t row[10] = {1}, most = 0;
  for (int n = 1; n <= 9; ++n) {
    std::int64_t next[10] = {row[n - 1]};
    for (int k = 1; k <= n; ++k) next[k] = next[k - 1] + row[k - 1];
    std::copy(next, next + 10, row);
    CHECK(row[0] == bell[n - 1]);
  }
  for (const std::int64_t b : {1, 2, 5, 15, 52, 203, 877, 4140}) most += b;
  CHECK(most == 5295);
  random_source random{34};
  std::int64_t seen = 0;
  for (int k = 0; k < 2000; ++k) {
    packing_family family;
    family.most_items = 8;
    family.most_types = 12;
    family.loads = static_cast<std::int32_t>(random.integer(1, 8));
    packing_case c = random_packing(random, family);
    c.steps = most;
    const packing_answer a = answer_of(c);
    CHECK(a.proven);
    CHECK(a.ties_proven);
    seen = std::max(seen, a.steps);
  }
  std::printf("packing of up to 8 items over up to 12 types: seed 34, at most %lld of 5295 steps\n",
              static_cast<long long>(seen));
}

TEST_CASE("packing: a whole shopping street stays within three per cent of its bound") {
  for (const std::size_t n : {65u, 200u, 700u, 2000u}) {
    random_source random{35};
    const packing_case c = street_of_shops(random, n);
    const packing_answer a = answer_of(c);
    REQUIRE(a.fits);
    const double gap =
        static_cast<double>(a.price.price.minor) / static_cast<double>(a.price_at_least.price.minor) - 1;
    std::printf("%4zu controllers over 8 drivers: seed 35, %.2f %% above the bound, %lld steps\n", n,
                100 * gap, static_cast<long long>(a.steps));
    CHECK(gap <= 0.03);  // the bound that the library promises for this family
  }
}

// ---- refusals --------------------------------------------------------------------------------------

fault fault_of(const packing_case& c) {
  packing_heap heap{c.items.size(), c.types.size()};
  return cheapest_packing(c.question(), heap.space()).why();
}

TEST_CASE("packing: refusals") {
  packing_case good;
  good.items = {{.load = {5}}, {.load = {6}}};
  good.types = {{.capacity = {9}, .price = {100}}, {.capacity = {12}, .price = {130}}};
  CHECK_FALSE(fault_of(good));
  const auto with = [&](auto change) {
    packing_case c = good;
    change(c);
    return fault_of(c);
  };
  CHECK(with([](packing_case& c) { c.items[1].load[0] = -1; }) ==
        fault{fault_code::out_of_range, field::load_units, -1, 0, 1e14, 1});
  CHECK(with([](packing_case& c) { c.items[0].load[0] = 100'000'000'000'001; }).field == field::load_units);
  CHECK(with([](packing_case& c) { c.types[1].capacity[0] = -3; }) ==
        fault{fault_code::out_of_range, field::load_units, -3, 0, 1e14, 1});
  CHECK(with([](packing_case& c) { c.types[1].least = -3; }).field == field::load_units);
  CHECK(with([](packing_case& c) { c.types[0].price.minor = -1; }).field == field::price);
  CHECK(with([](packing_case& c) { c.types[0].price.minor = 1'000'000'000'001; }).field == field::price);
  CHECK(with([](packing_case& c) { c.types[0].outputs = 0; }).field == field::output_count);
  CHECK(with([](packing_case& c) { c.types[0].outputs = 17; }).field == field::output_count);
  CHECK(with([](packing_case& c) { c.types[0].most_items = -1; }).field == field::row_count);
  CHECK(with([](packing_case& c) { c.loads = 0; }) ==
        fault{fault_code::out_of_range, field::load_count, 0, 1, 8, -1});
  CHECK(with([](packing_case& c) { c.loads = 9; }).field == field::load_count);
  CHECK(with([](packing_case& c) { c.oversize_in = 1; }).field == field::place);
  CHECK(with([](packing_case& c) {
          c.one_leads = true;
          c.types[1].outputs = 2;
        }) == fault{fault_code::contradiction, field::output_count, 2, 1, 1, 1});
  packing_heap heap{1, 2};
  const fault small = cheapest_packing(good.question(), heap.space()).why();
  CHECK(small.code == fault_code::no_room);
  CHECK(small.field == field::space);
  CHECK(small.least == static_cast<double>(packing_room(2, 2).items));
}

TEST_CASE("packing: loads in billionths add up as decimals do") {
  CHECK(load_units(96.6) == 96'600'000'000);
  CHECK(3 * load_units(5.0 / 3) <= capacity_units(5, 1e-9));
  CHECK(load_units(5.00001) > capacity_units(5, 1e-9));
}

// ---- while compiling -------------------------------------------------------------------------------

// Runs of 2.0, 1.5, 1.5 and 1.0 A on each of three channels: a controller of 5 A a channel and 12 A in all
// carries 4.0 A a channel, so one controller and one repeater are needed.
static_assert([] {
  const packing_item items[] = {{.load = {2000, 2000, 2000, 6000}, .rank = 0},
                                {.load = {1500, 1500, 1500, 4500}, .rank = 1},
                                {.load = {1500, 1500, 1500, 4500}, .rank = 2},
                                {.load = {1000, 1000, 1000, 3000}, .rank = 3}};
  const packing_type types[] = {
      {.capacity = {5000, 5000, 5000, 12000}, .price = {6500}, .may_follow = false},
      {.capacity = {5000, 5000, 5000, 12000}, .price = {3900}, .may_lead = false},
  };
  packing_storage<4, 2> storage;
  const auto a = cheapest_packing(
      {.items = items, .types = types, .loads = 4, .oversize_in = 3, .one_leads = true}, storage.space());
  return a.ok() && a->proven && a->price.price == money{10400} && a->bins.size() == 2 && a->bins[0].type == 0;
}());

}  // namespace
