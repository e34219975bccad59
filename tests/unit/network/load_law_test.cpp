// SPDX-License-Identifier: BSL-1.0
// The three load laws: through the nominal point and the knee, and what is refused.
#include "tapewright/network/load_law.hpp"

#include <doctest/doctest.h>

#include "support/close.hpp"
#include "support/dense_network.hpp"
#include "support/random.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

TEST_CASE("fitted_law: rows by hand") {
  struct row {
    const char* name;
    load_kind kind;
    double p_w, nominal_v, knee_v, v, want_a, want_s;
  };
  // P / V at nominal; half of it half way up; P / v for constant power
  constexpr row rows[] = {
      {"resistor, nominal", load_kind::resistor_limited, 2.4, 24, 18, 24, 0.1, 0.1 / 6},
      {"resistor, half", load_kind::resistor_limited, 2.4, 24, 18, 21, 0.05, 0.1 / 6},
      {"resistor, overvoltage goes on", load_kind::resistor_limited, 2.4, 24, 18, 27, 0.15, 0.1 / 6},
      {"resistor, at the knee", load_kind::resistor_limited, 2.4, 24, 18, 18, 0, 0},
      {"resistor, dark", load_kind::resistor_limited, 2.4, 24, 18, 10, 0, 0},
      {"regulated, nominal", load_kind::regulated, 2.4, 24, 18, 24, 0.1, 0},
      {"regulated, dropout", load_kind::regulated, 2.4, 24, 18, 9, 0.05, 0.1 / 18},
      {"regulated, reversed", load_kind::regulated, 2.4, 24, 18, -1, 0, 0},
      {"constant power, nominal", load_kind::constant_power, 2.4, 24, 18, 24, 0.1, -0.1 / 24},
      {"constant power, lower", load_kind::constant_power, 2.4, 24, 18, 20, 0.12, -0.006},
      {"constant power, cut off", load_kind::constant_power, 2.4, 24, 18, 17.9, 0, 0},
      {"constant power without limit, at 0 V", load_kind::constant_power, 2.4, 24, 0, 0, 0, 0},
      {"nothing", load_kind::resistor_limited, 0, 24, 18, 24, 0, 0},
  };
  for (const row& t : rows) {
    CAPTURE(t.name);
    const auto law = fitted_law(t.kind, watts{t.p_w}, volts{t.nominal_v}, volts{t.knee_v});
    REQUIRE(law.ok());
    CHECK_FALSE(check(*law));
    const load_point p = at(*law, volts{t.v});
    CHECK(close_rel(p.current.v, t.want_a, 4 * 0x1p-53));  // four roundings
    CHECK(close_rel(p.slope.v, t.want_s, 4 * 0x1p-53));
  }
}

TEST_CASE(
    "load_law: current never negative, never falls with voltage (but for constant power), agrees with the "
    "oracle") {
  random_source r{31};
  MESSAGE("seed " << r.seed());
  for (int round = 0; round < 20000; ++round) {
    const auto kind = static_cast<load_kind>(r.integer(0, 2));
    const double nominal = r.uniform(3, 60), knee = nominal * r.uniform(0, 0.999),
                 power = r.log_uniform(1e-3, 100);
    const auto law = fitted_law(kind, watts{power}, volts{nominal}, volts{knee});
    REQUIRE(law.ok());
    nodal_load other;
    other.kind = static_cast<nodal_load::law>(kind);
    other.nominal_w = wide(power);
    other.nominal_v = wide(nominal);
    other.knee_v = wide(knee);
    const double low = r.uniform(-5, 70), high = low + r.uniform(0, 5);
    const load_point a = at(*law, volts{low}), b = at(*law, volts{high});
    REQUIRE(a.current.v >= 0);
    REQUIRE(light_of(*law, a) >= 0);
    if (kind != load_kind::constant_power) {
      REQUIRE(a.current <= b.current);
      REQUIRE(a.slope.v >= 0);
    }
    // near the knee a difference of voltages near 60 V is amplified by nominal / (nominal - knee) <= 1000
    REQUIRE(close_abs(a.current.v, static_cast<double>(other.at(wide(low)).current), 1e-12 * power));
  }
}

TEST_CASE("fitted_law: refusals") {
  const double nan = not_a_number;
  const auto why = [](double p, double v, double k) {
    return fitted_law(load_kind::regulated, watts{p}, volts{v}, volts{k}).why();
  };
  CHECK(why(-1e-9, 24, 18) == fault{fault_code::out_of_range, field::power, -1e-9, 0, 1e6, -1});
  for (const double p : {-1.0, 1.0000001e6, nan, infinity, -infinity})
    CHECK(why(p, 24, 18).field == field::power);
  for (const double v : {0.0, -24.0, 2.999, 60.001, nan, infinity})
    CHECK(why(1, v, 1).field == field::nominal_voltage);
  for (const double k : {-0.001, 60.001, nan, infinity}) CHECK(why(1, 24, k).field == field::knee_voltage);
  CHECK(why(1, 24, 24) == fault{fault_code::contradiction, field::knee_voltage, 24, 0, 24, -1});
  CHECK(fitted_law(static_cast<load_kind>(3), 1_W, 24_V, 18_V).why() ==
        fault{fault_code::not_listed, field::load_law, 3, 0, 2, -1});
  CHECK(fitted_law(load_kind::regulated, 1_W, 24_V, 0_V).ok());
  CHECK_FALSE(check(load_law{}));
  CHECK(check(load_law{load_kind::regulated, 0_V, siemens{1}, amps{infinity}, {}, {}}).field ==
        field::current);
}
