// SPDX-License-Identifier: BSL-1.0
// Invented parts for the sizing tests.
#pragma once

#include <cstdint>

#include "tapewright/core/quantity.hpp"
#include "tapewright/parts/cable.hpp"
#include "tapewright/parts/connector.hpp"
#include "tapewright/parts/controller.hpp"
#include "tapewright/parts/driver.hpp"
#include "tapewright/parts/overcurrent_device.hpp"
#include "tapewright/parts/tape.hpp"
#include "tests/support/refusals.hpp"

namespace tapewright::test {

/// A five-channel 24 V tape of 4 x 4.8 W/m and one 9.6 W/m channel, 28.8 W/m together.
constexpr tape five_channel_tape() noexcept {
  tape t;
  t.code = "TEST-TAPE-5";
  t.nominal = volts{24};
  t.highest = volts{26};
  for (const char* code : {"R", "G", "B", "CW"})
    t.channels.push(
        {code, watts_per_metre{4.8}, load_kind::resistor_limited, volts{18}, ohms_per_metre{0.04}});
  t.channels.push({"WW", watts_per_metre{9.6}, load_kind::resistor_limited, volts{18}, ohms_per_metre{0.04}});
  t.common_trace = ohms_per_metre{0.02};
  t.cut_pitch = metres{0.05};
  t.longest_piece = metres{5};
  t.sale_quantum = metres{1};
  t.reel = metres{5};
  t.lowest_ambient = celsius{-10};
  t.highest_ambient = celsius{45};
  return t;
}

constexpr cable flexible_cable(std::int32_t cores, double area_mm2, long long price = 0,
                               const char* code = "TEST-CABLE") noexcept {
  cable k;
  k.code = code;
  k.cores = cores;
  k.conductor = {conductor_system::metric_class_5, square_millimetres{area_mm2}, 0};
  k.conductor_limit = celsius{70};
  k.sale_quantum = metres{1};
  k.price = money{price};
  return k;
}

constexpr cable gauge_cable(std::int32_t cores, std::int32_t gauge) noexcept {
  cable k = flexible_cable(cores, 1);
  k.conductor = {conductor_system::awg, square_millimetres{}, gauge};
  k.conductor_limit = celsius{90};
  return k;
}

constexpr connector two_pole_connector() noexcept {
  connector c;
  c.code = "TEST-CONNECTOR";
  c.poles = 2;
  c.rated = amps{10};
  c.rated_voltage = volts{50};
  c.rating_ambient = celsius{20};
  c.upper_limit = celsius{105};
  c.least = square_millimetres{0.5};
  c.greatest = square_millimetres{2.5};
  return c;
}

constexpr controller five_channel_controller() noexcept {
  controller c;
  c.code = "TEST-CONTROLLER";
  c.channels = 5;
  c.channel_limit = amps{6};
  c.total_limit = amps{15};
  c.lowest_input = volts{12};
  c.highest_input = volts{24};
  c.least_terminal = square_millimetres{0.5};
  c.greatest_terminal = square_millimetres{2.5};
  c.terminal = amps{16};
  c.highest_ambient = celsius{45};
  return c;
}

/// 100 W, 24 V, all of it to 50 degC, then 2.5 % a kelvin down to half at 70 degC.
constexpr driver hundred_watt_driver() noexcept {
  driver d;
  d.code = "TEST-DRIVER-100";
  d.output = volts{24};
  d.rated = watts{100};
  d.efficiency = 0.92;
  d.power_factor = 0.95;
  d.mains_low = volts{100};
  d.mains_high = volts{240};
  d.inrush_peak = amps{30};
  d.inrush_duration = seconds{300e-6};
  d.leakage = amps{0.0005};
  d.derating.push({celsius{50}, 1.0});
  d.derating.push({celsius{70}, 0.5});
  d.least_terminal = square_millimetres{0.5};
  d.greatest_terminal = square_millimetres{4};
  return d;
}

constexpr overcurrent_device device(overcurrent_family family, double rated_a, long long price = 0,
                                    const char* code = "TEST-DEVICE") noexcept {
  return {code, "", family, amps{rated_a}, volts{60}, money{price}};
}

}  // namespace tapewright::test
