// SPDX-License-Identifier: BSL-1.0
// Readings at start-up: every band, hysteresis at every edge, and what is refused.
#include "tapewright/firmware/startup_check.hpp"

#include <doctest/doctest.h>

#include <cstdint>

#include "tests/support/random.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {
startup_settings two_channels() {
  startup_settings s;
  s.channels = 3;
  s.supply_counts = 2400;
  s.channel_counts[0] = 1000;
  s.channel_counts[1] = 500;
  s.steady_samples = 3;
  return s;
}
startup_limits limits_of(const startup_settings& s) {
  startup_limits l;
  CHECK_FALSE(configure(s, l));
  return l;
}
/// What a fresh check says of a reading of channel 0, given often enough.
startup_code said(const startup_limits& l, std::uint16_t counts) {
  startup_check c;
  for (int i = 0; i < 10; ++i) c.take_channel(l, 0, counts);
  const startup_findings f = c.findings(l);
  return f.empty() ? startup_code::fits : f[0].code;
}
}  // namespace

TEST_CASE("startup: the edges are where the shares put them") {
  const startup_limits l = limits_of(two_channels());
  CHECK(l.supply.least == 2400 - 120);  // floor(2400 * 3277 / 65536) = 120: 5 %
  CHECK(l.supply.most == 2400 + 120 + 1);
  CHECK(l.channel[0].open == 100);
  CHECK(l.channel[0].least == 1000 - 149);
  CHECK(l.channel[0].most == 1000 + 149 + 1);
  CHECK(l.channel[0].shorted == 2000);
  CHECK(l.channel[0].hysteresis == 20);
  CHECK(l.channel[2].most == 9);  // not connected: 8 counts of noise
}

TEST_CASE("startup: every reading of a channel, in order of its zones") {
  const startup_limits l = limits_of(two_channels());
  startup_code last = startup_code::open;
  int changes = 0;
  for (std::uint32_t counts = 0; counts <= 65535; ++counts) {
    const startup_code now = said(l, static_cast<std::uint16_t>(counts));
    REQUIRE(static_cast<int>(now) >= 0);
    if (now != last) ++changes;
    last = now;
    // from "fits" an edge is crossed a hysteresis beyond it
    const startup_code wanted = counts < 80     ? startup_code::open
                                : counts < 831  ? startup_code::under_current
                                : counts < 1170 ? startup_code::fits
                                : counts < 2020 ? startup_code::over_current
                                                : startup_code::shorted;
    REQUIRE(now == wanted);
  }
  CHECK(changes == 4);
}

TEST_CASE(
    "startup: hysteresis holds a finding until the reading is well back, and noise at an edge never "
    "toggles") {
  const startup_limits l = limits_of(two_channels());
  const reading_band& b = l.channel[0];
  watched_reading r;
  const auto take = [&](std::uint32_t counts) {
    for (int i = 0; i < 3; ++i) r.take(b, static_cast<std::uint16_t>(counts), 3);
    return r.zone;
  };
  CHECK(take(b.most) == 2);
  CHECK(take(b.most + 19) == 2);
  CHECK(take(b.most + 20) == 3);
  CHECK(take(b.most) == 3);
  CHECK(take(b.most - 20) == 3);
  CHECK(take(b.most - 21) == 2);
  CHECK(take(b.least - 20) == 2);
  CHECK(take(b.least - 21) == 1);
  CHECK(take(b.least + 19) == 1);
  CHECK(take(b.least + 20) == 2);

  random_source random{20260171};
  int zone = r.zone, toggles = 0;
  for (int i = 0; i < 100'000; ++i) {
    r.take(b, static_cast<std::uint16_t>(b.most + random.integer(-20, 19)), 1);
    toggles += r.zone != zone ? 1 : 0;
    zone = r.zone;
  }
  CHECK(toggles == 0);
}

TEST_CASE("startup: single odd readings are passed over") {
  const startup_limits l = limits_of(two_channels());
  startup_check c;
  for (int i = 0; i < 2; ++i) {
    c.take_channel(l, 0, 0);
    c.take_channel(l, 0, 0);
    CHECK(c.findings(l).empty());
    c.take_channel(l, 0, 1000);
  }
  for (int i = 0; i < 3; ++i) c.take_channel(l, 0, 0);
  REQUIRE(c.findings(l).size() == 1);
  CHECK(c.findings(l)[0].code == startup_code::open);
}

TEST_CASE("startup: findings name figure, reading and band, the supply first") {
  const startup_limits l = limits_of(two_channels());
  startup_check c;
  CHECK_FALSE(c.settled(l));
  for (int i = 0; i < 3; ++i) {
    c.take_supply(l, 3000);
    c.take_channel(l, 0, 1000);
    c.take_channel(l, 1, 5);
    c.take_channel(l, 2, 700);
    c.take_channel(l, 3, 700);  // not there
    c.take_channel(l, 0xffffffff, 700);
  }
  CHECK(c.settled(l));
  const startup_findings f = c.findings(l);
  REQUIRE(f.size() == 3);
  CHECK((f[0].code == startup_code::supply_high && f[0].channel == -1 && f[0].counts == 3000 &&
         f[0].least == 2280 && f[0].most == 2521));
  CHECK((f[1].code == startup_code::open && f[1].channel == 1));
  CHECK((f[2].code == startup_code::shorted && f[2].channel == 2));  // current where nothing should be

  for (int i = 0; i < 3; ++i) c.take_supply(l, 2000);
  CHECK(c.findings(l)[0].code == startup_code::supply_low);
  for (int i = 0; i < 3; ++i) c.take_supply(l, 2400);
  CHECK(c.findings(l)[0].code == startup_code::open);
}

TEST_CASE("startup: every code has its own text") {
  for (int a = 0; a <= 6; ++a) {
    CHECK_FALSE(text_of(static_cast<startup_code>(a)).empty());
    for (int b = 0; b < a; ++b)
      CHECK(text_of(static_cast<startup_code>(a)) != text_of(static_cast<startup_code>(b)));
  }
  CHECK(text_of(static_cast<startup_code>(7)).empty());
}

TEST_CASE("startup: what is refused") {
  const auto fault_of = [](const startup_settings& s) {
    startup_limits l;
    l.channels = 7;
    const whole_fault f = configure(s, l);
    CHECK(l.channels == (f ? 0 : s.channels));
    return f;
  };
  startup_settings s = two_channels();
  s.channels = 9;
  CHECK(fault_of(s) == whole_fault{fault_code::out_of_range, field::guard_channels, -1, 9, 1, 8});
  s = two_channels();
  s.supply_counts = 0;
  CHECK(fault_of(s) == whole_fault{fault_code::out_of_range, field::counts, -1, 0, 1, 65535});
  s = two_channels();
  s.channel_counts[1] = 65536;
  CHECK(fault_of(s) == whole_fault{fault_code::out_of_range, field::counts, 1, 65536, 0, 65535});
  s = two_channels();
  s.steady_samples = 0;
  CHECK(fault_of(s) == whole_fault{fault_code::out_of_range, field::steadiness, -1, 0, 1, 255});
  s.steady_samples = 256;
  CHECK(fault_of(s).given == 256);
  s = two_channels();
  s.open_share = 65536 - s.current_share + 1;
  CHECK(fault_of(s) ==
        whole_fault{fault_code::out_of_range, field::share, -1, s.open_share, 0, 65536 - 9830});
  s = two_channels();
  s.short_share = 65536 + 9829;
  CHECK(fault_of(s) == whole_fault{fault_code::out_of_range, field::share, -1, s.short_share, 75366, 262144});
  s = two_channels();
  s.supply_share = 65536;
  CHECK(fault_of(s).field == field::share);
  s = two_channels();
  s.noise_counts = 65536;
  CHECK(fault_of(s).field == field::counts);
  CHECK(said(startup_limits{}, 5) ==
        startup_code::fits);  // never configured: there is no channel to speak of
}
