// SPDX-License-Identifier: BSL-1.0
// Stage 5: overcurrent protection of every output, and the connector that mates with its own.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/plan/output_wiring.hpp"
#include "tapewright/plan/plan.hpp"

namespace tapewright::stage {

namespace detail {

/// The connector that mates with a driver's own output connector.
constexpr void plug_output(draft& d, output_plan& o, const wiring_behind& w) noexcept {
  if (driver_of(d, o).output_connector.v == 0 || w.first_conductor.v == 0) return;
  const auto choice =
      choose_connector(plug_duty(d, o, w.first_conductor), connector_use::driver_plug, d.parts.connectors);
  if (choice.ok() && choice->connector >= 0) {
    o.plug = choice->connector;
    o.plug_check = choice->check;
    return;
  }
  finding f{.code = finding_code::no_connector,
            .level = severity::failed,
            .subject = {subject_kind::driver, o.driver},
            .value = o.current.v,
            .utilisation = boundless_utilisation,
            .from = source::iec_60512_5_2,
            .help = advice::other_connector};
  if (choice.ok() && choice->nearest >= 0) {
    f.limit = choice->check.allowed.v;
    f.stopped_by = choice->check.by;
    if (choice->check.utilisation > 1) f.utilisation = choice->check.utilisation;
  }
  d.findings.push(f);
}

constexpr void protect_output(draft& d, std::size_t at) noexcept {
  output_plan& o = d.outputs[at];
  const driver& s = driver_of(d, o);
  const subject about{subject_kind::driver, o.driver};
  const wiring_behind w = wiring_of(d, static_cast<std::int32_t>(at));
  plug_output(d, o, w);
  if (!w.has_cable()) return;  // nothing to protect
  const overcurrent_duty duty = duty_of(d, o, w);
  const auto choice = choose_overcurrent(duty, d.parts.overcurrent_devices);
  if (!choice.ok()) return;
  o.protection = choice->check;
  o.device = choice->device;
  const source rule = source::iec_60364_4_43;
  if (!choice->needed) {
    d.findings.push(checked(finding_code::source_limited, about, s.overload_limit.v, w.ampacity.v, rule,
                            advice::thicker_feeder));
    return;
  }
  if (o.device < 0) {
    finding f{.code = finding_code::no_overcurrent_device,
              .level = severity::failed,
              .subject = about,
              .value = o.current.v,
              .limit = w.ampacity.v,
              .utilisation = boundless_utilisation,
              .from = rule,
              .help = s.overload_limit.v > 0 ? advice::thicker_feeder : advice::ask_maker,
              .stopped_by = choice->stopped_by};
    const overcurrent_check& c = choice->check;
    if (choice->nearest >= 0) {
      const amps rated = d.parts.overcurrent_devices[static_cast<std::size_t>(choice->nearest)].rated;
      switch (choice->stopped_by) {
        case governed::load_current:
          f.value = duty.load_factor * o.current.v;
          f.limit = rated.v;
          break;
        case governed::cable_protection: f.value = rated.v; break;
        case governed::operating_current:
          f.value = c.operating.v;
          f.limit = greatest_operating_share * w.ampacity.v;
          break;
        case governed::fault_current:
          f.value = c.operating.v;
          f.limit = c.fault_current.v;
          break;
        case governed::code_maximum:
          f.value = rated.v;
          f.limit = duty.device_limit.v;
          f.from = source::nec_240_4_d;
          break;
        default: break;
      }
      f.utilisation = larger(utilisation(f.value, f.limit), 1.0);
    }
    d.findings.push(f);
    return;
  }
  const amps rated = d.parts.overcurrent_devices[static_cast<std::size_t>(o.device)].rated;
  d.findings.push(checked(finding_code::overcurrent_load, about, duty.load_factor * o.current.v, rated.v,
                          rule, advice::larger_driver));
  d.findings.push(
      checked(finding_code::overcurrent_rating, about, rated.v, w.ampacity.v, rule, advice::thicker_feeder));
  d.findings.push(checked(finding_code::overcurrent_operating, about, o.protection.operating.v,
                          greatest_operating_share * w.ampacity.v, rule, advice::thicker_feeder));
}

/// What a short circuit at the far end of an output sends through its device, against what opens it.
constexpr void tell_far_end(draft& d, std::size_t at) noexcept {
  output_plan& o = d.outputs[at];
  if (o.device < 0) return;
  const auto check = check_overcurrent(d.parts.overcurrent_devices[static_cast<std::size_t>(o.device)],
                                       duty_of(d, o, wiring_of(d, static_cast<std::int32_t>(at))));
  if (check.ok()) o.protection = *check;
  finding far =
      checked(finding_code::far_end_fault, {subject_kind::driver, o.driver}, o.protection.fault_current.v,
              o.protection.operating.v, source::iec_60364_4_43, advice::thicker_feeder);
  // without a limit of its maker the source was taken as stiff
  if (driver_of(d, o).overload_limit.v == 0 && far.level == severity::ok) {
    far.level = severity::strained;
    far.help = advice::ask_maker;
  }
  d.findings.push(far);
}

}  // namespace detail

/// Takes outputs and cables; decides every output's overcurrent device, or that its driver limits the
/// current itself, and the mating connector of a plug-in output. Needs at most 5 findings an output, with tell_far_ends.
constexpr fault protect_outputs(draft& d) noexcept {
  for (std::size_t o = 0; o < d.outputs.size(); ++o) detail::protect_output(d, o);
  return {};
}

/// Takes outputs whose voltages are settled; tells whether their devices open at the far ends.
constexpr void tell_far_ends(draft& d) noexcept {
  for (std::size_t o = 0; o < d.outputs.size(); ++o) detail::tell_far_end(d, o);
}

}  // namespace tapewright::stage
