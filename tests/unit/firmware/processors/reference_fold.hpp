// SPDX-License-Identifier: BSL-1.0
// Every rule and sizing function over all rows of its tables and a grid of places, folded into one word a subject.
#pragma once

#include <cstdint>
#include <string_view>

#include "tapewright/plan/planner.hpp"
#include "tapewright/tapewright.hpp"
#include "tests/support/random.hpp"
#include "tests/unit/firmware/plan_fold.hpp"

namespace tapewright::test {

using namespace std::string_view_literals;  // a literal with its length: no strlen where there is no library

inline wide_fold fold_scalar_math() noexcept {
  wide_fold f;
  random_source random{20260301};
  for (int i = 0; i < 2'000; ++i) {
    const double any = random.log_uniform(1e-12, 1e12);
    const double exponent = random.uniform(-30, 30);
    const double small = random.uniform(-600, 600);
    f.take(square_root(any));
    f.take(cube_root(any));
    f.take(exponential(small));
    f.take(natural_log(any));
    f.take(power(any, exponent / 10));
    f.take(floor_of(small));
    f.take(ceil_of(small));
    f.take(round_half_away(small));
  }
  return f;
}

inline wide_fold fold_rules() noexcept {
  wide_fold f;
  constexpr double places[] = {-20, 10, 25, 30, 37.5, 40, 55, 60, 68.9, 70, 85};
  for (const double t : places) {
    f.take(resistivity_at(celsius{t}));
    f.take(resistance_at(ohms_per_metre{0.0133}, celsius{t}));
    f.take(contact_current(amps{10}, celsius{20}, celsius{105}, celsius{t}, 0.8));
    f.take(contact_current(amps{16}, celsius{40}, celsius{85}, celsius{t}, 1));
  }
  const auto conductor = [&](const outcome<conductor_size>& size) {
    if (!size) {
      f.take(size.why());
      return;
    }
    f.take(size->area);
    f.take(resistance_at_20(*size));
    for (const double t : places) f.take(resistance_at(*size, celsius{t}));
    for (const code_family family : {code_family::iec, code_family::nec})
      for (std::int32_t method = 0; method <= 7; ++method)
        for (const double limit : {70.0, 90.0, 60.0, 75.0})
          for (const double ambient : {20.0, 30.0, 41.5})
            for (const std::int32_t loaded : {2, 3, 6})
              for (const std::int32_t circuits : {1, 4}) {
                ampacity_question q{};
                q.family = family;
                q.method = static_cast<laying>(method);
                q.conductor = *size;
                q.conductor_limit = celsius{limit};
                q.loaded_conductors = loaded;
                q.ambient = celsius{ambient};
                q.circuits = circuits;
                q.grouping = arrangement::bunched;
                const outcome<ampacity_answer> a = ampacity(q);
                if (!a) {
                  f.take(a.why());
                  continue;
                }
                f.take(a->base);
                f.take(a->ambient_factor);
                f.take(a->grouping_factor);
                f.take(a->count_factor);
                f.take(a->allowed);
              }
  };
  for (const conductor_system system : {conductor_system::metric_class_1, conductor_system::metric_class_2,
                                        conductor_system::metric_class_5}) {
    for (const small_flexible_size& row : small_flexible_sizes)
      conductor(metric_conductor(system, square_millimetres{row.area_mm2}));
    for (const metric_size& row : metric_sizes)
      conductor(metric_conductor(system, square_millimetres{row.area_mm2}));
  }
  for (int gauge = -3; gauge <= 40; ++gauge) conductor(awg_conductor(gauge));
  for (std::int32_t family = 0; family <= 5; ++family)
    for (double rated = 0.1; rated < 130; rated *= 1.37) {
      f.take(operating_factor(static_cast<overcurrent_family>(family), amps{rated}));
      f.take(preferred_rating(static_cast<overcurrent_family>(family), amps{rated}));
    }
  for (double v = 1; v <= 60; v += 0.75) {
    const outcome<limited_energy_limit> limit = class2_limit(volts{v});
    if (limit) {
      f.take(limit->nameplate);
      f.take(limit->rated_power);
      f.take(limit->most_current);
    } else {
      f.take(limit.why());
    }
  }
  for (int k = 0; k <= 200; ++k) {
    f.take(lightness(k / 200.0));
    f.take(luminance_ratio_of(k / 2.0));
  }
  return f;
}

/// A tape of 1 to 6 channels, of any law.
inline tape any_tape(random_source& random) noexcept {
  tape t;
  t.code = "T"sv;
  constexpr double nominals[] = {5, 12, 24, 48};
  t.nominal = volts{random.pick(nominals)};
  t.highest = t.nominal * 1.1;
  const auto channels = random.integer(1, 6);
  for (std::int64_t c = 0; c < channels; ++c) {
    const double load = random.log_uniform(0.5, 20);
    const double knee = random.uniform(0.3, 0.92);
    const double trace = random.log_uniform(0.002, 0.2);
    const auto law = static_cast<load_kind>(random.integer(0, 2));
    t.channels.push({"X"sv, watts_per_metre{load}, law, t.nominal * knee, ohms_per_metre{trace}});
  }
  t.common_trace = ohms_per_metre{random.log_uniform(0.002, 0.1)};
  t.cut_pitch = metres{random.log_uniform(0.01, 0.2)};
  t.longest_piece = metres{10};
  t.sale_quantum = metres{1};
  t.lowest_ambient = celsius{-20};
  t.highest_ambient = celsius{60};
  return t;
}

inline wide_fold fold_sizing() noexcept {
  wide_fold f;
  random_source random{20260302};
  for (int i = 0; i < 400; ++i) {
    const tape t = any_tape(random);
    const metres length{random.uniform(0.2, 20)};
    const metres route{random.log_uniform(0.3, 60)};
    const amps current{random.log_uniform(0.05, 20)};
    const celsius place{random.uniform(-10, 65)};
    f.take(two_wire_drop(current, ohms_per_metre{0.0133}, route));
    f.take(feeder_drop(current, current * 0.3, ohms_per_metre{0.0133}, route));
    f.take(least_area(current, route, volts{0.7}, rho_20));
    if (const auto cut = cut_to_pitch(length, t.cut_pitch)) {
      f.take(cut->segments);
      f.take(cut->length);
      f.take(cut->dark);
    }
    if (const auto sold = sale_of(length, metres{0.5}, metres{5})) {
      f.take(sold->sold);
      f.take(sold->spare);
    }
    const auto load = load_of(t, length, random.one_in(2));
    if (!load) continue;
    f.take(load->summed);
    f.take(load->total_sized);

    feeder_question q;
    q.one_way = route;
    for (std::int32_t c = 0; c < load->channels; ++c) q.channel_current.push(load->channel_current[c]);
    q.nominal = t.nominal;
    q.ambient = place;
    cable k;
    k.code = "K"sv;
    k.cores = load->channels + 1;
    k.conductor = {conductor_system::metric_class_5, square_millimetres{random.one_in(2) ? 1.5 : 2.5}, 0};
    k.conductor_limit = celsius{70};
    k.sale_quantum = metres{1};
    if (const auto check = check_feeder(q, k)) {
      f.take(check->worst_drop);
      f.take(check->drop_utilisation);
      f.take(check->ampacity_utilisation);
      f.take(check->expected_copper);
      f.take(check->loss);
      f.take(check->by);
    } else {
      f.take(check.why());
    }
    f.take(longest_feeder(q, k));

    driver d;
    d.code = "D"sv;
    d.output = t.nominal;
    d.rated = watts{random.uniform(20, 400)};
    d.mains_low = volts{100};
    d.mains_high = volts{264};
    d.inrush_peak = amps{40};
    d.inrush_duration = seconds{300e-6};
    d.derating = {{{celsius{-20}, 1.0}, {celsius{50}, 1.0}, {celsius{70}, 0.5}}, 3};
    driver_duty duty;
    duty.load = load->sized;
    duty.nominal = t.nominal;
    duty.ambient = place;
    if (const auto check = check_driver(d, duty)) {
      f.take(check->share);
      f.take(check->capacity);
      f.take(check->needed);
      f.take(check->utilisation);
      f.take(check->by);
    } else {
      f.take(check.why());
    }
    connector j;
    j.code = "J"sv;
    j.poles = 7;
    j.rated = amps{10};
    j.rated_voltage = volts{60};
    j.rating_ambient = celsius{20};
    j.upper_limit = celsius{105};
    j.least = square_millimetres{0.5};
    j.greatest = square_millimetres{4};
    connector_duty contact;
    contact.poles = load->channels + 1;
    contact.pole_current = load->total_sized;
    contact.ambient = place;
    if (const auto check = check_connector(j, contact)) {
      f.take(check->allowed);
      f.take(check->utilisation);
    } else {
      f.take(check.why());
    }
    overcurrent_duty protection;
    protection.load = load->total_sized;
    protection.ampacity = amps{17};
    protection.voltage = t.nominal;
    protection.fault_loop = ohms{0.0266} * (route / metres{1});
    protection.source_limit = amps{random.uniform(1, 30)};
    overcurrent_device o;
    o.code = "F"sv;
    o.rated = amps{10};
    o.rated_voltage = volts{60};
    if (const auto check = check_overcurrent(o, protection)) {
      f.take(check->fault_current);
      f.take(check->operating);
      f.take(check->load_utilisation);
      f.take(check->fault_utilisation);
    } else {
      f.take(check.why());
    }
    if (const auto mains = mains_load_of(d, load->sized, volts{230})) {
      f.take(mains->input);
      f.take(mains->apparent);
      f.take(mains->current);
    } else {
      f.take(mains.why());
    }
  }
  return f;
}

inline wide_fold fold_network() noexcept {
  wide_fold f;
  random_source random{20260303};
  for (int i = 0; i < 150; ++i) {
    const tape t = any_tape(random);
    const auto segments = random.integer(1, 120);
    const auto line = line_of(t, segments, celsius{40});
    line_feed feed;
    feed.source = t.nominal * random.uniform(0.93, 1.05);
    feed.common = ohms{random.log_uniform(0.005, 0.5)};
    for (ohms& r : feed.channel) r = ohms{random.log_uniform(0.005, 0.5)};
    if (!line) continue;
    const auto solved = solve_line(*line, feed);
    if (!solved) {
      f.take(solved.why().code);
      continue;
    }
    for (std::int32_t c = 0; c < solved->channels; ++c) {
      f.take(solved->at_feed[c]);
      f.take(solved->first_load[c]);
      f.take(solved->last_load[c]);
      f.take(solved->channel_current[c]);
      f.take(solved->evenness[c]);
    }
    f.take(solved->total);
    f.take(solved->lightness_step);
    f.take(solved->colour_shift);
    f.take(solved->lamps);
    f.take(solved->trace_loss);
    f.take(solved->feeder_loss);
    f.take(solved->residual);
    f.take(solved->steps);
  }
  return f;
}

}  // namespace tapewright::test
