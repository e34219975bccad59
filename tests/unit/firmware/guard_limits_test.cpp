// SPDX-License-Identifier: BSL-1.0
// The guard's limits are those of the sizing: same parts, same figures, rounded to the safe side.
#include "tapewright/firmware/guard_limits.hpp"

#include <doctest/doctest.h>

#include <cstdint>

#include "tapewright/firmware/channel_guard.hpp"
#include "tapewright/sizing/connector_check.hpp"
#include "tests/support/close.hpp"
#include "tests/support/random.hpp"
#include "tests/support/refusals.hpp"
#include "tests/support/small_job.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;
using namespace small_job;

namespace {
constexpr guard_site five_metres{.length = 5_m, .ambient = 25_degC, .driver_ambient = 40_degC};

// What a firmware author writes: the limits are constants, in flash.
constexpr auto limits = *guard_limits_of(colour_24, controllers[0], connectors[0], drivers[0], five_metres);
static_assert(limits.channels == 5 && limits.peak == limits.sustained &&
              limits.average_shift == 9);  // 512 of 1000

outcome<guard_basis> basis_of(const guard_site& site, const driver& d = drivers[0]) {
  return guard_basis_of(colour_24, controllers[0], connectors[0], d, site);
}
// a product, a quotient and a root or two, each rounded once
constexpr double few_roundings = 8 * 0x1p-53;
}  // namespace

TEST_CASE("guard_basis_of: figures by hand") {
  const auto b = basis_of(five_metres);
  REQUIRE(b.ok());
  // 3.6 W/m x 5 m / 24 V = 0.75 A; at 24.48 V the red channel (knee 17 V) draws (24.48 - 17) / (24 - 17) of it
  CHECK(close_rel(b->full[0].v, 0.75 * 7.48 / 7, few_roundings));
  CHECK(close_rel(b->full[1].v, 0.75 * 5.48 / 5, few_roundings));
  CHECK(close_rel(b->full[4].v, 1.00 * 5.48 / 5, few_roundings));
  CHECK(b->settings.full_ua[0] == 801'429);      // 801428.57 up
  CHECK(b->settings.full_ua[1] - 822'000 <= 1);  // 822000 and the rounding of a product, up
  // driver 100 W / 24 V / 1.1; contact 0.8 x 5 A x sqrt(80 / 85) = 3.8806 A; feed point 5 A; controller 15 A
  CHECK(close_rel(b->steady.v, 100.0 / 24 / 1.1, few_roundings));
  CHECK(b->by == guard_governed::driver);
  CHECK(b->settings.total_limit_ua == 3'787'878);  // 3787878.79 down
  CHECK(b->settings.channel_limit_ua[2] == 3'880'570);
  CHECK(close_rel(b->settings.channel_limit_ua[2] * 1e-6, 0.8 * 5 * 0.970142500145332, 1e-6));  // cut to 1 uA
}

TEST_CASE("guard_basis_of: a current limit above that of the rated power does not lift the power") {
  driver d = drivers[0];  // 100 W at 24 V
  d.output_limit = 6_A;   // what it gives where its output is trimmed low
  const auto b = basis_of(five_metres, d);
  REQUIRE(b.ok());
  CHECK(b->by == guard_governed::driver);
  CHECK(close_rel(b->steady.v, 100.0 / 24 / 1.1, few_roundings));
  d.output_limit = 3_A;
  CHECK(close_rel(basis_of(five_metres, d)->steady.v, 3 / 1.1, few_roundings));
}

TEST_CASE("guard_basis_of: each limit governs where it is the least") {
  guard_site site = five_metres;
  site.ambient = 90_degC;  // 4 A x sqrt(15 / 85) = 1.68 A
  CHECK(basis_of(site)->by == guard_governed::connector);
  site = five_metres;
  site.cable = 2_A;
  CHECK(basis_of(site)->by == guard_governed::cable);
  CHECK(basis_of(site)->steady == 2_A);
  site = five_metres;
  site.length = 1_m;
  CHECK(basis_of(site)->by == guard_governed::connected);

  const auto by = [](const tape& t, const controller& c) {
    guard_site wide{.length = 5_m, .ambient = 25_degC, .driver_ambient = 40_degC};
    connector large = connectors[0];
    large.rated = 100_A;
    return guard_basis_of(t, c, large, drivers[1], wide)->by;
  };
  tape t = colour_24;
  controller c = controllers[0];
  t.feed_point_limit = 4_A;
  CHECK(by(t, c) == guard_governed::feed_point);
  t = colour_24;
  t.all_on_limit = 15_W_per_m;  // 75 W / 24 V
  CHECK(by(t, c) == guard_governed::all_on);
  t = colour_24;
  c.total_limit = 3_A;
  CHECK(by(t, c) == guard_governed::controller);
  c = controllers[0];
  c.terminal = 3_A;
  CHECK(by(t, c) == guard_governed::terminal);
}

TEST_CASE(
    "guard_basis_of: a short peak only over what heats slowly, and never above what the driver can give") {
  guard_site site = five_metres;
  site.peak_share = 1.25;
  auto b = basis_of(site);
  CHECK(close_rel(b->peak.v, 1.25 * 100 / 24 / 1.1, few_roundings));
  CHECK(close_rel(b->steady.v, 100.0 / 24 / 1.1, few_roundings));
  CHECK(b->settings.total_limit_ua > b->settings.sustained_limit_ua);
  site.peak_share = 1.5;
  CHECK(basis_of(site)->peak == 5_A);  // the tape's feed point is a maker's limit: no peaks over it
  driver weak = drivers[0];
  weak.overload_limit = 4.5_A;
  CHECK(basis_of(site, weak)->peak == 4.5_A);
}

TEST_CASE("guard_basis_of: agrees with what the sizing calls allowed") {
  random_source random{20260181};
  MESSAGE("seed " << random.seed());
  int by_driver = 0, by_connector = 0;
  for (int run = 0; run < 5'000; ++run) {
    guard_site site = five_metres;
    site.length = metres{random.uniform(1, 30)};
    site.ambient = celsius{random.uniform(-10, 100)};
    site.driver_ambient = celsius{random.uniform(-10, 69)};
    site.headroom = random.uniform(0, 0.5);
    const driver& d = drivers[random.one_in(2) ? 1 : 0];
    const auto b = basis_of(site, d);
    REQUIRE(b.ok());
    const amps limit{b->settings.sustained_limit_ua * 1e-6};
    driver_duty load;
    load.load = d.output * limit;
    load.headroom = site.headroom;
    load.ambient = site.driver_ambient;
    load.nominal = d.output;
    const auto checked = check_driver(d, load);
    REQUIRE(checked.ok());
    // needed / capacity passes through four products; the limit was cut by up to 1 uA
    REQUIRE(checked->utilisation <= 1 + few_roundings);
    connector_duty contact;
    contact.pole_current = limit;
    contact.voltage = d.output;
    contact.ambient = site.ambient;
    const auto pole = check_connector(connectors[0], contact);
    REQUIRE(pole.ok());
    REQUIRE(pole->utilisation <= 1 + few_roundings);
    if (b->by == guard_governed::driver) {
      ++by_driver;
      REQUIRE(checked->utilisation > 1 - 2e-6 / limit.v);
    }
    if (b->by == guard_governed::connector) {
      ++by_connector;
      REQUIRE(pole->utilisation > 1 - 2e-6 / limit.v);
    }
  }
  CHECK(by_driver > 500);
  CHECK(by_connector > 500);
}

TEST_CASE("guard_basis_of: load laws at the voltages that the tape can see") {
  tape t = white_24;
  const auto full = [&t](double tolerance, double drop) {
    guard_site site{.length = 5_m};
    site.supply_tolerance = tolerance;
    site.drop = drop;
    return guard_basis_of(t, controllers[0], connectors[0], drivers[1], site)->full[0].v;
  };
  CHECK(close_rel(full(0, 0), 2.0, few_roundings));  // 9.6 W/m x 5 m / 24 V
  CHECK(close_rel(full(0.05, 0), 2.0 * 6.2 / 5, few_roundings));
  t.channels[0].law = load_kind::regulated;
  CHECK(close_rel(full(0.05, 0.05), 2.0, few_roundings));
  t.channels[0].law = load_kind::constant_power;
  CHECK(close_rel(full(0.05, 0.05), 48 / 21.6, few_roundings));
  CHECK(close_rel(full(0.2, 0.2), 48.0 / 19, few_roundings));  // off below its knee of 19 V
}

TEST_CASE("guard_limits_of: the time constant is a power of two of frames, not longer than asked") {
  guard_site site = five_metres;
  const auto shift = [&site](double seconds_, double hz) {
    site.time_constant = seconds{seconds_};
    site.frames = hertz{hz};
    return guard_limits_of(colour_24, controllers[0], connectors[0], drivers[0], site);
  };
  site.softness = 0;
  CHECK(shift(10.24, 100)->average_shift == 10);
  CHECK(shift(10.23, 100)->average_shift == 9);
  CHECK(shift(0.02, 100)->average_shift == 1);
  CHECK(shift(3600, 100000)->average_shift == 16);
  CHECK(shift(0.0199, 100).why() ==
        fault{fault_code::out_of_range, field::time_constant, 0.0199, 0.02, 3600, -1});
  site.softness = 2;
  CHECK(shift(0.02, 100).why().field == field::softness);
}

TEST_CASE("guard_basis_of: the ramp reaches everything no sooner than asked") {
  guard_site site = five_metres;
  site.rise_time = 2_s;
  const auto b = basis_of(site);
  // 4.637429 A over 200 frames
  CHECK(b->settings.rise_ua == 23'187);
}

TEST_CASE("guard_basis_of: what is refused") {
  const auto ask = [](auto change) {
    return [change](double v) {
      guard_site site = five_metres;
      change(site, v);
      return basis_of(site).why();
    };
  };
  check_range(field::length, 1e-3, 1e4, ask([](guard_site& s, double v) { s.length = metres{v}; }));
  check_field_range(field::ambient, ask([](guard_site& s, double v) { s.ambient = celsius{v}; }));
  check_field_range(field::headroom, ask([](guard_site& s, double v) { s.headroom = v; }));
  check_range(field::share, 1e-3, 1, ask([](guard_site& s, double v) { s.driver_share = v; }));
  check_range(field::share, 0.1, 1, ask([](guard_site& s, double v) { s.connector_factor = v; }));
  check_field_range(field::supply_tolerance, ask([](guard_site& s, double v) { s.supply_tolerance = v; }));
  check_field_range(field::drop_limit, ask([](guard_site& s, double v) { s.drop = v; }));
  check_field_range(field::ampacity, ask([](guard_site& s, double v) { s.cable = amps{v}; }));
  check_field_range(field::peak_share, ask([](guard_site& s, double v) { s.peak_share = v; }));
  check_field_range(field::frame_rate, ask([](guard_site& s, double v) { s.frames = hertz{v}; }));

  controller three = controllers[0];
  three.channels = 3;
  CHECK(guard_basis_of(colour_24, three, connectors[0], drivers[0], five_metres).why() ==
        fault{fault_code::contradiction, field::channel_count, 5, 1, 3, -1});
  tape nameless = colour_24;
  nameless.code = {};
  CHECK(guard_basis_of(nameless, controllers[0], connectors[0], drivers[0], five_metres).why().field ==
        field::name);
  guard_site far = five_metres;
  far.length = 10'000_m;
  CHECK(basis_of(far).why().field == field::current);  // more than 2000 A
}

TEST_CASE("startup_settings_of: what the converter should read") {
  const auto s = startup_settings_of(colour_24, drivers[0], 5_m, 1000, 100);
  REQUIRE(s.ok());
  CHECK(s->channels == 5);
  CHECK(s->supply_counts == 2400);
  CHECK(s->channel_counts[0] == 750);
  CHECK(s->channel_counts[3] == 1000);
  startup_limits l;
  CHECK_FALSE(configure(*s, l));
  CHECK(startup_settings_of(colour_24, drivers[0], 5_m, 1000, 3000).why() ==
        fault{fault_code::out_of_range, field::counts, 72'000, 1, 65535, -1});
  CHECK(startup_settings_of(colour_24, drivers[0], 5_m, 0.1, 100).why() ==
        fault{fault_code::out_of_range, field::counts, 0, 1, 65535, 0});
}
