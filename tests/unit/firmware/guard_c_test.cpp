// SPDX-License-Identifier: BSL-1.0
// The guard through C: the same words as the C++ headers give, and an answer to every null pointer.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <cstring>

#include "tapewright/firmware/guarded_frame.hpp"
#include "tapewright/firmware/phase_plan.hpp"
#include "tapewright/firmware/pixel_budget.hpp"
#include "tapewright/firmware/startup_check.hpp"
#include "tapewright_guard.h"
#include "tests/support/random.hpp"
#include "tests/unit/firmware/guard_oracle.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {
tw_guard_settings to_c(const guard_settings& s) {
  tw_guard_settings c = {};
  c.channels = s.channels;
  std::copy(s.full_ua, s.full_ua + 8, c.full_ua);
  std::copy(s.channel_limit_ua, s.channel_limit_ua + 8, c.channel_limit_ua);
  c.total_limit_ua = s.total_limit_ua;
  c.sustained_limit_ua = s.sustained_limit_ua;
  c.average_shift = s.average_shift;
  c.softness = s.softness;
  c.rise_ua = s.rise_ua;
  return c;
}
bool is_null_of(const tw_guard_fault& f, std::int32_t argument) {
  return f.code == TW_GUARD_NULL_POINTER && f.field == TW_GUARD_FIELD_POINTER && f.item == argument;
}
}  // namespace

TEST_CASE("C guard: frames are word for word those of C++") {
  random_source random{20260191};
  MESSAGE("seed " << random.seed());
  for (int set = 0; set < 1'000; ++set) {
    guard_settings s = random_settings(random);
    if (random.one_in(2))
      s.rise_ua = static_cast<std::uint32_t>(random.integer(1, 1 + s.total_limit_ua / 10));
    guard_limits limits;
    REQUIRE_FALSE(configure(s, limits));
    const tw_guard_settings cs = to_c(s);
    tw_guard_limits cl;
    tw_guard_fault why;
    REQUIRE(tw_guard_configure(&cs, &cl, &why) == TW_GUARD_OK);
    REQUIRE(why.code == 0);
    REQUIRE(std::memcmp(&cl, &limits, sizeof cl) == 0);
    guard_state state;
    tw_guard_state c_state;
    tw_guard_begin(&c_state);
    for (int frame = 0; frame < 200; ++frame) {
      std::uint16_t in[8] = {}, out[8] = {}, c_out[8] = {};
      for (std::uint32_t c = 0; c < s.channels; ++c) in[c] = random_duty(random);
      REQUIRE(tw_guard(&cl, in, c_out) == guard(limits, in, out).word);
      REQUIRE(std::equal(out, out + 8, c_out));
      const std::uint32_t held = tw_guard_frame(&cl, &c_state, in, c_out);
      REQUIRE(held == guard_frame(limits, state, in, out).word);
      REQUIRE(std::equal(out, out + 8, c_out));
      REQUIRE(tw_guard_last(&c_state) == held);
    }
    REQUIRE(tw_guard_limited_frames(&c_state) == state.limited_frames);
  }
}

TEST_CASE("C guard: refusals name figure, channel and range; the limits then let nothing through") {
  tw_guard_settings s = to_c(guard_settings{});
  s.channels = 2;
  s.full_ua[0] = s.full_ua[1] = 1'500'000'000;
  s.average_shift = 4;
  tw_guard_limits l;
  tw_guard_fault why;
  CHECK(tw_guard_configure(&s, &l, &why) == TW_GUARD_OUT_OF_RANGE);
  CHECK((why.field == TW_GUARD_FIELD_FULL && why.item == 1 && why.given == 1'500'000'000 && why.least == 0 &&
         why.most == 500'000'000));
  const std::uint16_t in[2] = {5, 6};
  std::uint16_t out[2] = {7, 8};
  CHECK(TW_GUARD_MISUSED(tw_guard(&l, in, out)));
  CHECK((out[0] == 7 && out[1] == 8));  // no channels: there is nothing to write
  CHECK(tw_guard_configure(&s, &l, nullptr) == TW_GUARD_OUT_OF_RANGE);
}

TEST_CASE("C guard: null pointers") {
  tw_guard_fault why;
  tw_guard_settings s = {};
  s.channels = 1;
  s.full_ua[0] = s.channel_limit_ua[0] = s.total_limit_ua = s.sustained_limit_ua = 1'000'000;
  s.average_shift = 4;
  tw_guard_limits l;
  CHECK(tw_guard_configure(nullptr, &l, &why) == TW_GUARD_NULL_POINTER);
  CHECK(is_null_of(why, 0));
  CHECK(tw_guard_configure(&s, nullptr, &why) == TW_GUARD_NULL_POINTER);
  CHECK(is_null_of(why, 1));
  CHECK(tw_guard_configure(nullptr, nullptr, nullptr) == TW_GUARD_NULL_POINTER);
  REQUIRE(tw_guard_configure(&s, &l, nullptr) == TW_GUARD_OK);

  std::uint16_t in = 40000, out = 1;
  tw_guard_state state;
  tw_guard_begin(&state);
  tw_guard_begin(nullptr);
  CHECK(TW_GUARD_MISUSED(tw_guard(nullptr, &in, &out)));
  CHECK(out == 1);
  CHECK(TW_GUARD_MISUSED(tw_guard(&l, nullptr, &out)));
  CHECK(out == 0);
  CHECK(TW_GUARD_MISUSED(tw_guard(&l, &in, nullptr)));
  out = 1;
  CHECK(TW_GUARD_MISUSED(tw_guard_frame(nullptr, &state, &in, &out)));
  CHECK(TW_GUARD_MISUSED(tw_guard_frame(&l, nullptr, &in, &out)));
  CHECK(out == 0);
  CHECK(TW_GUARD_MISUSED(tw_guard_frame(&l, &state, nullptr, &out)));
  CHECK(TW_GUARD_MISUSED(tw_guard_frame(&l, &state, &in, nullptr)));
  CHECK(tw_guard_limited_frames(&state) == 2);
  CHECK(tw_guard_limited_frames(nullptr) == 0);
  CHECK(tw_guard_last(nullptr) == 0);

  tw_guard_pixel_sum sum = {};
  tw_guard_pixel_load load;
  tw_guard_pixels pixels = {3, {1, 1, 1, 0}, 0, 5};
  tw_guard_pixel_scaler scaler = {};
  std::uint8_t byte[3] = {};
  CHECK(tw_guard_pixels_add(nullptr, byte, 1, 3) == TW_GUARD_NULL_POINTER);
  CHECK(tw_guard_pixels_add(&sum, nullptr, 1, 3) == TW_GUARD_NULL_POINTER);
  CHECK(tw_guard_pixels_add(&sum, nullptr, 0, 3) == TW_GUARD_OK);
  CHECK(tw_guard_pixels_load(nullptr, &pixels, &load, &why) == TW_GUARD_NULL_POINTER);
  CHECK((is_null_of(why, 0) && load.keep == 0));
  CHECK(tw_guard_pixels_load(&sum, nullptr, &load, &why) == TW_GUARD_NULL_POINTER);
  CHECK(is_null_of(why, 1));
  CHECK(tw_guard_pixels_load(&sum, &pixels, nullptr, &why) == TW_GUARD_NULL_POINTER);
  CHECK(is_null_of(why, 2));
  CHECK(tw_guard_pixels_scale(nullptr, byte, 1, 3, 5) == TW_GUARD_NULL_POINTER);
  CHECK(tw_guard_pixels_scale(&scaler, nullptr, 1, 3, 5) == TW_GUARD_NULL_POINTER);

  tw_guard_phases phases = {};
  tw_guard_phase_plan plan;
  CHECK(tw_guard_plan_phases(nullptr, &plan, &why) == TW_GUARD_NULL_POINTER);
  CHECK((is_null_of(why, 0) && plan.proved == 0));
  CHECK(tw_guard_plan_phases(&phases, nullptr, &why) == TW_GUARD_NULL_POINTER);
  CHECK(is_null_of(why, 1));

  tw_guard_startup startup = {};
  tw_guard_startup_limits band;
  tw_guard_startup_check check;
  CHECK(tw_guard_startup_configure(nullptr, &band, &why) == TW_GUARD_NULL_POINTER);
  CHECK(is_null_of(why, 0));
  CHECK(tw_guard_startup_configure(&startup, nullptr, &why) == TW_GUARD_NULL_POINTER);
  CHECK(is_null_of(why, 1));
  tw_guard_startup_begin(nullptr);
  tw_guard_startup_begin(&check);
  tw_guard_startup_supply(nullptr, &band, 1);
  tw_guard_startup_supply(&check, nullptr, 1);
  tw_guard_startup_channel(nullptr, &band, 0, 1);
  tw_guard_startup_channel(&check, nullptr, 0, 1);
  CHECK(tw_guard_startup_settled(nullptr, &band) == 0);
  CHECK(tw_guard_startup_settled(&check, nullptr) == 0);
  tw_guard_finding one;
  CHECK(tw_guard_startup_findings(nullptr, &band, &one, 1) == 0);
  CHECK(tw_guard_startup_findings(&check, nullptr, &one, 1) == 0);
  CHECK(tw_guard_startup_findings(&check, &band, nullptr, 1) == 0);
}

TEST_CASE("C guard: pixels, phases and start-up as in C++") {
  std::uint8_t white[30];
  std::fill(white, white + 30, std::uint8_t{200});
  tw_guard_pixel_sum sum = {};
  REQUIRE(tw_guard_pixels_add(&sum, white, 4, 3) == TW_GUARD_OK);
  REQUIRE(tw_guard_pixels_add(&sum, white + 12, 6, 3) == TW_GUARD_OK);
  REQUIRE(tw_guard_pixels_add(&sum, white, 1, 5) == TW_GUARD_OUT_OF_RANGE);
  const tw_guard_pixels pixels = {3, {12'000, 11'000, 10'000, 0}, 500, 100'000};
  tw_guard_pixel_load load;
  tw_guard_fault why;
  REQUIRE(tw_guard_pixels_load(&sum, &pixels, &load, &why) == TW_GUARD_OK);
  CHECK(load.lit == 10ull * 200 * 33'000);
  CHECK(load.idle == 10ull * 255 * 500);
  CHECK(load.keep == 65536ull * (255ull * 100'000 - load.idle) / load.lit);
  const tw_guard_pixels five = {5, {}, 0, 0};
  CHECK(tw_guard_pixels_load(&sum, &five, &load, &why) == TW_GUARD_OUT_OF_RANGE);
  CHECK((why.field == TW_GUARD_FIELD_PIXEL_BYTES && load.keep == 0));
  tw_guard_pixel_scaler scaler = {};
  REQUIRE(tw_guard_pixels_scale(&scaler, white, 10, 3, 32768) == TW_GUARD_OK);
  CHECK(std::all_of(white, white + 30, [](std::uint8_t b) { return b == 100; }));
  CHECK(tw_guard_pixels_scale(&scaler, white, 10, 3, 65537) == TW_GUARD_OUT_OF_RANGE);

  const tw_guard_phases phases = {3, {1000, 1000, 1000}, {21845, 21845, 21845}};
  tw_guard_phase_plan plan;
  REQUIRE(tw_guard_plan_phases(&phases, &plan, &why) == TW_GUARD_OK);
  CHECK((plan.peak_before == 3000 && plan.peak_after == 1000 && plan.rms_before == 1732 &&
         plan.rms_after == 1000));
  CHECK(plan.proved == 1);
  CHECK((plan.offset[0] == 0 && plan.offset[1] == 21845 && plan.offset[2] == 43690));

  tw_guard_startup startup = {};
  startup.channels = 2;
  startup.supply_counts = 2400;
  startup.channel_counts[0] = startup.channel_counts[1] = 1000;
  startup.supply_share = 3277;
  startup.current_share = 9830;
  startup.open_share = 6554;
  startup.short_share = 131072;
  startup.hysteresis_share = 1311;
  startup.steady_samples = 2;
  tw_guard_startup_limits band;
  REQUIRE(tw_guard_startup_configure(&startup, &band, &why) == TW_GUARD_OK);
  tw_guard_startup_check check;
  tw_guard_startup_begin(&check);
  for (int i = 0; i < 2; ++i) {
    CHECK(tw_guard_startup_settled(&check, &band) == 0);
    tw_guard_startup_supply(&check, &band, 2000);
    tw_guard_startup_channel(&check, &band, 0, 1000);
    tw_guard_startup_channel(&check, &band, 1, 3000);
  }
  CHECK(tw_guard_startup_settled(&check, &band) == 1);
  tw_guard_finding found[1];
  CHECK(tw_guard_startup_findings(&check, &band, nullptr, 0) == 2);
  CHECK(tw_guard_startup_findings(&check, &band, found, 1) == 2);
  CHECK((found[0].code == TW_GUARD_SUPPLY_LOW && found[0].channel == -1 && found[0].counts == 2000 &&
         found[0].least == 2280 && found[0].most == 2521));
  CHECK(tw_guard_version() == TW_GUARD_VERSION);
}
