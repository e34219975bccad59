// SPDX-License-Identifier: BSL-1.0
// Numbers as decimal text: correctly rounded, without locale, the same characters everywhere.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/quantity.hpp"

namespace tapewright {

namespace detail {

/// A finite double's magnitude written out in full. Every double m * 2^e is a finite decimal number;
/// its digits stand here nine to a limb, limb `units` ending at the decimal point. Nothing is rounded
/// until `round_at`, so what is printed is what the double is.
class exact_decimal {
 public:
  constexpr explicit exact_decimal(double magnitude) noexcept {
    const auto bits = std::bit_cast<std::uint64_t>(magnitude);
    const auto biased = static_cast<int>((bits >> 52) & 0x7ff);
    const std::uint64_t fraction = bits & 0x000f'ffff'ffff'ffffu;
    std::uint64_t whole = biased == 0 ? fraction : fraction | 0x0010'0000'0000'0000u;
    int exponent = (biased == 0 ? 1 : biased) - 1075;
    for (; whole != 0 && whole % 2 == 0 && exponent < 0; ++exponent) whole /= 2;
    limb_[units] = static_cast<std::uint32_t>(whole % base);
    limb_[units - 1] = static_cast<std::uint32_t>(whole / base);
    while (exponent > 0) {
      const int times = exponent < 29 ? exponent : 29;
      double_times(times);
      exponent -= times;
    }
    while (exponent < 0) {
      const int times = exponent > -9 ? -exponent : 9;
      halve_times(times);
      exponent += times;
    }
  }

  /// Power of ten of the leading digit; 0 for zero.
  constexpr int leading_power() const noexcept {
    for (int power = 9 * (units + 1) - 1; power > -9 * fraction_limbs; --power)
      if (digit(power) != 0) return power;
    return 0;
  }

  /// The digit that counts 10^power.
  constexpr int digit(int power) const noexcept {
    const int at = limb_of(power);
    if (at < 0 || at >= limbs) return 0;
    return static_cast<int>(limb_[at] / power_in_limb(power) % 10);
  }

  /// Rounds to a multiple of 10^power, to nearest, halves to the even digit.
  constexpr void round_at(int power) noexcept {
    if (power <= -9 * fraction_limbs) return;  // there are no digits there
    const int below = power - 1;               // the first digit to go
    const int at = limb_of(below);
    if (at < 0) return;  // far above every double; the caller never asks
    const std::uint32_t unit = power_in_limb(below) * 10;
    const std::uint32_t rest = limb_[at] % unit;
    bool more_below = false;
    for (int i = at + 1; i < end_; ++i) {
      more_below = more_below || limb_[i] != 0;
      limb_[i] = 0;
    }
    const bool odd = digit(power) % 2 != 0;
    const bool up = rest > unit / 2 || (rest == unit / 2 && (more_below || odd));
    limb_[at] -= rest;
    if (up) limb_[at] += unit;
    for (int i = at; i > 0 && limb_[i] >= base; --i) {
      limb_[i] -= base;
      ++limb_[i - 1];
    }
  }

 private:
  static constexpr std::uint32_t base = 1'000'000'000;
  static constexpr int units = 34;            // 2^1024 has 309 digits: 35 limbs
  static constexpr int fraction_limbs = 120;  // 2^-1074 has 1074 digits: 120 limbs
  static constexpr int limbs = units + 1 + fraction_limbs;

  static constexpr int limb_of(int power) noexcept {
    return power >= 0 ? units - power / 9 : units + (8 - power) / 9;
  }
  static constexpr std::uint32_t power_in_limb(int power) noexcept {
    std::uint32_t p = 1;
    for (int i = 0; i < ((power % 9) + 9) % 9; ++i) p *= 10;
    return p;
  }
  constexpr void double_times(int times) noexcept {  // times <= 29: a limb and its carry fit 64 bits
    std::uint64_t carry = 0;
    for (int i = units; i >= 0; --i) {
      const std::uint64_t wide = (std::uint64_t{limb_[i]} << times) + carry;
      limb_[i] = static_cast<std::uint32_t>(wide % base);
      carry = wide / base;
    }
  }
  constexpr void halve_times(int times) noexcept {  // times <= 9: 2^9 divides 10^9, one limb holds the rest
    std::uint64_t rest = 0;
    for (int i = units - 1; i <= end_ && i < limbs; ++i) {
      const std::uint64_t wide = rest * base + limb_[i];
      limb_[i] = static_cast<std::uint32_t>(wide >> times);
      rest = wide & ((std::uint64_t{1} << times) - 1);
    }
    if (end_ < limbs) ++end_;
  }

  std::uint32_t limb_[static_cast<std::size_t>(limbs)] = {};
  int end_ = units + 1;  // past the last limb in use
};

constexpr void add_digits(text_sink& out, const exact_decimal& digits, int decimals) noexcept {
  const int leading = digits.leading_power();
  for (int power = leading > 0 ? leading : 0; power >= -decimals; --power) {
    if (power == -1) out.add('.');
    out.add(static_cast<char>('0' + digits.digit(power)));
  }
}

constexpr bool add_if_not_finite(text_sink& out, double value) noexcept {
  if (value != value) out.add("nan");
  else if (value - value != 0) out.add(value < 0 ? std::string_view{"-inf"} : std::string_view{"inf"});
  else return false;
  return true;
}

constexpr bool is_all_zero(const exact_decimal& digits) noexcept {
  return digits.digit(digits.leading_power()) == 0;
}

}  // namespace detail

/// Writes a whole number.
constexpr text_sink& add_integer(text_sink& out, std::int64_t value) noexcept {
  char backwards[20] = {};
  int count = 0;
  auto rest = static_cast<std::uint64_t>(value);
  if (value < 0) {
    out.add('-');
    rest = 0 - rest;
  }
  do {
    backwards[count++] = static_cast<char>('0' + rest % 10);
    rest /= 10;
  } while (rest != 0);
  while (count > 0) out.add(backwards[--count]);
  return out;
}

/// Writes a number with a fixed count of decimals: add_fixed(out, 4.6, 2) writes 4.60.
///
/// @param value     any double; nan, inf and -inf are written as such words.
/// @param decimals  0..40 digits after the dot; less than 0 counts as 0, more than 40 as 40.
/// Rounding: of the exact value, to nearest, halves to even, as IEEE 754 asks of conversions. What
/// rounds to zero is written without a sign.
constexpr text_sink& add_fixed(text_sink& out, double value, int decimals) noexcept {
  if (detail::add_if_not_finite(out, value)) return out;
  decimals = decimals < 0 ? 0 : decimals > 40 ? 40 : decimals;
  detail::exact_decimal digits{value < 0 ? -value : value};
  digits.round_at(-decimals);
  if (value < 0 && !detail::is_all_zero(digits)) out.add('-');
  detail::add_digits(out, digits, decimals);
  return out;
}

/// Writes a number with a count of significant digits, never with an exponent:
/// add_significant(out, 0.0012345, 3) writes 0.00123, and of 45678 it writes 45700.
///
/// @param value   any double; nan, inf and -inf are written as such words; zero is written as 0.
/// @param digits  1..17; less counts as 1, more as 17.
/// Rounding as add_fixed. Trailing zeros are kept: they tell the accuracy.
constexpr text_sink& add_significant(text_sink& out, double value, int digits) noexcept {
  if (detail::add_if_not_finite(out, value)) return out;
  if (value == 0) return out.add('0');
  digits = digits < 1 ? 1 : digits > 17 ? 17 : digits;
  detail::exact_decimal exact{value < 0 ? -value : value};
  exact.round_at(exact.leading_power() - digits + 1);
  const int last = exact.leading_power() - digits + 1;  // asked anew: 9.99 may have become 10.0
  if (value < 0) out.add('-');
  detail::add_digits(out, exact, last < 0 ? -last : 0);
  return out;
}

/// Writes a number to so many significant digits and leaves out the zeros that say nothing:
/// 4.6 and not 4.60000; 0.05 and not 0.0500000. Arguments and rounding as add_significant.
constexpr text_sink& add_plain(text_sink& out, double value, int digits) noexcept {
  if (detail::add_if_not_finite(out, value)) return out;
  if (value == 0) return out.add('0');
  digits = digits < 1 ? 1 : digits > 17 ? 17 : digits;
  detail::exact_decimal exact{value < 0 ? -value : value};
  exact.round_at(exact.leading_power() - digits + 1);
  int decimals = digits - 1 - exact.leading_power();
  while (decimals > 0 && exact.digit(-decimals) == 0) --decimals;
  if (value < 0) out.add('-');
  detail::add_digits(out, exact, decimals < 0 ? 0 : decimals);
  return out;
}

/// Writes an amount of money, minor units as the two decimals: 123456 minor units are 1234.56.
constexpr text_sink& add_money(text_sink& out, money amount) noexcept {
  const auto minor = static_cast<std::int64_t>(amount.minor);
  const auto size = minor < 0 ? 0 - static_cast<std::uint64_t>(minor) : static_cast<std::uint64_t>(minor);
  if (minor < 0) out.add('-');
  add_integer(out, static_cast<std::int64_t>(size / 100));
  out.add('.').add(static_cast<char>('0' + size / 10 % 10)).add(static_cast<char>('0' + size % 10));
  return out;
}

namespace detail {
template <class Write>
constexpr bool writes(std::string_view wanted, Write write) noexcept {
  char room[64] = {};
  text_sink out{room};
  write(out);
  return out.view() == wanted;
}
static_assert(writes("4.60", [](text_sink& out) { add_fixed(out, 4.6, 2); }));
static_assert(writes("0.12", [](text_sink& out) { add_fixed(out, 0.125, 2); }));
static_assert(writes("0.00123", [](text_sink& out) { add_significant(out, 0.0012345, 3); }));
static_assert(writes("10.0", [](text_sink& out) { add_significant(out, 9.996, 3); }));
static_assert(writes("0.05", [](text_sink& out) { add_plain(out, 0.05, 6); }));
static_assert(writes("-12.05", [](text_sink& out) { add_money(out, money{-1205}); }));
}  // namespace detail

}  // namespace tapewright
