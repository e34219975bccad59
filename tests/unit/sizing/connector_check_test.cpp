// SPDX-License-Identifier: BSL-1.0
// Connectors against their duty, each limit on its own, the choice, its laws.
#include "tapewright/sizing/connector_check.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "tests/support/close.hpp"
#include "tests/unit/sizing/sample_parts.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr double few_roundings = 16 * 0x1p-53;  // products, a quotient and a square root of rounded inputs

constexpr connector_duty ordinary_duty() noexcept {
  connector_duty d;
  d.pole_current = amps{4};
  d.ambient = celsius{20};
  d.conductor = square_millimetres{1.5};
  return d;
}

static_assert(check_connector(two_pole_connector(), ordinary_duty())->fits);
static_assert(check_connector(two_pole_connector(), ordinary_duty())->allowed == amps{8});
static_assert(check_connector(two_pole_connector(), ordinary_duty())->utilisation == 0.5);
static_assert(check_connector(two_pole_connector(), ordinary_duty())->by == governed::contact_current);

TEST_CASE("check_connector: current at a temperature, by the square law (IEC 60512-5-2)") {
  const connector c = two_pole_connector();  // 10 A at 20 degC, nothing at 105 degC
  connector_duty d = ordinary_duty();
  for (const double ambient : {-20.0, 0.0, 20.0, 40.0, 70.0, 104.9}) {
    CAPTURE(ambient);
    d.ambient = celsius{ambient};
    const auto k = check_connector(c, d);
    REQUIRE(k.ok());
    CHECK(close_rel(k->allowed.v, 0.8 * 10 * std::sqrt((105 - ambient) / 85), few_roundings));
    CHECK(k->ambient_fits);
  }
  d.curve_factor = 1;  // a figure that its maker has derated already
  d.ambient = celsius{20};
  CHECK(check_connector(c, d)->allowed == amps{10});
}

TEST_CASE("check_connector: every limit on its own, just held and just broken") {
  const auto ask = [](auto change) {
    connector c = two_pole_connector();
    connector_duty d = ordinary_duty();
    change(c, d);
    const auto k = check_connector(c, d);
    REQUIRE(k.ok());
    return *k;
  };
  CHECK(ask([](connector&, connector_duty& d) { d.pole_current = amps{8}; }).fits);
  auto k = ask([](connector&, connector_duty& d) { d.pole_current = amps{8.01}; });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::contact_current);

  k = ask([](connector&, connector_duty& d) { d.poles = 3; });
  CHECK_FALSE(k.poles_fit);
  CHECK(k.by == governed::poles);
  CHECK(ask([](connector&, connector_duty& d) { d.poles = 1; }).fits);

  k = ask([](connector&, connector_duty& d) { d.ways = 3; });
  CHECK_FALSE(k.ways_fit);
  CHECK(k.by == governed::ways);
  CHECK(ask([](connector& c, connector_duty& d) {
          c.ways = 5;
          d.ways = 3;
        }).fits);

  CHECK(ask([](connector&, connector_duty& d) { d.voltage = volts{50}; }).fits);
  k = ask([](connector&, connector_duty& d) { d.voltage = volts{50.1}; });
  CHECK_FALSE(k.voltage_fits);
  CHECK(k.by == governed::rated_voltage);

  for (const double a : {0.0, 0.5, 2.5})
    CHECK(ask([a](connector&, connector_duty& d) { d.conductor = square_millimetres{a}; }).fits);
  for (const double a : {0.34, 4.0}) {
    k = ask([a](connector&, connector_duty& d) { d.conductor = square_millimetres{a}; });
    CHECK_FALSE(k.conductor_fits);
    CHECK(k.by == governed::terminal);
  }
  CHECK(ask([](connector& c, connector_duty& d) {
          c.least = c.greatest = {};
          d.conductor = square_millimetres{4};
        }).fits);

  // at and above its upper limit a connector carries nothing, and that is an answer, not a fault
  for (const double t : {105.0, 120.0}) {
    k = ask([t](connector&, connector_duty& d) { d.ambient = celsius{t}; });
    CHECK_FALSE(k.fits);
    CHECK_FALSE(k.ambient_fits);
    CHECK(k.by == governed::ambient);
    CHECK(k.allowed == amps{0});
    CHECK(k.utilisation == boundless_utilisation);
  }
}

TEST_CASE("choose_connector: the cheapest of its use, then fewest poles, then by code") {
  connector list[4] = {two_pole_connector(), two_pole_connector(), two_pole_connector(),
                       two_pole_connector()};
  list[0].code = "A";
  list[0].price = money{200};
  list[1].code = "B";
  list[1].price = money{100};
  list[1].poles = 6;
  list[2].code = "C";
  list[2].price = money{50};
  list[2].use = connector_use::cable_to_cable;
  list[3].code = "D";
  list[3].price = money{60};
  list[3].rated = amps{3};
  connector_duty d = ordinary_duty();
  CHECK(choose_connector(d, connector_use::tape_to_cable, list)->connector == 1);
  const std::uint8_t banned[] = {0, 1, 0, 0};
  CHECK(choose_connector(d, connector_use::tape_to_cable, list, banned)->connector == 0);
  d.pole_current = amps{2};
  CHECK(choose_connector(d, connector_use::tape_to_cable, list)->connector == 3);
  CHECK(choose_connector(d, connector_use::cable_to_cable, list)->connector == 2);
  for (connector& c : list) c.price = {};
  CHECK(choose_connector(d, connector_use::tape_to_cable, list)->connector ==
        0);  // two poles before six, A before D

  d.pole_current = amps{9};
  const auto none = choose_connector(d, connector_use::tape_to_cable, list);
  REQUIRE(none.ok());
  CHECK(none->connector == -1);
  CHECK(none->nearest == 0);
  CHECK(none->check.by == governed::contact_current);
  const auto absent = choose_connector(d, connector_use::driver_plug, list);
  REQUIRE(absent.ok());
  CHECK(absent->connector == -1);
  CHECK(absent->nearest == -1);
}

TEST_CASE("connector_check: what is refused") {
  const auto ask = [](auto change) {
    connector_duty d = ordinary_duty();
    change(d);
    const fault one = check_connector(two_pole_connector(), d).why();
    CHECK(choose_connector(d, connector_use::tape_to_cable, {}).why().code == one.code);
    return one;
  };
  check_whole_range(field::poles, 1, 24,
                    [&](std::int32_t v) { return ask([v](connector_duty& d) { d.poles = v; }); });
  check_whole_range(field::poles, 2, 24,
                    [&](std::int32_t v) { return ask([v](connector_duty& d) { d.ways = v; }); });
  check_field_range(field::current,
                    [&](double v) { return ask([v](connector_duty& d) { d.pole_current = amps{v}; }); });
  check_field_range(field::voltage,
                    [&](double v) { return ask([v](connector_duty& d) { d.voltage = volts{v}; }); });
  check_field_range(field::ambient,
                    [&](double v) { return ask([v](connector_duty& d) { d.ambient = celsius{v}; }); });
  check_field_range(field::least_terminal, [&](double v) {
    return ask([v](connector_duty& d) { d.conductor = square_millimetres{v}; });
  });
  check_range(field::share, 0.1, 1,
              [&](double v) { return ask([v](connector_duty& d) { d.curve_factor = v; }); });

  connector list[] = {two_pole_connector(), two_pole_connector()};
  list[1].upper_limit = list[1].rating_ambient;
  const auto k = check_connector(list[1], ordinary_duty());
  CHECK_FALSE(k.ok());
  CHECK(std::isnan(k->allowed.v));
  CHECK_FALSE(k->fits);
  CHECK(choose_connector(ordinary_duty(), connector_use::tape_to_cable, list).why().item == 1);
}

TEST_CASE("connector_check: an answer that was never given shows nothing plausible") {
  const connector_check k;
  CHECK_FALSE((k.fits || k.poles_fit || k.ways_fit || k.voltage_fits || k.conductor_fits || k.ambient_fits));
  CHECK((std::isnan(k.allowed.v) && std::isnan(k.utilisation)));
  CHECK((connector_choice{}.connector == -1 && connector_choice{}.nearest == -1));
}

TEST_CASE("law: a hotter place never allows more; more current never makes a connector fit") {
  auto random = law("check_connector never rises with heat", 20260701);
  for (int i = 0; i < law_cases; ++i) {
    connector c = two_pole_connector();
    c.rated = amps{random.log_uniform(0.1, 100)};
    c.rating_ambient = celsius{random.uniform(0, 60)};
    c.upper_limit = celsius{random.uniform(61, 150)};
    connector_duty d = ordinary_duty();
    d.pole_current = amps{random.log_uniform(0.01, 100)};
    d.ambient = celsius{random.uniform(-40, 110)};
    connector_duty hotter = d, more = d;
    hotter.ambient = celsius{d.ambient.v + random.uniform(0, 10)};
    more.pole_current *= random.uniform(1, 2);
    CAPTURE(i);
    const auto one = check_connector(c, d), hot = check_connector(c, hotter),
               loaded = check_connector(c, more);
    REQUIRE((one.ok() && hot.ok() && loaded.ok()));
    REQUIRE(hot->allowed <= one->allowed);
    REQUIRE(loaded->utilisation >= one->utilisation);
    if (hot->fits || loaded->fits) REQUIRE(one->fits);
  }
}

TEST_CASE("law: nothing that fits is cheaper than the choice, and the order of the list is nothing to it") {
  auto random = law("choose_connector is the cheapest of all that fit", 20260702);
  static constexpr const char* codes[] = {"A", "B", "C", "D", "E", "F"};
  for (int i = 0; i < law_cases; ++i) {
    connector list[6];
    for (std::size_t k = 0; k < 6; ++k) {
      connector c = two_pole_connector();
      c.code = codes[k];
      c.poles = static_cast<std::int32_t>(random.integer(1, 6));
      c.rated = amps{random.log_uniform(1, 20)};
      c.price = money{random.integer(0, 3) * 100};
      list[k] = c;
    }
    connector_duty d = ordinary_duty();
    d.poles = static_cast<std::int32_t>(random.integer(1, 6));
    d.pole_current = amps{random.log_uniform(0.5, 20)};
    const auto chosen = choose_connector(d, connector_use::tape_to_cable, list);
    CAPTURE(i);
    REQUIRE(chosen.ok());
    for (const connector& c : list) {
      if (!check_connector(c, d)->fits) continue;
      REQUIRE(chosen->connector >= 0);
      const money best = list[chosen->connector].price;
      if (c.price.minor > 0) REQUIRE((best.minor > 0 && best <= c.price));
    }
    const std::string_view code = list[chosen->connector >= 0 ? chosen->connector : chosen->nearest].code;
    shuffle(list, random);
    const auto again = choose_connector(d, connector_use::tape_to_cable, list);
    REQUIRE(again.ok());
    REQUIRE(list[again->connector >= 0 ? again->connector : again->nearest].code == code);
    REQUIRE((again->connector >= 0) == (chosen->connector >= 0));
  }
}

}  // namespace
