// SPDX-License-Identifier: BSL-1.0
// A tape fed at one end against an independent nodal solve, closed forms and textbook examples.
#include "tapewright/network/tape_line.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "support/close.hpp"
#include "support/dense_network.hpp"
#include "support/random_tape.hpp"
#include "support/reference_csv.hpp"

using namespace tapewright;
using namespace tapewright::literals;
using namespace tapewright::test;

namespace {

struct oracle_line {
  dense_network net;
  int source = 0;
  std::vector<int> load;  // segment-major, -1 where unlit
};

oracle_line built(const tape& t, std::int64_t segments, celsius trace, std::uint32_t lit,
                  const line_feed& feed) {
  oracle_line o;
  const std::size_t channels = t.channels.size();
  o.source = o.net.node();
  o.net.fix(o.source, wide(feed.source.v));
  int common = o.net.node();
  std::vector<int> channel(channels);
  o.net.resistor(o.source, common, wide(feed.common.v));
  for (std::size_t c = 0; c < channels; ++c) {
    if ((lit >> c & 1u) == 0) continue;
    channel[c] = o.net.node();
    o.net.resistor(0, channel[c], wide(feed.channel[c].v));
  }
  for (std::int64_t k = 0; k < segments; ++k) {
    const long double share = k == 0 ? 0.5L : 1.0L;
    const int next_common = o.net.node();
    o.net.resistor(common, next_common, share * oracle_pitch(t, t.common_trace, trace));
    common = next_common;
    for (std::size_t c = 0; c < channels; ++c) {
      if ((lit >> c & 1u) == 0) {
        o.load.push_back(-1);
        continue;
      }
      const int next = o.net.node();
      o.net.resistor(channel[c], next, share * oracle_pitch(t, t.channels[c].return_trace, trace));
      channel[c] = next;
      o.load.push_back(o.net.load(common, next, oracle_law(t, c)));
    }
  }
  return o;
}

double worst_difference(const oracle_line& o, const std::vector<volts>& got) {
  double worst = 0;
  for (std::size_t i = 0; i < o.load.size(); ++i) {
    const double want = o.load[i] < 0 ? 0.0 : static_cast<double>(o.net.load_voltage(o.load[i]));
    worst = std::max(worst, std::fabs(want - got[i].v));
    if (std::isnan(got[i].v)) return got[i].v;
  }
  return worst;
}

/// A line of constant currents: regulated loads with a dropout that is never met.
tape_line constant_current_line(std::int64_t segments, double pitch_ohm, double load_a) {
  tape_line line;
  line.segments = segments;
  line.common = ohms{pitch_ohm};
  line.law[0] = {load_kind::regulated, volts{0}, siemens{load_a / 1e-3}, amps{load_a}, watts{0}, volts{0}};
  return line;
}

/// A line of plain resistors: resistor-limited loads that are dark at 0 V only.
tape_line linear_line(std::int64_t segments, double pitch_ohm, double load_s) {
  tape_line line;
  line.segments = segments;
  line.common = ohms{pitch_ohm};
  line.law[0] = {load_kind::resistor_limited, volts{0}, siemens{load_s}, amps{infinity}, watts{0}, volts{0}};
  return line;
}

tape five_channel_tape() {
  tape t;
  t.code = "X-5";
  t.nominal = 24_V;
  t.highest = 26_V;
  constexpr double load[] = {5, 5, 5, 6, 6}, knee[] = {16, 18, 18, 19, 19};
  for (std::size_t c = 0; c < 5; ++c)
    t.channels.push(
        {"X", watts_per_metre{load[c]}, load_kind::resistor_limited, volts{knee[c]}, 0.04_ohm_per_m});
  t.common_trace = 0.01_ohm_per_m;
  t.cut_pitch = 0.05_m;
  t.longest_piece = 10_m;
  t.sale_quantum = 1_m;
  t.highest_ambient = 50_degC;
  return t;
}

constexpr double agreement_v = 1e-9;  // bound of the design; the oracle itself is good to 1e-14

}  // namespace

TEST_CASE("solve_line: random tapes agree with a dense nodal solve") {
  constexpr law_mix mixes[] = {law_mix::resistor_limited, law_mix::regulated, law_mix::constant_power,
                               law_mix::monotone, law_mix::any};
  random_source r{20261125};
  MESSAGE("seed " << r.seed());
  int solved = 0, collapsed = 0, without_workspace = 0;
  double worst = 0;
  for (int round = 0; round < cases(420); ++round) {
    CAPTURE(round);
    const law_mix mix = mixes[round % 5];
    const std::int64_t channels = 1 + round / 5 % 6;
    const std::int64_t segments =
        r.one_in(8) ? r.integer(200, 400) : static_cast<std::int64_t>(r.log_uniform(1, 200));
    const tape t = random_tape(r, channels, mix);
    const celsius trace{r.uniform(-20, 90)};
    std::uint32_t lit = r.one_in(3) ? static_cast<std::uint32_t>(r.integer(1, (1 << channels) - 1)) : all_lit;
    const line_feed feed = random_feed(r, t);
    CAPTURE(channels);
    CAPTURE(segments);
    CAPTURE(lit);
    oracle_line o = built(t, segments, trace, lit, feed);
    const bool operates = o.net.solve();

    const auto line = line_of(t, segments, trace, lit);
    REQUIRE(line.ok());
    const std::size_t loads = static_cast<std::size_t>(segments * channels);
    std::vector<volts> v(loads);
    std::vector<amps> i(loads);
    std::vector<double> room(line_workspace(segments, static_cast<std::int32_t>(channels)));
    const auto got = solve_line(*line, feed, {v, i}, room);
    if (!operates) {
      CHECK((mix == law_mix::constant_power || mix == law_mix::any));
      CHECK(got.why().code == fault_code::no_operating_point);
      ++collapsed;
      continue;
    }
    REQUIRE(got.ok());
    ++solved;
    const double difference = worst_difference(o, v);
    CHECK(difference <= agreement_v);
    worst = std::max(worst, difference);
    CHECK(close_abs(got->total.v, static_cast<double>(o.net.current_from(o.source)),
                    1e-9 * (1 + got->total.v)));

    const auto lean = solve_line(*line, feed, {v, i});  // and in constant memory, where that serves
    if (lean.ok()) {
      ++without_workspace;
      CHECK(worst_difference(o, v) <= agreement_v);
    } else {
      CHECK(lean.why().code == fault_code::no_room);
      CHECK(lean.why().least <= static_cast<double>(room.size()));
    }
  }
  MESSAGE(solved << " solved (" << without_workspace << " in constant memory), " << collapsed
                 << " collapsed, worst difference " << worst << " V");
  CHECK(solved >= cases(200));
  CHECK(collapsed >= cases(10));
}

TEST_CASE("solve_line: a ladder of constant currents is the parabola r i L^2 / 2") {
  // closed form: drop at load k = r i (N (k + 1/2) - k (k + 1) / 2) with half a pitch before the first
  constexpr double rel = 1e-12;
  for (const std::int64_t n : {1, 2, 3, 10, 200, 400, 20000}) {
    CAPTURE(n);
    const double nn = static_cast<double>(n), current = 20.0 / nn, pitch = 1.0 / nn;
    const tape_line line = constant_current_line(n, pitch, current);
    std::vector<volts> v(static_cast<std::size_t>(n));
    std::vector<amps> i(v.size());
    const auto got = solve_line(line, {100_V, {}, {}}, {v, i});
    REQUIRE(got.ok());
    // the drop is a difference of voltages near 100 V, each good to N/2 ulp: hence the source as measure
    for (std::int64_t k = 0; k < n; ++k) {
      const double kk = static_cast<double>(k);
      const double drop = pitch * current * (nn * (kk + 0.5) - kk * (kk + 1) / 2);
      REQUIRE(close_abs(v[static_cast<std::size_t>(k)].v, 100 - drop, 100 * rel));
    }
    CHECK(close_abs(got->last_load[0].v, 100 - pitch * current * nn * nn / 2, 100 * rel));
    CHECK(close_rel(got->total.v, 20, rel));
    const double loss = pitch * current * current * (nn * (nn + 1) * (2 * nn + 1) / 6 - nn * nn / 2);
    CHECK(close_rel(got->trace_loss.v, loss, rel));
  }
}

TEST_CASE("solve_line: a ladder of resistors is a hyperbolic cosine") {
  // closed form: with cosh t = 1 + r g / 2, v(k) = v(N-1) cosh(t (N - k - 1/2)) / cosh(t / 2); long double
  constexpr double rel = 1e-12;
  for (const double loss : {1e-6, 0.01, 1.0, 3.0, 8.0})
    for (const std::int64_t n : {1, 2, 5, 50, 200, 400, 20000}) {
      CAPTURE(n);
      CAPTURE(loss);
      const double pitch = loss / static_cast<double>(n), siemens_each = loss / static_cast<double>(n);
      const tape_line line = linear_line(n, pitch, siemens_each);
      std::vector<volts> v(static_cast<std::size_t>(n));
      std::vector<amps> i(v.size());
      const auto got = solve_line(line, {24_V, {}, {}}, {v, i});
      REQUIRE(got.ok());
      const long double rg = wide(pitch) * wide(siemens_each);
      const long double t = 2 * std::asinh(std::sqrt(rg) / 2);
      const long double nl = static_cast<long double>(n);
      // at the feed point: half a pitch before the first load, where the cosh is extrapolated by a chord
      const auto shape = [&](long double k) { return std::cosh(t * (nl - k - 0.5L)) / std::cosh(t / 2); };
      const long double current = wide(siemens_each) * std::sinh(t * nl) / std::sinh(t);  // sum of all
      const long double feed = shape(0) + current * wide(pitch) / 2;
      for (std::int64_t k = 0; k < n; ++k) {
        const auto want = static_cast<double>(24 * shape(static_cast<long double>(k)) / feed);
        REQUIRE(close_rel(v[static_cast<std::size_t>(k)].v, want, rel));
      }
      CHECK(close_rel(got->total.v, static_cast<double>(24 * current / feed), rel));
    }
}

TEST_CASE("solve_line: long lines whose light dies away, with more than one knee") {
  // 20,000 segments of five channels (1 km): the far end is dark to the last bit in places
  random_source r{7};
  for (const law_mix mix : {law_mix::resistor_limited, law_mix::regulated, law_mix::monotone}) {
    tape t = five_channel_tape();
    for (tape_channel& c : t.channels) c.law = random_kind(r, mix);
    const line_feed feed{24_V, 0.02_ohm, {0.05_ohm, 0.05_ohm, 0.05_ohm, 0.05_ohm, 0.05_ohm, {}}};
    std::vector<double> room(line_workspace(20000, 5));
    std::vector<volts> v(100000);
    const auto got = solve_line(*line_of(t, 20000, 40_degC), feed, {v, {}}, room);
    REQUIRE(got.ok());
    CHECK(got->residual.v <= 24 * (5e-13 + 20000 * 0x1p-53));
    CHECK(close_rel(got->total.v * 24, got->lamps.v + got->trace_loss.v + got->feeder_loss.v, 1e-12));
    // the first 150 segments know nothing of the length beyond (the slowest mode falls by exp(-44) over
    // 20,000): they agree with a line of half the length
    std::vector<double> less_room(line_workspace(10000, 5));
    std::vector<volts> w(50000);
    const auto shorter = solve_line(*line_of(t, 10000, 40_degC), feed, {w, {}}, less_room);
    REQUIRE(shorter.ok());
    if (mix == law_mix::resistor_limited)
      for (std::size_t i = 0; i < 750; ++i) REQUIRE(close_abs(v[i].v, w[i].v, 1e-9));
  }
}

TEST_CASE("solve_line: channels pulled below their knee by the common trace") {
  // a strong channel with a low knee darkens a weak one with a high knee: dark, not negative light
  tape t = five_channel_tape();
  t.channels.count = 2;
  t.channels[0] = {"W", 20_W_per_m, load_kind::regulated, 8_V, 0.001_ohm_per_m};
  t.channels[1] = {"R", 1_W_per_m, load_kind::resistor_limited, 22_V, 0.04_ohm_per_m};
  t.common_trace = 0.04_ohm_per_m;
  const line_feed feed{24_V, {}, {}};
  oracle_line o = built(t, 250, 20_degC, all_lit, feed);
  REQUIRE(o.net.solve());
  std::vector<volts> v(500);
  std::vector<amps> i(500);
  std::vector<double> room(line_workspace(250, 2));
  const auto got = solve_line(*line_of(t, 250, 20_degC), feed, {v, i}, room);
  REQUIRE(got.ok());
  CHECK(worst_difference(o, v) <= agreement_v);
  CHECK(got->evenness[1] == 0);
  CHECK(got->colour_shift == 1);
  CHECK(i[499].v == 0);
  CHECK(i[1].v > 0);
}

TEST_CASE("solve_line: the same bits at compile time and at run time") {
  static constexpr auto small = [] {
    tape_line line;
    line.segments = 12;
    line.channels = 2;
    line.common = ohms{0.002};
    line.channel[0] = line.channel[1] = ohms{0.005};
    line.law[0] = *fitted_law(load_kind::resistor_limited, watts{1.5}, volts{24}, volts{18});
    line.law[1] = *fitted_law(load_kind::regulated, watts{2.5}, volts{24}, volts{23.5});
    return line;
  }();
  static constexpr line_feed feed{volts{24}, ohms{0.1}, {ohms{0.2}, ohms{0.2}}};
  static constexpr auto fixed = solve_line(small, feed);
  static_assert(fixed.ok());
  static_assert(fixed->evenness[0] > 0.9 && fixed->evenness[0] < 1);
  tape_line line = small;
  const volatile std::int64_t segments = 12;
  line.segments = segments;
  const auto run = solve_line(line, feed);
  REQUIRE(run.ok());
  CHECK(run->total == fixed->total);
  CHECK(run->last_load[0] == fixed->last_load[0]);
  CHECK(run->last_load[1] == fixed->last_load[1]);
  CHECK(run->lamps == fixed->lamps);
  CHECK(run->lightness_step == fixed->lightness_step);
  CHECK(run->colour_shift == fixed->colour_shift);
  CHECK(run->steps == fixed->steps);
}

TEST_CASE("solve_line: constant power keeps to the upper branch and tells of collapse") {
  // one load behind one resistance, closed form: v = (V + sqrt(V^2 - 4 R P)) / 2, none above P = V^2 / 4R
  tape_line line;
  line.law[0] = *fitted_law(load_kind::constant_power, 10_W, 24_V, 2_V);
  const double most_w = 24.0 * 24.0 / 4;
  for (const double share : {0.01, 0.5, 0.9, 0.99, 0.9999}) {
    line.law[0].power = watts{most_w * share};
    const auto got = solve_line(line, {24_V, 1_ohm, {}});
    REQUIRE(got.ok());
    // near collapse dv/dV grows like 1 / sqrt(1 - share): the residual is allowed that much
    CHECK(close_rel(got->last_load[0].v, 12 * (1 + std::sqrt(1 - share)), 1e-12 / std::sqrt(1 - share)));
    CHECK(got->evenness[0] == 1);
  }
  std::vector<double> room(line_workspace(1, 1));
  for (const double share : {1.0001, 1.5, 10.0}) {
    line.law[0].power = watts{most_w * share};
    CHECK(solve_line(line, {24_V, 1_ohm, {}}, {}, room).why().code == fault_code::no_operating_point);
  }
  line.law[0].power = watts{most_w * 0.99};  // settles at 13.2 V, but the load needs 14
  line.law[0].cut_off = 14_V;
  CHECK(solve_line(line, {24_V, 1_ohm, {}}, {}, room).why().code == fault_code::no_operating_point);
}

TEST_CASE("solve_line: textbook distributors fed at one end, uniform load, to the printed precision") {
  // The books' voltages are above extra-low voltage; what is compared is the drop, and VA less the drop.
  const auto table = reference_table::load("worked_dc_distributor.csv");
  int compared = 0;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const std::string& kind = table.cell(row, "kind");
    if (table.cell(row, "feed") != "one_end" || table.cell(row, "use_printed") != "yes") continue;
    if (kind != "uniform" || table.cell(row, "r_loop_ohm_per_unit") == "find") continue;
    const std::string& id = table.cell(row, "id");
    const std::string& quantity = table.cell(row, "quantity");
    const std::string& printed = table.cell(row, "printed");
    CAPTURE(id);
    CAPTURE(quantity);
    CAPTURE(table.cell(row, "source"));
    const double length = table.number(row, "length"), r = table.number(row, "r_loop_ohm_per_unit");
    const std::int64_t n = 3000;  // lumping the load takes 1 / (4 N^2) off the loss, nothing off the drops
    const double pitch = length / static_cast<double>(n);
    const tape_line line =
        constant_current_line(n, r * pitch, table.number(row, "uniform_A_per_unit") * pitch);
    std::vector<volts> v(static_cast<std::size_t>(n));
    const auto got = solve_line(line, {100_V, {}, {}}, {v, {}});
    REQUIRE(got.ok());
    const auto drop_to = [&](double x) {  // a boundary between two loads: the mean of both
      const auto k = static_cast<std::size_t>(std::llround(x / pitch));
      return 100 - (v[k - 1].v + v[k].v) / 2;
    };
    double figure = not_a_number;
    if (quantity == "drop_max") figure = 100 - got->last_load[0].v;
    else if (quantity == "I_total") figure = got->total.v;
    else if (quantity == "loss") figure = got->trace_loss.v;
    else if (quantity.starts_with("drop_to_")) figure = drop_to(std::stod(quantity.substr(8)));
    else if (quantity.starts_with("V_at_"))
      figure = table.number(row, "VA_V") - drop_to(std::stod(quantity.substr(5)));
    const auto dot = printed.find('.');
    const double half_digit =
        0.5 * std::pow(10.0, dot == std::string::npos ? 0.0 : -static_cast<double>(printed.size() - dot - 1));
    CHECK(close_abs(figure, table.number(row, "printed"), half_digit));
    ++compared;
  }
  CHECK(compared == 6);  // D04 three, D07 three
}

TEST_CASE("solve_line: ten equal taps lose (n + 1) / 2n of the lumped drop") {
  // L. Bell, Power Distribution for Electric Railroads, Fig 6: ten taps of 20 A on sections of 0.05 ohm
  tape_line line = constant_current_line(10, 0.05, 20);
  std::vector<volts> v(10);
  const auto got =
      solve_line(line, {100_V, 0.025_ohm, {}}, {v, {}});  // the first tap is a whole section away
  REQUIRE(got.ok());
  constexpr double rounding = 1e-12;
  CHECK(close_abs(100 - v[0].v, 10, rounding * 100));
  CHECK(close_abs(v[0].v - v[1].v, 9, rounding * 100));
  CHECK(close_abs(v[8].v - v[9].v, 1, rounding * 100));
  CHECK(close_abs(100 - v[9].v, 0.55 * 200 * 0.5, rounding * 100));
}

TEST_CASE("solve_line: figures of light") {
  // one load a channel at the feed and one 1 ohm further; by hand: u1 - u2 = i2, i = (u - 20) / 4
  tape_line line;
  line.segments = 2;
  line.common = 1_ohm;
  line.law[0] = {load_kind::resistor_limited, 20_V, siemens{0.25}, amps{infinity}, {}, {}};
  const auto got = solve_line(line, {24_V, {}, {}});
  REQUIRE(got.ok());
  // u2 = x: i2 = (x-20)/4, u1 = x + i2, i1 = (u1-20)/4, 24 = u1 + (i1+i2)/2; with w = x - 20:
  // u1-20 = 1.25 w, i1 = 0.3125 w, 4 = 1.25 w + 0.28125 w
  const double w = 4 / 1.53125;
  CHECK(close_rel(got->last_load[0].v, 20 + w, 1e-13));
  CHECK(close_rel(got->evenness[0], 0.8, 1e-13));
  CHECK(close_rel(got->at_feed[0].v, 24, 1e-15));
  // CIE 1976: L* = 116 * 0.8^(1/3) - 16
  CHECK(close_rel(got->lightness_step, 116 - 116 * std::cbrt(0.8), 1e-11));
  CHECK(got->colour_shift == 0);
  line.channels = 2;
  line.law[1] = {load_kind::regulated, 0_V, siemens{1}, 0.1_A, {}, {}};
  const auto two = solve_line(line, {24_V, {}, {}});
  REQUIRE(two.ok());
  CHECK(two->evenness[1] == 1);
  CHECK(close_rel(two->colour_shift, 1 - two->evenness[0], 1e-15));  // the same difference, rounded apart
  CHECK(two->least_evenness == two->evenness[0]);
  line.lit = 2;
  const auto one = solve_line(line, {24_V, {}, {}});
  REQUIRE(one.ok());
  CHECK(one->channel_current[0] == 0_A);
  CHECK(one->evenness[0] == 1);
  CHECK(one->last_load[0] == 0_V);
  CHECK(close_rel(one->total.v, 0.2, 1e-15));
  line.lit = 0;
  const auto none = solve_line(line, {24_V, {}, {}});
  REQUIRE(none.ok());
  CHECK(none->total == 0_A);
  CHECK(none->least_evenness == 1);
  line.lit = all_lit;
  const auto unpowered = solve_line(line, {15_V, {}, {}});  // below the knee: on, but no light at all
  REQUIRE(unpowered.ok());
  CHECK(unpowered->evenness[0] == 0);
}

TEST_CASE("line_of and solve_line: refusals") {
  const tape good = five_channel_tape();
  const double nan = not_a_number;
  const auto line_fault = [&](std::int64_t n, double degrees) {
    return line_of(good, n, celsius{degrees}).why();
  };
  CHECK(line_fault(0, 20) == fault{fault_code::out_of_range, field::segment_count, 0, 1, 1e5, -1});
  CHECK(line_fault(-1, 20).field == field::segment_count);
  CHECK(line_fault(100001, 20).field == field::segment_count);
  CHECK(line_of(good, 100000, 20_degC).ok());
  CHECK(line_fault(10, -60.001).field == field::temperature);
  CHECK(line_fault(10, 200.001).field == field::temperature);
  CHECK(line_fault(10, nan).field == field::temperature);
  CHECK(line_fault(10, infinity).field == field::temperature);
  tape bad = good;
  bad.channels[2].knee = 24_V;
  CHECK(line_of(bad, 10, 20_degC).why().code == fault_code::contradiction);

  const tape_line line = *line_of(good, 10, 20_degC);
  const line_feed feed{24_V, 0.1_ohm, {0.1_ohm, 0.1_ohm, 0.1_ohm, 0.1_ohm, 0.1_ohm, {}}};
  REQUIRE(solve_line(line, feed).ok());
  const auto refused = [&](auto&& spoil, field which, fault_code code = fault_code::out_of_range) {
    tape_line l = line;
    line_feed f = feed;
    spoil(l, f);
    const auto got = solve_line(l, f);
    CHECK(got.why().code == code);
    CHECK(got.why().field == which);
    CHECK(std::isnan(got->total.v));
  };
  for (const double x : {-1.0, 0.0, 0.0999, 120.001, nan, infinity, -infinity})
    refused([&](tape_line&, line_feed& f) { f.source = volts{x}; }, field::voltage);
  for (const double x : {-1e-9, 1.0000001e6, nan, infinity}) {
    refused([&](tape_line&, line_feed& f) { f.common = ohms{x}; }, field::resistance);
    refused([&](tape_line&, line_feed& f) { f.channel[4] = ohms{x}; }, field::resistance);
    refused([&](tape_line& l, line_feed&) { l.common = ohms{x}; }, field::resistance);
    refused([&](tape_line& l, line_feed&) { l.channel[0] = ohms{x}; }, field::resistance);
  }
  for (const std::int64_t x : {-1L, 0L, 100001L})
    refused([&](tape_line& l, line_feed&) { l.segments = x; }, field::segment_count);
  for (const std::int32_t x : {-1, 0, 7})
    refused([&](tape_line& l, line_feed&) { l.channels = x; }, field::channel_count);
  refused([&](tape_line& l, line_feed&) { l.law[1].slope = siemens{nan}; }, field::current);
  refused([&](tape_line& l, line_feed&) { l.law[1].slope = siemens{-1}; }, field::current);
  refused([&](tape_line& l, line_feed&) { l.law[1].dark_below = volts{nan}; }, field::knee_voltage);
  refused([&](tape_line& l, line_feed&) { l.law[1].ceiling = 1_A; }, field::current);  // not a regulated law
  refused([&](tape_line& l,
              line_feed&) { l.law[1] = {load_kind::constant_power, {}, {}, amps{infinity}, watts{-1}, {}}; },
          field::power);
  std::vector<volts> short_profile(49);
  const auto no_room = solve_line(line, feed, {short_profile, {}});
  CHECK(no_room.why() == fault{fault_code::no_room, field::space, 49, 50, 1e9, -1});
  // absurd figures inside the ranges end in an answer or a fault, never in NaN
  tape_line absurd = line;
  absurd.common = 1e6_ohm;
  for (ohms& r : absurd.channel) r = ohms{1e6};
  std::vector<double> room(line_workspace(10, 5));
  const auto got = solve_line(absurd, feed, {}, room);
  if (got.ok()) CHECK(got->total.v >= 0);
  else CHECK(got.why().code == fault_code::not_converged);
}
