// SPDX-License-Identifier: BSL-1.0
// Worked examples from handbooks, codes and textbooks, answered by the sizing functions. Inputs and
// answers are read from tests/reference, one test case an example, named by its row and its source.
#include <doctest/doctest.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <stdexcept>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include "tapewright/rules/conductor_sizes.hpp"
#include "tapewright/sizing/driver_choice.hpp"
#include "tapewright/sizing/feeder_size.hpp"
#include "tapewright/sizing/mains_side.hpp"
#include "tapewright/sizing/overcurrent_choice.hpp"
#include "tapewright/sizing/run_length.hpp"
#include "tapewright/sizing/tape_load.hpp"
#include "tests/support/close.hpp"
#include "tests/support/reference_csv.hpp"
#include "tests/unit/sizing/sample_parts.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

constexpr double foot_m = 0.3048;                          // exact, international foot
constexpr double circular_mil_mm2 = 5.067074790974977e-4;  // pi/4 of a square of 25.4 um, rounded to double

double number(std::string_view text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end == text.data()) throw std::runtime_error("no number: " + std::string{text});
  return value;
}

// "R=0.00044 ohm/ft;L=107 ft" -> the number behind "R=", at the start or behind a semicolon.
double input(std::string_view inputs, std::string_view name) {
  const std::string key = std::string{name} + "=";
  for (std::size_t at = 0; (at = inputs.find(key, at)) != std::string_view::npos; ++at)
    if (at == 0 || inputs[at - 1] == ';') return number(inputs.substr(at + key.size()));
  throw std::runtime_error("no input " + key);
}

// One unit of the last digit that a source printed: sources cut off as often as they round.
double last_digit(std::string_view printed) {
  const std::size_t dot = printed.find('.');
  return dot == std::string_view::npos ? 1.0 : std::pow(10.0, -static_cast<double>(printed.size() - dot - 1));
}

// Holds an answer against the row's independent recomputation (half a unit of its last digit, as it was
// rounded) and, where the source's own figure is good, against that (a whole unit).
void hold(const reference_table& t, std::size_t row, double got) {
  CAPTURE(t.cell(row, "id"));
  CAPTURE(t.cell(row, "quantity"));
  CAPTURE(t.cell(row, "source"));
  CAPTURE(got);
  const std::string &again = t.cell(row, "recalc"), &printed = t.cell(row, "printed");
  REQUIRE_FALSE(again.empty());
  // the half unit itself, and the rounding of the decimal to binary, count as met
  CHECK(close_abs(got, number(again), 0.5 * last_digit(again) * (1 + 1e-9)));
  if (t.cell(row, "use_printed") == "yes" && !printed.empty())
    CHECK(close_abs(got, number(printed), last_digit(printed) * (1 + 1e-9)));
}

const reference_table& misc() {
  static const reference_table table = reference_table::load("worked_examples_misc.csv");
  return table;
}
const reference_table& distributor() {
  static const reference_table table = reference_table::load("worked_dc_distributor.csv");
  return table;
}

std::size_t row_of(const reference_table& t, std::string_view id, std::string_view quantity = {}) {
  for (std::size_t r = 0; r < t.rows(); ++r)
    if (t.cell(r, "id") == id && (quantity.empty() || t.cell(r, "quantity") == quantity)) return r;
  throw std::runtime_error("no row " + std::string{id} + " " + std::string{quantity});
}

template <class T>
T answer(const outcome<T>& o) {
  REQUIRE(o.ok());
  return o.value();
}

// ---- voltage drop ----------------------------------------------------------------------------------

TEST_CASE("V01 V03 V05 V06 V08: drop in one aircraft wire (FAA AC 43.13-1B Tables 11-7, 11-8)") {
  for (const char* id : {"V01", "V03", "V05", "V06", "V08"}) {
    const std::size_t r = row_of(misc(), id);
    const std::string& in = misc().cell(r, "inputs");
    // L counts the one wire; two_wire_drop doubles, so half of it is the one-way length
    hold(misc(), r,
         answer(two_wire_drop(amps{input(in, "I")}, ohms_per_metre{input(in, "R") / foot_m},
                              metres{input(in, "L") * foot_m / 2}))
             .v);
  }
}

TEST_CASE("V09: wire for 20 A over 50 ft with 1 V (FAA AC 43.13-1B Example 1, Table 11-9)") {
  const std::size_t r = row_of(misc(), "V09");
  const std::string& in = misc().cell(r, "inputs");
  const auto wires = reference_table::load("faa_ac43_13_table_11_9.csv");
  int thinnest = 0;  // rows run from the thinnest wire to the thickest
  for (std::size_t w = wires.rows(); w-- > 0;) {
    const ohms_per_metre one{wires.number(w, "R20_tinned_ohm_per_1000ft") / 1000 / foot_m};
    const volts drop = answer(two_wire_drop(amps{input(in, "I")}, one, metres{input(in, "L") * foot_m / 2}));
    if (drop.v <= input(in, "allowed drop")) thinnest = static_cast<int>(wires.number(w, "wire_size"));
  }
  hold(misc(), r, thinnest);
}

TEST_CASE("V10 V12: two-wire drop by circular mils (NEC exam practice, K = 12.9)") {
  for (const auto& [id, circular_mils] : {std::pair{"V10", 6530.0}, std::pair{"V12", 10380.0}}) {
    const std::size_t r = row_of(misc(), id);
    const std::string& in = misc().cell(r, "inputs");
    REQUIRE(in.find(std::to_string(static_cast<int>(circular_mils)) + " cmil") != std::string::npos);
    const ohms_per_metre one{input(in, "K") / circular_mils / foot_m};
    hold(misc(), r, answer(two_wire_drop(amps{input(in, "I")}, one, metres{input(in, "L") * foot_m})).v);
  }
}

TEST_CASE("V14: two-wire drop from resistivity, and back to the section") {
  const std::size_t r = row_of(misc(), "V14");
  const std::string& in = misc().cell(r, "inputs");
  const ohm_square_millimetres_per_metre rho{input(in, "rho") / 1000};
  const square_millimetres s{input(in, "S")};
  const amps i{input(in, "I")};
  const metres l{input(in, "L")};
  const volts drop = answer(two_wire_drop(i, rho / s, l));
  hold(misc(), r, drop.v);
  CHECK(close_rel(answer(least_area(i, l, drop, rho)).v, s.v, 16 * 0x1p-53));  // a round trip of products
}

// ---- conductor sizes -------------------------------------------------------------------------------

// The thinnest even gauge (those that are made for sale, common practice) not below an area.
int thinnest_even_gauge(square_millimetres least) {
  for (int gauge = 40; gauge >= 0; gauge -= 2)
    if (answer(awg_conductor(gauge)).area >= least) return gauge;
  throw std::runtime_error("no gauge");
}

TEST_CASE("V21: boat wire for 10 A and 3 % of 12 V (ABYC E-11, K = 10.75)") {
  const std::size_t r = row_of(misc(), "V21");
  const std::string& in = misc().cell(r, "inputs");
  const ohm_square_millimetres_per_metre k{10.75 * circular_mil_mm2 / foot_m};  // ohm cmil/ft
  const volts allowed{input(in, "V") * input(in, "drop") / 100};
  const auto area = [&](double total_ft) {
    return answer(least_area(amps{input(in, "I")}, metres{total_ft * foot_m / 2}, allowed, k));
  };
  REQUIRE(in.find("= 21 ft total") != std::string::npos);
  CHECK(close_abs(area(21).v / circular_mil_mm2, 6271, 0.5));  // the row's note, to the circular mil
  hold(misc(), r, thinnest_even_gauge(area(21)));
  // the printed table has a 25 ft column and no 21 ft one: that is where its 10 AWG comes from
  CHECK(close_abs(area(25).v / circular_mil_mm2, 7465, 0.5));
  CHECK(thinnest_even_gauge(area(25)) == static_cast<int>(misc().number(r, "printed")));
}

TEST_CASE("D02: section for a distributor with four taps and 10 V (Mehta Ex 13.2)") {
  const std::size_t r = row_of(distributor(), "D02");
  REQUIRE(distributor().cell(r, "note").find("rho 1.78e-8 ohm m") != std::string::npos);
  const std::string& taps = distributor().cell(r, "loads_pos:I");
  double moment = 0;  // ampere-metres: sum of each tap's current times its distance
  for (std::size_t at = 0; at < taps.size();) {
    const std::size_t colon = taps.find(':', at), end = std::min(taps.find(';', at), taps.size());
    moment += number(std::string_view{taps}.substr(at)) * number(std::string_view{taps}.substr(colon + 1));
    at = end + 1;
  }
  // the same moment as one load at 100 m
  hold(
      distributor(), r,
      answer(least_area(amps{moment / 100}, metres{100}, volts{10}, ohm_square_millimetres_per_metre{0.0178}))
              .v /
          100);  // cm2
}

TEST_CASE("D05: section for a uniformly loaded distributor and 10 V (Mehta Ex 13.6)") {
  const std::size_t by_resistance = row_of(distributor(), "D05", "r_loop_for_10V_drop");
  const std::size_t by_area = row_of(distributor(), "D05", "area");
  REQUIRE(distributor().cell(by_area, "note") == "rho 1.7e-6 ohm cm");
  const double length = distributor().number(by_area, "length");
  const amps total{distributor().number(by_area, "uniform_A_per_unit") * length};
  // uniform from one end: as if all of it were drawn half-way (Bell; distributor textbooks)
  const ohm_square_millimetres_per_metre rho{0.017};
  const square_millimetres area = answer(least_area(total, metres{length / 2}, volts{10}, rho));
  hold(distributor(), by_area, area.v / 100);
  hold(distributor(), by_resistance, 2 * (rho / area).v);
}

TEST_CASE("V23: rating for a 32 A circuit at 35 degC (Basic Electrical Installation Work, cable sizing)") {
  const std::size_t r = row_of(misc(), "V23");
  const std::string& in = misc().cell(r, "inputs");
  feeder_question q;
  q.one_way = metres{0.1};
  q.channel_current.push(amps{input(in, "In")});
  q.ambient = celsius{35};
  cable k = flexible_cable(2, 10);
  k.rating = amps{input(in, "In")};
  const auto same = answer(check_feeder(q, k));  // a rating of In is short by the ambient factor alone
  // The book takes the factor of Table B.52.14 as printed, to two digits; here it is the formula behind
  // that table, so both the factor and the rating agree to half a unit of its second digit.
  const double printed_factor = input(in, "Ca"), half_a_digit = 0.005 / printed_factor;
  CHECK(close_abs(same.ampacity.ambient_factor, printed_factor, 0.005));
  const double required = k.rating.v * same.ampacity_utilisation;
  CHECK(close_rel(required, misc().number(r, "recalc"), half_a_digit));
  CHECK(close_rel(required, misc().number(r, "printed"), half_a_digit));
  k.rating = amps{required};
  CHECK(answer(check_feeder(q, k)).fits);
  k.rating = amps{required * 0.999};
  CHECK(answer(check_feeder(q, k)).by == governed::ampacity);
}

// ---- textbook distributors, section by section -----------------------------------------------------

struct tap {
  double at_m, amps;
};
std::vector<tap> taps_of(std::size_t row) {
  std::vector<tap> list;
  const std::string_view text = distributor().cell(row, "loads_pos:I");
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t colon = text.find(':', at);
    list.push_back({number(text.substr(at)), number(text.substr(colon + 1))});
    const std::size_t end = text.find(';', at);
    if (end == std::string_view::npos) break;
    at = end + 1;
  }
  return list;
}

// Drop from the feeding end to x: each section between taps as a two-wire feeder of what it carries,
// and a uniform load as its own half-way equivalent before x plus the rest carried through to x.
double drop_to(std::size_t row, double x) {
  const ohms_per_metre one{distributor().number(row, "r_loop_ohm_per_unit") / 2};
  double drop = 0;
  for (const tap& t : taps_of(row))
    drop += answer(two_wire_drop(amps{t.amps}, one, metres{std::min(t.at_m, x)})).v;
  const double i = distributor().number(row, "uniform_A_per_unit"),
               length = distributor().number(row, "length");
  drop += answer(two_wire_drop(amps{i * x}, one, metres{x / 2})).v;
  return drop + answer(two_wire_drop(amps{i * (length - x)}, one, metres{x})).v;
}

TEST_CASE("D01 D30: concentrated loads, one end fed (Mehta Ex 13.1; exam item)") {
  for (const auto& [id, quantity, x] :
       {std::tuple{"D01", "V_at_500", 500.0}, std::tuple{"D01", "V_at_1000", 1000.0},
        std::tuple{"D01", "V_at_1600", 1600.0}, std::tuple{"D01", "V_at_2000", 2000.0},
        std::tuple{"D30", "V_at_2000", 2000.0}, std::tuple{"D30", "V_at_4000", 4000.0}}) {
    const std::size_t r = row_of(distributor(), id, quantity);
    hold(distributor(), r, distributor().number(r, "VA_V") - drop_to(r, x));
  }
}

TEST_CASE("D04 D07: uniform load, one end fed (Mehta Ex 13.5, 13.9)") {
  for (const auto& [id, quantity, x] :
       {std::tuple{"D04", "drop_to_150", 150.0}, std::tuple{"D04", "drop_max", 200.0},
        std::tuple{"D07", "drop_to_200", 200.0}}) {
    const std::size_t r = row_of(distributor(), id, quantity);
    hold(distributor(), r, drop_to(r, x));
  }
  const std::size_t r = row_of(distributor(), "D07", "V_at_200");
  hold(distributor(), r, distributor().number(r, "VA_V") - drop_to(r, 200));
}

TEST_CASE("D12: uniform load, fed alike at both ends: each half on its own (Mehta Ex 13.14)") {
  const std::size_t drop = row_of(distributor(), "D12", "drop_max"),
                    least = row_of(distributor(), "D12", "V_min");
  const double length = distributor().number(drop, "length"),
               i = distributor().number(drop, "uniform_A_per_unit");
  const ohms_per_metre one{distributor().number(drop, "r_loop_ohm_per_unit") / 2};
  const volts half = answer(two_wire_drop(amps{i * length / 2}, one, metres{length / 4}));
  hold(distributor(), drop, half.v);
  hold(distributor(), least, distributor().number(least, "VA_V") - half.v);
}

TEST_CASE("D16: taps and a uniform load together, one end fed (Mehta Ex 13.19)") {
  for (const auto& [quantity, x] : {std::pair{"V_at_500", 500.0}, std::pair{"V_at_900", 900.0}}) {
    const std::size_t r = row_of(distributor(), "D16", quantity);
    hold(distributor(), r, distributor().number(r, "VA_V") - drop_to(r, x));
  }
}

TEST_CASE("D31: ten equal taps, the drop of each section (L. Bell, 1890s, Fig 6)") {
  double total = 0;
  for (int section = 1; section <= 10; ++section) {
    const std::size_t any = row_of(distributor(), "D31", "drop_total");
    const ohms_per_metre one{distributor().number(any, "r_loop_ohm_per_unit") / 2};
    double carried = 0;  // the current of this tap and of all beyond it
    for (const tap& t : taps_of(any))
      if (t.at_m >= section) carried += t.amps;
    const double drop = answer(two_wire_drop(amps{carried}, one, metres{1})).v;
    total += drop;
    for (const int told : {1, 2, 10})
      if (section == told)
        hold(distributor(), row_of(distributor(), "D31", "drop_section_" + std::to_string(told)), drop);
  }
  hold(distributor(), row_of(distributor(), "D31", "drop_total"), total);
}

// ---- protection, derating, energy ------------------------------------------------------------------

TEST_CASE("V24: device for 16 A of continuous load (NEC 210.20(A))") {
  const std::size_t r = row_of(misc(), "V24");
  overcurrent_duty d;
  d.load = amps{input(misc().cell(r, "inputs"), "I")};
  d.load_factor = 1.25;
  d.ampacity = amps{40};
  const overcurrent_device twenty = device(overcurrent_family::breaker_c, misc().number(r, "recalc"));
  const auto k = answer(check_overcurrent(twenty, d));
  hold(misc(), r, k.load_utilisation * twenty.rated.v);
  CHECK(k.fits);
  CHECK(answer(check_overcurrent(device(overcurrent_family::breaker_c, 19.9), d)).by ==
        governed::load_current);
}

TEST_CASE("P01: power supply at 60 degC, full to 50, 2.5 % a kelvin (generic derating guide)") {
  const std::size_t r = row_of(misc(), "P01");
  const std::string& in = misc().cell(r, "inputs");
  REQUIRE(in.find("full power to 50 C;2.5 %/C") != std::string::npos);
  driver d = hundred_watt_driver();
  driver_duty q;
  q.load = watts{10};
  q.ambient = celsius{input(in, "Ta")};
  hold(misc(), r, answer(check_driver(d, q)).capacity.v);  // a 100 W driver: watts are per cent
}

TEST_CASE("P03: a component of 700 mW at 25 degC, 5 mW a kelvin, at 65 degC (exam item)") {
  const std::size_t r = row_of(misc(), "P03");
  const std::string& in = misc().cell(r, "inputs");
  const double rated_mw = input(in, "Pmax(25 C)");
  REQUIRE(in.find(";5 mW/C;") != std::string::npos);
  derating_curve curve;
  curve.push({celsius{25}, 1.0});
  curve.push({celsius{95}, 1.0 - 70 * 5 / rated_mw});
  hold(misc(), r, rated_mw * answer(derated_share(curve, celsius{input(in, "T")})));
}

TEST_CASE("L05: power of one LED, as the load of a tape (worked example)") {
  const std::size_t r = row_of(misc(), "L05");
  const std::string& in = misc().cell(r, "inputs");
  tape t = five_channel_tape();
  t.nominal = volts{input(in, "Vf")};
  t.channels.count = 0;
  t.channels.push(
      {"W", watts_per_metre{misc().number(r, "recalc")}, load_kind::regulated, volts{}, ohms_per_metre{}});
  const auto load = answer(load_of(t, metres{1}, false));
  CHECK(close_rel(load.channel_current[0].v * 1000, input(in, "If"), 16 * 0x1p-53));  // one quotient
  hold(misc(), r, (load.channel_current[0] * t.nominal).v);
}

TEST_CASE("C01: cost of 60 W for 1000 h (OpenStax College Physics Ex 20.8)") {
  const std::size_t r = row_of(misc(), "C01");
  const std::string& in = misc().cell(r, "inputs");
  const kilowatt_hours energy = answer(yearly_energy(watts{input(in, "P")}, hours{input(in, "t")}));
  CHECK(energy == kilowatt_hours{60});  // the row's note
  hold(misc(), r, static_cast<double>(answer(energy_cost(energy, input(in, "tariff") * 100)).minor) / 100);
}

TEST_CASE("C03: lighting's share of a monthly use, over a year (university extension worksheet)") {
  const std::size_t r = row_of(misc(), "C03");
  REQUIRE(misc().cell(r, "inputs") == "920 kWh/month;20 % lighting");
  const watts mean{0.2 * 920e3 * 12 / 8760};  // as a steady load all year round
  hold(misc(), r, answer(yearly_energy(mean, hours{8760})).v);
}

// ---- trade facts: common practice, no source --------------------------------------------------------

TEST_CASE("trade facts") {
  CHECK(answer(sale_units(metres{4.6}, metres{1})) == 5);  // 4.6 m by whole metres is 5 m
  CHECK(
      close_rel(answer(least_capacity(watts{100}, 0.10)).v, 110, 4 * 0x1p-53));  // 10 % headroom; one product
  feeder_question rgb_and_two_whites;  // six cores for RGB+CCT: five channels and their common
  rgb_and_two_whites.one_way = metres{1};
  for (int c = 0; c < 5; ++c) rgb_and_two_whites.channel_current.push(amps{0.5});
  CHECK(answer(check_feeder(rgb_and_two_whites, flexible_cable(6, 1.5))).cores_needed == 6);
  CHECK(answer(check_feeder(rgb_and_two_whites, flexible_cable(6, 1.5))).cores_fit);
  CHECK_FALSE(answer(check_feeder(rgb_and_two_whites, flexible_cable(5, 1.5))).cores_fit);
}

}  // namespace
