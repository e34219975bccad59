// SPDX-License-Identifier: BSL-1.0
// Cutting to the pitch and selling by the quantum: trade facts, refusals, laws.
#include "tapewright/sizing/run_length.hpp"

#include <doctest/doctest.h>

#include "tests/support/close.hpp"
#include "tests/unit/sizing/sample_parts.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

struct cut_row {
  const char* name;
  double measured_m, pitch_m;
  std::int64_t segments;
  double length_m, dark_m;
};
// Lengths are sums and products of a few doubles below 10: 1e-12 m is a thousand roundings of them.
constexpr double cut_bound_m = 1e-12;
constexpr cut_row cut_rows[] = {
    {"a shelf", 4.63, 0.05, 92, 4.60, 0.03},
    {"exactly on the mark", 5.0, 0.05, 100, 5.0, 0.0},
    {"binary fractions short of the mark", 0.1 + 0.2, 0.1, 3, 0.3, 0.0},
    {"a nanometre short of the mark", 4.999999999, 0.05, 100, 5.0, 0.0},
    {"two micrometres short of the mark", 4.999998, 0.05, 99, 4.95, 0.049998},
    {"one segment", 0.35, 0.25, 1, 0.25, 0.10},
    {"a pitch of three LEDs per 62.5 mm", 9.2, 0.0625, 147, 9.1875, 0.0125},
};

struct sale_row {
  const char* name;
  double need_m, quantum_m;
  std::int64_t units;
};
// Common practice, no source: lengths are sold in whole quanta, rounded up.
constexpr sale_row sale_rows[] = {
    {"4.6 m by whole metres is 5 m", 4.6, 1, 5},
    {"float noise does not sell a sixth metre", 5.000000001, 1, 5},
    {"a centimetre does", 5.01, 1, 6},
    {"two micrometres do", 5.000002, 1, 6},
    {"a sum of tenths", 0.1 + 0.2, 0.1, 3},
    {"nothing needed, nothing sold", 0, 1, 0},
    {"half metres", 2.3, 0.5, 5},
    {"a whole reel of 5 m at a time", 5.05, 5, 2},
    {"four micrometres on five kilometres are a sum's rounding", 5000.000004, 1, 5000},
    {"six are not", 5000.000006, 1, 5001},
    {"a kilometre by the millimetre", 1000, 0.001, 1'000'000},
};

TEST_CASE("cut_to_pitch: rows") {
  for (const cut_row& t : cut_rows) {
    CAPTURE(t.name);
    const auto got = cut_to_pitch(metres{t.measured_m}, metres{t.pitch_m});
    REQUIRE(got.ok());
    CHECK(got->segments == t.segments);
    CHECK(close_abs(got->length.v, t.length_m, cut_bound_m));
    CHECK(close_abs(got->dark.v, t.dark_m, cut_bound_m));
  }
}

TEST_CASE("sale_units: rows (common practice, no source)") {
  for (const sale_row& t : sale_rows) {
    CAPTURE(t.name);
    const auto got = sale_units(metres{t.need_m}, metres{t.quantum_m});
    REQUIRE(got.ok());
    CHECK(*got == t.units);
  }
}

TEST_CASE("sale_of: full reels among the quanta") {
  const auto s = sale_of(metres{9.2}, metres{1}, metres{5});
  REQUIRE(s.ok());
  CHECK(s->quanta == 10);
  CHECK(s->sold == metres{10});
  CHECK(close_abs(s->spare.v, 0.8, 1e-12));  // one subtraction of numbers below 16
  CHECK(s->reels == 2);
  CHECK(s->from_reels == metres{10});

  const auto loose = sale_of(metres{9.2}, metres{1}, metres{0});
  REQUIRE(loose.ok());
  CHECK(loose->quanta == 10);
  CHECK(loose->reels == 0);
  CHECK(loose->from_reels == metres{0});

  const auto feet = sale_of(metres{31}, metres{0.3048}, metres{30.48});  // a reel of 100 ft, sold by the foot
  REQUIRE(feet.ok());
  CHECK(feet->quanta == 102);
  CHECK(feet->reels == 1);
  CHECK(feet->from_reels == metres{30.48});
}

TEST_CASE("run_length: what is refused") {
  check_field_range(field::cut_pitch, [](double v) { return cut_to_pitch(metres{10}, metres{v}).why(); });
  check_field_range(field::measured_length,
                    [](double v) { return cut_to_pitch(metres{v}, metres{0.001}).why(); });
  check_field_range(field::length, [](double v) { return sale_units(metres{v}, metres{1}).why(); });
  check_field_range(field::sale_quantum, [](double v) { return sale_units(metres{1}, metres{v}).why(); });
  check_field_range(field::length, [](double v) { return sale_of(metres{v}, metres{1}, metres{5}).why(); });
  check_field_range(field::sale_quantum,
                    [](double v) { return sale_of(metres{1}, metres{v}, metres{0}).why(); });
  check_field_range(field::reel_length,
                    [](double v) { return sale_of(metres{1}, metres{1}, metres{v}).why(); });

  // shorter than one segment: told with the pitch as the least
  CHECK(cut_to_pitch(metres{0.049}, metres{0.05}).why() ==
        fault{fault_code::out_of_range, field::measured_length, 0.049, 0.05, 1000, -1});
  CHECK(cut_to_pitch(metres{0.05}, metres{0.05}).ok());
  CHECK(std::isnan(cut_to_pitch(metres{0.049}, metres{0.05})->length.v));

  // a reel that is no whole number of quanta is told with the nearest that would be
  CHECK(sale_of(metres{1}, metres{2}, metres{5.5}).why() ==
        fault{fault_code::contradiction, field::reel_length, 5.5, 6, 6, -1});
  CHECK(sale_of(metres{1}, metres{5}, metres{1}).why().code == fault_code::contradiction);
}

TEST_CASE("law: a cut never outgrows the wall, and another segment always would") {
  auto random = law("cut_to_pitch is the longest that fits", 20260101);
  for (int i = 0; i < law_cases; ++i) {
    const metres pitch{random.log_uniform(0.001, 5)};
    const metres wall{random.log_uniform(pitch.v * 1.0001, 1000)};
    CAPTURE(i);
    CAPTURE(pitch.v);
    CAPTURE(wall.v);
    const auto c = cut_to_pitch(wall, pitch);
    REQUIRE(c.ok());
    const double noise = length_noise(wall).v;
    // one product rounded beside the rule's own noise
    REQUIRE(c->length.v <= wall.v + noise * 1.001);
    REQUIRE(static_cast<double>(c->segments + 1) * pitch.v > wall.v + noise * 0.999);
    REQUIRE(c->dark.v >= 0);
    REQUIRE(c->dark.v < pitch.v);
  }
}

TEST_CASE("law: a wall is refused exactly where the quotient of the formula stays below 1") {
  random_source random{20261128};
  CAPTURE(random.seed());
  int refused = 0, cut = 0;
  for (int i = 0; i < 20'000; ++i) {
    const metres pitch{random.uniform(0.0011, 5)};
    metres wall{pitch.v - 1e-6};
    for (std::int64_t steps = random.integer(-4, 4); steps != 0; steps += steps < 0 ? 1 : -1)
      wall.v = __builtin_nextafter(wall.v, steps < 0 ? 0.0 : 10.0);
    const bool below_one = floor_of((wall + length_noise(wall)) / pitch) < 1;
    CHECK(cut_to_pitch(wall, pitch).ok() != below_one);
    (below_one ? refused : cut) += 1;
  }
  CHECK(refused > 2000);
  CHECK(cut > 2000);
}

TEST_CASE("law: what is sold covers the need, and one quantum less would not") {
  auto random = law("sale_units is the least that covers", 20260102);
  for (int i = 0; i < law_cases; ++i) {
    const metres quantum{random.log_uniform(0.001, 100)};
    const metres need{random.log_uniform(0.01, 1e4)};
    CAPTURE(i);
    CAPTURE(quantum.v);
    CAPTURE(need.v);
    const auto n = sale_units(need, quantum);
    REQUIRE(n.ok());
    const double noise = length_noise(need).v;
    REQUIRE(static_cast<double>(*n) * quantum.v >= need.v - noise * 1.001);
    REQUIRE(static_cast<double>(*n - 1) * quantum.v < need.v);
    const auto longer = sale_units(metres{need.v < 9e3 ? need.v * 1.1 : 1e4}, quantum);
    REQUIRE(longer.ok());
    REQUIRE(*longer >= *n);  // a longer need never sells less
  }
}

TEST_CASE("law: a whole number of quanta, however it was summed up, sells exactly that number") {
  auto random = law("noise sells nothing", 20260103);
  for (int i = 0; i < law_cases; ++i) {
    const metres quantum{random.pick({0.05, 0.1, 0.25, 0.3048, 0.5, 1.0, 5.0})};
    const std::int64_t count = random.integer(1, 400);
    metres sum;
    for (std::int64_t k = 0; k < count; ++k) sum += quantum;
    sum += metres{random.uniform(-0.4e-6, 0.4e-6)};  // well inside the micrometre
    CAPTURE(i);
    CAPTURE(quantum.v);
    const auto n = sale_units(sum, quantum);
    REQUIRE(n.ok());
    REQUIRE(*n == count);
    const auto c = cut_to_pitch(sum, quantum);
    if (sum.v > 1000) continue;  // longer than any wall
    REQUIRE(c.ok());
    REQUIRE(c->segments == count);
  }
}

TEST_CASE("law: reels and loose quanta make up the sale") {
  auto random = law("sale_of adds up", 20260104);
  for (int i = 0; i < law_cases; ++i) {
    const metres quantum{random.pick({0.1, 0.5, 1.0, 2.5})};
    const std::int64_t a_reel = random.integer(1, 100);
    const metres reel = static_cast<double>(a_reel) * quantum;
    const metres need{random.uniform(0, 1000)};
    CAPTURE(i);
    const auto s = sale_of(need, quantum, reel);
    REQUIRE(s.ok());
    REQUIRE(s->quanta == *sale_units(need, quantum));
    REQUIRE(s->reels == s->quanta / a_reel);
    REQUIRE(s->from_reels.v <= s->sold.v * (1 + 1e-12));  // two products, rounded apart
    REQUIRE(s->spare.v >= 0);
    REQUIRE(s->spare.v < quantum.v);
  }
}

}  // namespace
