// SPDX-License-Identifier: BSL-1.0
// What a part counts where spare capacity is worth something, worked out from the checks of single parts alone.
#pragma once

#include <algorithm>
#include <cmath>

#include "tapewright/plan/driver_wishes.hpp"
#include "tapewright/plan/job.hpp"

namespace tapewright::test {

namespace detail {

/// Whole thousandths; a ten-thousandth of one for the roundings of double on the way.
inline long long thousandths(double capacity) {
  return static_cast<long long>(std::floor(capacity * 1000 + 1e-4));
}

/// A weight for so many thousandths, or what a part of this price allows of it.
inline long long limited(long long weight, money price, long long capacity, long long each) {
  if (price.minor == 0 || weight * capacity / each < price.minor) return weight;
  return (price.minor * each - 1) / capacity;
}
inline long long less_worth(money price, long long worth) {
  return price.minor == 0 ? 0 : std::max(1LL, price.minor - worth);
}

inline driver_check checked(const design_rules& rules, const driver& s, const zone& z, volts nominal) {
  const watts little{std::max(s.least_load.v, 0.001)};
  return *check_driver(s, duty_for(rules, z, nominal, little, little / nominal));
}

}  // namespace detail

/// What all outputs of a driver may carry in a zone, in mW.
inline long long capacity_mw(const design_rules& rules, const driver& s, const zone& z, volts nominal) {
  const driver_check c = detail::checked(rules, s, z, nominal);
  double most = c.capacity.v / (1 + rules.headroom);
  most = std::min(most, c.current_limit.v * nominal.v);
  if (s.output_connector.v > 0) most = std::min(most, s.output_connector.v * nominal.v);
  return s.outputs * detail::thousandths(most);
}
inline long long capacity_ma(const controller& c) {
  return detail::thousandths(std::min(c.total_limit.v, c.terminal.v));
}

/// What a driver counts among those that may be used in a zone.
inline long long counted_price(const job& j, const catalogue& parts, const driver& s, const zone& z,
                               volts nominal) {
  long long weight = j.rules.balanced.driver.minor;
  for (std::size_t i = 0; i < parts.drivers.size() && weight > 0; ++i) {
    const driver& one = parts.drivers[i];
    if (pinned_elsewhere(z.pinned_driver, i) || !detail::checked(j.rules, one, z, nominal).fits) continue;
    weight = detail::limited(weight, one.price, capacity_mw(j.rules, one, z, nominal), 100'000);
  }
  return detail::less_worth(s.price, weight * capacity_mw(j.rules, s, z, nominal) / 100'000);
}

/// What a controller counts among those for the same tapes in the same zone.
inline long long counted_price(const job& j, const catalogue& parts, const controller& s, const zone& z,
                               volts nominal) {
  long long weight = j.rules.balanced.controller.minor;
  for (const controller& one : parts.controllers)
    if (one.common == s.common && one.lowest_input <= nominal && nominal <= one.highest_input &&
        z.driver_ambient <= one.highest_ambient)
      weight = detail::limited(weight, one.price, capacity_ma(one), 1000);
  return detail::less_worth(s.price, weight * capacity_ma(s) / 1000);
}

}  // namespace tapewright::test
