// SPDX-License-Identifier: BSL-1.0
// Numbers as text, against the C library's printf and by hand.
#include "tapewright/core/number_text.hpp"

#include <doctest/doctest.h>

#include <bit>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <limits>
#include <string>
#include <string_view>

#include "tests/support/random.hpp"

using namespace tapewright;

namespace {

// Room for the longest double without exponent: 309 digits before the dot, 340 zeros and 17 digits after.
using room = char[400];

template <class Write>
std::string written(Write write) {
  room buffer = {};
  text_sink out{buffer};
  write(out);
  REQUIRE_FALSE(out.cut());
  return std::string{out.view()};
}
std::string fixed(double v, int decimals) {
  return written([&](text_sink& out) { add_fixed(out, v, decimals); });
}
std::string significant(double v, int digits) {
  return written([&](text_sink& out) { add_significant(out, v, digits); });
}
std::string plain(double v, int digits) {
  return written([&](text_sink& out) { add_plain(out, v, digits); });
}

// The oracle: glibc's printf rounds the exact value to nearest, halves to even (ISO C annex F.5 asks
// for correct rounding; glibc states it). Two differences are wanted and made here: no "-0.00", and no
// exponent.
std::string printf_fixed(double v, int decimals) {
  char text[800];
  std::snprintf(text, sizeof text, "%.*f", decimals, v);
  std::string s{text};
  if (s.find_first_not_of("-0.") == std::string::npos && s[0] == '-') s.erase(0, 1);
  return s;
}
std::string printf_significant(double v, int digits) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*e", digits - 1, v);
  const std::string_view s{text};
  const std::size_t e = s.find('e');
  const int power = std::stoi(std::string{s.substr(e + 1)});
  std::string figures;
  for (const char c : s.substr(0, e))
    if (c >= '0' && c <= '9') figures += c;
  std::string out = v < 0 ? "-" : "";
  if (power >= digits - 1)
    return out + figures + std::string(static_cast<std::size_t>(power - digits + 1), '0');
  if (power < 0) return out + "0." + std::string(static_cast<std::size_t>(-power - 1), '0') + figures;
  figures.insert(static_cast<std::size_t>(power + 1), ".");
  return out + figures;
}

}  // namespace

TEST_CASE("add_fixed and add_significant agree with printf on a million figures of the trade and more") {
  test::random_source random{20260101};
  CAPTURE(random.seed());
  int wrong = 0;
  for (int i = 0; i < test::cases(600'000); ++i) {
    const double sign = random.one_in(2) ? -1 : 1;
    const double v = sign * random.log_uniform(1e-9, 1e9);
    const int decimals = static_cast<int>(random.integer(0, 12));
    if (fixed(v, decimals) != printf_fixed(v, decimals) && ++wrong < 5) {
      CAPTURE(v);
      CHECK(fixed(v, decimals) == printf_fixed(v, decimals));
    }
    const int digits = static_cast<int>(random.integer(1, 17));
    if (significant(v, digits) != printf_significant(v, digits) && ++wrong < 5) {
      CAPTURE(v);
      CHECK(significant(v, digits) == printf_significant(v, digits));
    }
  }
  CHECK(wrong == 0);
}

TEST_CASE("every kind of double: random bits, subnormals and the ends of the range") {
  test::random_source random{20260102};
  CAPTURE(random.seed());
  const double extremes[] = {std::numeric_limits<double>::max(),
                             std::numeric_limits<double>::min(),
                             std::numeric_limits<double>::denorm_min(),
                             0x1p-1074 * 3,
                             0x1.fffffffffffffp-1023,
                             0x1p1023,
                             0x1p52,
                             0x1p53 + 2,
                             1e22,
                             1e23,
                             5e-324,
                             9.5,
                             99.5,
                             0.5,
                             1.5,
                             2.5};
  const auto check = [&](double v) {
    CAPTURE(v);
    const int decimals = static_cast<int>(random.integer(0, 40));
    const int digits = static_cast<int>(random.integer(1, 17));
    CHECK(fixed(v, decimals) == printf_fixed(v, decimals));
    CHECK(significant(v, digits) == printf_significant(v, digits));
  };
  for (const double v : extremes) {
    check(v);
    check(-v);
  }
  for (int i = 0; i < 20'000; ++i) {
    const double v = std::bit_cast<double>(random.bits());
    if (std::isfinite(v)) check(v);
  }
}

TEST_CASE("exact halves go to the even digit") {
  test::random_source random{20260103};
  CAPTURE(random.seed());
  int wrong = 0;
  // k / 8 and k / 1024 are exact, and often halves at 2 or 9 decimals
  for (int i = 0; i < test::cases(100'000); ++i) {
    const double v =
        static_cast<double>(random.integer(-100'000, 100'000)) / (random.one_in(2) ? 8.0 : 1024.0);
    const int decimals = static_cast<int>(random.integer(0, 9));
    wrong += fixed(v, decimals) != printf_fixed(v, decimals);
  }
  CHECK(wrong == 0);
  CHECK(fixed(0.125, 2) == "0.12");
  CHECK(fixed(0.375, 2) == "0.38");
  CHECK(fixed(2.5, 0) == "2");
  CHECK(fixed(3.5, 0) == "4");
}

TEST_CASE("what printf does otherwise") {
  CHECK(fixed(-0.001, 2) == "0.00");
  CHECK(fixed(-0.0, 1) == "0.0");
  CHECK(significant(0.0, 4) == "0");
  CHECK(significant(45678, 3) == "45700");
  CHECK(significant(9.996, 3) == "10.0");
  CHECK(significant(0.00099996, 4) == "0.001000");
  CHECK(plain(4.6, 6) == "4.6");
  CHECK(plain(0.05, 6) == "0.05");
  CHECK(plain(24, 6) == "24");
  CHECK(plain(1200, 2) == "1200");
  CHECK(plain(0.1 + 0.2, 17) == "0.30000000000000004");
  CHECK(plain(0.99999999, 4) == "1");
  CHECK(plain(-0.25, 4) == "-0.25");
  CHECK(plain(0, 4) == "0");
  const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
  for (const auto& f : {fixed, significant, plain}) {
    CHECK(f(nan, 2) == "nan");
    CHECK(f(inf, 2) == "inf");
    CHECK(f(-inf, 2) == "-inf");
  }
}

TEST_CASE("counts of digits outside their range are taken to its ends") {
  CHECK(fixed(1.25, -3) == "1");
  CHECK(fixed(0.1, 99) == printf_fixed(0.1, 40));
  CHECK(significant(123.456, 0) == "100");
  CHECK(significant(0.1, 99) == printf_significant(0.1, 17));
  CHECK(plain(123.456, 0) == "100");
  CHECK(plain(0.1, 99) == "0.10000000000000001");
}

TEST_CASE("whole numbers and money") {
  const auto integer = [](std::int64_t v) { return written([&](text_sink& out) { add_integer(out, v); }); };
  const auto amount = [](long long v) { return written([&](text_sink& out) { add_money(out, money{v}); }); };
  CHECK(integer(0) == "0");
  CHECK(integer(-7) == "-7");
  CHECK(integer(std::numeric_limits<std::int64_t>::max()) == "9223372036854775807");
  CHECK(integer(std::numeric_limits<std::int64_t>::min()) == "-9223372036854775808");
  CHECK(amount(0) == "0.00");
  CHECK(amount(5) == "0.05");
  CHECK(amount(123456) == "1234.56");
  CHECK(amount(-1205) == "-12.05");
  CHECK(amount(std::numeric_limits<long long>::min()) == "-92233720368547758.08");
}

TEST_CASE("a buffer too small is told and never overrun") {
  char small[4] = {'x', 'x', 'x', 'x'};
  text_sink out{std::span<char>{small, 3}};
  add_fixed(out, 123.456, 2);
  CHECK(out.cut());
  CHECK(out.wanted() == 6);
  CHECK(out.view() == "123");
  CHECK(small[3] == 'x');
}
