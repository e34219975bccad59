// SPDX-License-Identifier: BSL-1.0
// The average against exact arithmetic, without drift over 2^32 frames; the budget that it leaves.
#include "tapewright/firmware/sustained_limit.hpp"

#include <doctest/doctest.h>

#include <cstdint>

#include "tests/support/random.hpp"
#include "tests/unit/firmware/guard_oracle.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {
constexpr std::uint32_t greatest_load = 32767u * 65535u;
}

TEST_CASE("load_average: with a time constant of two frames, equal to exact binary fractions") {
  // a' = a + (load - a) / 2 doubles the denominator each frame: 60 frames fit 128 bits beside 31 bits of load
  random_source random{20260131};
  for (int run = 0; run < 2'000; ++run) {
    load_average ours;
    u128 exact = 0;  // over 2^frame
    for (int frame = 1; frame <= 60; ++frame) {
      const auto load = static_cast<std::uint32_t>(random.integer(0, greatest_load));
      ours.take(load, 1);
      exact += u128{load} << (frame - 1);
      const u128 whole = exact >> frame;
      REQUIRE(ours.average >= whole);      // the exact average rounded down,
      REQUIRE(ours.average <= whole + 1);  // or one more
      REQUIRE(ours.rest < 2);
    }
  }
}

TEST_CASE("load_average: every time constant, against long double") {
  random_source random{20260132};
  MESSAGE("seed " << random.seed());
  for (unsigned shift = 1; shift <= 16; ++shift) {
    load_average ours;
    long double exact = 0;  // 64 bits of mantissa over 2^31: errors stay far below one unit
    std::uint32_t level = 0;
    for (int frame = 0; frame < 400'000; ++frame) {
      if (random.one_in(1000)) level = static_cast<std::uint32_t>(random.integer(0, greatest_load));
      const std::uint32_t load = random.one_in(8) ? level / 2 : level;
      ours.take(load, shift);
      exact += (static_cast<long double>(load) - exact) / static_cast<long double>(1u << shift);
      const long double behind = exact - static_cast<long double>(ours.average);
      // 1e-6: 2^16 frames of memory times the rounding of long double, 2^-64 * 2^31
      if (behind < -1 - 1e-6L || behind > 1 + 1e-6L) FAIL("shift " << shift << " frame " << frame);
    }
    CHECK(ours.rest < 1u << shift);
  }
}

TEST_CASE("load_average: a constant load is met exactly and held for 2^32 frames") {
  // Once average and rest stand still they stand still for ever: the step is a function of them and the load.
  // From above and from below, at the ends and in between, the state must come to rest, and at the load itself.
  for (unsigned shift = 1; shift <= 16; ++shift)
    for (const std::uint32_t load : {0u, 1u, 65535u, 1u << 30, greatest_load - 1, greatest_load})
      for (const std::uint32_t start : {0u, greatest_load}) {
        load_average a{start, start == 0 ? 0 : (1u << shift) - 1};
        std::uint64_t frames = 0;
        for (;; ++frames) {
          const load_average before = a;
          a.take(load, shift);
          if (a.average == before.average && a.rest == before.rest) break;
          if (frames > 64ull << shift) FAIL("does not settle");
        }
        REQUIRE(a.average == load);  // at rest the step is the rest itself
      }
}

TEST_CASE("sustained_budget: the average never passes the limit, whatever is asked") {
  random_source random{20260133};
  MESSAGE("seed " << random.seed());
  for (int set = 0; set < 2'000; ++set) {
    const guard_settings s = random_settings(random);
    guard_limits l;
    REQUIRE_FALSE(configure(s, l));
    load_average a;
    std::uint32_t last = sustained_budget(l, 0);
    // the budget moves by at most 2^softness units for each unit of the average, which moves by at most
    // peak / 2^shift + 1
    const std::uint64_t step = ((std::uint64_t{l.peak} >> l.average_shift) + 1) << l.softness;
    for (int frame = 0; frame < 2'000; ++frame) {
      const std::uint32_t budget = sustained_budget(l, a.average);
      REQUIRE(budget >= l.sustained);
      REQUIRE(budget <= l.peak);
      const std::uint64_t change = budget > last ? budget - last : last - budget;
      REQUIRE(change <= step + (1u << l.softness));  // the zone itself is cut to whole units
      last = budget;
      a.take(random.one_in(3) ? budget / 2 : budget, l.average_shift);
      REQUIRE(a.average <= l.sustained);
    }
  }
}

TEST_CASE("sustained_budget: all of the peak while the average is low, the sustained limit in the end") {
  guard_settings s;
  s.channels = 1;
  s.full_ua[0] = s.channel_limit_ua[0] = 3'000'000;
  s.total_limit_ua = 3'000'000;
  s.sustained_limit_ua = 2'000'000;
  s.average_shift = 10;
  s.softness = 2;
  guard_limits l;
  REQUIRE_FALSE(configure(s, l));
  load_average a;
  int at_peak = 0;
  while (sustained_budget(l, a.average) == l.peak) {
    a.take(l.peak, l.average_shift);
    ++at_peak;
  }
  // the average of 3 A reaches 2 A - (3 A - 2 A) / 4 = 1.75 A after ln(3 / 1.25) / -ln(1 - 1 / 1024) = 896.04 frames;
  // weights are rounded up by as much as 1 / 32752, a twentieth of a frame here
  CHECK(at_peak >= 896);
  CHECK(at_peak <= 897);
  for (int frame = 0; frame < 10 * 1024; ++frame) a.take(sustained_budget(l, a.average), l.average_shift);
  // within a thousandth of the limit; 10 time constants of 1024 / (1 + 4) frames leave e^-50
  CHECK(sustained_budget(l, a.average) - l.sustained <= l.sustained / 1000);
  CHECK(a.average <= l.sustained);
}
