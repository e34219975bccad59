// SPDX-License-Identifier: BSL-1.0
// The parts behind one controller of a bookshop's window: invented, as they would stand in the job's catalogue.
#pragma once

#include "tapewright/firmware/guard_limits.hpp"

namespace shop_window {

using namespace tapewright;
using namespace tapewright::literals;

inline constexpr tape colours{
    .code = "T-RGB2W",
    .name = "red, green, blue and two whites, 24 V",
    .nominal = 24_V,
    .highest = 25.2_V,
    .channels = {{{"R", 4.8_W_per_m, load_kind::resistor_limited, 17_V, 0.030_ohm_per_m},
                  {"G", 4.8_W_per_m, load_kind::resistor_limited, 19_V, 0.030_ohm_per_m},
                  {"B", 4.8_W_per_m, load_kind::resistor_limited, 19_V, 0.030_ohm_per_m},
                  {"CW", 7.2_W_per_m, load_kind::resistor_limited, 19_V, 0.030_ohm_per_m},
                  {"WW", 7.2_W_per_m, load_kind::resistor_limited, 19_V, 0.030_ohm_per_m}},
                 5},
    .common_trace = 0.012_ohm_per_m,
    .common = polarity::common_positive,
    .cut_pitch = 0.1_m,
    .longest_piece = 5_m,
    .feed_point_limit = 6_A,
    .single_feed_limit = 5_m,
    .all_on_limit = {},
    .free_tail = 0.15_m,
    .sale_quantum = 1_m,
    .reel = 5_m,
    .price = {},
    .lowest_ambient = celsius{-20},
    .highest_ambient = 40_degC,
    .ingress = 20};

inline constexpr controller dimmer{.code = "C-5",
                                   .name = "five channels",
                                   .channels = 5,
                                   .channel_limit = 1.25_A,
                                   .total_limit = 8_A,
                                   .lowest_input = 12_V,
                                   .highest_input = 24_V,
                                   .common = polarity::common_positive,
                                   .least_terminal = 0.5_mm2,
                                   .greatest_terminal = 2.5_mm2,
                                   .terminal = 10_A,
                                   .switch_resistance = 0.015_ohm,
                                   .pwm = 1000_Hz,
                                   .is_repeater = false,
                                   .enforces_all_on_limit = false,
                                   .highest_ambient = 45_degC,
                                   .features = {},
                                   .price = {}};

inline constexpr connector feed{.code = "J-6",
                                .name = "tape to cable, 6 poles",
                                .use = connector_use::tape_to_cable,
                                .poles = 6,
                                .ways = 2,
                                .rated = 5_A,
                                .rated_voltage = 60_V,
                                .rating_ambient = 20_degC,
                                .upper_limit = 105_degC,
                                .least = 0.5_mm2,
                                .greatest = 1.5_mm2,
                                .contact = 0.005_ohm,
                                .price = {}};

inline constexpr driver supply{.code = "D-100",
                               .name = "24 V, 100 W",
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
                               .leakage = {},
                               .mount = fitting::hardwired,
                               .limited_energy = false,
                               .derating = {{{celsius{-20}, 1.0}, {celsius{50}, 1.0}, {celsius{70}, 0.5}}, 3},
                               .least_terminal = 0.5_mm2,
                               .greatest_terminal = 4_mm2,
                               .output_connector = {},
                               .plug_fuse = {},
                               .ingress = 20,
                               .price = {}};

/// 4.6 m along the window; the connector behind the valance is warm, the driver sits in the store. Short peaks of a
/// quarter over what connector and driver bear for ever, averaged over 10 s of 100 frames a second.
inline constexpr guard_site site{.length = 4.6_m,
                                 .ambient = 35_degC,
                                 .driver_ambient = 30_degC,
                                 .peak_share = 1.25,
                                 .time_constant = 10_s,
                                 .frames = 100_Hz,
                                 .softness = 2,
                                 .rise_time = 0.5_s};

/// The limits, made by the compiler: 52 bytes of flash.
inline constexpr guard_basis basis = *guard_basis_of(colours, dimmer, feed, supply, site);
inline constexpr guard_limits limits = *guard_limits_of(colours, dimmer, feed, supply, site);

}  // namespace shop_window
