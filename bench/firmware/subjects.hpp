// SPDX-License-Identifier: BSL-1.0
// What is counted and weighed on the boards, one function each, called through the linker's names.
#pragma once

#include <cstdint>

#include "tapewright/firmware/guarded_frame.hpp"
#include "tapewright/firmware/pixel_budget.hpp"

extern "C" {
/// The shop window's guard, five channels, limits made at compile time.
std::uint32_t guard_of_window(const std::uint16_t* in, std::uint16_t* out) noexcept;
/// The same through the sustained limit and the ramp.
std::uint32_t frame_of_window(tapewright::guard_state& state, const std::uint16_t* in,
                              std::uint16_t* out) noexcept;
/// Pixels of three bytes added to a sum.
void sum_of_pixels(tapewright::pixel_sum& sum, const std::uint8_t* pixels, std::uint32_t count) noexcept;
/// One run of five channels solved; false where it is refused.
bool solve_run(std::uint32_t segments, double& least_evenness) noexcept;
}
