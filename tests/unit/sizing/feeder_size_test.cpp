// SPDX-License-Identifier: BSL-1.0
// Cable sizes: drop by core, ampacity, terminals, what governs, the choice, the inverse, their laws.
#include "tapewright/sizing/feeder_size.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <utility>

#include "tests/support/close.hpp"
#include "tests/unit/sizing/sample_parts.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr double few_roundings = 16 * 0x1p-53;  // products, quotients and short sums of rounded inputs

constexpr bounded<amps, max_channels> channels_of(std::initializer_list<double> each_a) noexcept {
  bounded<amps, max_channels> list;
  for (const double a : each_a) list.push(amps{a});
  return list;
}

/// Ten metres to a five-channel run of 6 A, in air at 30 degC, 3 % of 24 V allowed.
constexpr feeder_question five_channels() noexcept {
  feeder_question q;
  q.one_way = metres{10};
  q.channel_current = channels_of({1, 1, 1, 1, 2});
  return q;
}

constexpr feeder_question two_cores(double current_a, double one_way_m) noexcept {
  feeder_question q;
  q.one_way = metres{one_way_m};
  q.channel_current = channels_of({current_a});
  return q;
}

static_assert(*two_wire_drop(amps{2.5}, ohms_per_metre{0.5}, metres{4}) == volts{10});
static_assert(check_feeder(five_channels(), flexible_cable(6, 2.5))->cores_needed == 6);
static_assert(check_feeder(five_channels(), flexible_cable(6, 2.5))->common_current == amps{6});
static_assert(check_feeder(five_channels(), flexible_cable(6, 2.5))->worst_channel == 4);

TEST_CASE("two_wire_drop: rows") {
  struct row {
    const char* name;
    double i_a, r, l_m, want_v;
  };
  const row rows[] = {{"shop front", 2.5, 0.0210, 4.0, 0.42},
                      {"tiny stub", 0.02, 0.0210, 0.05, 4.2e-5},
                      {"no current", 0, 0.0210, 4.0, 0},
                      {"no length", 2.5, 0.0210, 0, 0}};
  for (const row& t : rows) {
    CAPTURE(t.name);
    const auto got = two_wire_drop(amps{t.i_a}, ohms_per_metre{t.r}, metres{t.l_m});
    REQUIRE(got.ok());
    CHECK(close_rel(got->v, t.want_v, few_roundings));  // by hand: 2 I r L
  }
}

TEST_CASE("feeder_drop: the common core and the channel's own; a two-wire feeder when they are the same") {
  CHECK(close_rel(feeder_drop(amps{6}, amps{2}, ohms_per_metre{0.01}, metres{5})->v, 0.4, few_roundings));
  CHECK(*feeder_drop(amps{0}, amps{0}, ohms_per_metre{0.01}, metres{5}) == volts{0});
  CHECK(*feeder_drop(amps{2.5}, amps{2.5}, ohms_per_metre{0.5}, metres{4}) ==
        *two_wire_drop(amps{2.5}, ohms_per_metre{0.5}, metres{4}));
  // and what check_feeder tells of the same cable, to the bit
  const auto k = check_feeder(five_channels(), flexible_cable(6, 2.5));
  REQUIRE(k.ok());
  CHECK(*feeder_drop(amps{6}, amps{2}, k->resistance, metres{10}) == k->drop[4]);
}

TEST_CASE("check_feeder: the common core carries the sum, each channel its own (by hand)") {
  const auto k = check_feeder(five_channels(), flexible_cable(6, 2.5));
  REQUIRE(k.ok());
  // IEC 60228 Table 3: 2.5 mm2 class 5, 7.98 ohm/km at 20 degC; 70 degC by IEC 60028: x (1 + 0.00393 x 50)
  const double r = 7.98e-3 * (1 + 0.00393 * 50);
  CHECK(close_rel(k->resistance.v, r, few_roundings));
  CHECK(close_rel(k->core_resistance.v, 10 * r, few_roundings));
  for (int c = 0; c < 4; ++c) CHECK(close_rel(k->drop[c].v, 10 * r * (6 + 1), few_roundings));
  CHECK(close_rel(k->drop[4].v, 10 * r * (6 + 2), few_roundings));
  CHECK(std::isnan(k->drop[5].v));
  CHECK(k->worst_drop == k->drop[4]);
  feeder_question equal = five_channels();
  equal.channel_current = channels_of({1, 2, 2, 2});
  CHECK(check_feeder(equal, flexible_cable(6, 2.5))->worst_channel == 1);  // of equals the first is named
  CHECK(close_rel(k->drop_share, 10 * r * 8 / 24, few_roundings));
  CHECK(close_rel(k->drop_utilisation, 10 * r * 8 / 24 / 0.03, few_roundings));
  CHECK(close_rel(k->loss.v, 10 * r * (36 + 4 * 1 + 4), few_roundings));
  CHECK(close_rel(k->heat_share, 44.0 / 72, few_roundings));
  CHECK(k->loaded_cores == 6);
  CHECK(k->drop_source == source::closed_form);
  CHECK(k->resistance_source == source_of(k->conductor));
  CHECK(k->resistance_source != source::none);
  CHECK(k->ampacity_known);
  CHECK(k->ampacity.base_source != source::none);
}

TEST_CASE("check_feeder: six cores for a five-channel tape (common practice, no source)") {
  CHECK(check_feeder(five_channels(), flexible_cable(6, 2.5))->cores_fit);
  CHECK(check_feeder(five_channels(), flexible_cable(7, 2.5))->cores_fit);
  const auto five = check_feeder(five_channels(), flexible_cable(5, 2.5));
  REQUIRE(five.ok());
  CHECK_FALSE(five->fits);
  CHECK(five->by == governed::cores);
}

TEST_CASE("check_feeder: every limit on its own, just held and just broken") {
  const auto ask = [](auto change, cable k = flexible_cable(2, 1.5)) {
    feeder_question q = two_cores(4, 3);
    change(q, k);
    const auto a = check_feeder(q, k);
    REQUIRE(a.ok());
    return *a;
  };
  const auto same = [](feeder_question&, cable&) {};
  const auto ordinary = ask(same);
  CHECK(ordinary.fits);
  CHECK(ordinary.loaded_cores == 2);

  // the drop, set just at and just below what it is
  auto k = ask([&](feeder_question& q, cable&) { q.drop_limit = ordinary.drop_share; });
  CHECK(k.fits);
  CHECK(k.by == governed::drop);
  k = ask([&](feeder_question& q, cable&) { q.drop_limit = ordinary.drop_share * 0.999; });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::drop);
  k = ask([](feeder_question& q, cable&) { q.drop_limit = 0; });
  CHECK_FALSE(k.fits);
  CHECK(k.drop_utilisation == boundless_utilisation);

  // the ampacity, from both sides, over a length that drops next to nothing
  const amps allowed = ordinary.ampacity.allowed;
  k = ask([&](feeder_question& q, cable&) {
    q.one_way = metres{0.1};
    q.channel_current = channels_of({allowed.v});
  });
  CHECK(k.fits);
  CHECK(k.by == governed::ampacity);
  CHECK(close_rel(k.expected_copper.v, 70, few_roundings));  // at its allowed current it reaches its limit
  k = ask([&](feeder_question& q, cable&) {
    q.one_way = metres{0.1};
    q.channel_current = channels_of({allowed.v * 1.001});
  });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::ampacity);
  // a maker's own rating, at 30 degC
  k = ask([](feeder_question&, cable& c) { c.rating = amps{3.9}; });
  CHECK_FALSE(k.fits);
  CHECK(k.by == governed::ampacity);
  CHECK(k.ampacity.base == amps{3.9});

  k = ask([](feeder_question& q, cable&) {
    q.least_terminal = square_millimetres{0.5};
    q.greatest_terminal = square_millimetres{1.5};
  });
  CHECK(k.fits);
  for (const auto& [least, greatest] : {std::pair{0.5, 1.0}, std::pair{2.5, 6.0}}) {
    k = ask([least = least, greatest = greatest](feeder_question& q, cable&) {
      q.least_terminal = square_millimetres{least};
      q.greatest_terminal = square_millimetres{greatest};
    });
    CHECK_FALSE(k.terminal_fits);
    CHECK(k.by == governed::terminal);
  }

  // IEC 60364-7-715: 1.5 mm2 (from memory), as a figure that comes in
  CHECK(ask([](feeder_question& q, cable&) { q.least_area = square_millimetres{1.5}; }).fits);
  k = ask([](feeder_question& q, cable&) { q.least_area = square_millimetres{2.5}; });
  CHECK_FALSE(k.area_fits);
  CHECK(k.by == governed::code_minimum);

  CHECK(ask([](feeder_question&, cable& c) { c.stock = metres{3}; }).fits);
  k = ask([](feeder_question&, cable& c) { c.stock = metres{2.9}; });
  CHECK_FALSE(k.piece_fits);
  CHECK(k.by == governed::stock);

  // a place as hot as the insulation's limit leaves nothing: an answer, not a fault
  k = ask([](feeder_question& q, cable&) { q.ambient = celsius{70}; });
  CHECK_FALSE(k.fits);
  k = ask([](feeder_question& q, cable&) { q.ambient = celsius{110}; });
  CHECK_FALSE(k.fits);
}

TEST_CASE("check_feeder: a size without a published current needs its maker's word") {
  feeder_question q = two_cores(0.5, 1);
  const cable thin = flexible_cable(2, 0.22);
  const auto k = check_feeder(q, thin);
  REQUIRE(k.ok());
  CHECK_FALSE(k->ampacity_known);
  CHECK(k->no_ampacity.code == fault_code::not_listed);
  CHECK(k->by == governed::ampacity_unknown);
  CHECK_FALSE(k->fits);
  CHECK(k->drop_utilisation > 0);  // the drop is still told
  cable stated = thin;
  stated.rating = amps{2};
  const auto s = check_feeder(q, stated);
  REQUIRE(s.ok());
  CHECK(s->ampacity_known);
  CHECK(s->fits);
}

TEST_CASE("check_feeder: an enforced total lightens the common core only") {
  feeder_question q = five_channels();
  q.common = amps{4};
  const auto k = check_feeder(q, flexible_cable(6, 2.5));
  REQUIRE(k.ok());
  CHECK(k->common_current == amps{4});
  CHECK(close_rel((k->drop[4] / k->core_resistance).v, 4 + 2, few_roundings));
}

TEST_CASE("check_feeder: an unlit channel drops nothing and loads no core") {
  feeder_question q = five_channels();
  q.channel_current = channels_of({0, 0, 0, 0, 2});
  const auto k = check_feeder(q, flexible_cable(6, 2.5));
  REQUIRE(k.ok());
  CHECK(k->loaded_cores == 2);
  CHECK(k->drop[0] == volts{0});
  CHECK(k->heat_share == 1);
  q.channel_current = channels_of({0, 0});
  const auto none = check_feeder(q, flexible_cable(6, 2.5));
  REQUIRE(none.ok());
  CHECK(none->loaded_cores == 0);
  CHECK(none->utilisation == 0);
  CHECK(none->heat_share == 0);
  CHECK(none->fits);
}

TEST_CASE("check_feeder: gauge sizes by their own area") {
  feeder_question q = two_cores(4, 3);
  q.family = code_family::nec;
  const auto k = check_feeder(q, gauge_cable(2, 14));
  REQUIRE(k.ok());
  // ASTM B258: d = 0.127 x 92^((36-14)/39) mm, area 2.0809 mm2 (computed there to 4 digits)
  CHECK(close_rel(k->conductor.area.v, 2.0809, 5e-5));  // half a unit of the fifth digit
  q.least_area = square_millimetres{2.5};
  CHECK(check_feeder(q, gauge_cable(2, 14))->by == governed::code_minimum);
  CHECK(check_feeder(q, gauge_cable(2, 12))->area_fits);
}

TEST_CASE("choose_feeder: cheapest for the length, then thinnest, then by code; what ruled out the thinner") {
  // 6 A over 10 m at 3 % of 24 V: 0.72 V allowed
  const cable list[] = {flexible_cable(2, 1.5, 80, "A"), flexible_cable(2, 2.5, 120, "B"),
                        flexible_cable(2, 4, 110, "C"), flexible_cable(2, 6, 300, "D")};
  const feeder_question q = two_cores(6, 10);
  auto c = choose_feeder(q, list);
  REQUIRE(c.ok());
  // 2.5 mm2 drops 2 x 6 x 10 x 9.55 mohm = 1.146 V; 4 mm2 0.711 V
  CHECK(c->cable == 2);
  CHECK(c->thinner == 1);
  CHECK(c->by == governed::drop);
  CHECK(c->cost == money{1100});
  CHECK(c->units == 10);
  CHECK(c->nearest == -1);

  const std::uint8_t banned[] = {0, 0, 1, 0};
  CHECK(choose_feeder(q, list, banned)->cable == 3);

  // a short feeder: the thinnest would do, the thicker is cheaper
  const cable odd[] = {flexible_cable(2, 1.5, 200, "A"), flexible_cable(2, 2.5, 120, "B")};
  c = choose_feeder(two_cores(2, 1), odd);
  CHECK(c->cable == 1);
  CHECK(c->thinner == 0);
  CHECK(c->by == governed::price);

  // without prices the thinnest; nothing thinner left to rule out
  const cable unpriced[] = {flexible_cable(2, 2.5, 0, "B"), flexible_cable(2, 1.5, 0, "A")};
  c = choose_feeder(two_cores(2, 1), unpriced);
  CHECK(c->cable == 1);
  CHECK(c->thinner == -1);
  CHECK(c->by == governed::none);
  CHECK(c->cost == money{});

  // none: the nearest, and what stops it
  c = choose_feeder(two_cores(6, 40), list);
  REQUIRE(c.ok());
  CHECK(c->cable == -1);
  CHECK(c->nearest == 3);
  CHECK(c->by == governed::drop);
  CHECK(c->check.drop_utilisation > 1);
  c = choose_feeder(five_channels(), list);
  CHECK(c->cable == -1);
  CHECK(c->by == governed::cores);
  c = choose_feeder(q, {});
  REQUIRE(c.ok());
  CHECK(c->nearest == -1);

  // sold in fifty-metre rolls, the thinner one costs more for ten metres
  cable roll = flexible_cable(2, 4, 1200, "R");
  roll.sale_quantum = metres{50};
  const cable rolls[] = {roll, flexible_cable(2, 6, 300, "S")};
  c = choose_feeder(q, rolls);
  CHECK(c->cable == 0);  // one roll of 12.00 against ten metres of 3.00
  CHECK(c->units == 1);
}

TEST_CASE("longest_feeder: the inverse of the drop") {
  const auto q = two_cores(6, 0);
  const auto longest = longest_feeder(q, flexible_cable(2, 2.5));
  REQUIRE(longest.ok());
  const double r = 7.98e-3 * (1 + 0.00393 * 50);  // IEC 60228, IEC 60028
  CHECK(close_rel(longest->v, 0.03 * 24 / (12 * r), few_roundings));
  CHECK(*longest_feeder(two_cores(0, 5), flexible_cable(2, 2.5)) == metres{10000});  // no current, no limit
  feeder_question strict = q;
  strict.drop_limit = 0;
  CHECK(*longest_feeder(strict, flexible_cable(2, 2.5)) == metres{0});
}

TEST_CASE("least_area: by hand") {
  // IEC 60364-5-52 Annex G: 0.0225 ohm mm2/m in service; 10 A over 20 m, 3 V
  const auto s = least_area(amps{10}, metres{20}, volts{3}, ohm_square_millimetres_per_metre{0.0225});
  REQUIRE(s.ok());
  CHECK(close_rel(s->v, 2 * 0.0225 * 10 * 20 / 3, few_roundings));
  CHECK(*least_area(amps{0}, metres{20}, volts{3}, ohm_square_millimetres_per_metre{0.0225}) ==
        square_millimetres{0});
}

TEST_CASE("feeder_size: what is refused") {
  check_field_range(field::current,
                    [](double v) { return two_wire_drop(amps{v}, ohms_per_metre{0.01}, metres{1}).why(); });
  check_field_range(field::resistance_per_metre,
                    [](double v) { return two_wire_drop(amps{1}, ohms_per_metre{v}, metres{1}).why(); });
  check_field_range(field::one_way,
                    [](double v) { return two_wire_drop(amps{1}, ohms_per_metre{0.01}, metres{v}).why(); });
  const ohms_per_metre r{0.01};
  check_field_range(field::current,
                    [&](double v) { return feeder_drop(amps{v}, amps{1}, r, metres{1}).why(); });
  check_field_range(field::current,
                    [&](double v) { return feeder_drop(amps{1}, amps{v}, r, metres{1}).why(); });
  check_field_range(field::resistance_per_metre, [](double v) {
    return feeder_drop(amps{1}, amps{1}, ohms_per_metre{v}, metres{1}).why();
  });
  check_field_range(field::one_way,
                    [&](double v) { return feeder_drop(amps{1}, amps{1}, r, metres{v}).why(); });
  const ohm_square_millimetres_per_metre copper{0.0172};
  check_field_range(field::current,
                    [&](double v) { return least_area(amps{v}, metres{1}, volts{1}, copper).why(); });
  check_field_range(field::one_way,
                    [&](double v) { return least_area(amps{1}, metres{v}, volts{1}, copper).why(); });
  check_range(field::voltage, 1e-4, 120,
              [&](double v) { return least_area(amps{1}, metres{1}, volts{v}, copper).why(); });
  check_field_range(field::resistivity, [](double v) {
    return least_area(amps{1}, metres{1}, volts{1}, ohm_square_millimetres_per_metre{v}).why();
  });

  const cable one[] = {flexible_cable(6, 2.5)};
  const auto ask = [&](auto change) {
    feeder_question q = five_channels();
    change(q);
    const fault f = check_feeder(q, one[0]).why();
    CHECK(choose_feeder(q, one).why().code == f.code);
    CHECK(longest_feeder(q, one[0]).why().code == f.code);
    return f;
  };
  check_field_range(field::one_way,
                    [&](double v) { return ask([v](feeder_question& q) { q.one_way = metres{v}; }); });
  check_field_range(field::current, [&](double v) {
    return ask([v](feeder_question& q) { q.channel_current[3] = amps{v}; });
  });
  check_field_range(field::current,
                    [&](double v) { return ask([v](feeder_question& q) { q.common = amps{v}; }); });
  check_field_range(field::nominal_voltage,
                    [&](double v) { return ask([v](feeder_question& q) { q.nominal = volts{v}; }); });
  check_field_range(field::drop_limit,
                    [&](double v) { return ask([v](feeder_question& q) { q.drop_limit = v; }); });
  check_field_range(field::ambient,
                    [&](double v) { return ask([v](feeder_question& q) { q.ambient = celsius{v}; }); });
  check_field_range(field::temperature,
                    [&](double v) { return ask([v](feeder_question& q) { q.copper = celsius{v}; }); });
  check_whole_range(field::circuits_grouped, 1, 20,
                    [&](std::int32_t v) { return ask([v](feeder_question& q) { q.circuits = v; }); });
  check_field_range(field::least_terminal, [&](double v) {
    return ask([v](feeder_question& q) {
      q.least_terminal = square_millimetres{v};
      q.greatest_terminal = square_millimetres{1000};
    });
  });
  check_range(field::greatest_terminal, 1, 1000, [&](double v) {
    return ask([v](feeder_question& q) {
      q.least_terminal = square_millimetres{1};
      q.greatest_terminal = square_millimetres{v};
    });
  });
  check_field_range(field::least_terminal, [&](double v) {
    return ask([v](feeder_question& q) { q.least_area = square_millimetres{v}; });
  });
  CHECK(ask([](feeder_question& q) { q.channel_current.count = 0; }).field == field::channel_count);
  CHECK(ask([](feeder_question& q) { q.common = amps{7}; }).code ==
        fault_code::contradiction);  // above the sum
  CHECK(ask([](feeder_question& q) { q.common = amps{1.5}; }).code ==
        fault_code::contradiction);  // below a channel

  // a list with a bad row says which; a size that no table knows is a fault of its row
  cable list[] = {flexible_cable(6, 2.5), flexible_cable(6, 2.5)};
  list[1].conductor_limit = celsius{20};
  CHECK(choose_feeder(five_channels(), list).why().field == field::conductor_limit);
  CHECK(choose_feeder(five_channels(), list).why().item == 1);
  list[1] = flexible_cable(6, 2.7);
  CHECK(choose_feeder(five_channels(), list).why().code == fault_code::not_listed);
  CHECK(choose_feeder(five_channels(), list).why().item == 1);
  CHECK(std::isnan(check_feeder(five_channels(), list[1])->worst_drop.v));
  CHECK_FALSE(check_feeder(five_channels(), list[1])->fits);
}

TEST_CASE("feeder_size: an answer that was never given shows nothing plausible") {
  const feeder_check a;
  CHECK_FALSE((a.fits || a.cores_fit || a.terminal_fits || a.area_fits || a.piece_fits || a.ampacity_known));
  CHECK((std::isnan(a.worst_drop.v) && std::isnan(a.drop_utilisation) && std::isnan(a.ampacity_utilisation)));
  CHECK((std::isnan(a.ampacity.allowed.v) && std::isnan(a.expected_copper.v) && a.worst_channel == -1));
  const feeder_choice c;
  CHECK((c.cable == -1 && c.thinner == -1 && c.nearest == -1 && c.units == 0 && c.cost == money{}));
}

constexpr double metric_mm2[] = {0.75, 1, 1.5, 2.5, 4, 6, 10, 16};

feeder_question any_question(random_source& random) {
  feeder_question q;
  q.one_way = metres{random.log_uniform(0.1, 100)};
  const auto channels = random.integer(1, 6);
  for (std::int64_t c = 0; c < channels; ++c) q.channel_current.push(amps{random.log_uniform(0.05, 8)});
  q.nominal = volts{random.pick({12.0, 24.0, 48.0})};
  q.drop_limit = random.uniform(0.01, 0.1);
  q.ambient = celsius{random.uniform(10, 55)};
  q.copper = celsius{random.uniform(20, 70)};
  q.method = random.pick({laying::b2, laying::c, laying::e});
  q.circuits = static_cast<std::int32_t>(random.integer(1, 9));
  return q;
}

TEST_CASE("law: thicker copper never drops more and never carries less") {
  auto random = law("check_feeder: thicker is never worse", 20260901);
  for (int i = 0; i < law_cases; ++i) {
    const auto q = any_question(random);
    const auto thin = static_cast<std::size_t>(random.integer(0, 6));
    const auto thick = static_cast<std::size_t>(random.integer(static_cast<std::int64_t>(thin) + 1, 7));
    const auto a = check_feeder(q, flexible_cable(7, metric_mm2[thin])),
               b = check_feeder(q, flexible_cable(7, metric_mm2[thick]));
    CAPTURE(i);
    REQUIRE((a.ok() && b.ok()));
    REQUIRE(b->worst_drop < a->worst_drop);
    REQUIRE(b->loss < a->loss);
    if (a->ampacity_known && b->ampacity_known) REQUIRE(b->ampacity.allowed >= a->ampacity.allowed);
    if (a->fits) REQUIRE(b->fits);
    REQUIRE(a->heat_share <= 1 + few_roundings);  // two fully loaded cores are always the hotter case
    REQUIRE(a->heat_share > 0.5);
  }
}

TEST_CASE("law: hotter, longer, more in a bundle or more current is never better") {
  auto random = law("check_feeder: monotone in what makes it harder", 20260902);
  for (int i = 0; i < law_cases; ++i) {
    const auto q = any_question(random);
    const cable k = flexible_cable(7, random.pick(metric_mm2));
    feeder_question hotter = q, warmer = q, longer = q, bundled = q, more = q;
    hotter.ambient = celsius{q.ambient.v + random.uniform(0, 10)};
    warmer.copper = celsius{q.copper.v + random.uniform(0, 20)};
    longer.one_way = 2 * q.one_way;
    bundled.circuits += static_cast<std::int32_t>(random.integer(0, 9));
    more.channel_current[0] *= random.uniform(1, 3);
    const auto a = check_feeder(q, k);
    CAPTURE(i);
    REQUIRE(a.ok());
    const auto in_heat = check_feeder(hotter, k), warm = check_feeder(warmer, k),
               far = check_feeder(longer, k), many = check_feeder(bundled, k), loaded = check_feeder(more, k);
    REQUIRE((in_heat.ok() && warm.ok() && far.ok() && many.ok() && loaded.ok()));
    REQUIRE(in_heat->ampacity_utilisation >= a->ampacity_utilisation);
    REQUIRE(many->ampacity_utilisation >= a->ampacity_utilisation);
    REQUIRE(warm->drop_utilisation >= a->drop_utilisation);
    REQUIRE(loaded->drop_utilisation >= a->drop_utilisation);
    REQUIRE(loaded->ampacity_utilisation >= a->ampacity_utilisation);
    REQUIRE(far->worst_drop.v == 2 * a->worst_drop.v);  // a power of two: exact
    REQUIRE(far->ampacity_utilisation == a->ampacity_utilisation);
    for (const auto& worse : {in_heat, warm, far, many, loaded})
      if (worse->fits) REQUIRE(a->fits);
  }
}

TEST_CASE("law: half the length at twice the current drops the same") {
  auto random = law("check_feeder: length against current", 20260903);
  for (int i = 0; i < law_cases; ++i) {
    const auto q = any_question(random);
    feeder_question scaled = q;
    scaled.one_way *= 0.5;
    for (amps& c : scaled.channel_current) c *= 2.0;
    const cable k = flexible_cable(7, 2.5);
    const auto a = check_feeder(q, k), b = check_feeder(scaled, k);
    CAPTURE(i);
    REQUIRE((a.ok() && b.ok()));
    REQUIRE(a->worst_drop == b->worst_drop);  // powers of two: exact
    REQUIRE(a->worst_channel == b->worst_channel);
  }
}

TEST_CASE("law: the longest feeder holds its drop, a thousandth more does not") {
  auto random = law("longest_feeder is the inverse of check_feeder", 20260904);
  for (int i = 0; i < law_cases; ++i) {
    feeder_question q = any_question(random);
    const cable k = flexible_cable(7, random.pick(metric_mm2));
    const auto longest = longest_feeder(q, k);
    CAPTURE(i);
    REQUIRE(longest.ok());
    q.one_way = *longest;
    const auto at = check_feeder(q, k);
    REQUIRE(at.ok());
    REQUIRE(within(at->drop_utilisation));
    if (longest->v == 10000) continue;  // so little current that the drop allows more than the library takes
    REQUIRE(close_rel(at->drop_utilisation, 1, few_roundings));
    q.one_way *= 1.001;
    REQUIRE_FALSE(within(check_feeder(q, k)->drop_utilisation));
    // and the area that just holds the drop is below every size that does
    if (q.channel_current.size() != 1) continue;
    const auto area = least_area(q.channel_current[0], *longest, q.drop_limit * q.nominal,
                                 at->resistance * at->conductor.area);
    if (area.ok()) REQUIRE(close_rel(area->v, at->conductor.area.v, few_roundings));
  }
}

TEST_CASE("law: nothing that fits is cheaper than the choice, and the order of the list is nothing to it") {
  auto random = law("choose_feeder is the cheapest of all that fit", 20260905);
  static constexpr const char* codes[] = {"A", "B", "C", "D", "E", "F", "G", "H"};
  for (int i = 0; i < law_cases; ++i) {
    const auto q = any_question(random);
    const bool priced = !random.one_in(3);
    cable list[8];
    for (std::size_t k = 0; k < 8; ++k) {
      const auto cores = static_cast<std::int32_t>(random.integer(2, 7));
      const double area = random.pick(metric_mm2);
      list[k] = flexible_cable(cores, area, priced ? random.integer(1, 900) : 0, codes[k]);
      list[k].sale_quantum = metres{random.pick({0.5, 1.0, 25.0})};
    }
    const auto chosen = choose_feeder(q, list);
    CAPTURE(i);
    REQUIRE(chosen.ok());
    for (const cable& k : list) {
      const auto a = check_feeder(q, k);
      REQUIRE(a.ok());
      if (!a->fits) continue;
      REQUIRE(chosen->cable >= 0);
      if (priced) REQUIRE(chosen->cost.minor <= k.price.minor * *sale_units(q.one_way, k.sale_quantum));
      else REQUIRE(chosen->check.conductor.area <= a->conductor.area);
    }
    if (chosen->cable >= 0) {
      REQUIRE(chosen->check.fits);
      REQUIRE(within(chosen->check.utilisation));
    } else {
      REQUIRE_FALSE(chosen->check.fits);
      REQUIRE(chosen->by != governed::none);
    }
    const std::string_view code = list[chosen->cable >= 0 ? chosen->cable : chosen->nearest].code;
    shuffle(list, random);
    const auto again = choose_feeder(q, list);
    REQUIRE(again.ok());
    REQUIRE(list[again->cable >= 0 ? again->cable : again->nearest].code == code);
    REQUIRE(again->by == chosen->by);
  }
}

}  // namespace
