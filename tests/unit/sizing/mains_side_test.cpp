// SPDX-License-Identifier: BSL-1.0
// The mains side: current, breakers, inrush, leakage, plug fuse, energy, cost.
#include "tapewright/sizing/mains_side.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "tests/support/close.hpp"
#include "tests/unit/sizing/sample_parts.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr double few_roundings = 16 * 0x1p-53;  // a handful of products and quotients of rounded inputs
constexpr volts mains{230};

TEST_CASE("mains_load_of: by hand") {
  const auto m = mains_load_of(hundred_watt_driver(), watts{96}, mains);
  REQUIRE(m.ok());
  CHECK(close_rel(m->input.v, 96 / 0.92, few_roundings));
  CHECK(close_rel(m->heat.v, 96 / 0.92 - 96, 16 * few_roundings));  // a difference of near figures
  CHECK(close_rel(m->apparent.v, 96 / (0.92 * 0.95), few_roundings));
  CHECK(close_rel(m->current.v, 96 / (0.92 * 0.95 * 230), few_roundings));
  CHECK(m->plug_fuse_utilisation == 0);
  CHECK(m->plug_fuse_fits);

  driver plug = hundred_watt_driver();
  plug.plug_fuse = amps{3};
  const auto p = mains_load_of(plug, watts{96}, mains);
  REQUIRE(p.ok());
  CHECK(close_rel(p->plug_fuse_utilisation, 96 / (0.92 * 0.95 * 230) / 3, few_roundings));
  plug.plug_fuse = amps{0.4};
  CHECK_FALSE(mains_load_of(plug, watts{96}, mains)->plug_fuse_fits);
}

TEST_CASE("check_breaker: steady share and instantaneous band, just held and just broken") {
  const mains_breaker c16;
  const double band_edge_a = 5 * std::sqrt(2.0) * 16;  // IEC 60898-1, type C: must not open up to 5 In
  auto k = check_breaker(c16, amps{12.8}, amps{100}, true);
  REQUIRE(k.ok());
  CHECK(k->fits);
  CHECK(k->by == governed::steady_current);
  CHECK(close_rel(k->steady_limit.v, 12.8, few_roundings));
  CHECK(close_rel(k->inrush_limit.v, band_edge_a, few_roundings));
  CHECK_FALSE(check_breaker(c16, amps{12.81}, amps{}, true)->fits);

  k = check_breaker(c16, amps{5}, amps{band_edge_a}, true);
  CHECK(k->fits);
  CHECK(k->by == governed::inrush);
  k = check_breaker(c16, amps{5}, amps{band_edge_a + 0.01}, true);
  CHECK_FALSE(k->fits);
  CHECK(k->by == governed::inrush);

  // the same group on a type B of the same rating, and on a type D (IEC 60898-1: 3 In and 10 In)
  CHECK_FALSE(check_breaker({amps{16}, overcurrent_family::breaker_b, 0.8}, amps{5}, amps{100}, true)->fits);
  CHECK(check_breaker({amps{16}, overcurrent_family::breaker_d, 0.8}, amps{5}, amps{200}, true)->fits);
  CHECK_FALSE(check_breaker(c16, amps{1}, amps{0}, false)->inrush_known);
  CHECK(check_breaker(c16, amps{1}, amps{0}, false)->fits);  // as far as it is known
}

TEST_CASE("drivers_per_breaker: steady, inrush, and the maker's word before the coarse rule") {
  driver d = hundred_watt_driver();  // 0.4776 A, 30 A peak
  const mains_breaker c16;
  auto n = drivers_per_breaker(d, watts{96}, mains, c16);
  REQUIRE(n.ok());
  CHECK(n->by_steady == 26);  // 12.8 / 0.4776
  CHECK(n->by_inrush == 3);   // 113.1 / 30
  CHECK(n->by_maker == -1);
  CHECK(n->count == 3);
  CHECK(n->by == governed::inrush);
  CHECK(n->inrush_source == source::iec_60898_1);

  n = drivers_per_breaker(d, watts{96}, mains, c16, 14);  // its maker states 14 on a C16
  CHECK(n->count == 14);
  CHECK(n->by == governed::makers_count);
  CHECK(n->by_inrush == 3);  // still told
  CHECK(n->inrush_source == source::maker_statement);
  n = drivers_per_breaker(d, watts{96}, mains, c16, 40);
  CHECK(n->count == 26);
  CHECK(n->by == governed::steady_current);

  d.inrush_peak = amps{};
  n = drivers_per_breaker(d, watts{96}, mains, c16);
  CHECK_FALSE(n->inrush_known);
  CHECK(n->by_inrush == -1);
  CHECK(n->count == 26);
  CHECK(n->by == governed::steady_current);

  d.inrush_peak = amps{200};
  CHECK(drivers_per_breaker(d, watts{96}, mains, c16)->count == 0);  // not even one: told, not rounded up
}

TEST_CASE("drivers_per_breaker: a limit divided by n takes n, whatever the quotient is rounded to") {
  driver d = hundred_watt_driver();
  const mains_breaker c16;
  const double edge_a = check_breaker(c16, amps{}, amps{}, true)->inrush_limit.v;
  for (int n = 1; n <= 26; ++n) {
    CAPTURE(n);
    d.inrush_peak = amps{edge_a / n};
    CHECK(drivers_per_breaker(d, watts{96}, mains, c16)->by_inrush == n);
    d.inrush_peak = amps{edge_a / n * 1.00001};
    CHECK(drivers_per_breaker(d, watts{96}, mains, c16)->by_inrush == n - 1);
  }
}

TEST_CASE("check_leakage: three tenths of a 30 mA device are 9 mA (common practice)") {
  const auto held = check_leakage(amps{0.009}, amps{0.030});
  REQUIRE(held.ok());
  CHECK(held->fits);
  CHECK(close_rel(held->limit.v, 0.009, few_roundings));
  CHECK(close_rel(held->utilisation, 1, few_roundings));
  CHECK_FALSE(check_leakage(amps{0.0091}, amps{0.030})->fits);
  CHECK(check_leakage(amps{0.0091}, amps{0.030}, 0.5)->fits);
  CHECK(check_leakage(amps{0}, amps{0.030})->utilisation == 0);
}

TEST_CASE("yearly_energy and energy_cost: whole minor units, half a unit up") {
  CHECK(*yearly_energy(watts{60}, hours{1000}) == kilowatt_hours{60});
  struct row {
    double kwh, tariff_minor;
    long long minor;
  };
  // exact halves in binary, so that the rule is seen and not the representation
  const row rows[] = {
      {60, 12, 720}, {0, 30, 0},   {1, 0, 0},    {0.5, 1, 1},         {1.5, 1, 2},
      {2.5, 1, 3},   {0.25, 1, 0}, {0.75, 1, 1}, {208.5, 31.5, 6568}, {1e7, 1e6, 10'000'000'000'000}};
  for (const row& t : rows) {
    CAPTURE(t.kwh);
    CAPTURE(t.tariff_minor);
    const auto cost = energy_cost(kilowatt_hours{t.kwh}, t.tariff_minor);
    REQUIRE(cost.ok());
    CHECK(cost->minor == t.minor);
  }
}

TEST_CASE("mains_side: what is refused") {
  const driver d = hundred_watt_driver();
  const mains_breaker b;
  check_field_range(field::power, [&](double v) { return mains_load_of(d, watts{v}, mains).why(); });
  check_field_range(field::mains_voltage,
                    [&](double v) { return mains_load_of(d, watts{96}, volts{v}).why(); });
  driver broken = d;
  broken.efficiency = 0;
  CHECK(mains_load_of(broken, watts{96}, mains).why().field == field::efficiency);
  CHECK(std::isnan(mains_load_of(broken, watts{96}, mains)->current.v));

  check_field_range(field::breaker_rating, [](double v) {
    return check_breaker({amps{v}, overcurrent_family::breaker_c, 0.8}, amps{1}, amps{1}, true).why();
  });
  check_range(field::share, 0.1, 1, [](double v) {
    return check_breaker({amps{16}, overcurrent_family::breaker_c, v}, amps{1}, amps{1}, true).why();
  });
  check_field_range(field::current, [&](double v) { return check_breaker(b, amps{v}, amps{1}, true).why(); });
  check_field_range(field::inrush_peak,
                    [&](double v) { return check_breaker(b, amps{1}, amps{v}, true).why(); });
  for (const auto family :
       {overcurrent_family::fuse_gg, overcurrent_family::blade_fuse, overcurrent_family::cartridge_fuse})
    CHECK(check_breaker({amps{16}, family, 0.8}, amps{1}, amps{1}, true).why().code ==
          fault_code::not_listed);

  check_range(field::power, 0.001, 1e6,
              [&](double v) { return drivers_per_breaker(d, watts{v}, mains, b).why(); });
  CHECK(drivers_per_breaker(d, watts{96}, volts{50}, b).why().field == field::mains_voltage);
  CHECK(
      drivers_per_breaker(d, watts{96}, mains, {amps{200}, overcurrent_family::breaker_c, 0.8}).why().field ==
      field::breaker_rating);
  check_whole_range(field::output_count, 0, 1000,
                    [&](std::int32_t n) { return drivers_per_breaker(d, watts{96}, mains, b, n).why(); });

  check_field_range(field::current, [](double v) { return check_leakage(amps{v}, amps{0.03}).why(); });
  check_field_range(field::residual_rating,
                    [](double v) { return check_leakage(amps{0.001}, amps{v}).why(); });
  check_range(field::share, 0.01, 1,
              [](double v) { return check_leakage(amps{0.001}, amps{0.03}, v).why(); });

  check_field_range(field::power, [](double v) { return yearly_energy(watts{v}, hours{1}).why(); });
  check_field_range(field::hours_per_year, [](double v) { return yearly_energy(watts{1}, hours{v}).why(); });
  check_field_range(field::energy, [](double v) { return energy_cost(kilowatt_hours{v}, 1).why(); });
  check_field_range(field::tariff, [](double v) { return energy_cost(kilowatt_hours{1}, v).why(); });
}

TEST_CASE("mains_side: an answer that was never given shows nothing plausible") {
  const breaker_check k;
  CHECK_FALSE((k.fits || k.inrush_known));
  CHECK(
      (std::isnan(k.steady_utilisation) && std::isnan(k.inrush_utilisation) && std::isnan(k.steady_limit.v)));
  const breaker_count n;
  CHECK_FALSE(n.inrush_known);
  CHECK((n.count == 0 && n.by_steady == 0 && n.by_inrush == -1 && n.by_maker == -1));
  CHECK_FALSE(leakage_check{}.fits);
  CHECK(std::isnan(mains_load{}.current.v));
  CHECK_FALSE(mains_load{}.plug_fuse_fits);
}

TEST_CASE("law: that many drivers hold both limits of the breaker, one more does not") {
  auto random = law("drivers_per_breaker is the most that fit", 20260501);
  for (int i = 0; i < law_cases; ++i) {
    driver d = hundred_watt_driver();
    d.efficiency = random.uniform(0.6, 0.98);
    d.power_factor = random.uniform(0.4, 1);
    d.inrush_peak = amps{random.one_in(4) ? 0 : random.log_uniform(0.5, 200)};
    const mains_breaker b{amps{random.pick({6.0, 10.0, 13.0, 16.0, 20.0, 32.0})},
                          random.pick({overcurrent_family::breaker_b, overcurrent_family::breaker_c,
                                       overcurrent_family::breaker_d}),
                          random.uniform(0.5, 1)};
    const watts each{random.log_uniform(5, 500)};
    const auto n = drivers_per_breaker(d, each, mains, b);
    CAPTURE(i);
    REQUIRE(n.ok());
    const auto group = [&](std::int32_t count) {
      return check_breaker(b, count * n->each.current, count * d.inrush_peak, n->inrush_known);
    };
    REQUIRE(group(n->count).ok());
    REQUIRE(group(n->count)->fits);
    REQUIRE_FALSE(group(n->count + 1)->fits);
    // a slower type never takes fewer, a larger load never more
    if (b.family == overcurrent_family::breaker_b)
      REQUIRE(drivers_per_breaker(d, each, mains, {b.rated, overcurrent_family::breaker_d, b.steady_share})
                  ->count >= n->count);
    REQUIRE(drivers_per_breaker(d, 1.5 * each, mains, b)->count <= n->count);
  }
}

TEST_CASE("law: power in is light side plus heat; current falls with mains voltage; cost follows energy") {
  auto random = law("mains_load_of balances", 20260502);
  for (int i = 0; i < law_cases; ++i) {
    driver d = hundred_watt_driver();
    d.efficiency = random.uniform(0.05, 1);
    d.power_factor = random.uniform(0.05, 1);
    const watts out{random.log_uniform(0.01, 1e4)};
    const auto m = mains_load_of(d, out, mains), low = mains_load_of(d, out, volts{115});
    CAPTURE(i);
    REQUIRE((m.ok() && low.ok()));
    REQUIRE(close_rel((m->output + m->heat).v, m->input.v, few_roundings));
    REQUIRE(m->heat.v >= 0);
    REQUIRE(m->apparent.v >= m->input.v);
    REQUIRE(low->current.v == 2 * m->current.v);  // half of 230 V: exact
    const hours t{random.uniform(0, 8784)};
    const auto e = yearly_energy(m->input, t);
    REQUIRE(e.ok());
    const double tariff = random.uniform(0, 100);
    const auto cost = energy_cost(*e, tariff), dearer = energy_cost(*e, tariff + 1);
    REQUIRE((cost.ok() && dearer.ok()));
    REQUIRE(dearer->minor >= cost->minor);
    // within half a unit of the exact product, one rounding of it aside
    REQUIRE(close_abs(static_cast<double>(cost->minor), e->v * tariff, 0.5 + 1e-9));
  }
}

}  // namespace
