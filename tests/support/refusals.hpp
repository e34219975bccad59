// SPDX-License-Identifier: BSL-1.0
// Two habits that tests share: asking a function for every edge of a field's range, and naming the seed
// of every random law.
#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <limits>

#include "tapewright/core/field.hpp"
#include "tapewright/core/outcome.hpp"
#include "tests/support/random.hpp"

namespace tapewright::test {

// ---- refusals --------------------------------------------------------------------------------------

/// True for the fault that a figure outside [least, most] owes: code, field, what came in, the limits.
inline bool is_refusal(const fault& f, field which, double given, double least, double most) noexcept {
  const bool same_given = f.given == given || (std::isnan(f.given) && std::isnan(given));
  return f.code == fault_code::out_of_range && f.field == which && same_given && f.least == least &&
         f.most == most;
}

/// Asks a function for both edges of a range, the doubles next outside them, NaN and both infinities.
/// `ask(value)` returns the fault of the answer. At the edges themselves that field must not be
/// refused as out of range (another figure may then contradict it).
template <class Ask>
void check_range(field which, double least, double most, Ask ask) {
  constexpr double inf = std::numeric_limits<double>::infinity();
  CAPTURE(facts_of(which).name.data());
  CAPTURE(least);
  CAPTURE(most);
  for (const double bad : {std::nextafter(least, -inf), std::nextafter(most, inf), -inf, inf,
                           std::numeric_limits<double>::quiet_NaN()}) {
    CAPTURE(bad);
    const fault f = ask(bad);
    CHECK(is_refusal(f, which, bad, least, most));
  }
  for (const double good : {least, most}) {
    CAPTURE(good);
    const fault f = ask(good);
    CHECK_FALSE(is_refusal(f, which, good, least, most));
  }
}

/// The same with the limits of core/field.hpp.
template <class Ask>
void check_field_range(field which, Ask ask) {
  check_range(which, facts_of(which).least, facts_of(which).most, ask);
}

/// A whole number outside its range: the integers next outside it.
template <class Ask>
void check_whole_range(field which, std::int32_t least, std::int32_t most, Ask ask) {
  CAPTURE(facts_of(which).name.data());
  for (const std::int32_t bad : {least - 1, most + 1, -2147483647, 2147483647}) {
    CAPTURE(bad);
    CHECK(is_refusal(ask(bad), which, bad, least, most));
  }
  for (const std::int32_t good : {least, most}) {
    CAPTURE(good);
    CHECK_FALSE(is_refusal(ask(good), which, good, least, most));
  }
}

// ---- laws ------------------------------------------------------------------------------------------

inline constexpr int law_cases = 10'000;

/// A random stream for one law; prints the law's name and seed, so that any run can be repeated.
inline random_source law(const char* name, std::uint64_t seed) {
  std::printf("law: %s; seed %llu, %d cases\n", name, static_cast<unsigned long long>(seed), law_cases);
  return random_source{seed};
}

/// Shuffles a caller's array; the same order for the same stream (Fisher and Yates).
template <class T, std::size_t N>
void shuffle(T (&items)[N], random_source& random) noexcept {
  for (std::size_t i = N - 1; i > 0; --i) {
    const auto j = static_cast<std::size_t>(random.integer(0, static_cast<std::int64_t>(i)));
    const T kept = items[i];
    items[i] = items[j];
    items[j] = kept;
  }
}

}  // namespace tapewright::test
