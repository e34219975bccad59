// SPDX-License-Identifier: BSL-1.0
// scalar_math.hpp against MPFR (GNU MPFR, correctly rounded arbitrary precision) and against exact truths.
#include "tapewright/core/scalar_math.hpp"

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

#include <doctest/doctest.h>
#include <mpfr.h>

#include "tests/support/random.hpp"

namespace {

using namespace tapewright;
using tapewright::test::random_source;

constexpr int oracle_bits = 160;  // three times a double's: its own error is far below any bound here
constexpr double greatest = 0x1.fffffffffffffp+1023, least_normal = 0x1p-1022, least = 0x1p-1074;

std::uint64_t bits(double x) { return std::bit_cast<std::uint64_t>(x); }

// A number of MPFR that frees itself.
struct big {
  mpfr_t v;
  big() { mpfr_init2(v, oracle_bits); }
  ~big() { mpfr_clear(v); }
  big(const big&) = delete;
  big& operator=(const big&) = delete;
};

// How far `got` is from the exact value, in steps between doubles at that place (2^-1074 when subnormal).
double ulps_off(double got, mpfr_srcptr exact) {
  if (mpfr_nan_p(exact) != 0) return is_nan(got) ? 0 : infinity;
  const double nearest = mpfr_get_d(exact, MPFR_RNDN);
  if (std::isinf(nearest) || std::isinf(got)) return nearest == got ? 0 : infinity;
  const double size = std::fabs(nearest);
  const double step = size < least_normal ? least : std::ldexp(1.0, std::ilogb(size) - 52);
  static thread_local big gap;
  mpfr_sub_d(gap.v, exact, got, MPFR_RNDN);
  mpfr_div_d(gap.v, gap.v, step, MPFR_RNDN);
  return std::fabs(mpfr_get_d(gap.v, MPFR_RNDA));
}

// Any positive finite double, every exponent equally often, subnormals among them.
double any_positive(random_source& random) {
  const double x = std::bit_cast<double>(random.bits() >> 1);
  return x > 0 && x <= greatest ? x : 1.0;
}

// 1 + d or 1 - d with 2^-52 <= d < greatest_distance, every size of d equally often.
double near_one(random_source& random, double greatest_distance) {
  const double distance = random.log_uniform(0x1p-52, greatest_distance);
  return random.one_in(2) ? 1 + distance : 1 - distance;
}

// The worst of many random arguments, and the argument itself for the report.
struct worst {
  double ulps = 0, x = 0, y = 0;
  void see(double got, mpfr_srcptr exact, double at_x, double at_y = 0) {
    const double off = ulps_off(got, exact);
    if (!(off <= ulps)) *this = {off, at_x, at_y};
  }
};

double nearest_root(double x) {
  static thread_local big r;
  mpfr_set_prec(r.v, 53);
  mpfr_set_d(r.v, x, MPFR_RNDN);
  mpfr_sqrt(r.v, r.v, MPFR_RNDN);
  return mpfr_get_d(r.v, MPFR_RNDN);
}

TEST_CASE("is_within: both ends are in, NaN is not") {
  const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
  const double beyond_one = std::nextafter(1.0, 2.0), below_zero = -std::numeric_limits<double>::denorm_min();
  for (const double inside : {0.0, -0.0, 0.5, 1.0}) CHECK(tapewright::is_within(inside, 0, 1));
  for (const double outside : {beyond_one, below_zero, inf, -inf, nan, -nan})
    CHECK_FALSE(tapewright::is_within(outside, 0, 1));
}
static_assert(tapewright::is_within(1, 0, 1) && !tapewright::is_within(__builtin_nan(""), 0, 1));

}  // namespace

TEST_CASE("square_root: the instruction and the digits give MPFR's rounding for a million values") {
  random_source random{0x5eed'0001};
  CAPTURE(random.seed());
  int instruction_differs = 0, digits_differ = 0;
  double at = 0;
  const auto look = [&](double x) {
    const double want = nearest_root(x);
    if (bits(square_root(x)) != bits(want)) ++instruction_differs, at = x;
    if (bits(detail::square_root_by_digits(x)) != bits(want)) ++digits_differ, at = x;
  };
  for (int i = 0; i < 700'000; ++i) look(any_positive(random));
  for (int i = 0; i < 100'000; ++i)
    look(std::bit_cast<double>(1 + random.bits() % (std::uint64_t{1} << 52)));  // subnormal
  // squares of doubles (exact roots) and their neighbours
  for (int i = 0; i < 50'000; ++i) {
    const auto whole = static_cast<double>(random.integer(1, (1 << 26) - 1));
    const double root = std::ldexp(whole, static_cast<int>(random.integer(-400, 400)));
    look(root * root);
    look(std::nextafter(root * root, 0.0));
    look(std::nextafter(root * root, infinity));
  }
  // as near as a root can come to halfway between two doubles: squares of 54-bit numbers, rounded both ways
  for (int i = 0; i < 50'000; ++i) {
    static thread_local big half;
    mpfr_set_prec(half.v, 120);
    mpfr_set_d(half.v, random.uniform(1, 2), MPFR_RNDN);
    mpfr_add_d(half.v, half.v, 0x1p-53, MPFR_RNDN);
    mpfr_sqr(half.v, half.v, MPFR_RNDN);
    look(mpfr_get_d(half.v, MPFR_RNDD));
    look(mpfr_get_d(half.v, MPFR_RNDU));
  }
  for (const double x : {least, 3 * least, least_normal, std::nextafter(least_normal, 0.0), 0.5, 1.0, 2.0,
                         4.0, std::nextafter(1.0, 0.0), std::nextafter(1.0, 2.0), greatest})
    look(x);
  CAPTURE(at);
  CHECK(instruction_differs == 0);
  CHECK(digits_differ == 0);
}

TEST_CASE("square_root: the ends of its domain") {
  CHECK(bits(square_root(0.0)) == bits(0.0));
  CHECK(bits(square_root(-0.0)) == bits(-0.0));
  CHECK(square_root(infinity) == infinity);
  CHECK(is_nan(square_root(-least)));
  CHECK(is_nan(square_root(-infinity)));
  CHECK(is_nan(square_root(not_a_number)));
}

TEST_CASE("cube_root: within 1 ulp of MPFR on every double") {
  random_source random{0x5eed'0002};
  CAPTURE(random.seed());
  worst w;
  big r;
  const auto look = [&](double x) {
    mpfr_set_d(r.v, x, MPFR_RNDN);
    mpfr_cbrt(r.v, r.v, MPFR_RNDN);
    w.see(cube_root(x), r.v, x);
    CHECK(bits(cube_root(-x)) == bits(-cube_root(x)));
  };
  for (int i = 0; i < 100'000; ++i) look(any_positive(random));
  for (int i = 0; i < 100'000; ++i) look(random.uniform(0.125, 8));
  for (const double x : {least, least_normal, greatest}) look(x);
  MESSAGE("cube_root: worst ", w.ulps, " ulp at ", w.x);
  CHECK(w.ulps <= 1.0);  // as the docstring says
  for (int n = 0; n <= 2000; ++n) CHECK(cube_root(1.0 * n * n * n) == n);
  CHECK(cube_root(infinity) == infinity);
  CHECK(cube_root(-infinity) == -infinity);
  CHECK(bits(cube_root(-0.0)) == bits(-0.0));
  CHECK(is_nan(cube_root(not_a_number)));
}

TEST_CASE("exponential: within 1 ulp of MPFR from the least to the greatest result") {
  random_source random{0x5eed'0003};
  CAPTURE(random.seed());
  worst w;
  big r;
  const auto look = [&](double x) {
    mpfr_set_d(r.v, x, MPFR_RNDN);
    mpfr_exp(r.v, r.v, MPFR_RNDN);
    w.see(exponential(x), r.v, x);
  };
  for (int i = 0; i < 150'000; ++i) look(random.uniform(-746, 710));
  for (int i = 0; i < 100'000; ++i) look(random.uniform(-3, 3));
  for (int i = 0; i < 50'000; ++i) {
    const double x = any_positive(random);
    look(random.one_in(2) ? x : -x);
  }
  for (int k = -1075; k <= 1024; ++k) look(k * 0.6931471805599453);  // where the reduction changes step
  for (const double edge :
       {0x1.62e42fefa39efp+9, -0x1.74910d52d3052p+9, -0x1.6232bdd7abcd2p+9}) {  // overflow, 0, subnormal
    look(edge);
    look(std::nextafter(edge, infinity));
    look(std::nextafter(edge, -infinity));
  }
  MESSAGE("exponential: worst ", w.ulps, " ulp at ", w.x);
  CHECK(w.ulps <= 1.0);  // as the docstring says
  CHECK(exponential(infinity) == infinity);
  CHECK(bits(exponential(-infinity)) == bits(0.0));
  CHECK(exponential(0.0) == 1);
  CHECK(exponential(-0.0) == 1);
  CHECK(is_nan(exponential(not_a_number)));
}

TEST_CASE("natural_log: within 1 ulp of MPFR on every positive double") {
  random_source random{0x5eed'0004};
  CAPTURE(random.seed());
  worst w;
  big r;
  const auto look = [&](double x) {
    mpfr_set_d(r.v, x, MPFR_RNDN);
    mpfr_log(r.v, r.v, MPFR_RNDN);
    w.see(natural_log(x), r.v, x);
  };
  for (int i = 0; i < 100'000; ++i) look(any_positive(random));
  for (int i = 0; i < 100'000; ++i) look(random.uniform(0.5, 2));
  for (int i = 0; i < 50'000; ++i) look(near_one(random, 0.1));
  for (const double x : {least, least_normal, greatest, 0x1.6a09e667f3bcdp+0, 0x1.6a09e667f3bcep+0,
                         std::nextafter(1.0, 0.0), std::nextafter(1.0, 2.0)})
    look(x);
  MESSAGE("natural_log: worst ", w.ulps, " ulp at ", w.x);
  CHECK(w.ulps <= 1.0);  // as the docstring says
  CHECK(bits(natural_log(1.0)) == bits(0.0));
  CHECK(natural_log(0.0) == -infinity);
  CHECK(natural_log(-0.0) == -infinity);
  CHECK(natural_log(infinity) == infinity);
  CHECK(is_nan(natural_log(-least)));
  CHECK(is_nan(natural_log(-infinity)));
  CHECK(is_nan(natural_log(not_a_number)));
}

TEST_CASE("power: within 1 ulp of MPFR, results from the least to the greatest double") {
  random_source random{0x5eed'0005};
  CAPTURE(random.seed());
  worst w;
  big r, e;
  const auto look = [&](double x, double y) {
    mpfr_set_d(r.v, x, MPFR_RNDN);
    mpfr_set_d(e.v, y, MPFR_RNDN);
    mpfr_pow(r.v, r.v, e.v, MPFR_RNDN);
    w.see(power(x, y), r.v, x, y);
  };
  for (int i = 0; i < 100'000; ++i) {
    const double x = any_positive(random);
    look(x, random.uniform(-3, 3));
  }
  for (int i = 0; i < 100'000; ++i) {  // sections, currents and their exponents
    const double x = random.log_uniform(1e-3, 1e4);
    look(x, random.uniform(-4, 4));
  }
  for (int i = 0; i < 100'000; ++i) {  // the exponent that brings any base to any result
    const double x = random.one_in(2) ? any_positive(random) : near_one(random, 0.5);
    if (x != 1) look(x, random.uniform(-746, 710) / std::log(x));
  }
  for (const double x :
       {least, least_normal, 0.5, std::nextafter(1.0, 0.0), 1.0, std::nextafter(1.0, 2.0), 2.0, greatest})
    for (const double y : {-greatest, -1e19, -1074.0, -1.0, -least, least, 0.5, 1.0, 1e19, greatest})
      look(x, y);
  MESSAGE("power: worst ", w.ulps, " ulp at ", w.x, " ^ ", w.y);
  CHECK(w.ulps <= 1.0);  // as the docstring says
}

TEST_CASE("power: the ends of its domain") {
  for (const double x : {0.0, -0.0, 0.5, 1.0, 7.0, infinity}) CHECK(power(x, 0.0) == 1);
  for (const double y : {-infinity, -2.0, 0.0, 2.0, infinity}) CHECK(power(1.0, y) == 1);
  CHECK(bits(power(0.0, 3.0)) == bits(0.0));
  CHECK(power(0.0, -3.0) == infinity);
  CHECK(power(infinity, 2.0) == infinity);
  CHECK(bits(power(infinity, -2.0)) == bits(0.0));
  CHECK(power(2.0, infinity) == infinity);
  CHECK(power(2.0, -infinity) == 0);
  CHECK(power(0.5, infinity) == 0);
  CHECK(power(0.5, -infinity) == infinity);
  CHECK(is_nan(power(-2.0, 2.0)));
  CHECK(is_nan(power(-infinity, 2.0)));
  CHECK(is_nan(power(not_a_number, 0.0)));
  CHECK(is_nan(power(1.0, not_a_number)));
}

TEST_CASE("floor_of, ceil_of, round_half_away: the C library's answers (C17 7.12.9), zeros positive") {
  random_source random{0x5eed'0006};
  CAPTURE(random.seed());
  const auto look = [](double x) {
    CAPTURE(x);
    CHECK(bits(floor_of(x)) == bits(std::floor(x) == 0 ? 0.0 : std::floor(x)));
    CHECK(bits(ceil_of(x)) == bits(std::ceil(x) == 0 ? 0.0 : std::ceil(x)));
    CHECK(bits(round_half_away(x)) == bits(std::round(x) == 0 ? 0.0 : std::round(x)));
  };
  for (int i = 0; i < 20'000; ++i) {
    const double x = random.one_in(3) ? any_positive(random) : random.log_uniform(1e-3, 1e17);
    look(x);
    look(-x);
  }
  for (int n = 0; n < 2000; ++n)  // halves and their neighbours
    for (const double half : {n + 0.5, -n - 0.5})
      for (const double x : {half, std::nextafter(half, infinity), std::nextafter(half, -infinity)}) look(x);
  for (const double x : {0.0, -0.0, least, -least, 0x1p52, -0x1p52, 0x1p52 - 0.5, 0x1p53 + 2, 0x1p63, -0x1p63,
                         greatest, -greatest, infinity, -infinity})
    look(x);
  CHECK(is_nan(floor_of(not_a_number)));
  CHECK(is_nan(ceil_of(not_a_number)));
  CHECK(is_nan(round_half_away(not_a_number)));
}

TEST_CASE("absolute, smaller, larger, is_finite, is_nan") {
  CHECK(bits(absolute(-0.0)) == bits(0.0));
  CHECK(absolute(-2.5) == 2.5);
  CHECK(absolute(-infinity) == infinity);
  CHECK(is_nan(absolute(not_a_number)));
  CHECK(smaller(1, 2) == 1);
  CHECK(smaller(2, 1) == 1);
  CHECK(larger(1, 2) == 2);
  CHECK(larger(2, 1) == 2);
  CHECK(smaller(-infinity, infinity) == -infinity);
  CHECK(larger(-infinity, infinity) == infinity);
  for (const double x : {-infinity, -1.0, 0.0, 1.0, infinity, not_a_number}) {
    CHECK(is_nan(smaller(x, not_a_number)));
    CHECK(is_nan(smaller(not_a_number, x)));
    CHECK(is_nan(larger(x, not_a_number)));
    CHECK(is_nan(larger(not_a_number, x)));
  }
  CHECK(is_finite(greatest));
  CHECK(is_finite(-greatest));
  CHECK(is_finite(least));
  CHECK_FALSE(is_finite(infinity));
  CHECK_FALSE(is_finite(-infinity));
  CHECK_FALSE(is_finite(not_a_number));
  CHECK(is_nan(not_a_number));
  CHECK_FALSE(is_nan(infinity));
  CHECK(epsilon == std::numeric_limits<double>::epsilon());
}

// Each constant is computed by the compiler; the same call with a value it cannot see has the same bits.
#define SAME_BITS(CALL, X)                                           \
  do {                                                               \
    constexpr double compiled = tapewright::CALL(X);                 \
    volatile double hidden = X;                                      \
    CHECK(bits(compiled) == bits(tapewright::CALL(double{hidden}))); \
  } while (false)
#define SAME_BITS_EVERYWHERE(CALL) \
  SAME_BITS(CALL, 0.3);            \
  SAME_BITS(CALL, 1.7e-5);         \
  SAME_BITS(CALL, 2.0);            \
  SAME_BITS(CALL, 23.999);         \
  SAME_BITS(CALL, 0x1.23456789abcdep-1030)

TEST_CASE("scalar_math: the same bits when compiling and when running") {
  SAME_BITS_EVERYWHERE(square_root);
  SAME_BITS_EVERYWHERE(cube_root);
  SAME_BITS_EVERYWHERE(exponential);
  SAME_BITS_EVERYWHERE(natural_log);
  SAME_BITS_EVERYWHERE(floor_of);
  SAME_BITS_EVERYWHERE(ceil_of);
  SAME_BITS_EVERYWHERE(round_half_away);
  constexpr double compiled = power(1.5, 0.625);
  volatile double base = 1.5, exponent = 0.625;
  CHECK(bits(compiled) == bits(power(base, exponent)));
}
