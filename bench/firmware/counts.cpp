// SPDX-License-Identifier: BSL-1.0
// Counts instructions on a board: SysTick runs on QEMU's instruction clock (-icount), so that ticks are instructions.
// Prints `case ticks`; what a tick is, the caller knows. Every call goes through a volatile pointer, and an empty
// function with the same arguments is printed first: its one instruction and the call are in every other figure.
#include <cstdint>

#include "examples/firmware/console.hpp"
#include "examples/firmware/shop_window.hpp"
#include "run_sizing.hpp"
#include "scalar_sizing.hpp"
#include "subjects.hpp"
#include "tapewright_guard.h"

using namespace tapewright;

namespace {

volatile std::uint32_t& reg(std::uint32_t address) {
  return *reinterpret_cast<volatile std::uint32_t*>(address);
}
constexpr std::uint32_t systick = 0xe000e010;

/// SysTick counts 24 bits down.
std::uint32_t now() { return reg(systick + 8); }

void print(const char* what, std::uint32_t before, std::uint32_t after) {
  console::write(what);
  console::write(" ");
  console::write_number((before - after) & 0xffffff);
  console::write("\n");
}

extern "C" [[gnu::noinline]] std::uint32_t nothing(const std::uint16_t*, std::uint16_t*) noexcept {
  __asm__ volatile("");
  return 0;
}

std::uint32_t (*volatile empty)(const std::uint16_t*, std::uint16_t*) noexcept = nothing;
std::uint32_t (*volatile window)(const std::uint16_t*, std::uint16_t*) noexcept = guard_of_window;
std::uint32_t (*volatile frame)(guard_state&, const std::uint16_t*,
                                std::uint16_t*) noexcept = frame_of_window;
tw_guard_held (*volatile any)(const tw_guard_limits*, const uint16_t*, uint16_t*) = tw_guard;
tw_guard_held (*volatile any_frame)(const tw_guard_limits*, tw_guard_state*, const uint16_t*,
                                    uint16_t*) = tw_guard_frame;
void (*volatile pixels)(pixel_sum&, const std::uint8_t*, std::uint32_t) noexcept = sum_of_pixels;

std::uint8_t strip[3 * 1100];

struct frame_case {
  const char* name;
  std::uint16_t duty[5];
};
// nothing bites; the sum bites; the sum and the two whites' own limits; every limit there is
constexpr frame_case cases[] = {
    {"within", {20000, 20000, 20000, 20000, 20000}},
    {"limiting", {50000, 50000, 50000, 50000, 50000}},
    {"limiting-and-clipping", {60000, 60000, 60000, 65535, 65535}},
};

/// The frame that is only just too bright: its factor has all 16 digits 1, the longest way for a core that finds it digit
/// by digit.
frame_case barely() {
  frame_case c{"limiting-barely", {}};
  std::uint16_t out[5] = {};
  for (std::uint16_t duty = 40000;; ++duty) {
    for (std::uint16_t& d : c.duty) d = duty;
    if (guard(shop_window::limits, c.duty, out).scaled()) return c;
  }
}

void print_case(const char* what, const char* name, std::uint32_t before, std::uint32_t after) {
  console::write(what);
  print(name, before, after);
}

}  // namespace

int main() {
  reg(systick + 4) = 0xffffff;
  reg(systick + 8) = 0;
  reg(systick) = 5;  // enable, processor clock

  tw_guard_settings settings;
  static_assert(sizeof settings == sizeof shop_window::basis.settings);
  __builtin_memcpy(&settings, &shop_window::basis.settings, sizeof settings);
  tw_guard_limits limits;
  std::uint32_t begin = now();
  if (tw_guard_configure(&settings, &limits, nullptr) != TW_GUARD_OK) return 1;
  std::uint32_t end = now();
  print("configure", begin, end);

  std::uint16_t out[5] = {};
  begin = now();
  empty(cases[0].duty, out);
  end = now();
  print("empty", begin, end);
  const frame_case all[] = {cases[0], cases[1], cases[2], barely()};
  for (const frame_case& c : all) {
    begin = now();
    window(c.duty, out);
    end = now();
    print_case("guard-", c.name, begin, end);
    begin = now();
    any(&limits, c.duty, out);
    end = now();
    print_case("c-guard-", c.name, begin, end);
    guard_state state;
    state.budget = shop_window::limits.peak;
    tw_guard_state c_state;
    __builtin_memcpy(&c_state, &state, sizeof c_state);
    begin = now();
    frame(state, c.duty, out);
    end = now();
    print_case("frame-", c.name, begin, end);
    begin = now();
    any_frame(&limits, &c_state, c.duty, out);
    end = now();
    print_case("c-frame-", c.name, begin, end);
  }
  for (const std::uint32_t count : {100u, 1100u}) {
    pixel_sum sum;
    begin = now();
    pixels(sum, strip, count);
    end = now();
    print(count == 100 ? "pixels-100" : "pixels-1100", begin, end);
  }
  return 0;
}
