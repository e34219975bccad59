// SPDX-License-Identifier: BSL-1.0
// Controllers against their duty, each limit on its own, and the lower bound on their number.
#include "tapewright/sizing/controller_check.hpp"

#include <doctest/doctest.h>

#include "tests/support/close.hpp"
#include "tests/unit/sizing/sample_parts.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr bounded<amps, max_channels> channels_of(std::initializer_list<double> each_a) noexcept {
  bounded<amps, max_channels> list;
  for (const double a : each_a) list.push(amps{a});
  return list;
}

constexpr controller_duty ordinary_duty() noexcept {
  controller_duty d;
  d.channel_current = channels_of({1, 1, 1, 1.5, 3});
  d.input = volts{24};
  d.ambient = celsius{30};
  d.conductor = square_millimetres{1.5};
  return d;
}

static_assert(check_controller(five_channel_controller(), ordinary_duty())->fits);
static_assert(check_controller(five_channel_controller(), ordinary_duty())->total == amps{7.5});
static_assert(check_controller(five_channel_controller(), ordinary_duty())->channel_utilisation == 0.5);
static_assert(check_controller(five_channel_controller(), ordinary_duty())->worst_channel == 4);
static_assert(check_controller(five_channel_controller(), ordinary_duty())->total_utilisation == 0.5);

TEST_CASE("check_controller: every limit on its own, just held and just broken") {
  const controller c = five_channel_controller();
  const auto ask = [&](auto change) {
    controller_duty d = ordinary_duty();
    change(d);
    const auto k = check_controller(c, d);
    REQUIRE(k.ok());
    return *k;
  };

  auto k = ask([](controller_duty& d) { d.channel_current = channels_of({6, 1, 1, 1, 1}); });
  CHECK(k.fits);
  CHECK(k.by == governed::channel_current);
  CHECK(k.worst_channel == 0);
  CHECK(k.utilisation == 1.0);
  k = ask([](controller_duty& d) { d.channel_current = channels_of({6.01, 1, 1, 1, 1}); });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::channel_current);

  k = ask([](controller_duty& d) { d.channel_current = channels_of({3, 3, 3, 3, 3}); });
  CHECK(k.fits);
  CHECK(k.by == governed::total_current);
  CHECK(k.worst_channel == 0);  // of equals the first is named
  k = ask([](controller_duty& d) { d.channel_current = channels_of({3, 3, 3, 3, 3.01}); });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::total_current);

  // an enforced limit keeps the total below the sum
  k = ask([](controller_duty& d) {
    d.channel_current = channels_of({5, 5, 5, 5, 5});
    d.total = amps{12};
  });
  CHECK(k.fits);
  CHECK(k.total == amps{12});

  k = ask([](controller_duty& d) { d.channel_current = channels_of({1, 1, 1, 1, 1, 1}); });
  CHECK_FALSE(k.channels_fit);
  CHECK(k.by == governed::channels);

  for (const double v : {12.0, 24.0})
    CHECK(ask([v](controller_duty& d) { d.input = volts{v}; }).voltage_fits);
  for (const double v : {11.99, 24.01, 48.0}) {
    k = ask([v](controller_duty& d) { d.input = volts{v}; });
    CHECK_FALSE(k.fits);
    CHECK(k.by == governed::input_voltage);
  }

  k = ask([](controller_duty& d) { d.common = polarity::common_negative; });
  CHECK_FALSE(k.polarity_fits);
  CHECK(k.by == governed::polarity);

  CHECK(ask([](controller_duty& d) { d.ambient = celsius{45}; }).fits);
  k = ask([](controller_duty& d) { d.ambient = celsius{45.1}; });
  CHECK_FALSE(k.ambient_fits);
  CHECK(k.by == governed::ambient);

  for (const double a : {0.0, 0.5, 2.5})
    CHECK(ask([a](controller_duty& d) { d.conductor = square_millimetres{a}; }).fits);
  for (const double a : {0.34, 4.0}) {
    k = ask([a](controller_duty& d) { d.conductor = square_millimetres{a}; });
    CHECK_FALSE(k.terminal_fits);
    CHECK(k.by == governed::terminal);
  }
}

TEST_CASE("check_controller: the supply terminal carries everything") {
  controller c = five_channel_controller();
  c.terminal = amps{7};
  const auto k = check_controller(c, ordinary_duty());  // 7.5 A in all
  REQUIRE(k.ok());
  CHECK_FALSE(k->fits);
  CHECK(k->by == governed::terminal_current);
  CHECK(close_rel(k->terminal_utilisation, 7.5 / 7, 1e-15));  // the same quotient
}

TEST_CASE("check_controller: what is refused") {
  const controller c = five_channel_controller();
  const auto ask = [&](auto change) {
    controller_duty d = ordinary_duty();
    change(d);
    return check_controller(c, d).why();
  };
  check_field_range(field::current, [&](double v) {
    return ask([v](controller_duty& d) { d.channel_current[1] = amps{v}; });
  });
  check_field_range(field::current,
                    [&](double v) { return ask([v](controller_duty& d) { d.total = amps{v}; }); });
  check_field_range(field::voltage,
                    [&](double v) { return ask([v](controller_duty& d) { d.input = volts{v}; }); });
  check_field_range(field::ambient,
                    [&](double v) { return ask([v](controller_duty& d) { d.ambient = celsius{v}; }); });
  check_field_range(field::least_terminal, [&](double v) {
    return ask([v](controller_duty& d) { d.conductor = square_millimetres{v}; });
  });
  CHECK(ask([](controller_duty& d) { d.channel_current.count = 0; }).field == field::channel_count);
  CHECK(ask([](controller_duty& d) { d.total = amps{8}; }).code ==
        fault_code::contradiction);  // above the sum
  CHECK(ask([](controller_duty& d) { d.total = amps{2}; }).code ==
        fault_code::contradiction);  // below one channel

  controller broken = c;
  broken.channel_limit = amps{};
  const auto k = check_controller(broken, ordinary_duty());
  CHECK(k.why().field == field::channel_limit);
  CHECK_FALSE(k->fits);
  CHECK(std::isnan(k->utilisation));
}

TEST_CASE("controller_check: an answer that was never given shows nothing plausible") {
  const controller_check k;
  CHECK_FALSE(
      (k.fits || k.voltage_fits || k.polarity_fits || k.channels_fit || k.terminal_fits || k.ambient_fits));
  CHECK((std::isnan(k.channel_utilisation) && std::isnan(k.total_utilisation) && k.worst_channel == -1));
  CHECK((controller_count{}.needed == 0 && controller_count{}.worst_channel == -1));
}

TEST_CASE("controllers_needed: the bound of each limit, and which governs") {
  const controller c = five_channel_controller();  // 6 A a channel, 15 A in all, 16 A a terminal
  struct row {
    const char* name;
    std::initializer_list<double> amps_each;
    std::int32_t by_channel, by_total, by_terminal, needed;
    governed by;
  };
  const row rows[] = {
      {"one is enough", {6, 1, 1, 1, 1}, 1, 1, 1, 1, governed::none},
      {"a hair too much on one channel", {6.01, 1, 1, 1, 1}, 2, 1, 1, 2, governed::channel_current},
      {"too much in all", {4, 4, 4, 4, 4}, 1, 2, 2, 2, governed::total_current},
      {"exactly three times the total", {9, 9, 9, 9, 9}, 2, 3, 3, 3, governed::total_current},
      {"nothing at all", {0}, 1, 1, 1, 1, governed::none},
  };
  for (const row& t : rows) {
    CAPTURE(t.name);
    const auto n = controllers_needed(c, channels_of(t.amps_each));
    REQUIRE(n.ok());
    CHECK(n->by_channel == t.by_channel);
    CHECK(n->by_total == t.by_total);
    CHECK(n->by_terminal == t.by_terminal);
    CHECK(n->needed == t.needed);
    CHECK(n->by == t.by);
  }
  CHECK(controllers_needed(c, channels_of({1, 7, 7}))->worst_channel == 1);  // of equals the first is named

  controller weak = c;
  weak.terminal = amps{5};
  const auto n = controllers_needed(weak, channels_of({4, 4, 4}));
  REQUIRE(n.ok());
  CHECK(n->by == governed::terminal_current);
  CHECK(n->needed == 3);

  CHECK(controllers_needed(c, channels_of({1, 1, 1, 1, 1, 1})).why() ==
        fault{fault_code::contradiction, field::channel_count, 6, 1, 5, -1});
  CHECK(controllers_needed(c, {}).why().field == field::channel_count);
  check_field_range(field::current, [&](double v) { return controllers_needed(c, channels_of({v})).why(); });
  check_field_range(field::current,
                    [&](double v) { return controllers_needed(c, channels_of({1}), amps{v}).why(); });
  controller broken = c;
  broken.total_limit = amps{};
  CHECK(controllers_needed(broken, channels_of({1})).why().field == field::total_limit);
}

TEST_CASE("law: more current never makes a controller fit; enough of them carry the load, one less do not") {
  auto random = law("controllers: monotone, and the bound is tight", 20260401);
  for (int i = 0; i < law_cases; ++i) {
    controller c = five_channel_controller();
    c.channels = 6;
    c.channel_limit = amps{random.log_uniform(0.5, 20)};
    c.total_limit = amps{random.log_uniform(0.5, 60)};
    c.terminal = amps{random.log_uniform(0.5, 60)};
    controller_duty d = ordinary_duty();
    d.channel_current.count = 0;
    const auto channels = random.integer(1, 6);
    for (std::int64_t k = 0; k < channels; ++k) d.channel_current.push(amps{random.log_uniform(0.01, 30)});
    controller_duty more = d;
    more.channel_current[static_cast<std::size_t>(random.integer(0, channels - 1))] *= random.uniform(1, 2);
    CAPTURE(i);
    const auto one = check_controller(c, d), two = check_controller(c, more);
    const auto n = controllers_needed(c, d.channel_current);
    REQUIRE((one.ok() && two.ok() && n.ok()));
    REQUIRE(two->utilisation >= one->utilisation);
    if (two->fits) REQUIRE(one->fits);
    REQUIRE((n->needed == 1) == one->fits);
    // a share of 1/needed on each holds every limit; of 1/(needed - 1) breaks one
    const auto shared = [&](std::int32_t pieces) {
      controller_duty part = d;
      for (amps& a : part.channel_current) a *= 1.0 / pieces;
      return check_controller(c, part)->fits;
    };
    REQUIRE(shared(n->needed));
    if (n->needed > 1) REQUIRE_FALSE(shared(n->needed - 1));
  }
}

TEST_CASE("law: the order of the channels decides nothing but which is named") {
  auto random = law("controllers: channel order", 20260402);
  for (int i = 0; i < law_cases; ++i) {
    double each[5];
    for (double& a : each) a = static_cast<double>(random.integer(0, 64)) / 8;  // exact sums in any order
    controller_duty d = ordinary_duty(), e = ordinary_duty();
    d.channel_current = channels_of({each[0], each[1], each[2], each[3], each[4]});
    shuffle(each, random);
    e.channel_current = channels_of({each[0], each[1], each[2], each[3], each[4]});
    const auto a = check_controller(five_channel_controller(), d),
               b = check_controller(five_channel_controller(), e);
    CAPTURE(i);
    REQUIRE((a.ok() && b.ok()));
    REQUIRE(a->fits == b->fits);
    REQUIRE(a->by == b->by);
    REQUIRE(a->utilisation == b->utilisation);
    REQUIRE(a->total == b->total);
  }
}

}  // namespace
