// SPDX-License-Identifier: BSL-1.0
// What the cells of the sample sheet must show, by the C++ headers: reads rooms from standard input, prints bits.
//
//   spreadsheet_oracle BOOKSHOP <rooms      a line a room: tape measured_m route_m ambient_c headroom mount
//
// For each room a line "room", then a line "profile" for each point; then "row" for each of a thousand rows of plain
// formulas, and "arrays" for those that take ranges. All figures as the hex of their bits.
#include <bit>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <iostream>
#include <string>
#include <string_view>
#include <vector>

#include "examples/order_sheet/input_folder.hpp"
#include "tapewright/plan/planner.hpp"
#include "tapewright/tapewright.hpp"

using namespace tapewright;

namespace {

void put(double v) {
  std::printf(" %016llx", static_cast<unsigned long long>(std::bit_cast<std::uint64_t>(v)));
}

struct room {
  std::string tape, mount;
  double measured = 0, route = 0, ambient = 0, headroom = 0;
};

constexpr double drop_limit = 0.03, mains = 230, least_evenness = 0.9;
constexpr std::int64_t points = 33;

/// The part of that code.
template <class Part>
const Part& named(const std::vector<Part>& parts, std::string_view code) {
  for (const Part& one : parts)
    if (one.code == code) return one;
  std::abort();
}

void tell(const order_sheet::input_folder& shop, const room& r) {
  const tape* t = nullptr;
  for (const tape& one : shop.tapes)
    if (one.code == r.tape) t = &one;
  const cut_length cut = *cut_to_pitch(metres{r.measured}, t->cut_pitch);
  const tape_load load = *load_of(*t, cut.length, false);

  feeder_question feeder;
  feeder.one_way = metres{r.route};
  for (std::size_t c = 0; c < t->channels.size(); ++c) feeder.channel_current.push(load.channel_current[c]);
  feeder.nominal = t->nominal;
  feeder.drop_limit = drop_limit;
  feeder.ambient = celsius{r.ambient};
  feeder.circuits = 2;
  for (const cable& k : shop.cables)
    if (k.conductor_limit > feeder.copper) feeder.copper = k.conductor_limit;
  const feeder_choice chosen = *choose_feeder(feeder, shop.cables);
  const cable& k = shop.cables[static_cast<std::size_t>(chosen.cable >= 0 ? chosen.cable : chosen.nearest)];

  driver_duty duty;
  duty.load = load.sized;
  duty.headroom = r.headroom;
  duty.ambient = celsius{r.ambient};
  duty.nominal = t->nominal;
  duty.mains = volts{mains};
  duty.any_mount = r.mount == "any";
  duty.mount = r.mount == "plug_in" ? fitting::plug_in : fitting::hardwired;
  duty.ingress = 0;
  const driver_choice supply = *choose_driver(duty, shop.drivers);
  const driver& d =
      shop.drivers[static_cast<std::size_t>(supply.driver >= 0 ? supply.driver : supply.nearest)];

  const tape_line line = *line_of(*t, cut.segments, celsius{r.ambient}, 63);
  line_feed feed{.source = t->nominal, .common = chosen.check.core_resistance, .channel = {}};
  for (std::size_t c = 0; c < t->channels.size(); ++c) feed.channel[c] = chosen.check.core_resistance;
  const std::size_t channels = t->channels.size(), loads = static_cast<std::size_t>(cut.segments) * channels;
  std::vector<volts> v(loads);
  std::vector<amps> a(loads);
  std::vector<double> workspace(100 * loads + 1000);
  const line_figures figures = *solve_line(line, feed, {v, a}, workspace);

  std::printf("room %s %s", std::string{k.code}.c_str(), std::string{d.code}.c_str());
  for (const double figure : {cut.length.v, 1000 * cut.dark.v, load.sized.v, chosen.check.utilisation,
                              chosen.check.drop_share, chosen.check.core_resistance.v,
                              supply.check.utilisation, supply.check.headroom_left, figures.least_evenness})
    put(figure);
  // and what stands on other sheets, or in formulas that name their part
  const longest_run longest = *longest_even_run(*t, feed, least_evenness, celsius{r.ambient}, 63, 0);
  const feeder_check named_cable = *check_feeder(feeder, named(shop.cables, "flex-6x2.5"));
  const driver_check named_driver = *check_driver(named(shop.drivers, "wired-24-240"), duty);
  controller_duty switching;
  switching.channel_current = feeder.channel_current;
  switching.input = t->nominal;
  switching.ambient = celsius{r.ambient};
  const controller_check switched = *check_controller(named(shop.controllers, "colour-5"), switching);
  feeder_question american = feeder;
  american.family = code_family::nec;
  const feeder_check by_gauge = *check_feeder(american, named(shop.cables, "wire-2xawg16"));
  for (const double figure : {longest.length.v, figures.lightness_step, named_cable.utilisation,
                              named_driver.utilisation, switched.utilisation, by_gauge.ampacity.allowed.v})
    put(figure);
  std::printf("\n");
  for (std::int64_t p = 0; p < points; ++p) {
    const std::int64_t last = cut.segments - 1, at = (2 * p * last + points - 1) / (2 * (points - 1));
    std::vector<double> light;
    for (std::size_t c = 0; c < channels; ++c)
      light.push_back(a[static_cast<std::size_t>(at) * channels + c].v /
                      (t->channels[c].load.v * t->cut_pitch.v / t->nominal.v));
    double least = light[0], most = light[0];
    for (const double one : light) {
      least = one < least ? one : least;
      most = one > most ? one : most;
    }
    std::printf("profile");
    put((static_cast<double>(at) + 0.5) * t->cut_pitch.v);
    put(least);
    put(most);
    for (std::size_t c = 0; c < channels; ++c) put(v[static_cast<std::size_t>(at) * channels + c].v);
    for (const double one : light) put(one);
    std::printf("\n");
  }
}

void tell_rows() {
  for (int i = 1; i <= 1000; ++i) {
    const double x = i;
    std::printf("row");
    put(two_wire_drop(amps{x / 100}, ohms_per_metre{0.0125}, metres{x / 50})->v);
    put(cut_to_pitch(metres{x / 64}, metres{0.015})->length.v);
    put(awg_conductor(i % 40)->area.v);
    put(*lightness(x / 1000));
    std::printf("\n");
  }
}

void tell_arrays() {
  controller k;
  k.code = "plain";
  k.channels = 6;
  k.channel_limit = amps{6};
  k.total_limit = amps{15};
  k.lowest_input = volts{12};
  k.highest_input = volts{24};
  k.greatest_terminal = square_millimetres{1};
  k.terminal = amps{16};
  k.highest_ambient = celsius{40};
  controller_duty duty;
  for (const double a : {1.5, 0.5, 2.25}) duty.channel_current.push(amps{a});
  duty.input = volts{24};
  const controller_check used = *check_controller(k, duty);
  k.channel_limit = amps{1};
  derating_curve curve;
  curve.push({celsius{40}, 1.1});
  curve.push({celsius{50}, 1.0});
  curve.push({celsius{70}, 0.5});
  std::printf("arrays");
  put(used.channel_utilisation);
  put(used.total_utilisation);
  put(used.terminal_utilisation);
  put(controllers_needed(k, duty.channel_current, amps{})->needed);
  put(*derated_share(curve, celsius{55}));
  std::printf("\n");
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 2) return 2;
  order_sheet::input_folder shop;
  order_sheet::problem_list problems;
  order_sheet::read_folder(arguments[1], shop, problems);
  if (!problems.empty()) return 2;
  room r;
  while (std::cin >> r.tape >> r.measured >> r.route >> r.ambient >> r.headroom >> r.mount) tell(shop, r);
  tell_rows();
  tell_arrays();
}
