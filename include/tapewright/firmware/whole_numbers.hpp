// SPDX-License-Identifier: BSL-1.0
// Whole-number arithmetic for small processors: no division instruction, no library routine behind it.
#pragma once

#include <cstdint>

// Armv6-M and Armv8-M Baseline multiply 32 bits by 32 into 32: there, a 64-bit product is a call into the
// compiler's library. Set to 0 or 1 to choose by hand; both ways give the same figures.
#if !defined(TAPEWRIGHT_WIDE_PRODUCT)
#if defined(__ARM_ARCH_ISA_THUMB) && __ARM_ARCH_ISA_THUMB == 1
#define TAPEWRIGHT_WIDE_PRODUCT 0
#else
#define TAPEWRIGHT_WIDE_PRODUCT 1
#endif
#endif

namespace tapewright::whole {

/// A share in binary digits: part * 2^bits = quotient * all + rest, 0 <= rest < all.
struct binary_share {
  std::uint32_t quotient = 0, rest = 0;

  /// One more digit. all <= 2^31, so that twice the rest, below 2 * all, fits 32 bits.
  [[gnu::always_inline]] constexpr void next_digit(std::uint32_t all) noexcept {
    rest += rest;
    quotient += quotient;
    if (rest >= all) {
      rest -= all;
      ++quotient;
    }
  }
};

/// floor(part * 2^bits / all) and what it leaves, digit by digit: for configuration, not for every frame.
/// part < all <= 2^31 and bits <= 32.
constexpr binary_share share_of(std::uint32_t part, std::uint32_t all, int bits) noexcept {
  binary_share s{0, part};
  for (int i = 0; i < bits; ++i) s.next_digit(all);
  return s;
}

/// a * b exactly, in two halves; the high half alone is what most callers want.
struct wide {
  std::uint32_t high = 0, low = 0;
  friend constexpr bool operator==(wide, wide) noexcept = default;
};

/// From four 16-bit products: each at most (2^16-1)^2 = 2^32 - 2^17 + 1, and `middle` adds to one of them
/// two figures below 2^16, at most 2^32 - 1.
constexpr wide narrow_product(std::uint32_t a, std::uint32_t b) noexcept {
  const std::uint32_t a1 = a >> 16, a0 = a & 0xffff, b1 = b >> 16, b0 = b & 0xffff;
  const std::uint32_t lowest = a0 * b0, cross = a1 * b0;
  const std::uint32_t middle = a0 * b1 + (lowest >> 16) + (cross & 0xffff);
  return {a1 * b1 + (cross >> 16) + (middle >> 16), (middle & 0xffff) << 16 | (lowest & 0xffff)};
}

constexpr wide product(std::uint32_t a, std::uint32_t b) noexcept {
#if TAPEWRIGHT_WIDE_PRODUCT
  const std::uint64_t p = std::uint64_t{a} * b;
  return {static_cast<std::uint32_t>(p >> 32), static_cast<std::uint32_t>(p)};
#else
  return narrow_product(a, b);
#endif
}

constexpr std::uint64_t product64(std::uint32_t a, std::uint32_t b) noexcept {
  const wide p = product(a, b);
  return std::uint64_t{p.high} << 32 | p.low;
}

/// floor(part / all) for a quotient below 2^32; all != 0. Digit by digit: part = high * 2^32 + low with high < all.
constexpr std::uint32_t divided(std::uint64_t part, std::uint32_t all) noexcept {
  std::uint64_t rest = part >> 32;  // below 2^32; twice it and a digit below 2^33
  const auto low = static_cast<std::uint32_t>(part);
  std::uint32_t quotient = 0;
  for (std::uint32_t digit = 1u << 31; digit != 0; digit >>= 1) {
    rest += rest + ((low & digit) != 0 ? 1 : 0);
    if (rest >= all) {
      rest -= all;
      quotient |= digit;
    }
  }
  return quotient;
}

/// Square root, rounded down: the largest r with r * r <= x. Sixteen trial bits.
constexpr std::uint32_t square_root(std::uint32_t x) noexcept {
  std::uint32_t root = 0;
  for (std::uint32_t bit = 1u << 15; bit != 0; bit >>= 1) {
    const std::uint32_t trial = root | bit;  // below 2^16, its square below 2^32
    if (trial * trial <= x) root = trial;
  }
  return root;
}

// ---- the common factor of a frame -------------------------------------------------------------------------

/// floor(part * 2^16 / all) for part < all < 2^31, digit by digit: no product, four digits a round.
constexpr std::uint32_t narrow_factor(std::uint32_t part, std::uint32_t all) noexcept {
  binary_share s{0, part};
  for (int round = 0; round < 4; ++round) {
    s.next_digit(all);
    s.next_digit(all);
    s.next_digit(all);
    s.next_digit(all);
  }
  return s.quotient;
}

/// The same by Newton's reciprocal, for processors with a 64-bit product.
///
/// With n leading zeros of `all`, s = all * 2^n lies in [2^31, 2^32): x = s / 2^32 in [1/2, 1). The
/// reciprocal r stands for r / 2^30, in (1, 2].
///  seed    r = 48/17 - 32/17 x, relative error at most 1/17 (the best straight line on [1/2, 1])
///  step    r' = r (2 - x r): the error e becomes e^2, and r' is never above 1/x. After two steps
///          e <= 17^-4 = 1.2e-5, to which the cut-off bits of the products add less than 1e-8. The last
///          step takes one unit off the 2, as much as the cut-off bits of x r can hide, so that r stays
///          at or below 1/x after rounding too.
///  factor  part * 2^n / s lies below 1; times 2^16 and (1 - e) it is at most 65536 * 1.2e-5 = 0.79 below
///          the truth and never above: the whole number below it is the truth's own or one less.
///  repair  part * 2^16 - factor * all lies in [0, 2 all), below 2^32: its low word is all of it.
/// Bounds: every product is of two 32-bit figures and fits 64 bits; r <= 48/17 - 16/17 = 1.883 (2^30) at the
/// seed and <= 2 (2^30) after a step; the high half of s * r is x r 2^30 <= (1 + 1/17) 2^30 < 2^31, so that
/// neither difference goes below zero; the high half of r * (2 - x r) is below 2^30, so that << 2 fits.
constexpr std::uint32_t wide_factor(std::uint32_t part, std::uint32_t all) noexcept {
  const auto high = [](std::uint32_t a, std::uint32_t b) noexcept {
    return static_cast<std::uint32_t>(std::uint64_t{a} * b >> 32);
  };
  constexpr std::uint32_t two = 1u << 31;            // 2 in units of 2^-30
  constexpr std::uint32_t seed_at_0 = 3031741621u;   // 48/17 * 2^30, rounded up
  constexpr std::uint32_t seed_slope = 2021161080u;  // 32/17 * 2^30, rounded down
  const int zeros = __builtin_clz(all);
  const std::uint32_t s = all << zeros;
  std::uint32_t r = seed_at_0 - high(s, seed_slope);
  r = high(r, two - high(s, r)) << 2;
  r = high(r, two - 1 - high(s, r)) << 2;
  const std::uint32_t factor = high(part << zeros, r) >> 14;
  const auto rest = static_cast<std::uint32_t>((std::uint64_t{part} << 16) - std::uint64_t{factor} * all);
  return factor + (rest >= all ? 1 : 0);
}

constexpr std::uint32_t factor(std::uint32_t part, std::uint32_t all) noexcept {
#if TAPEWRIGHT_WIDE_PRODUCT
  return wide_factor(part, all);
#else
  return narrow_factor(part, all);
#endif
}

static_assert(share_of(1, 3, 16).quotient == 21845 && share_of(1, 3, 16).rest == 1);
static_assert(share_of(1, 4, 16).quotient == 16384 && share_of(1, 4, 16).rest == 0);
static_assert(narrow_product(0xffffffffu, 0xffffffffu) == wide{0xfffffffeu, 1});
static_assert(divided(0xfffffffe00000001u, 0xffffffffu) == 0xffffffffu && divided(7, 2) == 3);
static_assert(square_root(0xffffffffu) == 65535 && square_root(24) == 4 && square_root(25) == 5);
static_assert(wide_factor(1, 3) == 21845 && narrow_factor(1, 3) == 21845);
static_assert(wide_factor(2147385344, 2147385345) == 65535 && wide_factor(0, 1) == 0);

}  // namespace tapewright::whole
