// SPDX-License-Identifier: BSL-1.0
// What the sizing on the boards is asked: the shop window's run.
#pragma once

#include "examples/firmware/shop_window.hpp"
#include "run_sizing.hpp"
#include "scalar_sizing.hpp"

namespace firmware_bench {

using namespace tapewright;

inline constexpr run_question question{
    shop_window::colours,
    metres{4.6},
    metres{4},
    {.code = "K-6x1.5",
     .name = "six core 1.5 mm2",
     .cores = 6,
     .conductor = {conductor_system::metric_class_5, square_millimetres{1.5}, 0},
     .conductor_limit = celsius{70},
     .rating = {},
     .core_colours = {},
     .sale_quantum = metres{1},
     .stock = {},
     .price = {}},
    shop_window::feed,
    shop_window::supply,
    {"F-5", "5 A blade", overcurrent_family::blade_fuse, amps{5}, volts{32}, {}},
    celsius{30}};
inline constexpr scalar_question scalars{
    amps{4},      amps{1},       metres{4},  volts{24},
    0.03,         0.1,           watts{100}, shop_window::supply.derating,
    watts{200},   celsius{40},   amps{10},   celsius{20},
    celsius{105}, question.fuse, amps{10},   amps{8}};

}  // namespace firmware_bench
