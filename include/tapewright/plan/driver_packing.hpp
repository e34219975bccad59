// SPDX-License-Identifier: BSL-1.0
// Loads onto the outputs of drivers, as a packing question.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/text.hpp"
#include "tapewright/plan/driver_wishes.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/plan/spare.hpp"

namespace tapewright {

/// The most whole units that a load or a capacity is counted with: 100 kW, 100 kA. More than that is held
/// by nothing.
inline constexpr std::int64_t most_load_units = 100'000'000'000'000;

/// A load in billionths, rounded up: what fits in whole units fits as it is.
constexpr std::int64_t whole_load(double load) noexcept {
  const double units = ceil_of(load * 1e9);
  return units < static_cast<double>(most_load_units) ? static_cast<std::int64_t>(units) : most_load_units;
}

/// A capacity in billionths, wider by half the share that its check allows for rounding.
constexpr std::int64_t whole_capacity(double capacity) noexcept {
  const double units = floor_of(capacity * (1 + rounding_share / 2) * 1e9);
  const std::int64_t most = most_load_units - 1;
  return units < static_cast<double>(most) ? static_cast<std::int64_t>(units) : most;
}

/// What one output of a driver takes: watts and amperes side by side.
constexpr packing_item driver_item(watts load, amps current, std::int64_t rank) noexcept {
  packing_item item{.rank = rank};
  item.load[0] = whole_load(load.v);
  item.load[1] = whole_load(current.v);
  return item;
}

/// A driver as a type of such a question: derated capacity less headroom, current limit, one cable only at a
/// connector of its own; false where it may not be used for these wishes at all.
constexpr bool driver_type(const draft& d, const zone& z, volts nominal, std::size_t part,
                           packing_type& type) noexcept {
  if (pinned_elsewhere(z.pinned_driver, part)) return false;
  const driver& s = d.parts.drivers[part];
  // asked for the least load it allows, what does not fit now fits at no load
  const watts little{larger(s.least_load.v, 0.001)};
  const auto check = check_driver(s, duty_for(d, z, nominal, little, little / nominal));
  if (!check.ok() || !check->fits) return false;
  type = {.price = s.price, .outputs = s.outputs};
  type.capacity[0] = whole_capacity(check->capacity.v / (1 + d.question.rules.headroom));
  type.capacity[1] = whole_capacity(usable_current(s, *check).v);
  type.most_items = s.output_connector.v > 0 ? 1 : 0;
  type.least = static_cast<std::int64_t>(s.least_load.v * (1 - rounding_share / 2) * 1e9);
  return true;
}

/// Takes off the prices of such types what their capacity is worth at a weight for 100 W.
constexpr void weigh_drivers(std::span<packing_type> types, volts nominal, money weight) noexcept {
  if (weight.minor == 0) return;
  const auto capacity = [&](const packing_type& t) noexcept {
    const watts power{static_cast<double>(t.capacity[0]) * 1e-9};
    const watts let_through = amps{static_cast<double>(t.capacity[1]) * 1e-9} * nominal;
    return valued(let_through < power ? let_through : power, t.outputs);
  };
  for (const packing_type& t : types) weight = limited(weight, t.price, capacity(t));
  for (packing_type& t : types) t.price = t.price - credit_of(worth_of(weight, capacity(t)), t.price);
}

/// Writes the drivers that may serve a zone at a voltage as types, at their price less what their capacity is worth by
/// the rules; `part_of` tells which is which. Ranks go by code, so that the order of the catalogue does not matter.
constexpr std::size_t driver_types(const draft& d, const zone& z, volts nominal) noexcept {
  const std::span<packing_type> types = d.search.cutting.types;
  std::size_t count = 0;
  for (std::size_t s = 0; s < d.parts.drivers.size(); ++s)
    if (driver_type(d, z, nominal, s, types[count])) types[count++].rank = static_cast<std::int64_t>(s);
  const auto code = [&](const packing_type& t) noexcept {
    return d.parts.drivers[static_cast<std::size_t>(t.rank)].code;
  };
  std::sort(types.begin(), types.begin() + static_cast<std::ptrdiff_t>(count),
            [&](const packing_type& a, const packing_type& b) noexcept {
              const int order = text_order(code(a), code(b));
              return order != 0 ? order < 0 : a.rank < b.rank;
            });
  for (std::size_t k = 0; k < count; ++k) {
    d.search.part_of[k] = static_cast<std::int32_t>(types[k].rank);
    types[k].rank = static_cast<std::int64_t>(k);
  }
  weigh_drivers(types.first(count), nominal, d.question.rules.balanced.driver);
  return count;
}

}  // namespace tapewright
