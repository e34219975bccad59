// SPDX-License-Identifier: BSL-1.0
// What the cores of a feeder carry when its channels are dimmed.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/network/pwm_timing.hpp"

namespace tapewright {

/// Currents of a feeder's cores under PWM, each channel drawing the same current whenever it is on.
///
/// @param on  A, of each channel while it is on; 1..6 channels, each 0..1e4.
/// @param t   duty and phase of each, 0..1.
/// @return    mean, r.m.s. and peak of the common core and of each channel's; 0 for channels that are not
///            there. Faults: out_of_range of current, duty, pwm_phase (with the channel) or channel_count.
/// Formula  channel: mean = I D, r.m.s. = I sqrt(D). Common: mean = sum I D; r.m.s.^2 = sum over pairs
///          (c, x) of I_c I_x times the share of the period in which both are on, got here piece by piece
///          of the period. Channels that never overlap: r.m.s.^2 = sum I^2 D; aligned ones overlap most.
/// Source   closed form. The voltages' own change with the load is in network/dimming.hpp.
/// Example  two channels of 2 A at duty 0.5: aligned, the common core's r.m.s. is 4 sqrt(0.5) = 2.83 A;
///          half a period apart it is 2 A.
constexpr outcome<core_currents> dimmed_cores(std::span<const amps> on, const pwm_timing& t) noexcept {
  if (const fault f = first_fault(refuse(field::channel_count, static_cast<double>(on.size())), check(t)))
    return f;
  for (std::size_t c = 0; c < on.size(); ++c)
    if (const fault f = refuse(field::current, on[c])) return at_item(f, c);
  pwm_timing used;
  for (std::size_t c = 0; c < on.size(); ++c) {
    used.duty[c] = t.duty[c];
    used.phase[c] = t.phase[c];
  }
  core_currents cores;
  const fault none = detail::each_interval({&used, 1}, [&](double share, double moment) noexcept {
    amps sum;
    for (std::size_t c = 0; c < on.size(); ++c) {
      if (!detail::is_on(used, c, moment)) continue;
      sum += on[c];
      detail::add_pulse(cores.channel[c], share, on[c]);
    }
    detail::add_pulse(cores.common, share, sum);
    return fault{};
  });
  if (none) return none;
  detail::close_pulses(cores);
  return cores;
}

}  // namespace tapewright
