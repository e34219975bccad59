// SPDX-License-Identifier: BSL-1.0
// The longest run for a wished evenness: both sides of the answer, every limit, closed forms, refusals.
#include "tapewright/network/longest_run.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "support/random_tape.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

tape plain_tape() {
  tape t;
  t.code = "X-1";
  t.nominal = 24_V;
  t.highest = 26_V;
  t.channels.push({"W", 14.4_W_per_m, load_kind::resistor_limited, 18_V, 0.02_ohm_per_m});
  t.common_trace = 0.02_ohm_per_m;
  t.cut_pitch = 0.05_m;
  t.longest_piece = 10_m;
  t.sale_quantum = 1_m;
  t.highest_ambient = 50_degC;
  return t;
}
constexpr line_feed stiff{volts{24}, ohms{0}, {}};

}  // namespace

TEST_CASE("longest_even_run: a linear ladder by its closed form") {
  // i(last) / i(first) = cosh(t/2) / cosh(t (N - 1/2)), cosh t = 1 + r g / 2 with w = v - knee
  const tape t = plain_tape();
  const double rg = (0.04 * 0.05) * (14.4 * 0.05 / 24 / 6), theta = 2 * std::asinh(std::sqrt(rg) / 2);
  for (const double wish : {0.99, 0.9, 0.5, 0.1}) {
    const double n = std::acosh(std::cosh(theta / 2) / wish) / theta + 0.5;
    const auto got = longest_even_run(t, stiff, wish, 20_degC);
    REQUIRE(got.ok());
    CHECK(got->segments == static_cast<std::int64_t>(std::floor(n)));
    CHECK(got->limited_by == run_limit::evenness);
    CHECK(got->figures.least_evenness >= wish);
    CHECK(got->length == t.cut_pitch * static_cast<double>(got->segments));
  }
}

TEST_CASE("longest_even_run: keeps every wish, and one segment more breaks the one it names") {
  random_source r{41};
  MESSAGE("seed " << r.seed());
  int by[6] = {};
  for (int round = 0; round < 1500; ++round) {
    CAPTURE(round);
    tape t = random_tape(r, r.integer(1, 6), law_mix::monotone);
    if (r.one_in(3)) t.feed_point_limit = amps{r.log_uniform(0.2, 20)};
    if (r.one_in(4)) t.single_feed_limit = metres{r.log_uniform(0.2, 20)};
    const line_feed feed = random_feed(r, t);
    const double wish = r.uniform(0.5, 0.99), drop = r.one_in(3) ? r.uniform(0.02, 0.2) : 0.0;
    const auto got = longest_even_run(t, feed, wish, 35_degC, all_lit, drop);
    if (!got.ok()) {
      CHECK(got.why().code == fault_code::unreachable);
      line_figures f;
      CHECK(*detail::broken_by(t, feed, 1, wish, drop, 35_degC, all_lit, {}, f) != run_limit::none);
      continue;
    }
    ++by[static_cast<int>(got->limited_by)];
    line_figures f;
    CHECK(*detail::broken_by(t, feed, got->segments, wish, drop, 35_degC, all_lit, {}, f) == run_limit::none);
    if (got->segments < 100000)
      CHECK(*detail::broken_by(t, feed, got->segments + 1, wish, drop, 35_degC, all_lit, {}, f) ==
            got->limited_by);
    // no longer run keeps them either
    for (const std::int64_t more : {2, 3, 7, 50})
      if (got->limited_by != run_limit::none)
        CHECK(*detail::broken_by(t, feed, got->segments + more, wish, drop, 35_degC, all_lit, {}, f) !=
              run_limit::none);
  }
  MESSAGE("evenness " << by[1] << ", drop " << by[2] << ", feed current " << by[3] << ", maker's length "
                      << by[4]);
  CHECK(by[1] > 100);
  CHECK(by[2] > 30);
  CHECK(by[3] > 100);
  CHECK(by[4] > 50);
}

TEST_CASE("longest_even_run: the limits one by one") {
  tape t = plain_tape();
  t.feed_point_limit = 0.6_A;  // 30 mA a segment at 24 V, a little less further on
  auto got = longest_even_run(t, stiff, 0, 20_degC);
  REQUIRE(got.ok());
  CHECK(got->limited_by == run_limit::feed_current);
  CHECK(got->segments == 20);
  t.feed_point_limit = 0_A;
  t.single_feed_limit = 5_m;
  got = longest_even_run(t, stiff, 0.5, 20_degC);
  REQUIRE(got.ok());
  CHECK(got->segments == 100);  // 5 m to the hair, not 4.95 m
  CHECK(got->limited_by == run_limit::maker_length);
  t.single_feed_limit = 0_m;
  got = longest_even_run(t, stiff, 0.1, 20_degC, all_lit, 0.03);
  REQUIRE(got.ok());
  CHECK(got->limited_by == run_limit::drop);
  CHECK(24 - got->figures.last_load[0].v <= 0.72);
  // a constant-power tape: even to the end, until the wiring gives out
  t.channels[0].law = load_kind::constant_power;
  got = longest_even_run(t, stiff, 0.9, 20_degC);
  REQUIRE(got.ok());
  CHECK(got->limited_by == run_limit::wiring);
  CHECK(got->figures.last_load[0] >= 18_V);
  // a tape without resistance: as long as can be asked
  t.channels[0].law = load_kind::resistor_limited;
  t.channels[0].return_trace = t.common_trace = 0_ohm_per_m;
  got = longest_even_run(t, stiff, 0.9, 20_degC);
  REQUIRE(got.ok());
  CHECK(got->segments == 100000);
  CHECK(got->limited_by == run_limit::none);
}

TEST_CASE("longest_even_run: refusals") {
  const tape t = plain_tape();
  const double nan = not_a_number;
  for (const double e : {-0.001, 1.001, nan, infinity})
    CHECK(longest_even_run(t, stiff, e, 20_degC).why().field == field::least_evenness);
  for (const double d : {-0.001, 0.501, nan})
    CHECK(longest_even_run(t, stiff, 0.9, 20_degC, all_lit, d).why().field == field::drop_limit);
  for (const double d : {-60.1, 200.1, nan})
    CHECK(longest_even_run(t, stiff, 0.9, celsius{d}).why().field == field::temperature);
  for (const double v : {0.0, -1.0, 121.0, nan, infinity})
    CHECK(longest_even_run(t, {volts{v}, {}, {}}, 0.9, 20_degC).why().field == field::voltage);
  CHECK(longest_even_run(t, {24_V, ohms{-1}, {}}, 0.9, 20_degC).why().field == field::resistance);
  tape bad = t;
  bad.cut_pitch = 0_m;
  CHECK(longest_even_run(bad, stiff, 0.9, 20_degC).why().field == field::cut_pitch);
  tape weak = t;
  weak.feed_point_limit = 0.01_A;  // less than one segment takes
  CHECK(longest_even_run(weak, stiff, 0.9, 20_degC).why().code == fault_code::unreachable);
  CHECK(longest_even_run(weak, stiff, 0.9, 20_degC).why().field == field::feed_point_limit);
  CHECK(std::isnan(longest_even_run(weak, stiff, 0.9, 20_degC)->length.v));
}
