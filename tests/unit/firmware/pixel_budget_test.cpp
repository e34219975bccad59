// SPDX-License-Identifier: BSL-1.0
// Frames of addressable tape: exact sums over any pieces, the factor, and bytes scaled within it.
#include "tapewright/firmware/pixel_budget.hpp"

#include <doctest/doctest.h>

#include <cstdint>
#include <vector>

#include "tests/support/random.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {
__extension__ using u128 = unsigned __int128;

std::vector<std::uint8_t> random_pixels(random_source& random, std::size_t bytes) {
  std::vector<std::uint8_t> p(bytes);
  const std::uint64_t mask = random.one_in(3) ? 15 : 255;
  for (std::uint8_t& b : p) b = static_cast<std::uint8_t>(random.bits() >> 8 & mask);
  return p;
}
pixel_settings random_pixel_settings(random_source& random) {
  pixel_settings s;
  s.bytes = random.one_in(2) ? 3 : 4;
  for (std::uint32_t c = 0; c < s.bytes; ++c)
    s.colour_ua[c] = static_cast<std::uint32_t>(random.integer(0, 65535));
  s.idle_ua = static_cast<std::uint32_t>(random.integer(0, 1500));
  return s;
}

// 100 pixels of three colours at 12 mA, 0.6 mA idle, limit 2 A: 3.6 A + 0.06 A asked for
constexpr pixel_load white_hundred() {
  pixel_sum sum;
  std::uint8_t white[300] = {};
  for (std::uint8_t& b : white) b = 255;
  sum.add(white, 40, 3);
  sum.add(white + 120, 60, 3);
  return load_of(sum, {3, {12'000, 12'000, 12'000}, 600, 2'000'000});
}
static_assert(white_hundred().lit == 255ull * 3'600'000 && white_hundred().idle == 255ull * 60'000);
static_assert(white_hundred().keep == 35316);  // floor(65536 * 1.94 / 3.6)
}  // namespace

TEST_CASE("pixel_sum: pieces of any length make the same exact sum") {
  random_source random{20260151};
  MESSAGE("seed " << random.seed());
  for (int run = 0; run < 300; ++run) {
    const std::uint32_t bytes = random.one_in(2) ? 3 : 4;
    const auto pixels = static_cast<std::uint32_t>(random.integer(0, 3000));
    const auto buffer = random_pixels(random, std::size_t{pixels} * bytes);
    std::uint64_t wanted[4] = {};
    for (std::size_t i = 0; i < buffer.size(); ++i) wanted[i % bytes] += buffer[i];
    pixel_sum sum;
    for (std::uint32_t at = 0; at < pixels;) {
      const auto now = static_cast<std::uint32_t>(random.integer(0, pixels - at));
      REQUIRE(sum.add(buffer.data() + std::size_t{at} * bytes, now, bytes));
      at += now;
      if (now == 0 && random.one_in(4)) REQUIRE(sum.add(nullptr, 0, bytes));
    }
    REQUIRE(sum.pixels == pixels);
    for (std::uint32_t c = 0; c < 4; ++c) REQUIRE(sum.colour[c] == wanted[c]);
  }
}

TEST_CASE("pixel_sum: past 2^24 pixels and past 32 bits") {
  std::vector<std::uint8_t> white(3 * ((1u << 24) + 5), 255);
  pixel_sum sum;
  CHECK(sum.add(white.data(), (1u << 24) + 5, 3));
  CHECK(sum.colour[2] == 255ull * ((1u << 24) + 5));
  for (int i = 0; i < 3; ++i) CHECK(sum.add(white.data(), 1u << 24, 3));
  CHECK(sum.colour[0] == 255ull * ((4ull << 24) + 5));
  const pixel_load load = load_of(sum, {3, {65535, 65535, 65535}, 65535, 0xffffffff});
  CHECK(load.lit == 3 * 65535ull * sum.colour[0]);
  CHECK(load.idle == 255 * 65535ull * sum.pixels);
  CHECK(load.idle_above_limit);
  CHECK(load.keep == 0);
}

TEST_CASE("load_of, pixel_scaler: never above the limit, never 0.1 % and a byte step below it") {
  random_source random{20260152};
  MESSAGE("seed " << random.seed());
  int scaled = 0;
  for (int run = 0; run < 3'000; ++run) {
    pixel_settings s = random_pixel_settings(random);
    const auto pixels = static_cast<std::uint32_t>(random.integer(1, 500));
    auto buffer = random_pixels(random, std::size_t{pixels} * s.bytes);
    pixel_sum sum;
    REQUIRE(sum.add(buffer.data(), pixels, s.bytes));
    s.limit_ua = 0xffffffff;
    const pixel_load asked = load_of(sum, s);
    s.limit_ua = static_cast<std::uint32_t>(static_cast<double>(asked.lit + asked.idle) / 255 *
                                            random.uniform(0, 1.2));
    const pixel_load load = load_of(sum, s);
    const std::uint64_t limit = 255ull * s.limit_ua;
    REQUIRE(load.lit == asked.lit);
    if (load.idle > limit) {
      REQUIRE((load.idle_above_limit && load.keep == 0));
      continue;
    }
    const std::uint64_t room = limit - load.idle;
    if (load.lit <= room) REQUIRE(load.keep == full_keep);
    else REQUIRE(load.keep == static_cast<std::uint32_t>((u128{room} << 16) / load.lit));

    const auto before = buffer;
    pixel_scaler scaler;
    const std::uint32_t half = pixels / 2;
    REQUIRE(scaler.scale(buffer.data(), half, s.bytes, load.keep));
    REQUIRE(scaler.scale(buffer.data() + std::size_t{half} * s.bytes, pixels - half, s.bytes, load.keep));
    std::uint64_t lit = 0, step = 0;
    for (std::size_t i = 0; i < buffer.size(); ++i) {
      lit += std::uint64_t{buffer[i]} * s.colour_ua[i % s.bytes];
      REQUIRE(buffer[i] <= before[i]);
      // what a pixel is given from its neighbour is less than a step
      REQUIRE(buffer[i] <= (std::uint32_t{before[i]} * load.keep >> 16) + 1);
      if (load.keep == full_keep) REQUIRE(buffer[i] == before[i]);
    }
    for (std::uint32_t c = 0; c < s.bytes; ++c) step += s.colour_ua[c];
    REQUIRE(lit <= room);
    // allowed: the lesser of lit and room; keep is cut to 2^-16 of lit, and one byte step a colour in the whole frame
    const std::uint64_t allowed = load.lit < room ? load.lit : room;
    REQUIRE(lit + step + (load.lit >> 16) + 1 >= allowed);
    scaled += load.keep < full_keep ? 1 : 0;
  }
  CHECK(scaled > 1'000);
}

TEST_CASE("pixel_budget: monotone in the limit and in every byte") {
  random_source random{20260153};
  for (int run = 0; run < 20'000; ++run) {
    pixel_settings s = random_pixel_settings(random);
    pixel_sum sum;
    sum.pixels = static_cast<std::uint64_t>(random.integer(1, 10'000));
    for (std::uint32_t c = 0; c < s.bytes; ++c)
      sum.colour[c] =
          static_cast<std::uint64_t>(random.integer(0, 255 * static_cast<std::int64_t>(sum.pixels)));
    s.limit_ua = static_cast<std::uint32_t>(random.log_uniform(1, 4e9));
    const std::uint32_t keep = load_of(sum, s).keep;
    pixel_settings more = s;
    more.limit_ua += s.limit_ua / 1000;
    REQUIRE(load_of(sum, more).keep >= keep);
    pixel_sum brighter = sum;
    ++brighter.colour[0];
    REQUIRE(load_of(brighter, s).keep <= keep);
  }
}

TEST_CASE("pixel_budget: misuse has an answer") {
  pixel_sum sum;
  const std::uint8_t some[8] = {1, 2, 3, 4, 5, 6, 7, 8};
  CHECK_FALSE(sum.add(nullptr, 1, 3));
  CHECK_FALSE(sum.add(some, 2, 2));
  CHECK_FALSE(sum.add(some, 1, 5));
  CHECK(sum.pixels == 0);
  CHECK(sum.add(some, 0, 3));
  CHECK(load_of(sum, {3, {1, 1, 1}, 1, 0}).keep == full_keep);  // nothing there: nothing to hold back

  std::uint8_t bytes[4] = {255, 255, 255, 255};
  pixel_scaler scaler;
  CHECK_FALSE(scaler.scale(nullptr, 1, 3, 100));
  CHECK_FALSE(scaler.scale(bytes, 1, 3, full_keep + 1));
  CHECK_FALSE(scaler.scale(bytes, 1, 2, 100));
  CHECK(bytes[0] == 255);

  CHECK(check(pixel_settings{2, {}, 0, 0}) ==
        whole_fault{fault_code::out_of_range, field::pixel_bytes, -1, 2, 3, 4});
  CHECK(check(pixel_settings{3, {0, 65536, 0}, 0, 0}) ==
        whole_fault{fault_code::out_of_range, field::colour_current, 1, 65536, 0, 65535});
  CHECK(check(pixel_settings{3, {}, 70'000, 0}) ==
        whole_fault{fault_code::out_of_range, field::pixel_idle_current, -1, 70'000, 0, 65535});
  CHECK(load_of(sum, {2, {}, 0, 5}).keep == 0);
}
