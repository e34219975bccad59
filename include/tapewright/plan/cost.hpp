// SPDX-License-Identifier: BSL-1.0
// What a choice costs, so that two choices can be put in order.
#pragma once

#include <compare>
#include <cstdint>

#include "tapewright/core/quantity.hpp"

namespace tapewright {

/// Cheapest first: a choice that cannot be built is dearer than any that can; then the sum of the known
/// prices after the number of parts whose price is not known (so that an unpriced part never passes for
/// a free one); then the number of parts. Where a catalogue has no prices this means fewest parts.
struct cost {
  std::int32_t unbuildable = 0, unpriced = 0;
  money price{};
  std::int64_t parts = 0;

  friend constexpr auto operator<=>(const cost&, const cost&) noexcept = default;
  constexpr cost& operator+=(const cost& b) noexcept {
    unbuildable += b.unbuildable;
    unpriced += b.unpriced;
    price += b.price;
    parts += b.parts;
    return *this;
  }
  friend constexpr cost operator+(cost a, const cost& b) noexcept { return a += b; }
  /// A difference of costs: it may be below nothing.
  friend constexpr cost operator-(const cost& a, const cost& b) noexcept {
    return {a.unbuildable - b.unbuildable, a.unpriced - b.unpriced, a.price - b.price, a.parts - b.parts};
  }
};

/// Whether a choice costs less, however many parts it has.
constexpr bool costs_less(cost a, cost b) noexcept {
  a.parts = b.parts = 0;
  return a < b;
}

/// The cost of `count` parts at a unit price; a price of 0 counts as not known.
constexpr cost cost_of(money unit_price, std::int64_t count) noexcept {
  return {.unpriced = unit_price.minor > 0 ? 0 : static_cast<std::int32_t>(count),
          .price = unit_price * count,
          .parts = count};
}

/// The cost of one piece that is sold by so many quanta: metres are not parts.
constexpr cost cost_of_piece(money quantum_price, std::int64_t quanta) noexcept {
  return {.unpriced = quantum_price.minor > 0 ? 0 : 1, .price = quantum_price * quanta, .parts = 1};
}

/// Dearer than anything: where no choice was found yet. Two thousand of them, a run each, can still be added up.
inline constexpr cost no_choice{.unbuildable = 1'000'000};

}  // namespace tapewright
