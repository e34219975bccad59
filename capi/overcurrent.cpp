// SPDX-License-Identifier: BSL-1.0
// C interface: fuses and breakers of the extra-low-voltage outputs.
#include <cstdint>

#include "answer.hpp"
#include "figures.hpp"
#include "rows.hpp"
#include "tapewright.h"
#include "tapewright/rules/overcurrent_ratings.hpp"
#include "tapewright/sizing/overcurrent_choice.hpp"

using namespace tapewright;
using namespace tapewright::capi;

namespace {

/// A device by its family and rating alone, held against a duty.
outcome<overcurrent_check> plain_check(std::int32_t family, double fuse_a,
                                       const overcurrent_duty& duty) noexcept {
  overcurrent_device device;
  device.code = "device";
  device.rated = amps{fuse_a};
  device.rated_voltage = volts{24};
  const fault f = set(device.family, field::overcurrent_family, family);
  return unless(f, [&]() noexcept { return check_overcurrent(device, duty); });
}

}  // namespace

tw_status tw_operating_current(int32_t overcurrent_family, double fuse_a, double* factor, double* operating_a,
                               tw_fault* why) {
  return answer(plain_check(overcurrent_family, fuse_a, {}), why,
                to(factor, &overcurrent_check::operating_factor),
                to(operating_a, &overcurrent_check::operating));
}

tw_status tw_far_end_fault(double voltage_v, double fault_loop_ohm, double source_limit_a, double* fault_a,
                           tw_fault* why) {
  const overcurrent_duty duty{
      .voltage = volts{voltage_v}, .fault_loop = ohms{fault_loop_ohm}, .source_limit = amps{source_limit_a}};
  return answer(plain_check(TW_FAMILY_BLADE_FUSE, 1, duty), why,
                to(fault_a, &overcurrent_check::fault_current));
}

tw_status tw_overcurrent_utilisation(int32_t overcurrent_family, double fuse_a, double load_a,
                                     double ampacity_a, double voltage_v, double fault_loop_ohm,
                                     double source_limit_a, double* load_utilisation,
                                     double* cable_utilisation, double* operating_utilisation,
                                     double* fault_utilisation, tw_fault* why) {
  const overcurrent_duty duty{.load = amps{load_a},
                              .ampacity = amps{ampacity_a},
                              .voltage = volts{voltage_v},
                              .fault_loop = ohms{fault_loop_ohm},
                              .source_limit = amps{source_limit_a}};
  return answer(plain_check(overcurrent_family, fuse_a, duty), why,
                to(load_utilisation, &overcurrent_check::load_utilisation),
                to(cable_utilisation, &overcurrent_check::cable_utilisation),
                to(operating_utilisation, &overcurrent_check::operating_utilisation),
                to(fault_utilisation, &overcurrent_check::fault_utilisation));
}

tw_status tw_check_overcurrent(const tw_overcurrent_device* device, const tw_overcurrent_duty* duty,
                               tw_overcurrent_check* check, tw_fault* why) {
  const arrived<tw_overcurrent_device, overcurrent_device> o{device, 0};
  const arrived<tw_overcurrent_duty, overcurrent_duty> d{duty, 1};
  return answer(unless(first_fault(o.why, d.why), [&]() noexcept { return check_overcurrent(o.row, d.row); }),
                why, to(check));
}
