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

inline long long less_worth(money price, long long worth) {
  return price.minor == 0 ? 0 : std::max(1LL, price.minor - worth);
}

}  // namespace detail

/// What all outputs of a driver may carry in a zone, in mW.
inline long long capacity_mw(const design_rules& rules, const driver& s, const zone& z, volts nominal) {
  const watts little{std::max(s.least_load.v, 0.001)};
  const driver_check c = *check_driver(s, duty_for(rules, z, nominal, little, little / nominal));
  double most = c.capacity.v / (1 + rules.headroom);
  most = std::min(most, c.current_limit.v * nominal.v);
  if (s.output_connector.v > 0) most = std::min(most, s.output_connector.v * nominal.v);
  return s.outputs * detail::thousandths(most);
}
inline long long capacity_ma(const controller& c) {
  return detail::thousandths(std::min(c.total_limit.v, c.terminal.v));
}

inline long long counted_price(const design_rules& rules, const driver& s, const zone& z, volts nominal) {
  return detail::less_worth(s.price,
                            rules.balanced.driver.minor * capacity_mw(rules, s, z, nominal) / 100'000);
}
inline long long counted_price(const design_rules& rules, const controller& c) {
  return detail::less_worth(c.price, rules.balanced.controller.minor * capacity_ma(c) / 1000);
}

}  // namespace tapewright::test
