// SPDX-License-Identifier: BSL-1.0
// Whole-number arithmetic of the firmware part against 64-bit division, and both ways of the factor against each other.
#include "tapewright/firmware/whole_numbers.hpp"

#include <doctest/doctest.h>

#include <cstdint>

#include "tests/support/random.hpp"
#include "tests/support/refusals.hpp"

namespace whole = tapewright::whole;
using tapewright::test::random_source;

namespace {
constexpr std::uint32_t greatest_load = 32767u * 65535u;

/// Loads of every size: even in the number of their bits.
std::uint32_t any_load(random_source& random) noexcept {
  const auto zeros = static_cast<unsigned>(random.integer(1, 31));
  const auto load = static_cast<std::uint32_t>(random.bits() >> 32) >> zeros;
  return load < 1 ? 1 : load > greatest_load ? greatest_load : load;
}

bool factor_is_exact(std::uint32_t part, std::uint32_t all) noexcept {
  const auto wanted = static_cast<std::uint32_t>((std::uint64_t{part} << 16) / all);
  return whole::wide_factor(part, all) == wanted && whole::narrow_factor(part, all) == wanted;
}
}  // namespace

TEST_CASE("factor: both ways equal 64-bit division, ten million random pairs") {
  random_source random{20260101};
  MESSAGE("seed " << random.seed());
  std::uint64_t wrong = 0;
  for (int i = 0; i < 10'000'000; ++i) {
    const std::uint32_t all = any_load(random);
    const auto part = static_cast<std::uint32_t>(random.bits() % all);
    if (!factor_is_exact(part, all)) ++wrong;
  }
  CHECK(wrong == 0);
}

TEST_CASE("factor: quotients that are whole, and next to whole, over every leading digit of the load") {
  // where the reciprocal errs at all it shows at exact quotients: part * 2^16 = k * all, one less, one more
  std::uint64_t wrong = 0, cases = 0;
  for (std::uint32_t top = 1; top < 32768; ++top) {
    for (const std::uint32_t all : {top, top << 8, top << 16, (top << 16) + 65535}) {
      if (all == 0 || all > greatest_load) continue;
      for (const std::uint32_t k : {0u, 1u, 2u, 255u, 32768u, 65534u, 65535u}) {
        const auto exact = static_cast<std::uint32_t>(std::uint64_t{k} * all >> 16);
        for (const std::uint32_t part : {exact - 1, exact, exact + 1}) {
          if (part >= all) continue;
          ++cases;
          if (!factor_is_exact(part, all)) ++wrong;
        }
      }
    }
  }
  CHECK(wrong == 0);
  CHECK(cases > 1'000'000);
}

TEST_CASE("share_of: quotient and rest equal 64-bit division") {
  random_source random{20260102};
  MESSAGE("seed " << random.seed());
  for (int i = 0; i < 100'000; ++i) {
    const auto all = static_cast<std::uint32_t>(random.integer(1, std::int64_t{1} << 31));
    const auto part = static_cast<std::uint32_t>(random.bits() % all);
    const auto bits = static_cast<int>(random.integer(0, 32));
    const whole::binary_share s = whole::share_of(part, all, bits);
    const std::uint64_t shifted = std::uint64_t{part} << bits;
    REQUIRE(s.quotient == static_cast<std::uint32_t>(shifted / all));
    REQUIRE(s.rest == static_cast<std::uint32_t>(shifted % all));
  }
}

TEST_CASE("product: from four halves as from 64 bits") {
  random_source random{20260103};
  MESSAGE("seed " << random.seed());
  for (int i = 0; i < 1'000'000; ++i) {
    const auto a = static_cast<std::uint32_t>(random.bits());
    const auto b = static_cast<std::uint32_t>(random.bits());
    const std::uint64_t p = std::uint64_t{a} * b;
    const whole::wide halves = whole::narrow_product(a, b);
    REQUIRE((std::uint64_t{halves.high} << 32 | halves.low) == p);
    REQUIRE(whole::product(a, b) == halves);
  }
}

TEST_CASE("square_root: the largest whole number whose square is not above") {
  random_source random{20260104};
  const auto holds = [](std::uint32_t x) {
    const std::uint64_t r = whole::square_root(x);
    return r * r <= x && (r + 1) * (r + 1) > x;
  };
  for (std::uint32_t r = 0; r < 65536; ++r) {
    REQUIRE(holds(r * r));
    if (r != 0) REQUIRE(holds(r * r - 1));
  }
  for (int i = 0; i < 100'000; ++i) REQUIRE(holds(static_cast<std::uint32_t>(random.bits())));
}
