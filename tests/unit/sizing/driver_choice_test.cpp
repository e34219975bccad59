// SPDX-License-Identifier: BSL-1.0
// Drivers: headroom both ways, derating, each limit on its own, the choice, its laws.
#include "tapewright/sizing/driver_choice.hpp"

#include <doctest/doctest.h>

#include "tests/support/close.hpp"
#include "tests/support/reference_csv.hpp"
#include "tests/unit/sizing/sample_parts.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr double few_roundings = 16 * 0x1p-53;  // a handful of products and quotients of rounded inputs

constexpr driver_duty ordinary_duty() noexcept {
  driver_duty d;
  d.load = watts{80};
  d.conductor = square_millimetres{1.5};
  return d;
}

template <class T>
T answer_of(const outcome<T>& o) {
  REQUIRE(o.ok());
  return *o;
}

static_assert(check_driver(hundred_watt_driver(), ordinary_duty())->fits);
static_assert(check_driver(hundred_watt_driver(), ordinary_duty())->capacity == watts{100});
static_assert(check_driver(hundred_watt_driver(), ordinary_duty())->loading == 0.8);
static_assert(check_driver(hundred_watt_driver(), ordinary_duty())->headroom_left == 0.25);
static_assert(check_driver(hundred_watt_driver(), ordinary_duty())->by == governed::capacity);
static_assert(*derated_share(hundred_watt_driver().derating, celsius{60}) == 0.75);

TEST_CASE("headroom is a share of the load, a loading limit of the capacity") {
  // common practice, no source: 10 % headroom on the load
  CHECK(close_rel(least_capacity(watts{100}, 0.10)->v, 110, few_roundings));
  CHECK(close_rel(greatest_load(watts{110}, 0.10)->v, 100, few_roundings));
  // closed form: a tenth of headroom is a limit of 10/11, not of 0.9
  CHECK(close_rel(*loading_limit_of_headroom(0.10), 10.0 / 11, few_roundings));
  CHECK(close_rel(*headroom_of_loading_limit(0.9), 1.0 / 9, few_roundings));
  CHECK(*loading_limit_of_headroom(0) == 1);
  CHECK(*headroom_of_loading_limit(1) == 0);
}

TEST_CASE("derated_share: generic rules of power-supply derating (reference rows)") {
  const auto table = reference_table::load("psu_derating_generic.csv");
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const double full_c = table.number(r, "full_power_to_C"),
                 slope = table.number(r, "slope_pct_per_C") / 100;
    const double max_c = table.blank(r, "max_C") ? 80 : table.number(r, "max_C");
    derating_curve curve;
    curve.push({celsius{full_c}, 1.0});
    curve.push({celsius{max_c}, 1.0 - slope * (max_c - full_c)});
    CAPTURE(r);
    const auto share = derated_share(curve, celsius{table.number(r, "ambient_C")});
    REQUIRE(share.ok());
    CHECK(close_rel(*share * 100, table.number(r, "available_pct"), few_roundings));
  }
}

TEST_CASE("derated_share: before, on, between and past the points") {
  derating_curve curve;
  curve.push({celsius{-20}, 0.8});  // a maker may allow less than all of it even in the cold
  curve.push({celsius{40}, 0.8});
  curve.push({celsius{60}, 0.5});
  CHECK(*derated_share(curve, celsius{-40}) == 0.8);
  CHECK(*derated_share(curve, celsius{0}) == 0.8);
  CHECK(*derated_share(curve, celsius{40}) == 0.8);
  CHECK(close_rel(*derated_share(curve, celsius{50}), 0.65, few_roundings));
  CHECK(*derated_share(curve, celsius{60}) == 0.5);
  CHECK(*derated_share(curve, celsius{60.001}) == 0.0);  // nothing is stated there: it may not be used

  derating_curve one;
  one.push({celsius{45}, 1.0});
  CHECK(*derated_share(one, celsius{45}) == 1.0);
  CHECK(*derated_share(one, celsius{46}) == 0.0);
}

TEST_CASE("check_driver: every limit on its own, just held and just broken") {
  const auto ask = [](auto change) {
    driver d = hundred_watt_driver();
    driver_duty duty = ordinary_duty();
    change(d, duty);
    const auto k = check_driver(d, duty);
    REQUIRE(k.ok());
    return *k;
  };

  // 100 W at 35 degC; 90.909 W with a tenth of headroom is the most
  auto k = ask([](driver&, driver_duty& q) { q.load = watts{100 / 1.1}; });
  CHECK(k.fits);
  CHECK(close_rel(k.utilisation, 1, few_roundings));
  CHECK(close_rel(k.headroom_left, 0.1, 16 * few_roundings));  // a difference from 1
  k = ask([](driver&, driver_duty& q) { q.load = watts{91}; });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::capacity);
  k = ask([](driver&, driver_duty& q) {
    q.load = watts{100};
    q.headroom = 0;
  });
  CHECK(k.fits);

  // 75 W left at 60 degC, half at 70, nothing stated above
  k = ask([](driver&, driver_duty& q) { q.ambient = celsius{60}; });
  CHECK_FALSE(k.fits);
  CHECK(k.capacity == watts{75});
  CHECK(k.current_limit == amps{3.125});
  CHECK(ask([](driver&, driver_duty& q) {
          q.ambient = celsius{70};
          q.load = watts{45};
        }).fits);
  k = ask([](driver&, driver_duty& q) {
    q.ambient = celsius{70.1};
    q.load = watts{1};
  });
  CHECK_FALSE(k.fits);
  CHECK_FALSE(k.ambient_fits);
  CHECK(k.by == governed::ambient);
  CHECK(k.capacity == watts{0});
  CHECK(k.headroom_left == -1);

  // a stated current limit below rated power over voltage takes its share of the capacity
  k = ask([](driver& d, driver_duty&) { d.output_limit = amps{3}; });
  CHECK(k.capacity == watts{72});
  CHECK_FALSE(k.fits);
  k = ask([](driver&, driver_duty& q) { q.current = amps{4.1}; });
  CHECK(k.fits);
  CHECK(k.by == governed::output_current);
  k = ask([](driver&, driver_duty& q) { q.current = amps{4.2}; });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::output_current);

  k = ask([](driver& d, driver_duty&) { d.output_connector = amps{3}; });  // 80 W are 3.33 A
  CHECK_FALSE(k.fits);
  CHECK_FALSE(k.connector_fits);
  CHECK(k.by == governed::own_connector);
  CHECK(ask([](driver& d, driver_duty&) { d.output_connector = amps{5}; }).fits);

  k = ask([](driver& d, driver_duty&) { d.least_load = watts{80.1}; });
  CHECK_FALSE(k.least_load_met);
  CHECK(k.by == governed::least_load);
  CHECK(ask([](driver& d, driver_duty&) { d.least_load = watts{80}; }).fits);

  // a nominal that was reckoned, not typed: 24 V within a billionth, and not beyond
  CHECK(ask([](driver&, driver_duty& q) { q.nominal = volts{24 * (1 + 0.9e-9)}; }).voltage_fits);
  CHECK_FALSE(ask([](driver&, driver_duty& q) { q.nominal = volts{24 * (1 + 1.1e-9)}; }).voltage_fits);
  k = ask([](driver&, driver_duty& q) { q.nominal = volts{12}; });
  CHECK_FALSE(k.voltage_fits);
  CHECK(k.by == governed::output_voltage);
  CHECK(ask([](driver& d, driver_duty& q) {
          d.output = volts{12};
          d.trim_low = volts{11};
          d.trim_high = volts{14};
          q.nominal = volts{12.5};
        }).voltage_fits);
  CHECK_FALSE(ask([](driver& d, driver_duty& q) {
                d.output = volts{12};
                d.trim_low = volts{11};
                d.trim_high = volts{14};
                q.nominal = volts{24};
              }).voltage_fits);

  for (const double v : {100.0, 240.0})
    CHECK(ask([v](driver&, driver_duty& q) { q.mains = volts{v}; }).mains_fits);
  for (const double v : {99.0, 241.0})
    CHECK(ask([v](driver&, driver_duty& q) { q.mains = volts{v}; }).by == governed::mains_voltage);

  k = ask([](driver&, driver_duty& q) {
    q.any_mount = false;
    q.mount = fitting::plug_in;
  });
  CHECK(k.by == governed::mount);
  CHECK(ask([](driver&, driver_duty& q) {
          q.any_mount = false;
          q.mount = fitting::hardwired;
        }).fits);

  CHECK(ask([](driver& d, driver_duty& q) {
          d.ingress = 67;
          q.ingress = 65;
        }).fits);
  CHECK(ask([](driver& d, driver_duty& q) {
          d.ingress = 54;
          q.ingress = 45;
        }).by == governed::ingress);

  k = ask([](driver&, driver_duty& q) { q.conductor = square_millimetres{6}; });
  CHECK(k.by == governed::terminal);
  CHECK(ask([](driver& d, driver_duty& q) {
          d.least_terminal = d.greatest_terminal = {};
          q.conductor = square_millimetres{6};
        }).fits);
}

TEST_CASE("check_driver: a limited-energy claim is held against the class, at the top of the trim") {
  const auto ask = [](double volts_out, double trim_high, double rated_w, bool claims, bool wanted) {
    driver d = hundred_watt_driver();
    d.output = volts{volts_out};
    if (trim_high > 0) d.trim_low = volts{volts_out * 0.9}, d.trim_high = volts{trim_high};
    d.rated = watts{rated_w};
    d.limited_energy = claims;
    driver_duty q = ordinary_duty();
    q.nominal = volts{volts_out};
    q.load = watts{40};
    q.limited_energy = wanted;
    const auto k = check_driver(d, q);
    REQUIRE(k.ok());
    return *k;
  };
  // NEC Chapter 9 Table 11(B), DC (from memory): up to 20 V 5 A and 5 Vmax VA; 20..60 V 100 VA, 100/Vmax A
  CHECK(ask(24, 0, 96, true, true).fits);
  CHECK(ask(24, 0, 100, true, true).limited_energy_claim_holds);
  CHECK_FALSE(ask(24, 0, 120, true, false).limited_energy_claim_holds);
  CHECK(ask(24, 0, 120, true, false).fits);  // not wanted: told, not held against it
  const auto k = ask(24, 0, 120, true, true);
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::limited_energy);
  CHECK(close_rel(k.class_current.v, 100.0 / 24, few_roundings));
  CHECK(k.class_nameplate == amps{5});
  CHECK_FALSE(ask(24, 0, 60, false, true).fits);  // within the class by its figures, but not declared
  CHECK(ask(12, 0, 60, true, true).fits);         // 12 V: 5 A and 60 VA
  CHECK_FALSE(ask(12, 0, 72, true, true).fits);
  CHECK_FALSE(ask(24, 28, 96, true, true).fits);  // at 28 V the class has 3.57 A, it gives 4
}

TEST_CASE("check_driver: the class also bounds what a driver may give at all, where its maker states it") {
  driver d = hundred_watt_driver();
  d.rated = watts{96};
  d.limited_energy = true;
  // NEC Chapter 9 Table 11(B), DC up to 30 V (from memory): 8 A after a minute, whatever it is rated
  for (const double most_a : {0.0, 8.0}) {
    d.overload_limit = amps{most_a};
    CHECK(answer_of(check_driver(d, ordinary_duty())).limited_energy_claim_holds);
  }
  d.overload_limit = amps{8.1};
  const auto k = answer_of(check_driver(d, ordinary_duty()));
  CHECK_FALSE(k.limited_energy_claim_holds);
  CHECK(k.class_most_current == amps{8});
}

TEST_CASE("check_driver: a current stated beyond that of the rated power counts in the class") {
  driver d = hundred_watt_driver();
  d.rated = watts{96};
  d.limited_energy = true;
  // NEC Chapter 9 Table 11(B), DC, 24 V (from memory): 100 / 24 = 4.17 A
  d.output_limit = amps{4.1};
  CHECK(answer_of(check_driver(d, ordinary_duty())).limited_energy_claim_holds);
  CHECK(answer_of(check_driver(d, ordinary_duty())).class_nameplate == amps{4.1});
  d.output_limit = amps{4.2};
  CHECK_FALSE(answer_of(check_driver(d, ordinary_duty())).limited_energy_claim_holds);
  d.output_limit = amps{3.9};  // 96 W at 24 V are 4 A
  CHECK(answer_of(check_driver(d, ordinary_duty())).class_nameplate == amps{4});
}

TEST_CASE("check_driver: as delivered, an output that only its trim brings to nominal does not fit") {
  driver d = hundred_watt_driver();
  d.output = volts{28};
  d.trim_low = volts{22};
  d.trim_high = volts{29};
  driver_duty q = ordinary_duty();
  CHECK(answer_of(check_driver(d, q)).voltage_fits);
  q.as_delivered = true;
  const auto k = answer_of(check_driver(d, q));
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::output_voltage);
  d.output = volts{24};
  CHECK(answer_of(check_driver(d, q)).fits);
}

TEST_CASE("choose_driver: the cheapest that fits, then the smallest, then by code") {
  driver small = hundred_watt_driver(), middle = small, large = small;
  small.code = "A60";
  small.rated = watts{60};
  small.price = money{900};
  middle.code = "B100";
  middle.price = money{1500};
  large.code = "C200";
  large.rated = watts{200};
  large.price = money{1400};
  const driver list[] = {small, middle, large};
  driver_duty q = ordinary_duty();
  q.load = watts{50};
  CHECK(choose_driver(q, list)->driver == 0);
  q.load = watts{80};
  CHECK(choose_driver(q, list)->driver == 2);  // larger and cheaper
  const std::uint8_t banned[] = {0, 0, 1};
  CHECK(choose_driver(q, list, banned)->driver == 1);

  driver unpriced[] = {small, middle, large};
  for (driver& d : unpriced) d.price = {};
  CHECK(choose_driver(q, unpriced)->driver == 1);  // without prices the smallest

  q.load = watts{300};
  const auto none = choose_driver(q, list);
  REQUIRE(none.ok());
  CHECK(none->driver == -1);
  CHECK(none->nearest == 2);
  CHECK(none->stopped_by == governed::capacity);
  CHECK(close_rel(none->check.utilisation, 330.0 / 200, few_roundings));

  const auto empty = choose_driver(q, {});
  REQUIRE(empty.ok());
  CHECK(empty->driver == -1);
  CHECK(empty->nearest == -1);
}

TEST_CASE("driver_choice: what is refused") {
  check_field_range(field::power, [](double v) { return least_capacity(watts{v}, 0.1).why(); });
  check_field_range(field::headroom, [](double v) { return least_capacity(watts{1}, v).why(); });
  check_field_range(field::power, [](double v) { return greatest_load(watts{v}, 0.1).why(); });
  check_field_range(field::headroom, [](double v) { return greatest_load(watts{1}, v).why(); });
  check_field_range(field::headroom, [](double v) { return loading_limit_of_headroom(v).why(); });
  check_field_range(field::loading_limit, [](double v) { return headroom_of_loading_limit(v).why(); });

  const derating_curve good = hundred_watt_driver().derating;
  check_field_range(field::ambient, [&](double v) { return derated_share(good, celsius{v}).why(); });
  check_field_range(field::ambient, [&](double v) {
    derating_curve c = good;
    c[0].ambient = celsius{v};
    return derated_share(c, celsius{20}).why();
  });
  check_field_range(field::derating_point, [&](double v) {
    derating_curve c = good;
    c[0].share = v;
    return derated_share(c, celsius{20}).why();
  });
  CHECK(derated_share({}, celsius{20}).why() ==
        fault{fault_code::out_of_range, field::derating_point, 0, 1, 8, -1});
  derating_curve falling = good, rising = good;
  falling[1].ambient = celsius{50};
  CHECK(derated_share(falling, celsius{20}).why() ==
        fault{fault_code::contradiction, field::ambient, 50, 50, 120, 1});
  rising[1].share = 1.1;
  CHECK(derated_share(rising, celsius{20}).why() ==
        fault{fault_code::contradiction, field::derating_point, 1.1, 0, 1, 1});

  const auto ask = [](auto change) {
    driver_duty q = ordinary_duty();
    change(q);
    const fault one = check_driver(hundred_watt_driver(), q).why();
    const driver list[] = {hundred_watt_driver()};
    const fault chosen = choose_driver(q, list).why();
    CHECK(one.code == chosen.code);  // the choice refuses what the check refuses, an empty list too
    CHECK(choose_driver(q, {}).why().code == chosen.code);
    return one;
  };
  check_range(field::power, 0.001, 1e6,
              [&](double v) { return ask([v](driver_duty& q) { q.load = watts{v}; }); });
  check_field_range(field::current,
                    [&](double v) { return ask([v](driver_duty& q) { q.current = amps{v}; }); });
  check_field_range(field::headroom, [&](double v) { return ask([v](driver_duty& q) { q.headroom = v; }); });
  check_field_range(field::ambient,
                    [&](double v) { return ask([v](driver_duty& q) { q.ambient = celsius{v}; }); });
  check_field_range(field::nominal_voltage,
                    [&](double v) { return ask([v](driver_duty& q) { q.nominal = volts{v}; }); });
  check_field_range(field::mains_voltage,
                    [&](double v) { return ask([v](driver_duty& q) { q.mains = volts{v}; }); });
  check_whole_range(field::ingress, 0, 69,
                    [&](std::int32_t v) { return ask([v](driver_duty& q) { q.ingress = v; }); });
  check_field_range(field::least_terminal, [&](double v) {
    return ask([v](driver_duty& q) { q.conductor = square_millimetres{v}; });
  });

  driver broken[] = {hundred_watt_driver(), hundred_watt_driver()};
  broken[1].rated = watts{};
  const fault why = choose_driver(ordinary_duty(), broken).why();
  CHECK(why.field == field::rated_output);
  CHECK(why.item == 1);
  CHECK_FALSE(check_driver(broken[1], ordinary_duty())->fits);
}

TEST_CASE("driver_choice: an answer that was never given shows nothing plausible") {
  const driver_check k;
  CHECK_FALSE((k.fits || k.ambient_fits || k.voltage_fits || k.mains_fits || k.mount_fits || k.ingress_fits));
  CHECK_FALSE((k.terminal_fits || k.connector_fits || k.least_load_met || k.limited_energy_fits));
  CHECK_FALSE(k.limited_energy_claim_holds);
  CHECK((std::isnan(k.capacity.v) && std::isnan(k.utilisation) && std::isnan(k.headroom_left)));
  CHECK((driver_choice{}.driver == -1 && driver_choice{}.nearest == -1));
}

// A list of random drivers; every price and code its own, so that the choice has one answer.
struct random_list {
  driver rows[8];
};
random_list drivers_from(random_source& random, bool priced) {
  static constexpr const char* codes[] = {"A", "B", "C", "D", "E", "F", "G", "H"};
  random_list list;
  for (std::size_t i = 0; i < 8; ++i) {
    driver d = hundred_watt_driver();
    d.code = codes[i];
    d.rated = watts{random.pick({30.0, 60.0, 75.0, 100.0, 150.0, 200.0, 320.0})};
    d.derating.count = 0;
    const double knee = random.uniform(30, 50);
    d.derating.push({celsius{knee}, random.uniform(0.8, 1)});
    d.derating.push({celsius{knee + random.uniform(5, 25)}, random.uniform(0.2, 0.8)});
    d.price = money{priced ? random.integer(1, 5000) : 0};
    list.rows[i] = d;
  }
  shuffle(list.rows, random);
  return list;
}

TEST_CASE("law: a hotter place never leaves more of a driver") {
  auto random = law("derated_share never rises", 20260601);
  for (int i = 0; i < law_cases; ++i) {
    derating_curve curve;
    double ambient = random.uniform(-40, 20), share = random.uniform(0, 1.5);
    const auto points = random.integer(1, 8);
    for (std::int64_t k = 0; k < points; ++k) {
      curve.push({celsius{ambient}, share});
      ambient += random.log_uniform(0.01, 12);
      share *= random.uniform(0, 1);
    }
    const double a = random.uniform(-40, 120), b = random.uniform(-40, 120);
    const double cool = a < b ? a : b, hot = a < b ? b : a;
    CAPTURE(i);
    const auto more = derated_share(curve, celsius{cool}), less = derated_share(curve, celsius{hot});
    REQUIRE((more.ok() && less.ok()));
    REQUIRE(*less <= *more);
    REQUIRE(*less >= 0);
    REQUIRE(*more <= curve[0].share);
    for (const derating_point& p : curve) REQUIRE(*derated_share(curve, p.ambient) == p.share);
  }
}

TEST_CASE("law: more headroom, or a hotter place, never makes a driver fit; nor does it pick a smaller one") {
  auto random = law("choose_driver grows with headroom", 20260602);
  for (int i = 0; i < law_cases; ++i) {
    const auto list = drivers_from(random, random.one_in(2));
    driver_duty q = ordinary_duty();
    q.load = watts{random.log_uniform(5, 300)};
    q.ambient = celsius{random.uniform(20, 60)};
    q.headroom = random.uniform(0, 0.5);
    driver_duty more = q;
    more.headroom += random.uniform(0, 0.5);
    const auto a = choose_driver(q, list.rows), b = choose_driver(more, list.rows);
    CAPTURE(i);
    REQUIRE((a.ok() && b.ok()));
    if (b->driver >= 0) REQUIRE(a->driver >= 0);
    if (a->driver >= 0 && b->driver >= 0) REQUIRE(b->check.capacity >= a->check.capacity);
    driver_duty hotter = q;
    hotter.ambient = celsius{q.ambient.v + random.uniform(0, 20)};
    for (const driver& d : list.rows) {
      const auto cool = check_driver(d, q), hot = check_driver(d, hotter);
      REQUIRE((cool.ok() && hot.ok()));
      if (hot->fits) REQUIRE(cool->fits);
      REQUIRE(hot->capacity <= cool->capacity);
    }
  }
}

TEST_CASE("law: nothing that fits is cheaper than the choice, and the order of the list is nothing to it") {
  auto random = law("choose_driver is the cheapest of all that fit", 20260603);
  for (int i = 0; i < law_cases; ++i) {
    auto list = drivers_from(random, true);
    driver_duty q = ordinary_duty();
    q.load = watts{random.log_uniform(5, 400)};
    q.ambient = celsius{random.uniform(20, 60)};
    const auto chosen = choose_driver(q, list.rows);
    CAPTURE(i);
    REQUIRE(chosen.ok());
    std::string_view code = "none";
    if (chosen->driver >= 0) {
      const driver& best = list.rows[chosen->driver];
      code = best.code;
      REQUIRE(check_driver(best, q)->fits);
      REQUIRE(chosen->check.needed.v <= chosen->check.capacity.v * (1 + rounding_share));
    } else {
      code = list.rows[chosen->nearest].code;
    }
    for (const driver& d : list.rows) {
      if (!check_driver(d, q)->fits) continue;
      REQUIRE(chosen->driver >= 0);
      REQUIRE(d.price >= list.rows[chosen->driver].price);
    }
    shuffle(list.rows, random);
    const auto again = choose_driver(q, list.rows);
    REQUIRE(again.ok());
    REQUIRE((again->driver >= 0) == (chosen->driver >= 0));
    REQUIRE(list.rows[again->driver >= 0 ? again->driver : again->nearest].code == code);
  }
}

TEST_CASE("law: headroom and loading limit are one rule seen from two sides") {
  auto random = law("headroom round trip", 20260604);
  for (int i = 0; i < law_cases; ++i) {
    const double h = random.uniform(0, 2);
    const watts load{random.log_uniform(0.1, 1e5)};
    CAPTURE(i);
    const auto limit = loading_limit_of_headroom(h);
    REQUIRE(limit.ok());
    REQUIRE(close_abs(*headroom_of_loading_limit(*limit), h, 4 * 0x1p-52));  // roundings of figures up to 3
    const auto capacity = least_capacity(load, h);
    REQUIRE(capacity.ok());
    REQUIRE(close_rel(greatest_load(*capacity, h)->v, load.v, few_roundings));
    REQUIRE(close_rel(capacity->v * *limit, load.v, few_roundings));
  }
}

}  // namespace
