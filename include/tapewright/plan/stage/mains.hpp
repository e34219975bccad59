// SPDX-License-Identifier: BSL-1.0
// Stage 7: the mains side: current, circuits, inrush, leakage, energy.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/plan/plan.hpp"

namespace tapewright::stage {

namespace detail {

/// The drivers on one breaker and one residual current device, filled in order.
struct circuit {
  amps steady, inrush, leakage;
  bool inrush_known = true;
  std::int32_t drivers = 0;
};

constexpr circuit with(circuit c, const driver_plan& p, const driver& s) noexcept {
  c.steady += p.mains_current;
  c.inrush += s.inrush_peak;
  c.leakage += s.leakage;
  c.inrush_known = c.inrush_known && s.inrush_peak.v > 0;
  ++c.drivers;
  return c;
}

}  // namespace detail

/// Takes the drivers; decides how many circuits of the given breaker and residual current device they need, filled
/// one after the other, and sums current, leakage and energy. The fullest circuit is told, and the one that leaks most.
/// Needs 4 findings; scratch: none.
constexpr fault size_mains(draft& d) noexcept {
  const design_rules& rules = d.question.rules;
  const subject whole{subject_kind::job, 0};
  const mains_breaker breaker{rules.breaker, rules.breaker_family, rules.breaker_share};
  watts input;
  detail::circuit open, fullest;
  double fullest_use = -1;
  breaker_check fullest_check;
  amps most_leakage;
  const auto close = [&]() noexcept {
    if (open.drivers == 0) return;
    ++d.mains.breakers;
    if (open.drivers > d.mains.drivers_each) d.mains.drivers_each = open.drivers;
    if (open.leakage > most_leakage) most_leakage = open.leakage;
    const auto check = check_breaker(breaker, open.steady, open.inrush, open.inrush_known);
    if (!check.ok()) return;
    const double use = larger(check->steady_utilisation, check->inrush_utilisation);
    if (use > fullest_use) {
      fullest_use = use;
      fullest = open;
      fullest_check = *check;
    }
  };
  for (std::size_t i = 0; i < d.drivers.size(); ++i) {
    driver_plan& p = d.drivers[i];
    const driver& s = d.parts.drivers[static_cast<std::size_t>(p.part)];
    const auto load = mains_load_of(s, p.load, rules.mains);
    if (!load.ok()) return load.why();
    p.mains_current = load->current;
    d.mains.steady += load->current;
    d.mains.leakage += s.leakage;
    input += load->input;
    if (s.inrush_peak.v == 0)
      d.findings.push({.code = finding_code::inrush_unknown,
                       .level = severity::note,
                       .subject = {subject_kind::driver, static_cast<std::int32_t>(i)},
                       .from = source::iec_60898_1,
                       .help = advice::ask_maker});
    const detail::circuit fuller = detail::with(open, p, s);
    const auto check = check_breaker(breaker, fuller.steady, fuller.inrush, fuller.inrush_known);
    if (!check.ok()) return check.why();
    const auto leaks = check_leakage(fuller.leakage, rules.residual_device, rules.leakage_share);
    if (!leaks.ok()) return leaks.why();
    if (open.drivers == 0 || (check->fits && leaks->fits)) {
      open = fuller;
      continue;
    }
    close();
    open = detail::with({}, p, s);
  }
  close();
  if (fullest.drivers > 0) {
    d.findings.push(checked(finding_code::breaker_steady, whole, fullest_check.steady.v,
                            fullest_check.steady_limit.v, fullest_check.steady_source,
                            advice::smaller_breaker_group));
    d.findings.push(checked(finding_code::breaker_inrush, whole, fullest_check.inrush.v,
                            fullest_check.inrush_limit.v, fullest_check.inrush_source,
                            advice::larger_breaker));
  }
  const auto leakage = check_leakage(most_leakage, rules.residual_device, rules.leakage_share);
  if (!leakage.ok()) return leakage.why();
  d.findings.push(checked(finding_code::leakage_sum, whole, leakage->sum.v, leakage->limit.v, leakage->from,
                          advice::smaller_breaker_group));
  const auto energy = yearly_energy(input, rules.yearly_hours);
  if (!energy.ok()) return energy.why();
  d.mains.yearly = *energy;
  const auto price = energy_cost(*energy, static_cast<double>(rules.tariff.minor));
  if (!price.ok()) return price.why();
  d.mains.yearly_cost = *price;
  return {};
}

}  // namespace tapewright::stage
