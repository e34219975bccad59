// SPDX-License-Identifier: BSL-1.0
// Random jobs with a catalogue of their own: what a supplier could be asked, easy and impossible alike.
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

#include "support/random.hpp"
#include "tapewright/plan/job.hpp"

namespace tapewright::test {

/// A job and its catalogue with everything they point at. Not to be copied: the views would stay behind.
struct owned_job {
  std::deque<std::string> texts;
  std::vector<tape> tapes;
  std::vector<cable> cables;
  std::vector<connector> connectors;
  std::vector<controller> controllers;
  std::vector<driver> drivers;
  std::vector<overcurrent_device> devices;
  std::vector<zone> zones;
  std::vector<run> runs;
  std::deque<std::vector<stretch>> stretches;
  design_rules rules{};

  owned_job() = default;
  owned_job(const owned_job&) = delete;
  owned_job& operator=(const owned_job&) = delete;

  std::string_view keep(std::string text) { return texts.emplace_back(std::move(text)); }
  job question() const { return {.zones = zones, .runs = runs, .rules = rules}; }
  catalogue parts() const {
    return {.tapes = tapes,
            .cables = cables,
            .connectors = connectors,
            .controllers = controllers,
            .drivers = drivers,
            .overcurrent_devices = devices};
  }
};

/// How much of everything a random job may have.
struct job_size {
  std::int64_t runs = 8, zones = 3, tapes = 3, controllers = 4, drivers = 12;
  double longest_m = 5.5;
};

namespace detail {

inline void random_tapes(random_source& r, owned_job& o, std::int64_t count) {
  constexpr std::string_view letters[] = {"R", "G", "B", "CW", "WW", "W"};
  constexpr std::int64_t channel_counts[] = {1, 1, 1, 2, 3, 4, 5, 6};
  for (std::int64_t i = 0; i < count; ++i) {
    tape t;
    t.code = t.name = o.keep("T-" + std::to_string(i));
    t.nominal = volts{r.one_in(4) ? 12.0 : r.one_in(12) ? 48.0 : 24.0};
    t.highest = t.nominal * 1.1;
    const std::int64_t channels = r.pick(channel_counts);
    const double each_w_per_m = r.uniform(4, 16) / static_cast<double>(channels == 1 ? 1 : channels - 1);
    const auto law = r.one_in(3)   ? load_kind::regulated
                     : r.one_in(6) ? load_kind::constant_power
                                   : load_kind::resistor_limited;
    for (std::int64_t c = 0; c < channels; ++c) {
      const double share = r.uniform(0.8, 1.2);
      const double knee = r.uniform(0.5, 0.85);
      const double trace = r.log_uniform(0.008, 0.04);
      t.channels.push({letters[static_cast<std::size_t>(channels == 1 ? 5 : c)],
                       watts_per_metre{each_w_per_m * share}, law, t.nominal * knee, ohms_per_metre{trace}});
    }
    t.common_trace = ohms_per_metre{r.log_uniform(0.005, 0.03)};
    t.common = r.one_in(20) ? polarity::common_negative : polarity::common_positive;
    t.cut_pitch = metres{0.05 * static_cast<double>(r.integer(1, 4))};
    t.longest_piece = metres{r.one_in(2) ? 10.0 : 5.0};
    t.feed_point_limit = amps{r.one_in(3) ? 0.0 : r.uniform(3, 8)};
    t.single_feed_limit = metres{r.one_in(2) ? 0.0 : r.uniform(4, 10)};
    t.all_on_limit = watts_per_metre{channels > 2 && r.one_in(3) ? each_w_per_m * 2.5 : 0.0};
    t.free_tail = metres{r.one_in(2) ? 0.15 : 0.0};
    t.sale_quantum = metres{r.one_in(3) ? 0.5 : 1.0};
    t.reel = metres{5};
    t.price = {r.one_in(20) ? 0 : r.integer(300, 2000)};
    t.lowest_ambient = celsius{-20};
    t.highest_ambient = celsius{45};
    t.ingress = r.one_in(4) ? 65 : 20;
    o.tapes.push_back(t);
  }
}

inline void random_cables(random_source& r, owned_job& o) {
  constexpr double sizes[] = {0.75, 1.5, 2.5, 4, 6};
  constexpr std::int32_t core_counts[] = {2, 3, 4, 5, 6, 7};
  for (const std::int32_t cores : core_counts)
    for (const double mm2 : sizes) {
      if (r.one_in(4) || (cores > 4 && mm2 > 2.5)) continue;
      cable k;
      k.code = k.name = o.keep("K-" + std::to_string(cores) + "x" + std::to_string(mm2));
      k.cores = cores;
      k.conductor = {conductor_system::metric_class_5, square_millimetres{mm2}, 0};
      k.conductor_limit = celsius{r.one_in(4) ? 90.0 : 70.0};
      k.sale_quantum = metres{r.one_in(3) ? 0.5 : 1.0};
      k.stock = metres{r.one_in(3) ? 50.0 : 0.0};
      k.price = {static_cast<long long>(30 * static_cast<double>(cores) * (0.5 + mm2) * r.uniform(0.7, 1.3))};
      o.cables.push_back(k);
    }
}

inline void random_connectors(random_source& r, owned_job& o) {
  for (std::int32_t poles = 2; poles <= 7; ++poles) {
    if (r.one_in(6)) continue;
    connector c;
    c.code = c.name = o.keep("J-" + std::to_string(poles));
    c.use = connector_use::tape_to_cable;
    c.poles = poles;
    c.rated = amps{r.uniform(5, 12)};
    c.rated_voltage = volts{60};
    c.rating_ambient = celsius{20};
    c.upper_limit = celsius{105};
    c.least = square_millimetres{0.5};
    c.greatest = square_millimetres{r.one_in(2) ? 1.5 : 2.5};
    c.contact = ohms{r.uniform(0.001, 0.01)};
    c.price = {r.integer(60, 400)};
    o.connectors.push_back(c);
  }
  for (std::int32_t ways = 3; ways <= 5; ++ways) {
    if (r.one_in(5)) continue;
    connector c;
    c.code = c.name = o.keep("X-" + std::to_string(ways));
    c.use = connector_use::cable_to_cable;
    c.poles = 1;
    c.ways = ways;
    c.rated = amps{r.one_in(3) ? 32.0 : 24.0};
    c.rated_voltage = volts{400};
    c.rating_ambient = celsius{20};
    c.upper_limit = celsius{105};
    c.least = square_millimetres{0.5};
    c.greatest = square_millimetres{r.one_in(2) ? 4.0 : 6.0};
    c.contact = ohms{r.uniform(0.0005, 0.002)};
    c.price = {r.integer(30, 90)};
    o.connectors.push_back(c);
  }
  for (const auto use : {connector_use::driver_plug, connector_use::tape_to_tape}) {
    connector c;
    c.code = c.name = o.keep(use == connector_use::driver_plug ? "P-2" : "L-7");
    c.use = use;
    c.poles = use == connector_use::driver_plug ? 2 : 7;
    c.rated = amps{8};
    c.rated_voltage = volts{60};
    c.rating_ambient = celsius{20};
    c.upper_limit = celsius{85};
    c.least = square_millimetres{0.5};
    c.greatest = square_millimetres{2.5};
    c.contact = ohms{0.005};
    c.price = {r.integer(50, 200)};
    o.connectors.push_back(c);
  }
}

inline void random_controllers(random_source& r, owned_job& o, std::int64_t count) {
  for (std::int64_t i = 0; i < count; ++i) {
    controller c;
    c.code = c.name = o.keep("C-" + std::to_string(i));
    c.is_repeater = i > 1 && r.one_in(3);
    c.channels = static_cast<std::int32_t>(i == 0 ? 6 : r.integer(1, 6));
    c.channel_limit = amps{i == 0 ? 8 : r.uniform(3, 8)};
    c.total_limit = c.channel_limit * static_cast<double>(c.channels) * r.uniform(0.5, 1);
    c.lowest_input = volts{12};
    c.highest_input = volts{i == 0 || r.one_in(3) ? 48.0 : 24.0};
    c.common = i == 1 ? polarity::common_negative : polarity::common_positive;
    c.least_terminal = square_millimetres{0.5};
    c.greatest_terminal = square_millimetres{r.one_in(2) ? 2.5 : 4.0};
    c.terminal = amps{r.uniform(10, 25)};
    c.switch_resistance = ohms{r.uniform(0.005, 0.03)};
    c.pwm = hertz{1000};
    c.enforces_all_on_limit = r.one_in(3);
    c.highest_ambient = celsius{45};
    if (i == 0 || !r.one_in(3)) c.features.push("wall-panel");
    if (r.one_in(3)) c.features.push("daylight");
    c.price = {r.one_in(20) ? 0 : r.integer(2000, 12000)};
    o.controllers.push_back(c);
  }
}

inline void random_drivers(random_source& r, owned_job& o, std::int64_t count) {
  constexpr double powers[] = {20, 40, 60, 100, 150, 200, 320, 480};
  for (std::int64_t i = 0; i < count; ++i) {
    driver s;
    s.code = s.name = o.keep("D-" + std::to_string(i));
    s.output = volts{i % 3 == 1 ? 12.0 : i % 7 == 6 ? 48.0 : 24.0};
    s.rated = watts{r.pick(powers)};
    s.outputs = static_cast<std::int32_t>(r.one_in(6) ? r.integer(2, 4) : 1);
    s.overload_limit = r.one_in(4) ? amps{} : (s.rated / s.output) * r.uniform(1.05, 1.5);
    s.least_load = watts{r.one_in(5) ? s.rated.v * 0.1 : 0.0};
    s.efficiency = r.uniform(0.85, 0.94);
    s.power_factor = r.uniform(0.9, 0.98);
    s.mains_low = volts{100};
    s.mains_high = volts{264};
    s.inrush_peak = amps{r.one_in(5) ? 0.0 : r.uniform(10, 60)};
    s.inrush_duration = seconds{300e-6};
    s.leakage = amps{r.one_in(3) ? 0.0 : 0.0005};
    s.mount = r.one_in(3) ? fitting::plug_in : fitting::hardwired;
    s.limited_energy = s.rated.v < 100 && r.one_in(2);
    s.derating.push({celsius{-20}, 1.0});
    s.derating.push({celsius{r.one_in(3) ? 40.0 : 50.0}, 1.0});
    s.derating.push({celsius{70}, 0.5});
    if (s.mount == fitting::plug_in && r.one_in(2)) s.output_connector = s.rated / s.output * 1.2;
    else {
      s.least_terminal = square_millimetres{0.5};
      s.greatest_terminal = square_millimetres{r.one_in(3) ? 2.5 : 6.0};
    }
    s.price = {r.one_in(30) ? 0 : r.integer(1500, 3000) + static_cast<long long>(20 * s.rated.v)};
    o.drivers.push_back(s);
  }
}

inline void random_devices(random_source& r, owned_job& o) {
  constexpr double ratings[] = {2, 3, 5, 7.5, 10, 15, 20, 25, 30};
  for (const double a : ratings) {
    if (r.one_in(5)) continue;
    o.devices.push_back({.code = o.keep("F-" + std::to_string(a)),
                         .name = "blade fuse",
                         .family = overcurrent_family::blade_fuse,
                         .rated = amps{a},
                         .rated_voltage = volts{r.one_in(4) ? 58.0 : 32.0},
                         .price = {r.integer(80, 250)}});
  }
}

}  // namespace detail

/// Fills an empty job. Codes are unique; every job passes check(job, catalogue).
inline void fill_random_job(random_source& r, owned_job& o, const job_size& size = {}) {
  detail::random_tapes(r, o, r.integer(1, size.tapes));
  detail::random_cables(r, o);
  if (o.cables.empty())
    o.cables.push_back({.code = "K-2",
                        .name = "two core",
                        .cores = 2,
                        .conductor = {conductor_system::metric_class_5, square_millimetres{1.5}, 0},
                        .conductor_limit = celsius{70},
                        .rating = {},
                        .core_colours = {},
                        .sale_quantum = metres{1},
                        .stock = {},
                        .price = {90}});
  detail::random_connectors(r, o);
  detail::random_controllers(r, o, r.integer(1, size.controllers));
  detail::random_drivers(r, o, r.integer(size.drivers / 2, size.drivers));
  detail::random_devices(r, o);
  const std::int64_t zones = r.integer(1, size.zones);
  for (std::int64_t i = 0; i < zones; ++i) {
    zone z;
    z.code = z.name = o.keep("Z" + std::to_string(i));
    if (r.one_in(3)) z.features.push("wall-panel");
    if (r.one_in(20)) z.features.push("daylight");
    z.wants_controller = r.one_in(4);
    z.driver_place = r.one_in(3) ? "loft" : r.one_in(5) ? "" : "store";
    z.from_driver = metres{r.uniform(0.3, 8)};
    z.driver_ambient = celsius{r.one_in(20) ? 55.0 : 30.0};
    z.mount = r.one_in(6) ? fitting_wish::plug_in : r.one_in(6) ? fitting_wish::hardwired : fitting_wish::any;
    z.limited_energy = r.one_in(12);
    z.ingress = r.one_in(30) ? 44 : 20;
    o.zones.push_back(z);
  }
  const std::int64_t runs = r.integer(1, size.runs);
  for (std::int64_t i = 0; i < runs; ++i) {
    run q;
    q.code = q.name = o.keep("R" + std::to_string(i));
    q.zone = static_cast<std::int32_t>(r.integer(0, zones - 1));
    q.tape = static_cast<std::int32_t>(r.integer(0, static_cast<std::int64_t>(o.tapes.size()) - 1));
    q.measured = metres{r.log_uniform(0.25, size.longest_m)};
    q.from_controller = metres{r.one_in(5) ? 0.1 : r.uniform(0.2, 10)};
    q.ambient = celsius{r.one_in(8) ? 40.0 : 25.0};
    o.runs.push_back(q);
  }
  o.rules.solder_fee = {r.integer(0, 800)};
  o.rules.headroom = r.one_in(4) ? 0.25 : 0.10;
  if (r.one_in(4)) o.rules.family = code_family::nec;
  if (r.one_in(4)) o.rules.circuits_grouped = static_cast<std::int32_t>(r.integer(2, 6));
  if (r.one_in(4)) o.rules.drop_to_feed = 0.05;
  if (r.one_in(4)) o.rules.drop_to_lamp = 0.08;
  if (r.one_in(4)) o.rules.least_evenness = 0.8;
}

/// Gives drivers of a job an output trim.
inline void give_trims(random_source& r, owned_job& o) {
  for (driver& s : o.drivers) {
    if (r.one_in(4)) continue;
    s.trim_low = s.output * r.uniform(0.85, 1);
    s.trim_high = s.output * r.uniform(1, 1.15);
  }
  for (tape& t : o.tapes) t.highest = t.nominal * r.uniform(1, 1.12);
  for (controller& c : o.controllers)
    if (r.one_in(2)) c.highest_input = c.highest_input * 1.1;
}

/// Turns runs of a job into rooms as they are measured: corners, cables that reach far ends and places between, rings.
/// What a run's tape cannot fill is left as it is.
inline void bend_runs(random_source& r, owned_job& o) {
  for (run& u : o.runs) {
    if (r.one_in(4)) continue;
    const metres pitch = o.tapes[static_cast<std::size_t>(u.tape)].cut_pitch;
    u.reach = static_cast<feed_reach>(r.integer(0, 2));
    u.to_far_end = metres{r.uniform(0.2, 12)};
    u.between_extra = metres{r.one_in(2) ? 0.0 : r.uniform(0, 1)};
    u.closes = r.one_in(4);
    if (u.closes) u.to_far_end = u.from_controller;
    u.dark = static_cast<dark_end>(r.integer(0, 2));
    if (r.one_in(5)) u.arrangements = static_cast<std::uint32_t>(r.integer(1, 63));
    if ((u.arrangements & reached_arrangements(u) & ~16u) == 0) u.arrangements |= 1u;
    const std::int64_t corners = r.integer(0, 3);
    if (corners == 0 || u.measured < 3 * pitch * static_cast<double>(corners + 1)) continue;
    std::vector<stretch> parts;
    metres left = u.measured;
    for (std::int64_t k = corners; k > 0; --k) {
      const metres part = left / static_cast<double>(k + 1) * r.uniform(0.8, 1.1);
      parts.push_back({part, metres{parts.empty() || r.one_in(2) ? 0.0 : 0.02}});
      left -= part;
    }
    parts.push_back({left, metres{0.01}});
    metres sum;
    for (const stretch& p : parts) sum += p.measured;
    u.measured = sum;
    u.stretches = o.stretches.emplace_back(std::move(parts));
  }
}

}  // namespace tapewright::test
