// SPDX-License-Identifier: BSL-1.0
// Figures that the compiler cannot know.
#pragma once

#include <cstdint>

// They stay in a register: by way of memory each would cost the five nanoseconds of a store that is read back.
// benchmark::DoNotOptimize is not asked for it: it lets the compiler choose between memory and register for what comes in
// and goes out, and GCC 12 then brings back another number than it was given.
inline double unknown(double figure) noexcept {
#if defined(__SSE2__)
  asm volatile("" : "+x"(figure));
#else
  asm volatile("" : "+m"(figure));
#endif
  return figure;
}
inline std::int32_t unknown_whole(std::int32_t figure) noexcept {
  asm volatile("" : "+r"(figure));
  return figure;
}
