// SPDX-License-Identifier: BSL-1.0
// Square root, exponential, logarithm, power, rounding: the same bits when compiling and when running.
#pragma once

#include <bit>
#include <cstdint>
#include <type_traits>

#if defined(__FAST_MATH__) || (defined(__FINITE_MATH_ONLY__) && __FINITE_MATH_ONLY__)
#error "tapewright needs IEEE 754 arithmetic: -ffast-math removes its checks for NaN. Build without it."
#endif
#if defined(__FLT_EVAL_METHOD__) && __FLT_EVAL_METHOD__ != 0
#error "tapewright needs arithmetic in plain double: on 32-bit x86 build with -msse2 -mfpmath=sse."
#endif

namespace tapewright {

// The standard library's functions are not used: Clang refuses them in constant expressions, and each
// library rounds in its own way. Every figure below is IEEE 754 binary64 and every operation +, -, *, /
// rounds once, to nearest even, so all compilers and processors print the same 64 bits.
// The accuracies are checked against MPFR in tests/unit/core/scalar_math_test.cpp.

inline constexpr double infinity = __builtin_huge_val();
inline constexpr double not_a_number = __builtin_nan("");
inline constexpr double epsilon = 0x1p-52;  ///< gap between 1 and the next double

/// True for NaN alone.
constexpr bool is_nan(double x) noexcept { return x != x; }

/// False for NaN and both infinities.
constexpr bool is_finite(double x) noexcept { return x > -infinity && x < infinity; }

/// least <= x <= most; false for NaN, which raises no floating-point flag here: a host that traps invalid operations must
/// see a refusal and no trap. GCC compares quietly only when told so, Clang does anyhow; doubles in software have no flags.
constexpr bool is_within(double x, double least, double most) noexcept {
#if defined(__clang__) || !defined(__GNUC__) || (defined(__arm__) && !(defined(__ARM_FP) && (__ARM_FP & 8)))
  return x >= least && x <= most;
#else
  return __builtin_isgreaterequal(x, least) && __builtin_islessequal(x, most);
#endif
}

/// |x|, exact. The sign of zero and of NaN is cleared too.
constexpr double absolute(double x) noexcept {
  return std::bit_cast<double>(std::bit_cast<std::uint64_t>(x) & 0x7fff'ffff'ffff'ffffu);
}

/// The smaller of two, `a` if they are equal; NaN if either is: an unset figure must not get lost.
constexpr double smaller(double a, double b) noexcept { return b < a || is_nan(b) ? b : a; }

/// The larger of two, `a` if they are equal; NaN if either is. One instruction where `b` is a constant.
constexpr double larger(double a, double b) noexcept { return b > a || is_nan(b) ? b : a; }

/// Greatest whole number <= x, exact for every x; -inf, +inf and NaN stay. A zero comes out as +0.
constexpr double floor_of(double x) noexcept {
  if (!(absolute(x) < 0x1p52)) return x;  // whole already, infinite, or NaN
  const auto towards_zero = static_cast<double>(static_cast<std::int64_t>(x));
  return towards_zero > x ? towards_zero - 1 : towards_zero;
}

/// Least whole number >= x, exact for every x; -inf, +inf and NaN stay. A zero comes out as +0.
constexpr double ceil_of(double x) noexcept {
  if (!(absolute(x) < 0x1p52)) return x;
  const auto towards_zero = static_cast<double>(static_cast<std::int64_t>(x));
  return towards_zero < x ? towards_zero + 1 : towards_zero;
}

/// Nearest whole number, halves away from zero (2.5 -> 3, -2.5 -> -3), exact for every x; infinities
/// and NaN stay. A zero comes out as +0.
constexpr double round_half_away(double x) noexcept {
  if (!(absolute(x) < 0x1p52)) return x;
  const auto towards_zero = static_cast<double>(static_cast<std::int64_t>(x));
  const double rest = x - towards_zero;  // exact
  return rest >= 0.5 ? towards_zero + 1 : rest <= -0.5 ? towards_zero - 1 : towards_zero;
}

namespace detail {

// A positive finite number as significand * 2^exponent, 1 <= significand < 2.
struct binary_parts {
  double significand;
  int exponent;
};

constexpr std::uint64_t significand_bits = 0x000f'ffff'ffff'ffffu;
constexpr std::uint64_t bits_of_one = 0x3ff0'0000'0000'0000u;

constexpr binary_parts binary_parts_of(double x) noexcept {
  const int lifted = x < 0x1p-1022 ? 54 : 0;  // subnormal: make it normal first
  const auto bits = std::bit_cast<std::uint64_t>(lifted != 0 ? x * 0x1p54 : x);
  return {std::bit_cast<double>((bits & significand_bits) | bits_of_one),
          static_cast<int>(bits >> 52) - 1023 - lifted};
}

// 2^n for -1022 <= n <= 1023.
constexpr double two_to_the(int n) noexcept {
  return std::bit_cast<double>(static_cast<std::uint64_t>(n + 1023) << 52);
}

// x * 2^n for -1130 <= n <= 1024: in two steps where one factor would not fit, so that the only
// rounding is that of a subnormal result.
constexpr double scaled(double x, int n) noexcept {
  if (n > 1023) return x * 2.0 * two_to_the(n - 1);
  if (n < -1022) return x * two_to_the(n + 200) * 0x1p-200;
  return x * two_to_the(n);
}

// An unevaluated sum: lo is what hi could not hold.
struct twofold {
  double hi, lo;
};

// a + b without loss; |a| >= |b| or a == 0 (T. J. Dekker, Numer. Math. 18, 1971).
constexpr twofold exact_sum(double a, double b) noexcept {
  const double sum = a + b;
  return {sum, b - (sum - a)};
}

// a * b without loss while nothing overflows or underflows (Dekker 1971, Veltkamp's splitting).
constexpr twofold exact_product(double a, double b) noexcept {
  constexpr double splitter = 0x1p27 + 1;
  const double a_big = a * splitter, b_big = b * splitter;
  const double a_hi = a_big - (a_big - a), b_hi = b_big - (b_big - b);
  const double a_lo = a - a_hi, b_lo = b - b_hi;
  const double product = a * b;
  return {product, a_lo * b_lo - (((product - a_hi * b_hi) - a_lo * b_hi) - a_hi * b_lo)};
}

constexpr twofold operator*(twofold a, twofold b) noexcept {
  const twofold p = exact_product(a.hi, b.hi);
  return exact_sum(p.hi, p.lo + (a.hi * b.lo + a.lo * b.hi));
}

// first + x * next + x^2 * the one after + ...
constexpr double series(double, double last) noexcept { return last; }
template <class... Rest>
constexpr double series(double x, double first, Rest... rest) noexcept {
  return first + x * series(x, rest...);
}

// ln 2 in two pieces; the first has 21 zero bits at its end, so that up to 2^21 times it is exact.
constexpr double ln2_hi = 0x1.62e42feep-1;
constexpr double ln2_lo = 0x1.a39ef35793c76p-33;

// The root of a positive finite number, one binary digit after the other as on paper, so that it is
// right by construction: 53 digits of root and one more that says which way to round. It is never a
// tie: a root that ends in a 54th digit would have a square of more than 53 digits.
constexpr double square_root_by_digits(double x) noexcept {
  const binary_parts p = binary_parts_of(x);
  const bool odd = (p.exponent & 1) != 0;
  auto radicand = (std::bit_cast<std::uint64_t>(p.significand) & significand_bits) | (std::uint64_t{1} << 52);
  radicand <<= odd ? 11 : 10;  // two digits before the point, at the top of the word
  std::uint64_t root = 0, rest = 0;
  for (int digit = 0; digit < 54; ++digit) {
    rest = (rest << 2) | (radicand >> 62);
    radicand <<= 2;
    const std::uint64_t trial = (root << 2) | 1;
    const bool one = rest >= trial;
    if (one) rest -= trial;
    root = (root << 1) | (one ? 1u : 0u);
  }
  const std::uint64_t rounded = (root + 1) >> 1;
  const int exponent = (p.exponent - (odd ? 1 : 0)) / 2;
  return static_cast<double>(rounded) * two_to_the(exponent - 52);
}

// The root of 0 or a positive finite number. The builtin is one instruction where errno is not asked for, and of vectors too.
constexpr double finite_square_root(double x) noexcept {
  if (!std::is_constant_evaluated()) {
#if defined(__wasm__) || (defined(__SSE2__) && defined(__NO_MATH_ERRNO__))
    return __builtin_sqrt(x);
#elif defined(__SSE2__) && __has_builtin(__builtin_ia32_sqrtsd)
    using two_doubles = double __attribute__((vector_size(16)));
    return __builtin_ia32_sqrtsd(two_doubles{x, x})[0];
#elif defined(__aarch64__)
    double root;
    asm("fsqrt %d0, %d1" : "=w"(root) : "w"(x));
    return root;
#elif defined(__ARM_FP) && (__ARM_FP & 8)
    double root;
    asm("vsqrt.f64 %P0, %P1" : "=w"(root) : "w"(x));
    return root;
#endif
  }
  return x > 0 ? square_root_by_digits(x) : 0;
}

// e^(hi + lo) for |hi| <= 746 and |lo| <= ulp(hi): hi + lo = k ln 2 + r with |r| <= ln 2 / 2, then the
// exponential series to r^13 / 13!, its even and odd terms apart. The rest is below 2^-57.
constexpr double exponential_of(twofold x) noexcept {
  constexpr double per_ln2 = 0x1.71547652b82fep+0;  // 1 / ln 2
  const int k = static_cast<int>(x.hi * per_ln2 + (x.hi < 0 ? -0.5 : 0.5));
  const double r_hi = x.hi - k * ln2_hi;  // exact
  const double r_lo = x.lo - k * ln2_lo;
  const double r = r_hi + r_lo;
  const double rr = r * r;
  const double even = series(rr, 1.0 / 2, 1.0 / 24, 1.0 / 720, 1.0 / 40320, 1.0 / 3628800, 1.0 / 479001600);
  const double odd =
      series(rr, 1.0 / 6, 1.0 / 120, 1.0 / 5040, 1.0 / 362880, 1.0 / 39916800, 1.0 / 6227020800);
  return scaled(1 + (r_hi + (r_lo + rr * (even + r * odd))), k);
}

// ln x of a positive finite number to about 2^-64 of itself: x = 2^k m with m from sqrt(1/2) to
// sqrt(2), s = (m - 1) / (m + 1), ln m = 2 artanh s = 2 s (1 + z/3 + z^2/5 + ...) with z = s^2. The terms
// that matter beyond 53 bits are twofold, the others halved into even and odd ones. The first power left out,
// z^13 / 27, is below 2^-70.
constexpr twofold logarithm_of(double x) noexcept {
  const binary_parts p = binary_parts_of(x);
  const bool upper_half = p.significand > 0x1.6a09e667f3bcdp+0;  // sqrt 2
  const double m = upper_half ? p.significand / 2 : p.significand;
  const double k = upper_half ? p.exponent + 1 : p.exponent;

  const double over = m - 1;  // exact
  const twofold under = exact_sum(2, over);
  const double quotient = over / under.hi;
  const twofold back = exact_product(quotient, under.hi);
  const twofold s{quotient, ((over - back.hi) - back.lo - quotient * under.lo) / under.hi};

  const twofold z = s * s;
  const double zz = z.hi * z.hi;
  const double even = series(zz, 1.0 / 5, 1.0 / 9, 1.0 / 13, 1.0 / 17, 1.0 / 21, 1.0 / 25);
  const double odd = series(zz, 1.0 / 7, 1.0 / 11, 1.0 / 15, 1.0 / 19, 1.0 / 23);
  const double tail = even + z.hi * odd;
  constexpr double third = 1.0 / 3, third_rest = 0x1.5555555555555p-56;  // 1/3 - third
  const twofold w = z * exact_sum(third, third_rest + z.hi * tail);
  const twofold one_and_w = exact_sum(1, w.hi);
  const twofold half = s * twofold{one_and_w.hi, one_and_w.lo + w.lo};
  if (k == 0) return {2 * half.hi, 2 * half.lo};
  const twofold sum = exact_sum(k * ln2_hi, 2 * half.hi);
  return exact_sum(sum.hi, sum.lo + (2 * half.lo + k * ln2_lo));
}

}  // namespace detail

/// Square root, correctly rounded: the double nearest to the true root.
///
/// @param x  any number, any unit squared. x < 0 and NaN give NaN; +inf gives +inf; +-0 stays.
/// Where the processor has an instruction for it, that is used at run time (IEEE 754 asks it for the same
/// rounding, so the bits are the same); the library's sqrt is never called.
/// Example  square_root(2) -> 0x1.6a09e667f3bcdp+0
constexpr double square_root(double x) noexcept {
  if (!(x > 0 && x < infinity)) return x < 0 ? not_a_number : x;
  return detail::finite_square_root(x);
}

/// Cube root; the sign of x is kept, so that cube_root(-8) = -2. +-0, infinities and NaN stay.
///
/// Formula   Newton's y - (y - m / y^2) / 3 on 1 <= m < 8, from a straight line within 7 %: four steps
///           square the error to 2e-5, 3e-10 and 1e-19.
/// Accuracy  within 1 ulp for every double (measured against MPFR; the last step rounds four times, three
///           of them in a term below 2^-30).
constexpr double cube_root(double x) noexcept {
  const double size = absolute(x);
  if (!(size > 0 && size < infinity)) return x;
  const detail::binary_parts p = detail::binary_parts_of(size);
  const int thirds = (p.exponent + 3000) / 3 - 1000;  // rounded down
  const double m = p.significand * detail::two_to_the(p.exponent - 3 * thirds);
  double y = 0.92 + 0.145 * m;
  for (int step = 0; step < 4; ++step) y -= (y - m / (y * y)) * (1.0 / 3);
  const double root = y * detail::two_to_the(thirds);
  return x < 0 ? -root : root;
}

/// e^x. Above 709.78 the result is +inf, below -745.13 it is 0; NaN stays.
///
/// Formula   e^x = 2^k e^r, |r| <= ln 2 / 2, series of e^r.
/// Accuracy  within 1 ulp for a normal result, 1 step of 2^-1074 for a subnormal one (MPFR).
constexpr double exponential(double x) noexcept {
  if (is_nan(x)) return x;
  if (x > 0x1.62e42fefa39efp+9) return infinity;  // greatest x with a finite e^x
  if (x < -0x1.74910d52d3052p+9) return 0;        // e^x would round to less than 2^-1074
  return detail::exponential_of({x, 0});
}

/// Natural logarithm. x = 0 gives -inf, x < 0 gives NaN; +inf and NaN stay.
///
/// Formula   ln x = k ln 2 + 2 artanh((m - 1) / (m + 1)), x = 2^k m.
/// Accuracy  within 1 ulp for every positive double (MPFR; about 0.5, as it is computed to 64 bits).
constexpr double natural_log(double x) noexcept {
  if (x > 0 && x < infinity) return detail::logarithm_of(x).hi;
  return x == 0 ? -infinity : x < 0 ? not_a_number : x;
}

/// base^exponent for base >= 0.
///
/// @return   1 for exponent 0, whatever the base; 0 or +inf for base 0 and base +inf as the sign of the
///           exponent asks; NaN for base < 0, and NaN if either is NaN: an unset figure must not get lost.
/// Formula   e^(exponent * ln base), the logarithm and the product carried to about 64 bits, because an
///           error of 1 ulp in a product near 700 would be 500 ulp in the result.
/// Accuracy  within 1 ulp for a normal result, 1 step of 2^-1074 for a subnormal one (MPFR).
constexpr double power(double base, double exponent) noexcept {
  if (is_nan(base) || is_nan(exponent) || base < 0) return not_a_number;
  if (exponent == 0 || base == 1) return 1;
  if (base == 0 || base == infinity) return (base == 0) == (exponent > 0) ? 0 : infinity;
  const detail::twofold log = detail::logarithm_of(base);
  // |log| is 2^-53 or more, so 1e19 times it is past either end already
  const double times = smaller(larger(exponent, -1e19), 1e19);
  const detail::twofold whole = detail::exact_product(times, log.hi);
  const detail::twofold x = detail::exact_sum(whole.hi, whole.lo + times * log.lo);
  if (x.hi > 0x1.62e42fefa39efp+9) return infinity;
  if (x.hi < -0x1.74910d52d3052p+9) return 0;
  return detail::exponential_of(x);
}

static_assert(square_root(2) == 0x1.6a09e667f3bcdp+0 && square_root(0x1p-1074) == 0x1p-537);
static_assert(cube_root(-8) == -2 && exponential(0) == 1);
static_assert(natural_log(1) == 0 && natural_log(10) == 0x1.26bb1bbb55516p+1 && power(2, 10) == 1024);
static_assert(floor_of(-0.5) == -1 && ceil_of(4.2) == 5 && round_half_away(-2.5) == -3);
static_assert(is_nan(square_root(-1)) && is_nan(smaller(1, not_a_number)) && is_nan(larger(not_a_number, 1)));

}  // namespace tapewright
