// SPDX-License-Identifier: BSL-1.0
// What capacity is worth beside its price: whole money, rounded down.
#pragma once

#include <cstdint>

#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/sizing/governing.hpp"

namespace tapewright {

/// What spare capacity is worth to who orders, in minor units; 0..1e9 each, 0 = nothing.
///
/// A load is the same whatever part carries it, so that what a part has to spare grows as its capacity does: of two
/// orders the one with more capacity has as much more to spare. All capacity is counted, therefore, and no load. Among
/// parts of which one is chosen a weight counts no more than by which each of them still counts a minor unit (`limited`).
struct spare_weights {
  money driver{0};      // 100 W of a driver's capacity
  money controller{0};  // an ampere of a controller's total
  money cable{0};       // an ampere of a feeder's or a supply cable's ampacity

  friend constexpr bool operator==(const spare_weights&, const spare_weights&) noexcept = default;
};

/// Capacity in whole thousandths (mW, mA), wider by half the share that a check allows for rounding, and rounded down.
/// A capacity of 100 kW or 100 kA counts as that; what is not a number, as none.
constexpr std::int64_t whole_thousandths(double capacity) noexcept {
  constexpr double most = 1e8;
  if (!(capacity > 0)) return 0;
  return static_cast<std::int64_t>(floor_of(smaller(capacity * (1 + rounding_share / 2) * 1000, most)));
}

/// A capacity as weights count it.
struct valued_capacity {
  std::int64_t thousandths = 0;  ///< 0..1.6e9 mW or mA
  std::int64_t each = 1;         ///< how many of them a weight is for
};
constexpr valued_capacity valued(watts capacity, std::int32_t outputs) noexcept {
  return {outputs * whole_thousandths(capacity.v), 100'000};
}
constexpr valued_capacity valued(amps capacity) noexcept { return {whole_thousandths(capacity.v), 1000}; }

/// What a capacity is worth; 0..1e14 minor units, rounded down.
/// Formula  worth = weight x capacity / 100 W, or weight x capacity / 1 A.  Source: closed form.
constexpr money worth_of(money weight, valued_capacity c) noexcept {
  return {weight.minor * c.thousandths / c.each};
}

/// A weight, or the greatest by which a part of this price still counts one minor unit, where that is less. Of a price
/// that is not known (0) nothing is taken off, so that it limits nothing.
/// Formula  the greatest w with w x capacity < price.  Source: closed form.
///
/// Of parts of which one is chosen all are weighed by the same weight, limited by each of them. Else capacity that is
/// worth more than it costs would be paid for with parts that nobody needs; and were each part's own worth cut off at
/// its price, the best offers would lose most.
constexpr money limited(money weight, money price, valued_capacity c) noexcept {
  if (price.minor <= 0 || worth_of(weight, c) < price) return weight;
  return {(price.minor * c.each - 1) / c.thousandths};
}

/// What of a worth is taken off a price: all but the last minor unit of it; nothing where the price is not known (0).
constexpr money credit_of(money worth, money price) noexcept {
  if (price.minor <= 1) return {};
  return worth < price ? worth : money{price.minor - 1};
}

static_assert(worth_of(money{300}, valued(watts{75}, 2)) == money{450});
static_assert(worth_of(money{7}, valued(amps{2.5})) == money{17});
static_assert(limited(money{300}, money{451}, valued(watts{75}, 2)) == money{300});
static_assert(limited(money{300}, money{400}, valued(watts{75}, 2)) == money{266});
static_assert(credit_of(money{30}, money{1000}) == money{30} && credit_of(money{30}, money{20}) == money{19});

}  // namespace tapewright
