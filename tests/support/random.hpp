// SPDX-License-Identifier: BSL-1.0
// Random figures that are the same on every machine: splitmix64 from a seed that the test names.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/scalar_math.hpp"

namespace tapewright::test {

// Sanitizers look for undefined behaviour, which some of the cases show as well as all: their preset asks for one in ten.
#ifndef TAPEWRIGHT_ONE_CASE_IN
#define TAPEWRIGHT_ONE_CASE_IN 1
#endif

/// True where a test looks at all its random cases, as the suites of both compilers do.
inline constexpr bool every_case = TAPEWRIGHT_ONE_CASE_IN == 1;

/// How many of `all` random cases are looked at.
constexpr int cases(int all) noexcept { return all / TAPEWRIGHT_ONE_CASE_IN; }

/// A stream of random numbers. The standard library's distributions are not used because each
/// library makes other figures of the same engine; a failing case must come back everywhere.
/// Take one figure a statement: the order in which a call's arguments are made is the compiler's.
/// Tests say `CAPTURE(random.seed())`, or print the seed, so that a failure can be repeated.
class random_source {
 public:
  explicit constexpr random_source(std::uint64_t seed) noexcept : seed_{seed}, state_{seed} {}

  constexpr std::uint64_t seed() const noexcept { return seed_; }

  /// 64 random bits. Formula: splitmix64, G. Steele, D. Lea, C. Flood, "Fast splittable
  /// pseudorandom number generators", OOPSLA 2014.
  constexpr std::uint64_t bits() noexcept {
    std::uint64_t z = state_ += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
  }

  /// Even in [lo, hi), in steps of 2^-53 of the width.
  constexpr double uniform(double lo, double hi) noexcept {
    return lo + (hi - lo) * (static_cast<double>(bits() >> 11) * 0x1p-53);
  }

  /// Even in the logarithm, in [lo, hi): as many cases below 1 mm as above 1 km. 0 < lo < hi.
  constexpr double log_uniform(double lo, double hi) noexcept {
    const double x = exponential(uniform(natural_log(lo), natural_log(hi)));
    return x < lo ? lo : x > hi ? hi : x;
  }

  /// Whole numbers lo..hi, both included; lo <= hi. The bias of the remainder is below 2^-32 for
  /// any width under 2^32, which no test here can see.
  constexpr std::int64_t integer(std::int64_t lo, std::int64_t hi) noexcept {
    const auto width = static_cast<std::uint64_t>(hi) - static_cast<std::uint64_t>(lo) + 1;
    const std::uint64_t step = width == 0 ? bits() : bits() % width;
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(lo) + step);
  }

  /// True once in `n` on average; n >= 1.
  constexpr bool one_in(std::int64_t n) noexcept { return integer(1, n) == 1; }

  /// One of the items; the span is not empty.
  template <class T>
  constexpr const T& pick(std::span<const T> items) noexcept {
    return items[static_cast<std::size_t>(integer(0, static_cast<std::int64_t>(items.size()) - 1))];
  }
  template <class T, std::size_t N>
  constexpr const T& pick(const T (&items)[N]) noexcept {
    return pick(std::span<const T>{items});
  }

 private:
  std::uint64_t seed_, state_;
};

// First outputs for seed 1234567, as published with the reference code of splitmix64 (from memory).
static_assert([] {
  random_source r{1234567};
  return r.bits() == 6457827717110365317u && r.bits() == 3203168211198807973u;
}());

}  // namespace tapewright::test
