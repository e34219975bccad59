// SPDX-License-Identifier: BSL-1.0
// C++ rows as C ones: the way back from capi/rows.hpp, written apart from it so that the two can be compared.
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <stdexcept>
#include <string_view>
#include <vector>

#include "tapewright.h"
#include "tapewright/plan/job.hpp"

namespace tapewright::test {

template <std::size_t N>
void put_text(char (&room)[N], std::string_view text) {
  if (text.size() > N) throw std::runtime_error{"a text is longer than its room"};
  for (std::size_t i = 0; i < text.size(); ++i) room[i] = text[i];
}
template <class C>
C empty_c() {
  C c{};
  c.struct_size = sizeof(C);
  return c;
}
inline void put_words(char (&room)[TW_MOST_WORDS][TW_CODE_BYTES], std::int32_t& count, const tag_set& words) {
  count = static_cast<std::int32_t>(words.size());
  for (std::size_t i = 0; i < words.size(); ++i) put_text(room[i], words[i]);
}

inline tw_tape c_of(const tape& t) {
  auto c = empty_c<tw_tape>();
  c.channels = static_cast<std::int32_t>(t.channels.size());
  c.polarity = t.common == polarity::common_positive ? TW_COMMON_POSITIVE : TW_COMMON_NEGATIVE;
  c.ingress = t.ingress;
  put_text(c.code, t.code);
  for (std::size_t i = 0; i < t.channels.size(); ++i) {
    put_text(c.channel[i].code, t.channels[i].code);
    c.channel[i].law = static_cast<std::int32_t>(t.channels[i].law);
    c.channel[i].load_w_per_m = t.channels[i].load.v;
    c.channel[i].knee_v = t.channels[i].knee.v;
    c.channel[i].return_ohm_per_m = t.channels[i].return_trace.v;
  }
  c.price_minor = t.price.minor;
  c.nominal_v = t.nominal.v;
  c.highest_v = t.highest.v;
  c.common_ohm_per_m = t.common_trace.v;
  c.cut_pitch_m = t.cut_pitch.v;
  c.longest_piece_m = t.longest_piece.v;
  c.feed_point_limit_a = t.feed_point_limit.v;
  c.single_feed_limit_m = t.single_feed_limit.v;
  c.all_on_limit_w_per_m = t.all_on_limit.v;
  c.free_tail_m = t.free_tail.v;
  c.sale_quantum_m = t.sale_quantum.v;
  c.reel_m = t.reel.v;
  c.lowest_ambient_c = t.lowest_ambient.v;
  c.highest_ambient_c = t.highest_ambient.v;
  return c;
}

inline tw_cable c_of(const cable& k) {
  auto c = empty_c<tw_cable>();
  c.cores = k.cores;
  c.conductor_system = static_cast<std::int32_t>(k.conductor.system);
  c.awg = k.conductor.gauge;
  c.area_mm2 = k.conductor.area.v;
  c.colours = static_cast<std::int32_t>(k.core_colours.size());
  put_text(c.code, k.code);
  for (std::size_t i = 0; i < k.core_colours.size(); ++i) put_text(c.core_colour[i], k.core_colours[i]);
  c.price_minor = k.price.minor;
  c.conductor_limit_c = k.conductor_limit.v;
  c.cable_rating_a = k.rating.v;
  c.sale_quantum_m = k.sale_quantum.v;
  c.stock_m = k.stock.v;
  return c;
}

inline tw_connector c_of(const connector& k) {
  auto c = empty_c<tw_connector>();
  c.use = static_cast<std::int32_t>(k.use);
  c.poles = k.poles;
  c.ways = k.ways;
  put_text(c.code, k.code);
  c.price_minor = k.price.minor;
  c.rated_a = k.rated.v;
  c.rated_v = k.rated_voltage.v;
  c.rating_ambient_c = k.rating_ambient.v;
  c.upper_limit_c = k.upper_limit.v;
  c.least_mm2 = k.least.v;
  c.greatest_mm2 = k.greatest.v;
  c.contact_ohm = k.contact.v;
  return c;
}

inline tw_controller c_of(const controller& k) {
  auto c = empty_c<tw_controller>();
  c.channels = k.channels;
  c.polarity = k.common == polarity::common_positive ? TW_COMMON_POSITIVE : TW_COMMON_NEGATIVE;
  c.is_repeater = k.is_repeater ? 1 : 0;
  c.enforces_all_on_limit = k.enforces_all_on_limit ? 1 : 0;
  put_text(c.code, k.code);
  put_words(c.feature, c.features, k.features);
  c.price_minor = k.price.minor;
  c.channel_limit_a = k.channel_limit.v;
  c.total_limit_a = k.total_limit.v;
  c.lowest_input_v = k.lowest_input.v;
  c.highest_input_v = k.highest_input.v;
  c.least_mm2 = k.least_terminal.v;
  c.greatest_mm2 = k.greatest_terminal.v;
  c.terminal_a = k.terminal.v;
  c.switch_ohm = k.switch_resistance.v;
  c.pwm_hz = k.pwm.v;
  c.highest_ambient_c = k.highest_ambient.v;
  return c;
}

inline tw_driver c_of(const driver& d) {
  auto c = empty_c<tw_driver>();
  c.outputs = d.outputs;
  c.mount = d.mount == fitting::plug_in ? TW_MOUNT_PLUG_IN : TW_MOUNT_HARDWIRED;
  c.limited_energy = d.limited_energy ? 1 : 0;
  c.ingress = d.ingress;
  c.derating_points = static_cast<std::int32_t>(d.derating.size());
  put_text(c.code, d.code);
  c.price_minor = d.price.minor;
  c.output_v = d.output.v;
  c.trim_low_v = d.trim_low.v;
  c.trim_high_v = d.trim_high.v;
  c.rated_output_w = d.rated.v;
  c.output_limit_a = d.output_limit.v;
  c.overload_limit_a = d.overload_limit.v;
  c.least_load_w = d.least_load.v;
  c.efficiency = d.efficiency;
  c.power_factor = d.power_factor;
  c.mains_low_v = d.mains_low.v;
  c.mains_high_v = d.mains_high.v;
  c.inrush_a = d.inrush_peak.v;
  c.inrush_s = d.inrush_duration.v;
  c.leakage_a = d.leakage.v;
  c.least_mm2 = d.least_terminal.v;
  c.greatest_mm2 = d.greatest_terminal.v;
  c.output_connector_a = d.output_connector.v;
  c.plug_fuse_a = d.plug_fuse.v;
  for (std::size_t i = 0; i < d.derating.size(); ++i) {
    c.derating_c[i] = d.derating[i].ambient.v;
    c.derating_share[i] = d.derating[i].share;
  }
  return c;
}

inline tw_overcurrent_device c_of(const overcurrent_device& d) {
  auto c = empty_c<tw_overcurrent_device>();
  c.family = static_cast<std::int32_t>(d.family);
  put_text(c.code, d.code);
  c.price_minor = d.price.minor;
  c.fuse_a = d.rated.v;
  c.rated_v = d.rated_voltage.v;
  return c;
}

inline tw_zone c_of(const zone& z) {
  auto c = empty_c<tw_zone>();
  c.wants_controller = z.wants_controller ? 1 : 0;
  c.mount = z.mount == fitting_wish::any ? TW_MOUNT_ANY : static_cast<std::int32_t>(z.mount);
  c.limited_energy = z.limited_energy ? 1 : 0;
  c.ingress = z.ingress;
  put_text(c.code, z.code);
  put_text(c.driver_place, z.driver_place);
  put_words(c.feature, c.features, z.features);
  c.from_driver_m = z.from_driver.v;
  c.driver_ambient_c = z.driver_ambient.v;
  return c;
}

inline tw_run c_of(const run& r) {
  auto c = empty_c<tw_run>();
  c.zone = r.zone;
  c.tape = r.tape;
  put_text(c.code, r.code);
  c.measured_m = r.measured.v;
  c.from_controller_m = r.from_controller.v;
  c.ambient_c = r.ambient.v;
  c.cable_ambient_c = r.cable_ambient.v;
  c.reach = static_cast<std::int32_t>(r.reach);
  c.dark = static_cast<std::int32_t>(r.dark);
  c.closes = r.closes ? 1 : 0;
  c.arrangements = static_cast<std::int32_t>(r.arrangements);
  c.to_far_end_m = r.to_far_end.v;
  c.between_extra_m = r.between_extra.v;
  return c;
}

inline tw_stretch c_of(const stretch& s) {
  auto c = empty_c<tw_stretch>();
  c.measured_m = s.measured.v;
  c.gap_m = s.gap.v;
  return c;
}

inline tw_rules c_of(const design_rules& r) {
  auto c = empty_c<tw_rules>();
  c.code_family = static_cast<std::int32_t>(r.family);
  c.method = static_cast<std::int32_t>(r.method);
  c.grouping = static_cast<std::int32_t>(r.grouping);
  c.circuits_grouped = r.circuits_grouped;
  c.join = static_cast<std::int32_t>(r.join);
  c.breaker_family = static_cast<std::int32_t>(r.breaker_family);
  c.solder_fee_minor = r.solder_fee.minor;
  c.tariff_minor_per_kwh = r.tariff.minor;
  c.headroom = r.headroom;
  c.drop_to_feed = r.drop_to_feed;
  c.drop_to_lamp = r.drop_to_lamp;
  c.least_evenness = r.least_evenness;
  c.supply_tolerance = r.supply_tolerance;
  c.cable_ambient_c = r.cable_ambient.v;
  c.driver_ambient_c = r.driver_ambient.v;
  c.least_conductor_mm2 = r.least_conductor.v;
  c.contact_factor = r.contact_factor;
  c.slack_m = r.wiring_slack_m;
  c.mains_v = r.mains.v;
  c.breaker_a = r.breaker.v;
  c.breaker_share = r.breaker_share;
  c.residual_a = r.residual_device.v;
  c.leakage_share = r.leakage_share;
  c.hours_per_year = r.yearly_hours.v;
  return c;
}

/// What a job asks for beyond its rows and rules in C, owned here.
struct c_terms {
  std::vector<tw_pin> pins;
  tw_terms terms = empty_c<tw_terms>();

  explicit c_terms(const tapewright::job& j) {
    terms.discount_bp = j.rules.discount_bp;
    terms.tax_bp = j.rules.tax_bp;
    terms.rounding = static_cast<std::int32_t>(j.rules.rounding);
    terms.cut_fee_minor = j.rules.cut_fee.minor;
    terms.search_steps = j.rules.search_steps;
    terms.spare_driver_minor_per_100w = j.rules.balanced.driver.minor;
    terms.spare_controller_minor_per_a = j.rules.balanced.controller.minor;
    terms.spare_cable_minor_per_a = j.rules.balanced.cable.minor;
    for (std::size_t i = 0; i < j.zones.size(); ++i) {
      pin(TW_PIN_ZONE_DRIVER, i, j.zones[i].pinned_driver);
      pin(TW_PIN_ZONE_CONTROLLER, i, j.zones[i].pinned_controller);
    }
    for (std::size_t i = 0; i < j.runs.size(); ++i) pin(TW_PIN_RUN_FEEDER, i, j.runs[i].pinned_feeder);
    point();
  }
  c_terms(const c_terms&) = delete;
  c_terms& operator=(const c_terms&) = delete;

  void pin(std::int32_t kind, std::size_t place, std::int32_t part) {
    if (part >= 0) pins.push_back({sizeof(tw_pin), kind, static_cast<std::int32_t>(place), part});
  }
  void point() {
    terms.pins = static_cast<std::int32_t>(pins.size());
    terms.pin.at = pins.data();
  }
};

/// A whole job and its catalogue in C terms, owned here.
struct c_question {
  std::vector<tw_zone> zones;
  std::vector<tw_run> runs;
  std::deque<std::vector<tw_stretch>> stretches;
  std::vector<tw_tape> tapes;
  std::vector<tw_cable> cables;
  std::vector<tw_connector> connectors;
  std::vector<tw_controller> controllers;
  std::vector<tw_driver> drivers;
  std::vector<tw_overcurrent_device> devices;
  tw_rules rules;
  tw_job job = empty_c<tw_job>();
  tw_catalogue catalogue = empty_c<tw_catalogue>();

  c_question(const tapewright::job& j, const tapewright::catalogue& parts) : rules{c_of(j.rules)} {
    for (const zone& x : j.zones) zones.push_back(c_of(x));
    for (const run& x : j.runs) {
      runs.push_back(c_of(x));
      if (x.stretches.empty()) continue;
      std::vector<tw_stretch>& walls = stretches.emplace_back();
      for (const stretch& w : x.stretches) walls.push_back(c_of(w));
      runs.back().stretches = static_cast<std::int32_t>(walls.size());
      runs.back().stretch.at = walls.data();
    }
    for (const tape& x : parts.tapes) tapes.push_back(c_of(x));
    for (const cable& x : parts.cables) cables.push_back(c_of(x));
    for (const connector& x : parts.connectors) connectors.push_back(c_of(x));
    for (const controller& x : parts.controllers) controllers.push_back(c_of(x));
    for (const driver& x : parts.drivers) drivers.push_back(c_of(x));
    for (const overcurrent_device& x : parts.overcurrent_devices) devices.push_back(c_of(x));
    job.zones = static_cast<std::int32_t>(zones.size());
    job.runs = static_cast<std::int32_t>(runs.size());
    job.zone.at = zones.data();
    job.run.at = runs.data();
    job.rules.at = &rules;
    catalogue.tapes = static_cast<std::int32_t>(tapes.size());
    catalogue.cables = static_cast<std::int32_t>(cables.size());
    catalogue.connectors = static_cast<std::int32_t>(connectors.size());
    catalogue.controllers = static_cast<std::int32_t>(controllers.size());
    catalogue.drivers = static_cast<std::int32_t>(drivers.size());
    catalogue.overcurrent_devices = static_cast<std::int32_t>(devices.size());
    catalogue.tape.at = tapes.data();
    catalogue.cable.at = cables.data();
    catalogue.connector.at = connectors.data();
    catalogue.controller.at = controllers.data();
    catalogue.driver.at = drivers.data();
    catalogue.overcurrent_device.at = devices.data();
  }
  c_question(const c_question&) = delete;
  c_question& operator=(const c_question&) = delete;
};

}  // namespace tapewright::test
