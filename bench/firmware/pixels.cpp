// SPDX-License-Identifier: BSL-1.0
// Pixels of three bytes.
#include "subjects.hpp"

void sum_of_pixels(tapewright::pixel_sum& sum, const std::uint8_t* pixels, std::uint32_t count) noexcept {
  sum.add(pixels, count, 3);
}
