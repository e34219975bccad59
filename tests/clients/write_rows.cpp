// SPDX-License-Identifier: BSL-1.0
// Writes tests/reference/cross_client.csv: questions for every plain function with the status and the bits that the
// C++ headers answer. Rows come from published tables, from calls that a fitter could make, from random figures and
// from refusals. Run by capi/record_abi.
#include <cmath>
#include <cstdio>
#include <limits>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/clients/row_text.hpp"
#include "tests/support/random.hpp"
#include "tests/support/reference_csv.hpp"
#include "tests/unit/capi/scalar_calls.hpp"

using namespace tapewright;
using namespace tapewright::test;

namespace {

struct row_writer {
  std::vector<scalar_call> calls = scalar_calls();
  std::map<std::string, int> written = {};

  const scalar_call& named(const std::string& function) const {
    for (const scalar_call& c : calls)
      if (c.name == function) return c;
    throw std::runtime_error{"no call of " + function};
  }

  /// A row; `published` is the printed figure of the first output with the digits it was printed with.
  void put(const std::string& function, const std::vector<double>& in, const std::string& source,
           const std::string& published = "", const std::string& within = "") {
    const scalar_call& c = named(function);
    cells out;
    const fault why = c.ask(in, out);
    if (why) out = poison_of(function);
    std::printf("%s.%d,%s,%s,%d,%s,%s,%s,\"%s\"\n", function.c_str(), ++written[function], function.c_str(),
                text_of_inputs(function, in).c_str(), static_cast<int>(why.code), words_of(out).c_str(),
                published.c_str(), within.c_str(), source.c_str());
  }
};

/// Where a published figure stands: the row of the file, which names standard and clause.
std::string row_of(const char* file, std::size_t row) {
  return std::string{file} + ", row " + std::to_string(row + 1);
}

// ---- published values -------------------------------------------------------------------------------

void gauges(row_writer& rows) {
  const reference_table t = reference_table::load("awg_solid_wire.csv");
  for (std::size_t r = 0; r < t.rows(); r += 3) {
    const double n = t.number(r, "n");
    // nine digits are printed: within a unit of the last
    const double area = t.number(r, "area_exact_mm2"),
                 resistance = t.number(r, "R20_from_exact_area_ohm_per_km");
    rows.put("tw_awg_area", {n}, row_of("awg_solid_wire.csv", r), t.cell(r, "area_exact_mm2"),
             text_of_figure(area * 1e-8));
    rows.put("tw_awg_resistance", {n, 20}, row_of("awg_solid_wire.csv", r), text_of_figure(resistance / 1000),
             text_of_figure(resistance * 1e-11));
  }
}
void sizes(row_writer& rows) {
  const reference_table t = reference_table::load("iec60228_conductor_resistance_20C.csv");
  for (std::size_t r = 0; r < t.rows(); ++r) {
    const double area = t.number(r, "size_mm2");
    const std::string fixed = t.cell(r, "class1_2_plain_ohm_per_km"),
                      flexible = t.cell(r, "class5_plain_ohm_per_km");
    // the printed figure itself: only the division by 1000 is rounded
    rows.put("tw_metric_resistance", {5, area, 20}, row_of("iec60228_conductor_resistance_20C.csv", r),
             text_of_figure(std::stod(flexible) / 1000), "0");
    if (r % 3 == 0)
      rows.put("tw_metric_resistance", {2, area, 20}, row_of("iec60228_conductor_resistance_20C.csv", r),
               text_of_figure(std::stod(fixed) / 1000), "0");
  }
}
void metric_ampacities(row_writer& rows) {
  const reference_table t = reference_table::load("iec60364_5_52_ampacity_copper.csv");
  const std::vector<std::string> methods{"A1", "A2", "B1", "B2", "C", "D1", "E"};
  for (std::size_t r = 0; r < t.rows(); r += 9)
    for (std::size_t m = 0; m < methods.size(); ++m) {
      if (t.cell(r, "method") != methods[m]) continue;
      const std::vector<double> in{0,
                                   static_cast<double>(m),
                                   t.number(r, "size_mm2"),
                                   t.number(r, "conductor_max_C"),
                                   t.number(r, "loaded_conductors"),
                                   t.number(r, "base_ambient_C"),
                                   1,
                                   0};
      cells out;
      if (rows.named("tw_metric_ampacity").ask(in, out)) continue;  // a table that the library does not have
      rows.put("tw_metric_ampacity", in, row_of("iec60364_5_52_ampacity_copper.csv", r),
               t.cell(r, "ampacity_A"), "0");
    }
}
void gauge_ampacities(row_writer& rows) {
  const reference_table t = reference_table::load("nec_310_16_copper.csv");
  for (std::size_t r = 0; r < t.rows(); ++r)
    for (const int limit : {60, 75, 90}) {
      const std::string column = "ampacity_" + std::to_string(limit) + "C_A";
      if (t.blank(r, column) || (r + static_cast<std::size_t>(limit)) % 2 == 0) continue;
      rows.put("tw_awg_ampacity", {1, 0, t.number(r, "n"), static_cast<double>(limit), 3, 30, 1, 0},
               row_of("nec_310_16_copper.csv", r), t.cell(r, column), "0");
    }
}
void lightnesses(row_writer& rows) {
  const reference_table t = reference_table::load("cie1976_lightness.csv");
  for (std::size_t r = 0; r < t.rows(); ++r) {
    const std::string printed = t.cell(r, "L_star");
    // a unit of the last digit printed
    const std::size_t dot = printed.find('.');
    const double unit =
        dot == std::string::npos ? 1 : std::pow(10.0, -static_cast<double>(printed.size() - dot - 1));
    rows.put("tw_lightness", {t.number(r, "Y_over_Yn")}, row_of("cie1976_lightness.csv", r), printed,
             text_of_figure(unit));
  }
}
void operating_currents(row_writer& rows) {
  const reference_table t = reference_table::load("overcurrent_operating.csv");
  const std::vector<std::string> families{"fuse_gg",   "breaker_b",  "breaker_c",
                                          "breaker_d", "blade_fuse", "cartridge_fuse"};
  for (std::size_t r = 0; r < t.rows(); ++r)
    for (std::size_t f = 0; f < families.size(); ++f)
      if (t.cell(r, "family") == families[f])
        rows.put("tw_operating_current", {static_cast<double>(f), t.number(r, "up_to_A")},
                 row_of("overcurrent_operating.csv", r), t.cell(r, "operating_factor"), "0");
}
void worked_drops(row_writer& rows) {
  // the return leg is added by the library: half of the loop's length goes in
  constexpr double metres_per_foot = 0.3048;
  const auto of_feet = [&](double ohm_per_foot, double feet, const char* id, const char* recalculated) {
    rows.put("tw_two_wire_drop", {20, ohm_per_foot / metres_per_foot, feet * metres_per_foot / 2},
             std::string{"worked_examples_misc.csv, "} + id, recalculated, "1e-13");
  };
  of_feet(0.00044, 107, "V01", "0.9416");
  of_feet(0.00202, 88, "V03", "3.5552");
  of_feet(0.00126, 39, "V05", "0.9828");
  of_feet(0.00126, 19.5, "V06", "0.4914");
  of_feet(0.00126, 273, "V08", "6.8796");
}

// ---- calls, random figures, refusals ----------------------------------------------------------------

std::vector<capi::entry> inputs_of(const std::string& function) {
  std::vector<capi::entry> inputs;
  for (const capi::entry& e : table_row(function).arguments)
    if (is_input(e)) inputs.push_back(e);
  return inputs;
}
bool takes_arrays(const scalar_call& c) { return !c.arrays.empty(); }

std::vector<double> random_figures(const scalar_call& c, random_source& random) {
  std::vector<double> in;
  const std::vector<capi::entry> inputs = inputs_of(c.name);
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    double least = inputs[i].least, most = inputs[i].most;
    for (const scalar_call::range& r : c.narrow)
      if (r.argument == i) least = r.least, most = r.most;
    if (i == c.listed_at && !c.listed.empty()) {
      in.push_back(random.pick(std::span<const double>{c.listed}));
      continue;
    }
    const bool wide = least >= 0 && most > 100 * (least + 1);
    double v = wide ? random.log_uniform(least > 0 ? least : 1e-3, most) : random.uniform(least, most);
    if (std::string{inputs[i].type} != "double") v = std::round(v);
    in.push_back(v < least ? least : v > most ? most : v);
  }
  return in;
}

void calls(row_writer& rows) {
  for (const scalar_call& c : rows.calls)
    if (!takes_arrays(c)) rows.put(c.name, c.good, "a call that a fitter could make");
}
void random_calls(row_writer& rows) {
  constexpr std::uint64_t seed = 20261127;
  random_source random{seed};
  for (const scalar_call& c : rows.calls) {
    if (takes_arrays(c)) continue;
    int answered = 0;
    for (int tried = 0; tried < 400 && answered < 2; ++tried) {
      const std::vector<double> in = random_figures(c, random);
      cells out;
      if (c.ask(in, out)) continue;
      ++answered;
      rows.put(c.name, in, "random, seed " + std::to_string(seed));
    }
  }
}
void refusals(row_writer& rows) {
  constexpr double inf = std::numeric_limits<double>::infinity(),
                   nan = std::numeric_limits<double>::quiet_NaN();
  std::size_t turn = 0;
  for (const scalar_call& c : rows.calls) {
    if (takes_arrays(c)) continue;
    const std::vector<capi::entry> inputs = inputs_of(c.name);
    const std::size_t at = turn % inputs.size();
    const bool whole = std::string{inputs[at].type} != "double";
    std::vector<double> in = c.good;
    const double above = whole ? inputs[at].most + 1 : beyond(inputs[at].most, inf);
    const double below = whole ? inputs[at].least - 1 : beyond(inputs[at].least, -inf);
    in[at] = turn % 2 == 0 ? above : below;
    rows.put(c.name, in, std::string{"refused: "} + inputs[at].name);
    if (!whole && turn % 3 != 0) {
      in[at] = turn % 3 == 1 ? nan : inf;
      rows.put(c.name, in, std::string{"refused: "} + inputs[at].name);
    }
    ++turn;
  }
  rows.put("tw_metric_resistance", {5, 3, 20}, "refused: no such size");
  rows.put("tw_sale", {9.2, 1, 4.5}, "refused: a reel that is no whole number of quanta");
  rows.put("tw_load_current", {0, 1.5, 24, 25, 20}, "refused: a knee above nominal");
}

}  // namespace

int main() try {
  std::printf(
      "# Questions for every plain function of the C interface, and what the C++ headers answer, bit by "
      "bit.\n");
  std::printf(
      "# Written by tests/clients/write_rows.cpp; arguments with 17 digits; words are the bits of the "
      "outputs.\n");
  std::printf(
      "# published: the printed figure of the first output; within: how far from it, by its printed "
      "digits.\n");
  std::printf("id,function,arguments,status,words,published,within,source\n");
  row_writer rows;
  gauges(rows);
  sizes(rows);
  metric_ampacities(rows);
  gauge_ampacities(rows);
  lightnesses(rows);
  operating_currents(rows);
  worked_drops(rows);
  calls(rows);
  random_calls(rows);
  refusals(rows);
} catch (const std::exception& e) {
  std::fprintf(stderr, "%s\n", e.what());
  return 1;
}
