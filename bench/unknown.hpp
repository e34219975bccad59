// SPDX-License-Identifier: BSL-1.0
// Figures that the compiler cannot know.
#pragma once

#include <cstdint>

// By way of memory. benchmark::DoNotOptimize is not asked for it: it lets the compiler choose between memory and register
// for what comes in and goes out, and GCC 12 then brings back another number than it was given.
inline double unknown(double figure) noexcept {
  asm volatile("" : "+m"(figure));
  return figure;
}
inline std::int32_t unknown_whole(std::int32_t figure) noexcept {
  asm volatile("" : "+m"(figure));
  return figure;
}
