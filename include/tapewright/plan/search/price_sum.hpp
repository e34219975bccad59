// SPDX-License-Identifier: BSL-1.0
// From the price of the parts to what is paid: net, discount, tax, gross, in whole minor units.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"

namespace tapewright {

/// A share as a fraction of whole numbers, so that 7.7 % is exact: per_mille(77).
struct exact_share {
  std::int32_t parts = 0;  ///< 0..10 times `of`
  std::int32_t of = 100;   ///< 1..1000000
};
constexpr exact_share per_cent(std::int32_t parts) noexcept { return {parts, 100}; }
constexpr exact_share per_mille(std::int32_t parts) noexcept { return {parts, 1000}; }
constexpr exact_share per_hundred_thousand(std::int32_t parts) noexcept { return {parts, 100'000}; }

/// Where a share of a price is rounded to a whole minor unit, half up.
enum class price_rounding : std::int32_t {
  each_line = 0,  ///< discount and tax of each line; the document adds up what its lines show
  total = 1,      ///< discount of the net total, tax of what is left
};

struct price_terms {
  exact_share discount{};  ///< of the net price, at most the whole
  exact_share tax{};       ///< of the price after discount
  price_rounding rounding = price_rounding::total;
};

/// gross = net - discount + tax, exactly.
struct price_sum {
  money net{}, discount{}, taxable{}, tax{}, gross{};

  friend constexpr bool operator==(const price_sum&, const price_sum&) noexcept = default;
};

/// The greatest sum of prices taken: 4e15 minor units, which a double tells exactly and tenfold tax keeps
/// far below 2^63.
inline constexpr long long greatest_price_sum = 4'000'000'000'000'000;

namespace detail {

/// amount x parts / of, half up. The whole quotient apart, so that no product passes 2^63: quotient x parts
/// <= 10 x 4e15, remainder x parts < 1e6 x 1e7.
constexpr money share_of(money amount, exact_share s) noexcept {
  const long long whole = amount.minor / s.of, rest = amount.minor % s.of;
  return {whole * s.parts + (2 * rest * s.parts + s.of) / (2LL * s.of)};
}

constexpr fault check(const price_terms& t) noexcept {
  constexpr double finest = 1e6;
  return first_fault(refuse_outside(field::share, t.discount.of, 1, finest),
                     refuse_outside(field::share, t.tax.of, 1, finest),
                     refuse_outside(field::share, t.discount.parts, 0, t.discount.of),
                     refuse_outside(field::share, t.tax.parts, 0, 10.0 * t.tax.of),
                     refuse_outside(field::row_count, static_cast<double>(t.rounding), 0, 1));
}

constexpr price_sum sum_of_amount(money net, const price_terms& t) noexcept {
  price_sum s{.net = net, .discount = share_of(net, t.discount)};
  s.taxable = s.net - s.discount;
  s.tax = share_of(s.taxable, t.tax);
  s.gross = s.taxable + s.tax;
  return s;
}

}  // namespace detail

/// One amount by the terms; how its rounding adds up does not matter for one.
///
/// @param net  0..4e15 minor units.
/// @return     Fault out_of_range of price, or of share where a share is below 0, a discount above the whole,
///             a tax above ten times the whole, or a denominator outside 1..1000000.
/// Formula  discount = net d, tax = (net - discount) t, each rounded half up to a whole minor unit
/// Source   common practice, no source; the caller chooses the rule that binds him.
/// Example  1234.50 less 5 % and 20 % tax -> 61.73 off, 1172.77 left, 234.55 tax, 1407.32
constexpr outcome<price_sum> price_of(money net, const price_terms& terms) noexcept {
  if (const fault f =
          first_fault(detail::check(terms), refuse_outside(field::price, static_cast<double>(net.minor), 0,
                                                           static_cast<double>(greatest_price_sum))))
    return f;
  return detail::sum_of_amount(net, terms);
}

/// A document that takes its lines one by one: `add` each, then read `sum`. The result does not depend on
/// the order of the lines.
class price_document {
 public:
  constexpr explicit price_document(const price_terms& terms) noexcept
      : terms_{terms}, why_{detail::check(terms)} {}

  /// Adds a line's net price. A line below 0, or one that lifts the net total above 4e15 minor units, is
  /// refused and told by `sum`.
  constexpr void add(money line) noexcept {
    if (why_) return;
    const fault f = refuse_outside(field::price, static_cast<double>(line.minor), 0,
                                   static_cast<double>(greatest_price_sum - sum_.net.minor));
    if (f) {
      why_ = at_item(f, lines_);
      return;
    }
    ++lines_;
    const price_sum one = detail::sum_of_amount(line, terms_);
    sum_.net += one.net;
    sum_.discount += one.discount;
    sum_.taxable += one.taxable;
    sum_.tax += one.tax;
    sum_.gross += one.gross;
  }

  constexpr outcome<price_sum> sum() const noexcept {
    if (why_) return why_;
    return terms_.rounding == price_rounding::each_line ? sum_ : detail::sum_of_amount(sum_.net, terms_);
  }

 private:
  price_terms terms_;
  fault why_;
  price_sum sum_{};
  std::size_t lines_ = 0;
};

/// The same for a list of net line prices. The fault's item is the line.
constexpr outcome<price_sum> price_of(std::span<const money> lines, const price_terms& terms) noexcept {
  price_document document{terms};
  for (const money line : lines) document.add(line);
  return document.sum();
}

static_assert(*price_of(money{123450}, {per_cent(5), per_cent(20)}) ==
              price_sum{{123450}, {6173}, {117277}, {23455}, {140732}});

}  // namespace tapewright
