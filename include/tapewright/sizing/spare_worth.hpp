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
/// orders the one with more capacity has as much more to spare. All capacity is counted, therefore, and no load.
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

/// What watts are worth at a weight for 100 W, on `outputs` outputs alike.
///
/// @param capacity  W of one output.
/// @return          0..1.6e13 minor units, rounded down.
/// Formula  worth = weight x outputs x capacity / 100 W.  Source: closed form.
constexpr money worth_of(money weight, watts capacity, std::int32_t outputs) noexcept {
  return {weight.minor * outputs * whole_thousandths(capacity.v) / 100'000};
}

/// What amperes are worth at a weight for one ampere; 0..1e14 minor units, rounded down.
/// Formula  worth = weight x capacity.  Source: closed form.
constexpr money worth_of(money weight, amps capacity) noexcept {
  return {weight.minor * whole_thousandths(capacity.v) / 1000};
}

/// What of a worth is taken off a price: all but the last minor unit of it; nothing where the price is not known (0).
constexpr money credit_of(money worth, money price) noexcept {
  if (price.minor <= 1) return {};
  return worth < price ? worth : money{price.minor - 1};
}

/// The price that a choice is made by.
constexpr money weighed(money price, money worth) noexcept { return price - credit_of(worth, price); }

static_assert(worth_of(money{300}, watts{75}, 2) == money{450});
static_assert(worth_of(money{7}, amps{2.5}) == money{17});
static_assert(weighed(money{1000}, money{30}) == money{970} && weighed(money{0}, money{30}) == money{0});
static_assert(weighed(money{20}, money{30}) == money{1});

}  // namespace tapewright
