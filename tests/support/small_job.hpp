// SPDX-License-Identifier: BSL-1.0
// An invented job of three runs and a short catalogue, as constants: for tests of the planner, in
// constant expressions too.
#pragma once

#include "tapewright/plan/planner.hpp"

namespace small_job {

using namespace tapewright;
using namespace tapewright::literals;

constexpr tape white_24{
    .code = "T-W24",
    .name = "single white 24 V",
    .nominal = 24_V,
    .highest = 25.2_V,
    .channels = {{{"W", 9.6_W_per_m, load_kind::resistor_limited, 19_V, 0.020_ohm_per_m}}, 1},
    .common_trace = 0.020_ohm_per_m,
    .common = polarity::common_positive,
    .cut_pitch = 0.05_m,
    .longest_piece = 10_m,
    .feed_point_limit = 5_A,
    .single_feed_limit = 6_m,
    .all_on_limit = {},
    .free_tail = 0.15_m,
    .sale_quantum = 1_m,
    .reel = 5_m,
    .price = {620},
    .lowest_ambient = celsius{-20},
    .highest_ambient = 45_degC,
    .ingress = 20};

constexpr tape colour_24{
    .code = "T-C24",
    .name = "RGB and two whites 24 V",
    .nominal = 24_V,
    .highest = 25.2_V,
    .channels = {{{"R", 3.6_W_per_m, load_kind::resistor_limited, 17_V, 0.030_ohm_per_m},
                  {"G", 3.6_W_per_m, load_kind::resistor_limited, 19_V, 0.030_ohm_per_m},
                  {"B", 3.6_W_per_m, load_kind::resistor_limited, 19_V, 0.030_ohm_per_m},
                  {"CW", 4.8_W_per_m, load_kind::resistor_limited, 19_V, 0.030_ohm_per_m},
                  {"WW", 4.8_W_per_m, load_kind::resistor_limited, 19_V, 0.030_ohm_per_m}},
                 5},
    .common_trace = 0.012_ohm_per_m,
    .common = polarity::common_positive,
    .cut_pitch = 0.1_m,
    .longest_piece = 5_m,
    .feed_point_limit = 5_A,
    .single_feed_limit = 5_m,
    .all_on_limit = {},
    .free_tail = 0.15_m,
    .sale_quantum = 1_m,
    .reel = 5_m,
    .price = {1450},
    .lowest_ambient = celsius{-20},
    .highest_ambient = 40_degC,
    .ingress = 20};

constexpr tape tapes[] = {white_24, colour_24};

constexpr cable cables[] = {
    {.code = "K-2x1.5",
     .name = "two core 1.5 mm2",
     .cores = 2,
     .conductor = {conductor_system::metric_class_5, 1.5_mm2, 0},
     .conductor_limit = 70_degC,
     .rating = {},
     .core_colours = {{"BN", "BU"}, 2},
     .sale_quantum = 1_m,
     .stock = {},
     .price = {90}},
    {.code = "K-2x2.5",
     .name = "two core 2.5 mm2",
     .cores = 2,
     .conductor = {conductor_system::metric_class_5, 2.5_mm2, 0},
     .conductor_limit = 70_degC,
     .rating = {},
     .core_colours = {{"BN", "BU"}, 2},
     .sale_quantum = 1_m,
     .stock = {},
     .price = {140}},
    {.code = "K-6x1.5",
     .name = "six core 1.5 mm2",
     .cores = 6,
     .conductor = {conductor_system::metric_class_5, 1.5_mm2, 0},
     .conductor_limit = 70_degC,
     .rating = {},
     .core_colours = {{"BK", "BN", "RD", "YE", "GN", "BU"}, 6},
     .sale_quantum = 1_m,
     .stock = {},
     .price = {260}},
};

constexpr connector connectors[] = {
    {.code = "J-2",
     .name = "tape to cable, 2 poles",
     .use = connector_use::tape_to_cable,
     .poles = 2,
     .ways = 2,
     .rated = 5_A,
     .rated_voltage = 60_V,
     .rating_ambient = 20_degC,
     .upper_limit = 105_degC,
     .least = 0.5_mm2,
     .greatest = 1.5_mm2,
     .contact = 0.005_ohm,
     .price = {180}},
    {.code = "J-S3",
     .name = "splice, 3 ways",
     .use = connector_use::cable_to_cable,
     .poles = 1,
     .ways = 3,
     .rated = 24_A,
     .rated_voltage = 400_V,
     .rating_ambient = 20_degC,
     .upper_limit = 105_degC,
     .least = 0.5_mm2,
     .greatest = 2.5_mm2,
     .contact = 0.001_ohm,
     .price = {45}},
};

constexpr controller controllers[] = {
    {.code = "C-5",
     .name = "five channels",
     .channels = 5,
     .channel_limit = 5_A,
     .total_limit = 15_A,
     .lowest_input = 12_V,
     .highest_input = 24_V,
     .common = polarity::common_positive,
     .least_terminal = 0.5_mm2,
     .greatest_terminal = 2.5_mm2,
     .terminal = 15_A,
     .switch_resistance = 0.015_ohm,
     .pwm = 1000_Hz,
     .is_repeater = false,
     .enforces_all_on_limit = false,
     .highest_ambient = 45_degC,
     .features = {{"wall-panel"}, 1},
     .price = {6900}},
};

constexpr driver drivers[] = {
    {.code = "D-100",
     .name = "24 V 100 W",
     .output = 24_V,
     .trim_low = {},
     .trim_high = {},
     .rated = 100_W,
     .output_limit = {},
     .overload_limit = 6_A,
     .outputs = 1,
     .least_load = {},
     .efficiency = 0.9,
     .power_factor = 0.95,
     .mains_low = 100_V,
     .mains_high = 264_V,
     .inrush_peak = 40_A,
     .inrush_duration = seconds{300e-6},
     .leakage = amps{0.0005},
     .mount = fitting::hardwired,
     .limited_energy = false,
     .derating = {{{celsius{-20}, 1.0}, {celsius{50}, 1.0}, {celsius{70}, 0.5}}, 3},
     .least_terminal = 0.5_mm2,
     .greatest_terminal = 4_mm2,
     .output_connector = {},
     .plug_fuse = {},
     .ingress = 20,
     .price = {3900}},
    {.code = "D-200",
     .name = "24 V 200 W",
     .output = 24_V,
     .trim_low = {},
     .trim_high = {},
     .rated = 200_W,
     .output_limit = {},
     .overload_limit = 11_A,
     .outputs = 1,
     .least_load = {},
     .efficiency = 0.92,
     .power_factor = 0.95,
     .mains_low = 100_V,
     .mains_high = 264_V,
     .inrush_peak = 55_A,
     .inrush_duration = seconds{400e-6},
     .leakage = amps{0.0005},
     .mount = fitting::hardwired,
     .limited_energy = false,
     .derating = {{{celsius{-20}, 1.0}, {celsius{50}, 1.0}, {celsius{70}, 0.5}}, 3},
     .least_terminal = 0.5_mm2,
     .greatest_terminal = 4_mm2,
     .output_connector = {},
     .plug_fuse = {},
     .ingress = 20,
     .price = {6100}},
};

constexpr overcurrent_device devices[] = {
    {.code = "F-5",
     .name = "blade fuse 5 A",
     .family = overcurrent_family::blade_fuse,
     .rated = 5_A,
     .rated_voltage = 32_V,
     .price = {150}},
    {.code = "F-10",
     .name = "blade fuse 10 A",
     .family = overcurrent_family::blade_fuse,
     .rated = 10_A,
     .rated_voltage = 32_V,
     .price = {150}},
};

constexpr catalogue parts{.tapes = tapes,
                          .cables = cables,
                          .connectors = connectors,
                          .controllers = controllers,
                          .drivers = drivers,
                          .overcurrent_devices = devices};

constexpr zone zones[] = {
    {.code = "Z1",
     .name = "reading corner",
     .driver_place = "store",
     .from_driver = 2_m,
     .driver_ambient = 30_degC},
    {.code = "Z2",
     .name = "shop window",
     .features = {{"wall-panel"}, 1},
     .driver_place = "store",
     .from_driver = 1.5_m,
     .driver_ambient = 30_degC},
};

constexpr run runs[] = {
    {.code = "A", .name = "shelf", .zone = 0, .tape = 0, .measured = 2.33_m, .from_controller = 3_m},
    {.code = "B", .name = "window left", .zone = 1, .tape = 1, .measured = 1.95_m, .from_controller = 4_m},
    {.code = "C", .name = "window right", .zone = 1, .tape = 1, .measured = 1.52_m, .from_controller = 2.5_m},
};

constexpr job question() {
  job j{.zones = zones, .runs = runs};
  j.rules.solder_fee = {450};
  j.rules.tariff = {31};
  return j;
}

}  // namespace small_job
