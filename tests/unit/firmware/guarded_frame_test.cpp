// SPDX-License-Identifier: BSL-1.0
// Whole frames: peak, average and ramp together, the count of limited frames, and what a frame remembers.
#include "tapewright/firmware/guarded_frame.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>

#include "tests/support/random.hpp"
#include "tests/unit/firmware/guard_oracle.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {
std::uint32_t load_of(const guard_limits& l, const std::uint16_t* duty) noexcept {
  std::uint32_t load = 0;
  for (std::uint32_t c = 0; c < l.channels; ++c) load += std::uint32_t{l.weight[c]} * duty[c];
  return load;
}
guard_limits two_amps_of_three(std::uint32_t rise_ua) noexcept {
  guard_settings s;
  s.channels = 3;
  for (std::uint32_t c = 0; c < 3; ++c) s.full_ua[c] = s.channel_limit_ua[c] = 1'000'000;
  s.total_limit_ua = 2'500'000;
  s.sustained_limit_ua = 2'000'000;
  s.average_shift = 8;
  s.softness = 3;
  s.rise_ua = rise_ua;
  guard_limits l;
  CHECK_FALSE(configure(s, l));
  return l;
}
}  // namespace

TEST_CASE(
    "guard_frame: no frame above the peak, no average above the sustained limit, no rise above the ramp") {
  random_source random{20260141};
  MESSAGE("seed " << random.seed());
  std::uint64_t limited = 0;
  for (int set = 0; set < cases(2'000); ++set) {
    guard_settings s = random_settings(random);
    if (random.one_in(2))
      s.rise_ua = static_cast<std::uint32_t>(random.integer(1, 1 + s.total_limit_ua / 10));
    guard_limits l;
    REQUIRE_FALSE(configure(s, l));
    guard_state state;
    load_average truth;
    std::uint32_t counted = 0, last_budget = 0;
    for (int frame = 0; frame < 500; ++frame) {
      std::uint16_t in[8] = {}, out[8] = {};
      for (std::uint32_t c = 0; c < s.channels; ++c) in[c] = random_duty(random);
      const held_back taken = guard_frame(l, state, in, out);
      const std::uint32_t load = load_of(l, out);
      REQUIRE(load <= l.peak);
      REQUIRE(load <= state.budget);
      REQUIRE(state.budget <= std::uint64_t{last_budget} + l.rise);
      truth.take(load, l.average_shift);
      REQUIRE(truth.average <= l.sustained);
      REQUIRE(state.average.average <= l.sustained);
      counted += taken.limited() ? 1 : 0;
      REQUIRE(state.limited_frames == counted);
      REQUIRE(state.last == taken);
      last_budget = state.budget;
    }
    limited += counted;
  }
  CHECK(limited > cases(100'000));
}

TEST_CASE("guard_frame: equals guard where the sustained limit and the ramp do not bite") {
  guard_settings s;
  s.channels = 4;
  for (std::uint32_t c = 0; c < 4; ++c) s.full_ua[c] = s.channel_limit_ua[c] = 700'000 + c;
  s.total_limit_ua = s.sustained_limit_ua = 1'900'000;
  guard_limits l;
  REQUIRE_FALSE(configure(s, l));
  random_source random{20260142};
  guard_state state;
  for (int frame = 0; frame < 10'000; ++frame) {
    std::uint16_t in[4] = {}, out[4] = {}, plain[4] = {};
    for (std::uint16_t& d : in) d = random_duty(random);
    const held_back taken = guard_frame(l, state, in, out);
    REQUIRE(taken == guard(l, in, plain));
    REQUIRE(std::equal(out, out + 4, plain));
  }
}

TEST_CASE("guard_frame: a soft start, and a soft way down from the peak") {
  const guard_limits l = two_amps_of_three(10'000);  // 10 mA a frame
  guard_state state;
  const std::uint16_t in[3] = {65535, 65535, 65535};
  std::uint16_t out[3] = {};
  std::uint32_t last = 0;
  const std::uint32_t full = load_of(l, in);
  for (int frame = 0; frame < 4'000; ++frame) {
    guard_frame(l, state, in, out);
    const std::uint32_t load = load_of(l, out);
    if (load > last)
      REQUIRE(load - last <= full / 300 + 2 * 32767);  // 10 mA of 3 A, and a step of each channel
    // 2^softness * peak / 2^shift = a 32nd of the peak at the very most; in truth about a hundredth
    if (load < last) REQUIRE(last - load <= l.peak / 32);
    last = load;
  }
  CHECK(last <= l.sustained + l.sustained / 1000);
  CHECK(last >= l.sustained - l.sustained / 1000);
}

TEST_CASE("guard_frame: the count of limited frames stays at its end") {
  const guard_limits l = two_amps_of_three(0);
  guard_state state;
  state.limited_frames = 0xfffffffe;
  const std::uint16_t in[3] = {65535, 65535, 65535};
  std::uint16_t out[3] = {};
  for (int frame = 0; frame < 3; ++frame) guard_frame(l, state, in, out);
  CHECK(state.limited_frames == 0xffffffff);
  const std::uint16_t low[3] = {1, 1, 1};
  CHECK_FALSE(guard_frame(l, state, low, out).limited());
  CHECK(state.limited_frames == 0xffffffff);
  CHECK(state.last == held_back{});
}

TEST_CASE("guard_frame: misuse is dark, is counted, and counts as no load") {
  const guard_limits l = two_amps_of_three(0);
  guard_state state;
  std::uint16_t duty[3] = {60000, 60000, 60000};
  guard_frame(l, state, duty, duty);
  const std::uint32_t average = state.average.average;
  std::uint16_t out[3] = {7, 7, 7};
  CHECK(guard_frame(l, state, nullptr, out).misused());
  CHECK((out[0] == 0 && out[1] == 0 && out[2] == 0));
  CHECK(guard_frame(l, state, duty, nullptr).misused());
  CHECK(guard_frame(guard_limits{}, state, duty, out).misused());
  CHECK(state.limited_frames == 4);
  CHECK(state.average.average < average);
}
