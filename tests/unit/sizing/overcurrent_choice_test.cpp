// SPDX-License-Identifier: BSL-1.0
// Overcurrent protection: overload rules, the far-end fault, the source that protects by itself.
#include "tapewright/sizing/overcurrent_choice.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "tests/support/close.hpp"
#include "tests/unit/sizing/sample_parts.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr double few_roundings = 16 * 0x1p-53;  // products and quotients of rounded inputs

/// 6 A on a cable for 15 A, 24 V, 0.2 ohm out and back, a source of 40 A.
constexpr overcurrent_duty ordinary_duty() noexcept {
  overcurrent_duty d;
  d.load = amps{6};
  d.ampacity = amps{15};
  d.voltage = volts{24};
  d.fault_loop = ohms{0.2};
  d.source_limit = amps{40};
  return d;
}

static_assert(check_overcurrent(device(overcurrent_family::breaker_c, 10), ordinary_duty())->fits);
static_assert(check_overcurrent(device(overcurrent_family::breaker_c, 10), ordinary_duty())->fault_current ==
              amps{40});

TEST_CASE(
    "check_overcurrent: overload rules, just held and just broken (IEC 60364-4-43 cl. 433.1, from memory)") {
  const auto ask = [](overcurrent_device o, auto change) {
    overcurrent_duty d = ordinary_duty();
    change(d);
    const auto k = check_overcurrent(o, d);
    REQUIRE(k.ok());
    return *k;
  };
  const overcurrent_device ten = device(overcurrent_family::breaker_c, 10);
  const auto same = [](overcurrent_duty&) {};
  auto k = ask(ten, same);
  CHECK(close_rel(k.load_utilisation, 0.6, few_roundings));
  CHECK(close_rel(k.cable_utilisation, 10.0 / 15, few_roundings));
  CHECK(close_rel(k.operating.v, 14.5, few_roundings));  // IEC 60898-1: 1.45 In
  CHECK(close_rel(k.operating_utilisation, 14.5 / (1.45 * 15), few_roundings));
  CHECK(close_rel(k.fault_utilisation, 14.5 / 40, few_roundings));
  CHECK(k.opens);
  CHECK_FALSE(k.source_protects);
  CHECK(k.rule_source == source::iec_60364_4_43);

  CHECK(ask(ten, [](overcurrent_duty& d) { d.load = amps{10}; }).fits);
  k = ask(ten, [](overcurrent_duty& d) { d.load = amps{10.01}; });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::load_current);
  k = ask(ten, [](overcurrent_duty& d) {
    d.load = amps{8.01};
    d.load_factor = 1.25;
  });  // NEC 210.20(A)
  CHECK_FALSE(k.fits);
  CHECK(ask(ten, [](overcurrent_duty& d) {
          d.load = amps{8};
          d.load_factor = 1.25;
        }).fits);

  CHECK(ask(ten, [](overcurrent_duty& d) { d.ampacity = amps{10}; }).fits);
  k = ask(ten, [](overcurrent_duty& d) { d.ampacity = amps{9.99}; });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::cable_protection);

  // a gG fuse of 16 A operates at 1.6 In: it needs Iz >= 1.1034 In, not In (IEC 60269-1)
  const overcurrent_device sixteen = device(overcurrent_family::fuse_gg, 16);
  k = ask(sixteen, [](overcurrent_duty& d) { d.ampacity = amps{16}; });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::operating_current);
  CHECK(ask(sixteen, [](overcurrent_duty& d) { d.ampacity = amps{16 * 1.6 / 1.45}; }).fits);

  overcurrent_device low = ten;
  low.rated_voltage = volts{12};
  k = ask(low, same);
  CHECK_FALSE(k.voltage_fits);
  CHECK(k.by == governed::rated_voltage);
}

TEST_CASE("check_overcurrent: the largest device a code allows on a small conductor") {
  // NEC 240.4(D): 15 A on 14 AWG, whatever its ampacity (rules/overcurrent_ratings.hpp)
  overcurrent_duty d = ordinary_duty();
  d.load = amps{12};
  d.ampacity = amps{25};
  d.device_limit = *nec_small_conductor_limit(14);
  CHECK(check_overcurrent(device(overcurrent_family::breaker_c, 15), d)->fits);
  const auto k = check_overcurrent(device(overcurrent_family::breaker_c, 20), d);
  REQUIRE(k.ok());
  CHECK_FALSE(k->fits);
  CHECK(k->by == governed::code_maximum);
  CHECK(close_rel(k->device_utilisation, 20.0 / 15, few_roundings));
  d.device_limit = {};
  CHECK(check_overcurrent(device(overcurrent_family::breaker_c, 20), d)->fits);
}

TEST_CASE("check_overcurrent: a short circuit that a driver limits may never open the fuse") {
  overcurrent_duty d = ordinary_duty();
  const overcurrent_device ten = device(overcurrent_family::breaker_c, 10);  // operates at 14.5 A
  d.ampacity = amps{12};
  d.source_limit = amps{14.5};
  CHECK(check_overcurrent(ten, d)->opens);
  d.source_limit = amps{14};  // more than the cable's 12 A, less than what opens the device
  auto k = check_overcurrent(ten, d);
  REQUIRE(k.ok());
  CHECK_FALSE(k->opens);
  CHECK_FALSE(k->fits);
  CHECK(k->by == governed::fault_current);
  CHECK_FALSE(k->source_protects);
  CHECK(k->fault_current == amps{14});

  d.ampacity = amps{14};  // now the source cannot hurt the cable, whatever the device does
  k = check_overcurrent(ten, d);
  CHECK_FALSE(k->opens);
  CHECK(k->source_protects);

  // a long cable limits by itself: 24 V over 2 ohm are 12 A
  d = ordinary_duty();
  d.fault_loop = ohms{2};
  k = check_overcurrent(ten, d);
  CHECK(k->fault_current == amps{12});
  CHECK_FALSE(k->fits);
  CHECK(k->by == governed::fault_current);

  // nothing known of the source, no loop to speak of: the greatest current the library tells
  d.source_limit = amps{};
  d.fault_loop = ohms{};
  k = check_overcurrent(ten, d);
  CHECK(k->fault_current == amps{1e6});
  CHECK(k->opens);
  CHECK_FALSE(k->source_protects);
}

TEST_CASE("choose_overcurrent: none where the source limits, else the cheapest, then the smallest") {
  const overcurrent_device list[] = {device(overcurrent_family::breaker_c, 16, 900, "A16"),
                                     device(overcurrent_family::breaker_c, 10, 700, "B10"),
                                     device(overcurrent_family::breaker_c, 6, 700, "C6"),
                                     device(overcurrent_family::breaker_c, 4, 100, "D4")};
  overcurrent_duty d = ordinary_duty();
  auto c = choose_overcurrent(d, list);
  REQUIRE(c.ok());
  CHECK(c->needed);
  CHECK(c->device == 2);  // 6 A at the price of 10 A; 4 A is below the load
  const std::uint8_t banned[] = {0, 0, 1, 0};
  CHECK(choose_overcurrent(d, list, banned)->device == 1);

  d.source_limit = amps{15};  // exactly what the cable carries (cl. 436, from memory)
  c = choose_overcurrent(d, list);
  CHECK_FALSE(c->needed);
  CHECK(c->device == -1);
  CHECK(c->nearest == -1);
  CHECK(c->check.source_protects);
  CHECK(c->source_limit == amps{15});
  CHECK(c->ampacity == amps{15});
  CHECK(c->needed_source == source::iec_60364_4_43);
  d.source_limit = amps{15.01};
  CHECK(choose_overcurrent(d, list)->needed);

  d = ordinary_duty();
  d.load = amps{20};
  c = choose_overcurrent(d, list);
  CHECK(c->needed);
  CHECK(c->device == -1);
  CHECK(c->nearest == 0);
  CHECK(c->stopped_by == governed::load_current);
  c = choose_overcurrent(d, {});
  CHECK(c->needed);
  CHECK(c->nearest == -1);
}

TEST_CASE("overcurrent_choice: what is refused") {
  const overcurrent_device ten = device(overcurrent_family::breaker_c, 10);
  const auto ask = [&](auto change) {
    overcurrent_duty d = ordinary_duty();
    change(d);
    const fault one = check_overcurrent(ten, d).why();
    CHECK(choose_overcurrent(d, {}).why().code == one.code);
    return one;
  };
  check_field_range(field::current,
                    [&](double v) { return ask([v](overcurrent_duty& d) { d.load = amps{v}; }); });
  check_field_range(field::ampacity,
                    [&](double v) { return ask([v](overcurrent_duty& d) { d.ampacity = amps{v}; }); });
  check_field_range(field::voltage,
                    [&](double v) { return ask([v](overcurrent_duty& d) { d.voltage = volts{v}; }); });
  check_field_range(field::resistance,
                    [&](double v) { return ask([v](overcurrent_duty& d) { d.fault_loop = ohms{v}; }); });
  check_field_range(field::current,
                    [&](double v) { return ask([v](overcurrent_duty& d) { d.source_limit = amps{v}; }); });
  check_range(field::fuse_factor, 1, 2,
              [&](double v) { return ask([v](overcurrent_duty& d) { d.load_factor = v; }); });

  check_range(field::fuse_rating, 0, 400,
              [&](double v) { return ask([v](overcurrent_duty& d) { d.device_limit = amps{v}; }); });

  overcurrent_device list[] = {ten, ten};
  list[1].rated = amps{};
  CHECK(check_overcurrent(list[1], ordinary_duty()).why().field == field::fuse_rating);
  CHECK(choose_overcurrent(ordinary_duty(), list).why().item == 1);
  CHECK(std::isnan(check_overcurrent(list[1], ordinary_duty())->operating.v));
}

TEST_CASE("overcurrent_choice: an answer that was never given shows nothing plausible") {
  const overcurrent_check k;
  CHECK_FALSE((k.fits || k.opens || k.voltage_fits || k.source_protects));
  CHECK((std::isnan(k.load_utilisation) && std::isnan(k.fault_current.v)));
  const overcurrent_choice c;
  CHECK((c.needed && c.device == -1 && c.nearest == -1));
}

TEST_CASE("law: a better cable or source never breaks protection; a larger load never makes a device fit") {
  auto random = law("check_overcurrent is monotone", 20260801);
  for (int i = 0; i < law_cases; ++i) {
    const auto family = random.pick({overcurrent_family::fuse_gg, overcurrent_family::breaker_b,
                                     overcurrent_family::breaker_c, overcurrent_family::blade_fuse,
                                     overcurrent_family::cartridge_fuse});
    const auto o = device(family, random.pick({1.0, 2.0, 3.0, 5.0, 6.0, 10.0, 16.0, 20.0}));
    overcurrent_duty d = ordinary_duty();
    d.load = amps{random.log_uniform(0.1, 30)};
    d.ampacity = amps{random.log_uniform(1, 60)};
    d.fault_loop = ohms{random.log_uniform(0.01, 10)};
    d.source_limit = amps{random.one_in(4) ? 0 : random.log_uniform(1, 100)};
    const auto one = check_overcurrent(o, d);
    CAPTURE(i);
    REQUIRE(one.ok());
    overcurrent_duty thicker = d, shorter = d, more = d;
    thicker.ampacity *= random.uniform(1, 3);
    shorter.fault_loop *= random.uniform(0.1, 1);
    more.load *= random.uniform(1, 3);
    if (one->fits) REQUIRE(check_overcurrent(o, thicker)->fits);
    if (one->fits) REQUIRE(check_overcurrent(o, shorter)->fits);
    if (!one->fits) REQUIRE_FALSE(check_overcurrent(o, more)->fits);
    REQUIRE(check_overcurrent(o, shorter)->fault_current >= one->fault_current);
    if (!one->fits) continue;
    // what fits holds the rules as they are written
    REQUIRE(d.load.v <= o.rated.v * (1 + rounding_share));
    REQUIRE(o.rated.v <= d.ampacity.v * (1 + rounding_share));
    REQUIRE(one->operating.v <= 1.45 * d.ampacity.v * (1 + 2 * rounding_share));
    REQUIRE(one->operating.v <= one->fault_current.v * (1 + rounding_share));
  }
}

TEST_CASE("law: nothing that fits is cheaper than the choice, and the order of the list is nothing to it") {
  auto random = law("choose_overcurrent is the cheapest of all that fit", 20260802);
  static constexpr const char* codes[] = {"A", "B", "C", "D", "E", "F"};
  for (int i = 0; i < law_cases; ++i) {
    overcurrent_device list[6];
    for (std::size_t k = 0; k < 6; ++k) {
      list[k] = device(overcurrent_family::breaker_c, random.pick({2.0, 4.0, 6.0, 10.0, 16.0}));
      list[k].code = codes[k];
      list[k].price = money{random.integer(1, 5) * 100};
    }
    overcurrent_duty d = ordinary_duty();
    d.load = amps{random.log_uniform(0.5, 20)};
    d.ampacity = amps{random.log_uniform(2, 30)};
    const auto chosen = choose_overcurrent(d, list);
    CAPTURE(i);
    REQUIRE(chosen.ok());
    REQUIRE(chosen->needed == (d.source_limit > d.ampacity));
    for (const overcurrent_device& o : list) {
      if (!check_overcurrent(o, d)->fits) continue;
      REQUIRE(chosen->device >= 0);
      REQUIRE(list[chosen->device].price <= o.price);
    }
    const std::string_view code = list[chosen->device >= 0 ? chosen->device : chosen->nearest].code;
    shuffle(list, random);
    const auto again = choose_overcurrent(d, list);
    REQUIRE(again.ok());
    REQUIRE(list[again->device >= 0 ? again->device : again->nearest].code == code);
  }
}

}  // namespace
