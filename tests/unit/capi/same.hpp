// SPDX-License-Identifier: BSL-1.0
// A C answer against the C++ one, member by member and bit by bit.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <type_traits>
#include <vector>

#include "tapewright.h"
#include "tapewright/plan/notes.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/tapewright.hpp"

namespace tapewright::test {

/// Equal bits; NaN equals NaN, whose bits no standard fixes.
inline bool same_bits(double a, double b) {
  if (a != a || b != b) return a != a && b != b;
  return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
}
template <class T>
bool same(double c, const T& a) {
  if constexpr (std::is_same_v<T, double>) return same_bits(c, a);
  else return same_bits(c, a.v);
}
template <class Whole, class T>
requires std::is_integral_v<Whole>
bool same(Whole c, const T& a) {
  if constexpr (std::is_same_v<T, money>) return c == a.minor;
  else return c == static_cast<Whole>(a);
}
template <class T>
bool same(const double (&c)[max_channels], const T (&a)[max_channels]) {
  bool all = true;
  for (std::size_t i = 0; i < max_channels; ++i) all = all && same(c[i], a[i]);
  return all;
}
inline bool same(const double (&c)[max_channels], const bounded<amps, max_channels>& a) {
  bool all = true;
  for (std::size_t i = 0; i < max_channels; ++i)
    all = all && (i < a.size() ? same(c[i], a[i]) : c[i] != c[i]);
  return all;
}

inline bool same(const tw_ampacity_answer& c, const ampacity_answer& a) {
  return same(c.base_source, a.base_source) && same(c.ambient_source, a.ambient_source) &&
         same(c.grouping_source, a.grouping_source) && same(c.count_source, a.count_source) &&
         same(c.base_a, a.base) && same(c.ambient_factor, a.ambient_factor) &&
         same(c.grouping_factor, a.grouping_factor) && same(c.count_factor, a.count_factor) &&
         same(c.allowed_a, a.allowed) && same(c.row_mm2, a.row_area) &&
         same(c.column_limit_c, a.column_limit);
}

inline bool same(const tw_network_figures& c, const network_figures& a) {
  return same(c.sweeps, a.sweeps) && same(c.total_a, a.total) && same(c.lamps_w, a.lamps) &&
         same(c.trace_loss_w, a.trace_loss) && same(c.feeder_loss_w, a.feeder_loss) &&
         same(c.switch_loss_w, a.switch_loss) && same(c.supply_loss_w, a.supply_loss) &&
         same(c.residual_v, a.residual);
}

inline bool same(const tw_fed_run_figures& c, const fed_run_figures& a) {
  return same(c.channels, a.channels) && same(c.dimmest, a.dimmest) &&
         same(c.at_terminals_v, a.at_terminals) && same(c.highest_load_v, a.highest_load) &&
         same(c.lowest_load_v, a.lowest_load) && same(c.channel_a, a.channel_current) &&
         same(c.evenness, a.evenness) && same(c.total_a, a.total) &&
         same(c.greatest_feed_a, a.greatest_feed_current) &&
         same(c.greatest_link_a, a.greatest_link_current) && same(c.least_evenness, a.least_evenness) &&
         same(c.lightness_step, a.lightness_step) && same(c.colour_shift, a.colour_shift) &&
         same(c.lamps_w, a.lamps) && same(c.trace_loss_w, a.trace_loss) &&
         same(c.feeder_loss_w, a.feeder_loss);
}

inline bool same(const tw_core_currents& c, const core_currents& a) {
  bool all = same(c.common_mean_a, a.common.mean) && same(c.common_rms_a, a.common.rms) &&
             same(c.common_peak_a, a.common.peak);
  for (std::size_t k = 0; k < max_channels; ++k)
    all = all && same(c.channel_mean_a[k], a.channel[k].mean) && same(c.channel_rms_a[k], a.channel[k].rms) &&
          same(c.channel_peak_a[k], a.channel[k].peak);
  return all;
}

inline bool same(const tw_dimmed_figures& c, const dimmed_figures& a) {
  return same(c.intervals, a.intervals) && same(c.mean_a, a.total.mean) && same(c.rms_a, a.total.rms) &&
         same(c.peak_a, a.total.peak) && same(c.lamps_w, a.lamps) && same(c.trace_loss_w, a.trace_loss) &&
         same(c.feeder_loss_w, a.feeder_loss) && same(c.switch_loss_w, a.switch_loss) &&
         same(c.supply_loss_w, a.supply_loss) && same(c.residual_v, a.residual);
}

inline bool same(const tw_dimmed_run_figures& c, const dimmed_run& a) {
  return same(c.channels, a.channels) && same(c.brightest, a.brightest) && same(c.dimmest, a.dimmest) &&
         same(c.evenness, a.evenness) && same(c.least_evenness, a.least_evenness) &&
         same(c.lamps_w, a.lamps) && same(c.trace_loss_w, a.trace_loss) &&
         same(c.feeder_loss_w, a.feeder_loss);
}

inline bool same(const tw_feeder_check& c, const feeder_check& a) {
  return same(c.fits, a.fits) && same(c.governed, a.by) && same(c.conductor_system, a.conductor.system) &&
         same(c.awg, a.conductor.gauge) && same(c.cores_needed, a.cores_needed) &&
         same(c.loaded_cores, a.loaded_cores) && same(c.worst_channel, a.worst_channel) &&
         same(c.ampacity_known, a.ampacity_known) && same(c.cores_fit, a.cores_fit) &&
         same(c.terminal_fits, a.terminal_fits) && same(c.area_fits, a.area_fits) &&
         same(c.piece_fits, a.piece_fits) && same(c.base_source, a.ampacity.base_source) &&
         same(c.ambient_source, a.ampacity.ambient_source) &&
         same(c.grouping_source, a.ampacity.grouping_source) &&
         same(c.count_source, a.ampacity.count_source) && same(c.resistance_source, a.resistance_source) &&
         same(c.drop_source, a.drop_source) && same(c.area_mm2, a.conductor.area) &&
         same(c.common_a, a.common_current) && same(c.resistance_ohm_per_m, a.resistance) &&
         same(c.core_ohm, a.core_resistance) && same(c.drop_v, a.drop) &&
         same(c.worst_drop_v, a.worst_drop) && same(c.drop_share, a.drop_share) && same(c.loss_w, a.loss) &&
         same(c.heat_share, a.heat_share) && same(c.base_a, a.ampacity.base) &&
         same(c.ambient_factor, a.ampacity.ambient_factor) &&
         same(c.grouping_factor, a.ampacity.grouping_factor) &&
         same(c.count_factor, a.ampacity.count_factor) && same(c.allowed_a, a.ampacity.allowed) &&
         same(c.expected_copper_c, a.expected_copper) && same(c.drop_utilisation, a.drop_utilisation) &&
         same(c.ampacity_utilisation, a.ampacity_utilisation) && same(c.utilisation, a.utilisation);
}

inline bool same(const tw_feeder_choice& c, const feeder_choice& a) {
  return same(c.cable, a.cable) && same(c.governed, a.by) && same(c.thinner, a.thinner) &&
         same(c.nearest, a.nearest) && same(c.cost_minor, a.cost) && same(c.units, a.units);
}

inline bool same(const tw_connector_check& c, const connector_check& a) {
  return same(c.fits, a.fits) && same(c.governed, a.by) && same(c.poles_fit, a.poles_fit) &&
         same(c.ways_fit, a.ways_fit) && same(c.voltage_fits, a.voltage_fits) &&
         same(c.conductor_fits, a.conductor_fits) && same(c.ambient_fits, a.ambient_fits) &&
         same(c.source, a.from) && same(c.allowed_a, a.allowed) && same(c.utilisation, a.utilisation);
}

inline bool same(const tw_controller_check& c, const controller_check& a) {
  return same(c.fits, a.fits) && same(c.governed, a.by) && same(c.worst_channel, a.worst_channel) &&
         same(c.channels_fit, a.channels_fit) && same(c.voltage_fits, a.voltage_fits) &&
         same(c.polarity_fits, a.polarity_fits) && same(c.ambient_fits, a.ambient_fits) &&
         same(c.terminal_fits, a.terminal_fits) && same(c.total_a, a.total) &&
         same(c.channel_utilisation, a.channel_utilisation) &&
         same(c.total_utilisation, a.total_utilisation) &&
         same(c.terminal_utilisation, a.terminal_utilisation) && same(c.utilisation, a.utilisation);
}

inline bool same(const tw_driver_check& c, const driver_check& a) {
  return same(c.fits, a.fits) && same(c.governed, a.by) && same(c.ambient_fits, a.ambient_fits) &&
         same(c.voltage_fits, a.voltage_fits) && same(c.mains_fits, a.mains_fits) &&
         same(c.mount_fits, a.mount_fits) && same(c.ingress_fits, a.ingress_fits) &&
         same(c.terminal_fits, a.terminal_fits) && same(c.connector_fits, a.connector_fits) &&
         same(c.least_load_met, a.least_load_met) && same(c.limited_energy_fits, a.limited_energy_fits) &&
         same(c.limited_energy_claim_holds, a.limited_energy_claim_holds) &&
         same(c.derating_source, a.derating_source) && same(c.headroom_source, a.headroom_source) &&
         same(c.class_source, a.class_source) && same(c.share, a.share) && same(c.capacity_w, a.capacity) &&
         same(c.limit_a, a.current_limit) && same(c.current_a, a.current) && same(c.needed_w, a.needed) &&
         same(c.utilisation, a.utilisation) && same(c.current_utilisation, a.current_utilisation) &&
         same(c.connector_utilisation, a.connector_utilisation) && same(c.headroom_left, a.headroom_left) &&
         same(c.loading, a.loading) && same(c.class_a, a.class_current) && same(c.class_va, a.class_power);
}

inline bool same(const tw_driver_choice& c, const driver_choice& a) {
  return same(c.driver, a.driver) && same(c.nearest, a.nearest) && same(c.stopped_by, a.stopped_by);
}

inline bool same(const tw_overcurrent_check& c, const overcurrent_check& a) {
  return same(c.fits, a.fits) && same(c.governed, a.by) && same(c.source_protects, a.source_protects) &&
         same(c.opens, a.opens) && same(c.voltage_fits, a.voltage_fits) &&
         same(c.rule_source, a.rule_source) && same(c.fault_a, a.fault_current) &&
         same(c.operating_factor, a.operating_factor) && same(c.operating_a, a.operating) &&
         same(c.load_utilisation, a.load_utilisation) && same(c.cable_utilisation, a.cable_utilisation) &&
         same(c.device_utilisation, a.device_utilisation) &&
         same(c.operating_utilisation, a.operating_utilisation) &&
         same(c.fault_utilisation, a.fault_utilisation);
}

inline bool same(const tw_tape_load& c, const tape_load& a) {
  return same(c.channels, a.channels) && same(c.above_all_on_limit, a.above_all_on_limit) &&
         same(c.source, a.from) && same(c.channel_w, a.channel_power) &&
         same(c.channel_a, a.channel_current) && same(c.summed_w, a.summed) &&
         same(c.all_on_limit_w, a.all_on_limit) && same(c.sized_w, a.sized) &&
         same(c.total_sized_a, a.total_sized);
}

inline bool same(const tw_line_figures& c, const line_figures& a) {
  return same(c.channels, a.channels) && same(c.steps, a.steps) && same(c.at_feed_v, a.at_feed) &&
         same(c.first_load_v, a.first_load) && same(c.last_load_v, a.last_load) &&
         same(c.channel_a, a.channel_current) && same(c.evenness, a.evenness) && same(c.total_a, a.total) &&
         same(c.least_evenness, a.least_evenness) && same(c.lightness_step, a.lightness_step) &&
         same(c.colour_shift, a.colour_shift) && same(c.lamps_w, a.lamps) &&
         same(c.trace_loss_w, a.trace_loss) && same(c.feeder_loss_w, a.feeder_loss) &&
         same(c.residual_v, a.residual);
}

inline bool same(const tw_longest& c, const longest_run& a) {
  return same(c.limited_by, a.limited_by) && same(c.segments, a.segments) && same(c.length_m, a.length);
}

inline bool same(const tw_feed_places& c, const fed_length& a) {
  bool places = same(c.points, static_cast<std::int32_t>(a.places.size()));
  for (std::size_t i = 0; i < TW_MOST_FEED_POINTS; ++i)
    places = places && c.place[i] == (i < a.places.size() ? a.places[i] : 0);
  return places && same(c.segments, a.segments) && same(c.length_m, a.length) &&
         same(c.utilisation, a.utilisation) && same(c.least_evenness, a.figures.least_evenness) &&
         same(c.lightness_step, a.figures.lightness_step) && same(c.total_a, a.figures.total) &&
         same(c.greatest_feed_a, a.figures.greatest_feed_current);
}
inline bool same(const tw_feed_places& c, const longest_fed& a) {
  return same(c, a.run) && same(c.limited_by, a.limited_by);
}
inline bool same(const tw_feed_places& c, const fewest_feeds& a) {
  return same(c, a.run) && same(c.fewest_proven, a.fewest_proven) && same(c.best_proven, a.best_proven) &&
         same(c.solves, a.solves) && c.limited_by == TW_RUN_LIMIT_NONE;
}

inline bool same(const tw_plan_totals& c, const plan& p) {
  return same(c.fits, p.fits) && same(c.every_price_known, p.every_price_known) &&
         same(c.runs, p.runs.size()) && same(c.hubs, p.hubs.size()) && same(c.outputs, p.outputs.size()) &&
         same(c.drivers, p.drivers.size()) && same(c.order_lines, p.order.size()) &&
         same(c.cut_pieces, p.pieces.size()) && same(c.connections, p.connections.size()) &&
         same(c.findings, p.findings.size()) && same(c.readings, p.readings.size()) &&
         same(c.notes, p.notes.size()) && same(c.breakers, p.mains.breakers) &&
         same(c.drivers_each, p.mains.drivers_each) && same(c.feeds, p.feeds.size()) &&
         same(c.stretches, p.stretches.size()) && same(c.price_minor, p.price) &&
         same(c.yearly_cost_minor, p.mains.yearly_cost) && same(c.load_w, p.load) &&
         same(c.mains_a, p.mains.steady) && same(c.leakage_a, p.mains.leakage) &&
         same(c.yearly_kwh, p.mains.yearly);
}

inline bool same(const tw_run_plan& c, const run_plan& a) {
  return same(c.run, a.run) && same(c.hub, a.hub) && same(c.join, a.join) && same(c.connector, a.connector) &&
         same(c.feeder_number, a.feeder.number) && same(c.feeder_cable, a.feeder.cable) &&
         same(c.feeder_ruled_by, a.feeder.ruled_by) && same(c.solved, a.solved) &&
         same(c.segments, a.cut.segments) && same(c.units, a.tape_sale.quanta) &&
         same(c.reels, a.tape_sale.reels) && same(c.length_m, a.cut.length) && same(c.dark_m, a.cut.dark) &&
         same(c.sold_m, a.tape_sale.sold) && same(c.spare_m, a.tape_sale.spare) &&
         same(c.from_reels_m, a.tape_sale.from_reels) && same(c.route_m, a.feeder.route) &&
         same(c.cut_m, a.feeder.cut) && same(c.feed_least_v, a.feed_least) &&
         same(c.feed_greatest_v, a.feed_greatest) && same(c.end_least_v, a.end_least) &&
         same(c.end_greatest_v, a.end_greatest) && same(c.section, a.section) &&
         same(c.sections, a.sections) && same(c.arrangement, a.arrangement) &&
         same(c.more_feeds, a.more_feeds) && same(c.feeds_from, a.feeds_from) &&
         same(c.stretches, a.stretches) && same(c.stretches_from, a.stretches_from) &&
         same(c.first, a.first) && same(c.at, a.at) && same(c.feed_a, a.current) &&
         same(c.link_a, a.link_current);
}

inline bool same(const tw_quote& c, const plan& a) {
  return same(c.proven, a.proven) && same(c.every_price_known, a.every_price_known) &&
         same(c.net_minor, a.to_pay.net) && same(c.discount_minor, a.to_pay.discount) &&
         same(c.taxable_minor, a.to_pay.taxable) && same(c.tax_minor, a.to_pay.tax) &&
         same(c.gross_minor, a.to_pay.gross) && same(c.price_at_least_minor, a.price_at_least) &&
         c.gap_minor == (a.price - a.capacity_credit - a.price_at_least).minor &&
         same(c.search_steps, a.steps) && same(c.capacity_credit_minor, a.capacity_credit) &&
         same(c.spare_drivers_w, a.spare.drivers) && same(c.spare_controllers_a, a.spare.controllers) &&
         same(c.spare_cables_a, a.spare.cables);
}

inline bool same(const tw_feed_plan& c, const tape_feed& a) {
  return same(c.join, a.join) && same(c.connector, a.connector) && same(c.feeder_number, a.feeder.number) &&
         same(c.feeder_cable, a.feeder.cable) && same(c.feeder_ruled_by, a.feeder.ruled_by) &&
         same(c.at, a.at) && same(c.route_m, a.feeder.route) && same(c.cut_m, a.feeder.cut) &&
         same(c.feed_a, a.current) && same(c.feed_least_v, a.feed_least) &&
         same(c.feed_greatest_v, a.feed_greatest);
}

inline bool same(const tw_stretch_plan& c, const stretch_plan& a) {
  return same(c.run, a.run) && same(c.linked, a.linked) && same(c.connector, a.connector) &&
         same(c.segments, a.cut.segments) && same(c.length_m, a.cut.length) && same(c.dark_m, a.cut.dark) &&
         same(c.dark_near_m, a.dark_near) && same(c.gap_m, a.gap);
}

inline bool same(const tw_hub_plan& c, const hub_plan& a) {
  return same(c.zone, a.zone) && same(c.controller, a.controller) && same(c.follows, a.follows) &&
         same(c.output, a.output) && same(c.runs, a.runs) && same(c.splice, a.splice) &&
         same(c.splices, a.splices) && same(c.supply_number, a.supply.number) &&
         same(c.supply_cable, a.supply.cable) && same(c.supply_ruled_by, a.supply.ruled_by) &&
         same(c.channels, a.channel_current.size()) && same(c.channel_a, a.channel_current) &&
         same(c.total_a, a.total) && same(c.load_w, a.load) && same(c.route_m, a.supply.route) &&
         same(c.cut_m, a.supply.cut) && same(c.input_v, a.input);
}

inline bool same(const tw_output_plan& c, const output_plan& a) {
  return same(c.driver, a.driver) && same(c.number, a.number) && same(c.device, a.device) &&
         same(c.plug, a.plug) && same(c.load_w, a.load) && same(c.current_a, a.current);
}

inline bool same(const tw_driver_plan& c, const driver_plan& a) {
  return same(c.driver, a.part) && same(c.zone, a.zone) && same(c.outputs, a.outputs) &&
         same(c.load_w, a.load) && same(c.mains_a, a.mains_current);
}

inline bool same(const tw_order_line& c, const order_line& a) {
  return same(c.part_kind, a.part.kind) && same(c.part, a.part.index) && same(c.service, a.service) &&
         same(c.price_known, a.price_known) && same(c.quantity, a.quantity) &&
         same(c.unit_price_minor, a.unit_price) && same(c.total_minor, a.total) && same(c.length_m, a.length);
}

inline bool same(const tw_cut_piece& c, const cut_piece& a) {
  return same(c.part_kind, a.part.kind) && same(c.part, a.part.index) && same(c.subject_kind, a.about.kind) &&
         same(c.subject, a.about.index) && same(c.number, a.number) && same(c.segments, a.segments) &&
         same(c.length_m, a.length) && same(c.dark_m, a.dark) && same(c.dark_near_m, a.dark_near);
}

inline bool same(const tw_cut_stock& c, const cut_piece& a) {
  return same(c.stock, a.stock) && same(c.stock_m, a.stock_length);
}

inline bool same(const tw_connection& c, const connection& a) {
  return same(c.number, a.number) && same(c.cable, a.cable) && same(c.core, a.core) &&
         same(c.from_kind, a.from.kind) && same(c.from_owner, a.from.owner) &&
         same(c.from_channel, a.from.channel) && same(c.to_kind, a.to.kind) && same(c.to_owner, a.to.owner) &&
         same(c.to_channel, a.to.channel) && same(c.area_mm2, a.area) && same(c.length_m, a.length) &&
         same(c.current_a, a.current) && same(c.to_feed, a.to.feed);
}

inline bool same(const tw_finding& c, const finding& a) {
  return same(c.finding, a.code) && same(c.severity, a.level) && same(c.subject_kind, a.subject.kind) &&
         same(c.subject, a.subject.index) && same(c.source, a.from) && same(c.advice, a.help) &&
         same(c.stopped_by, a.stopped_by) && same(c.value, a.value) && same(c.limit, a.limit) &&
         same(c.utilisation, a.utilisation);
}

inline bool same(const tw_reading& c, const reading& a) {
  return same(c.kind, a.kind) && same(c.subject_kind, a.about.kind) && same(c.subject, a.about.index) &&
         same(c.channel, a.channel) && same(c.expected_v_or_a, a.expected) && same(c.least_v_or_a, a.least) &&
         same(c.most_v_or_a, a.most) && same(c.feed, a.feed);
}

inline bool same(const tw_note& c, const note& a) {
  return same(c.note, a.code) && same(c.subject_kind, a.about.kind) && same(c.subject, a.about.index) &&
         same(c.reader, reader_of(a.code));
}

template <class T>
bool same_list(const std::vector<double>& c, const std::vector<T>& a) {
  bool all = c.size() == a.size();
  for (std::size_t i = 0; all && i < c.size(); ++i) all = same(c[i], a[i]);
  return all;
}

}  // namespace tapewright::test
