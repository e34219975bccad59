// SPDX-License-Identifier: BSL-1.0
// What configure accepts and refuses, and that its words err on the safe side by less than they promise.
#include "tapewright/firmware/guard_settings.hpp"

#include <doctest/doctest.h>

#include <cstdint>

#include "tests/support/random.hpp"
#include "tests/unit/firmware/guard_oracle.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {
guard_settings five() noexcept {
  guard_settings s;
  s.channels = 5;
  for (std::uint32_t c = 0; c < 5; ++c) s.full_ua[c] = s.channel_limit_ua[c] = 1'000'000 + 100'000 * c;
  s.total_limit_ua = 4'000'000;
  s.sustained_limit_ua = 3'000'000;
  return s;
}
whole_fault asked(const guard_settings& s) noexcept {
  guard_limits l;
  l.channels = 3;
  const whole_fault f = configure(s, l);
  if (f) CHECK(l == guard_limits{});  // with which a guard lets nothing through
  else CHECK(l.channels == s.channels);
  return f;
}
bool is_out_of_range(const whole_fault& f, field which, std::int32_t item, std::uint32_t given,
                     std::uint32_t least, std::uint32_t most) noexcept {
  return f == whole_fault{fault_code::out_of_range, which, item, given, least, most};
}
}  // namespace

TEST_CASE("configure: refuses nonsense, and names field, channel and range") {
  CHECK_FALSE(asked(five()));
  guard_settings s = five();
  s.channels = 0;
  CHECK(is_out_of_range(asked(s), field::guard_channels, -1, 0, 1, 8));
  s.channels = 9;
  CHECK(is_out_of_range(asked(s), field::guard_channels, -1, 9, 1, 8));
  s.channels = 0xffffffff;
  CHECK(is_out_of_range(asked(s), field::guard_channels, -1, 0xffffffff, 1, 8));

  s = five();
  s.average_shift = 0;
  CHECK(is_out_of_range(asked(s), field::average_shift, -1, 0, 1, 16));
  s.average_shift = 17;
  CHECK(is_out_of_range(asked(s), field::average_shift, -1, 17, 1, 16));
  s.average_shift = 4;
  s.softness = 4;
  CHECK(is_out_of_range(asked(s), field::softness, -1, 4, 0, 3));
  s.softness = 3;
  CHECK_FALSE(asked(s));

  s = five();
  for (std::uint32_t c = 0; c < 5; ++c) s.full_ua[c] = 0;
  CHECK(is_out_of_range(asked(s), field::full_current, -1, 0, 1, 2'000'000'000));
  s.full_ua[1] = 2'000'000'000;
  s.total_limit_ua = 2'000'000'000;
  CHECK_FALSE(asked(s));
  s.full_ua[2] = 1;
  CHECK(is_out_of_range(asked(s), field::full_current, 2, 1, 0, 0));
  s.full_ua[0] = 0xffffffff;
  CHECK(is_out_of_range(asked(s), field::full_current, 0, 0xffffffff, 0, 2'000'000'000));
}

TEST_CASE("configure: limits so low that 0.1 % cannot be kept are refused, 0 is not") {
  guard_settings s = five();  // 6 A; every weight above 1024
  const std::uint32_t least = (6'000'000u >> 13) + 1;
  s.sustained_limit_ua = s.total_limit_ua = least - 1;
  CHECK(is_out_of_range(asked(s), field::guard_total_limit, -1, least - 1, least, 6'000'000));
  s.total_limit_ua = least;
  CHECK(is_out_of_range(asked(s), field::guard_sustained_limit, -1, least - 1, least, 6'000'000));
  s.sustained_limit_ua = least;
  CHECK_FALSE(asked(s));
  s.total_limit_ua = 0;
  CHECK_FALSE(asked(s));

  s = five();
  s.full_ua[3] = 50'000;  // under 1/32 of the load: from 1/16 of the load on, for one such channel
  const std::uint32_t full = 1'000'000 + 1'100'000 + 1'200'000 + 50'000 + 1'400'000;
  const std::uint32_t one = (full >> 4) + 1;
  s.sustained_limit_ua = s.total_limit_ua = one - 1;
  CHECK(is_out_of_range(asked(s), field::guard_total_limit, -1, one - 1, one, full));
  s.sustained_limit_ua = s.total_limit_ua = one;
  CHECK_FALSE(asked(s));
}

TEST_CASE("configure: limits at and above what is connected never bite; 0 keeps dark") {
  guard_settings s = five();
  s.total_limit_ua = s.sustained_limit_ua = 0xffffffff;
  for (std::uint32_t c = 0; c < 5; ++c) s.channel_limit_ua[c] = 0xffffffff;
  guard_limits l;
  CHECK_FALSE(configure(s, l));
  std::uint16_t all[5] = {65535, 65535, 65535, 65535, 65535}, out[5] = {};
  CHECK(guard(l, all, out) == held_back{});
  for (const std::uint16_t d : out) CHECK(d == 65535);
  s.total_limit_ua = s.sustained_limit_ua = 6'000'000;
  CHECK_FALSE(configure(s, l));
  CHECK(guard(l, all, out) == held_back{});

  s.channel_limit_ua[2] = 0;
  CHECK_FALSE(configure(s, l));
  CHECK(guard(l, all, out).clipped());
  CHECK(out[2] == 0);
  s.total_limit_ua = 0;
  CHECK_FALSE(configure(s, l));
  CHECK(guard(l, all, out).scaled());
  for (const std::uint16_t d : out) CHECK(d == 0);
}

TEST_CASE("configure: weights up, limits down, by less than one") {
  random_source random{20260121};
  MESSAGE("seed " << random.seed());
  for (int i = 0; i < cases(100'000); ++i) {
    const guard_settings s = random_settings(random);
    guard_limits l;
    REQUIRE_FALSE(configure(s, l));
    std::uint64_t full = 0, all_on = 0;
    for (std::uint32_t c = 0; c < s.channels; ++c) full += s.full_ua[c];
    const std::uint64_t scale = full + full / 2048 + 1;
    std::uint32_t weights = 0;
    for (std::uint32_t c = 0; c < s.channels; ++c) {
      const std::uint64_t exact = std::uint64_t{s.full_ua[c]} << 15;  // over scale
      REQUIRE(l.weight[c] * scale >= exact);
      REQUIRE(l.weight[c] * scale < exact + scale);
      weights += l.weight[c];
      if (s.channel_limit_ua[c] < s.full_ua[c]) {
        const std::uint64_t most = std::uint64_t{s.channel_limit_ua[c]} * 65535 / s.full_ua[c];
        REQUIRE(l.most_duty[c] == most);
      } else {
        REQUIRE(l.most_duty[c] == 65535);
      }
    }
    all_on = std::uint64_t{weights} * 65535;
    REQUIRE(weights <= 32767);
    REQUIRE(l.peak <= all_on);
    REQUIRE(l.sustained <= l.peak);
    REQUIRE(l.rise >= 1);
    if (s.total_limit_ua < full) {
      const u128 exact = u128{s.total_limit_ua} * 32768 * 65535;  // over scale
      REQUIRE(u128{l.peak} * scale <= exact);
      REQUIRE((u128{l.peak} + 2) * scale > exact);  // q - ceil(q / 65536) is less than two below
    }
  }
}
