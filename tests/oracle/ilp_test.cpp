// SPDX-License-Identifier: BSL-1.0
// Packing and cutting against an integer-programming solver: same optimum whenever proven, bound never above it.
#include <doctest/doctest.h>

#include <cstdio>
#include <vector>

#include "tests/support/glpk.hpp"
#include "tests/unit/search/random_cutting.hpp"
#include "tests/unit/search/random_packing.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr int cases = 600;

/// What a family of cases showed, printed at its end.
struct tally {
  int fitting = 0, proven = 0, proven_early = 0;
  std::int64_t most_steps = 0;

  void print(const char* what, std::uint64_t seed) const {
    std::printf(
        "%s against GLPK: seed %llu, %d cases, %d with an answer, %d proven, at most %lld steps; %d proven "
        "in 50 steps\n",
        what, static_cast<unsigned long long>(seed), cases, fitting, proven,
        static_cast<long long>(most_steps), proven_early);
  }
};

void compare(packing_case c, tally& t) {
  const glpk_packing best = glpk_model{c}.solve();
  packing_heap heap{c.items.size(), c.types.size()};
  for (const std::int64_t steps : {default_search_steps, std::int64_t{50}, std::int64_t{0}}) {
    CAPTURE(steps);
    c.steps = steps;
    const auto a = cheapest_packing(c.question(), heap.space());
    REQUIRE(a.ok());
    if (steps == default_search_steps) {
      REQUIRE(a->proven);  // up to 11 items always are
      t.proven += a->proven;
      t.most_steps = std::max(t.most_steps, a->steps);
    }
    if (steps == 50) t.proven_early += a->proven;
    if (a->proven) REQUIRE(a->fits == best.fits);
    if (!a->fits) continue;
    REQUIRE(best.fits);
    REQUIRE(a->price.price.minor >= best.price);
    REQUIRE(a->price_at_least.price.minor <= best.price);
    if (a->proven) REQUIRE(a->price.price.minor == best.price);
  }
  t.fitting += best.fits;
  if (!best.fits) return;
  // the bound that larger questions use, by itself
  detail::arranged_packing rows = detail::arranged(c.question(), heap.space());
  for (std::size_t m = 0; m < rows.table.measures; ++m)
    REQUIRE(detail::bound_of_parts(rows.table, m, c.one_leads) <= best.price);
}

TEST_CASE("controllers over drivers: the optimum of GLPK") {
  constexpr std::uint64_t seed = 61;
  random_source random{seed};
  tally t;
  for (int k = 0; k < cases; ++k) {
    CAPTURE(k);
    packing_family family;
    family.most_items = k % 10 == 0 ? 11 : 9;
    family.most_types = 7;
    family.loads = k % 2 == 0 ? 1 : 2;  // watts, or watts and amps
    family.shared_parts = random.one_in(3);
    family.lone_items = random.one_in(3);
    family.least_loads = random.one_in(4);
    compare(random_packing(random, family), t);
  }
  t.print("driver packing", seed);
  CHECK(t.fitting > cases / 2);
}

TEST_CASE("runs over a controller and its repeaters: the optimum of GLPK") {
  constexpr std::uint64_t seed = 62;
  random_source random{seed};
  tally t;
  for (int k = 0; k < cases; ++k) {
    CAPTURE(k);
    packing_family family;
    family.most_items = k % 10 == 0 ? 10 : 8;
    family.most_types = 6;
    family.loads = static_cast<std::int32_t>(random.integer(2, 6));
    family.leaders = true;
    compare(random_packing(random, family), t);
  }
  t.print("controller packing", seed);
  CHECK(t.fitting > cases / 2);
}

/// A cutting question as a packing, made from millimetres: every length that is sold is a type.
packing_case as_packing(const cutting_case& c) {
  packing_case p;
  for (const std::int64_t mm : c.pieces_mm) p.items.push_back({.load = {mm}});
  for (const cutting_case::offer_mm& o : c.offers_mm)
    for (std::int64_t k = 1; o.step > 0 ? k * o.step <= o.length : k == 1; ++k)
      p.types.push_back({.capacity = {o.step > 0 ? k * o.step : o.length}, .price = {o.price * k}});
  return p;
}

TEST_CASE("pieces from rolls, reels and stock lengths: the optimum of GLPK") {
  constexpr std::uint64_t seed = 63;
  random_source random{seed};
  tally t;
  for (int k = 0; k < cases; ++k) {
    CAPTURE(k);
    cutting_case c = random_cutting(random, k % 10 == 0 ? 10 : 8);
    const packing_case p = as_packing(c);
    const glpk_packing best = glpk_model{p}.solve();
    cutting_heap heap{c};
    for (const std::int64_t steps : {default_search_steps, std::int64_t{50}, std::int64_t{0}}) {
      CAPTURE(steps);
      c.steps = steps;
      const auto a = cheapest_cutting(c.question(), heap.space());
      REQUIRE(a.ok());
      REQUIRE(a->fits == best.fits);
      if (steps == default_search_steps) {
        REQUIRE(a->proven);
        t.proven += a->proven;
        t.most_steps = std::max(t.most_steps, a->steps);
      }
      if (steps == 50) t.proven_early += a->proven;
      if (!a->fits) continue;
      REQUIRE(a->price.price.minor >= best.price);
      REQUIRE(a->price_at_least.price.minor <= best.price);
      if (a->proven) REQUIRE(a->price.price.minor == best.price);
    }
    t.fitting += best.fits;
  }
  t.print("stock cutting", seed);
  CHECK(t.fitting > cases / 2);
}

}  // namespace
