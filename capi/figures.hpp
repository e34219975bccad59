// SPDX-License-Identifier: BSL-1.0
// From C++ answers to C structures. They stand in the answers' own namespace, where answer.hpp finds them.
#pragma once

#include <cstddef>
#include <cstdint>

#include "answer.hpp"
#include "tapewright.h"
#include "tapewright/network/dimming.hpp"
#include "tapewright/network/longest_run.hpp"
#include "tapewright/network/sensitivity.hpp"
#include "tapewright/network/tape_line.hpp"
#include "tapewright/network/tolerance.hpp"
#include "tapewright/network/warm_copper.hpp"
#include "tapewright/plan/notes.hpp"
#include "tapewright/plan/plan.hpp"
#include "tapewright/sizing/feed_arrangement.hpp"
#include "tapewright/sizing/feeder_swap.hpp"

namespace tapewright {

using capi::number_of;

template <class Quantity, std::size_t N>
void to_c(double (&into)[N], const Quantity (&figures)[N]) noexcept {
  for (std::size_t i = 0; i < N; ++i) into[i] = number_of<double>(figures[i]);
}
template <std::size_t N>
void to_c(double (&into)[N], const bounded<amps, N>& figures) noexcept {
  for (std::size_t i = 0; i < N; ++i) into[i] = i < figures.size() ? figures[i].v : not_a_number;
}
/// Numbers, enumerations, answers, money and quantities alike.
template <class T>
void to_c(std::int32_t& into, const T& value) noexcept {
  into = number_of<std::int32_t>(value);
}
template <class T>
void to_c(std::int64_t& into, const T& value) noexcept {
  into = number_of<std::int64_t>(value);
}
template <class T>
void to_c(double& into, const T& value) noexcept {
  into = number_of<double>(value);
}

inline void to_c(tw_ampacity_answer& c, const ampacity_answer& a) noexcept {
  to_c(c.base_source, a.base_source);
  to_c(c.ambient_source, a.ambient_source);
  to_c(c.grouping_source, a.grouping_source);
  to_c(c.count_source, a.count_source);
  to_c(c.base_a, a.base);
  to_c(c.ambient_factor, a.ambient_factor);
  to_c(c.grouping_factor, a.grouping_factor);
  to_c(c.count_factor, a.count_factor);
  to_c(c.allowed_a, a.allowed);
  to_c(c.row_mm2, a.row_area);
  to_c(c.column_limit_c, a.column_limit);
}

inline void to_c(tw_feeder_check& c, const feeder_check& a) noexcept {
  to_c(c.fits, a.fits);
  to_c(c.governed, a.by);
  to_c(c.conductor_system, a.conductor.system);
  to_c(c.awg, a.conductor.gauge);
  to_c(c.cores_needed, a.cores_needed);
  to_c(c.loaded_cores, a.loaded_cores);
  to_c(c.worst_channel, a.worst_channel);
  to_c(c.ampacity_known, a.ampacity_known);
  to_c(c.cores_fit, a.cores_fit);
  to_c(c.terminal_fits, a.terminal_fits);
  to_c(c.area_fits, a.area_fits);
  to_c(c.piece_fits, a.piece_fits);
  to_c(c.base_source, a.ampacity.base_source);
  to_c(c.ambient_source, a.ampacity.ambient_source);
  to_c(c.grouping_source, a.ampacity.grouping_source);
  to_c(c.count_source, a.ampacity.count_source);
  to_c(c.resistance_source, a.resistance_source);
  to_c(c.drop_source, a.drop_source);
  to_c(c.area_mm2, a.conductor.area);
  to_c(c.common_a, a.common_current);
  to_c(c.resistance_ohm_per_m, a.resistance);
  to_c(c.core_ohm, a.core_resistance);
  to_c(c.drop_v, a.drop);
  to_c(c.worst_drop_v, a.worst_drop);
  to_c(c.drop_share, a.drop_share);
  to_c(c.loss_w, a.loss);
  to_c(c.heat_share, a.heat_share);
  to_c(c.base_a, a.ampacity.base);
  to_c(c.ambient_factor, a.ampacity.ambient_factor);
  to_c(c.grouping_factor, a.ampacity.grouping_factor);
  to_c(c.count_factor, a.ampacity.count_factor);
  to_c(c.allowed_a, a.ampacity.allowed);
  to_c(c.expected_copper_c, a.expected_copper);
  to_c(c.drop_utilisation, a.drop_utilisation);
  to_c(c.ampacity_utilisation, a.ampacity_utilisation);
  to_c(c.utilisation, a.utilisation);
}

inline void to_c(tw_feeder_choice& c, const feeder_choice& a) noexcept {
  to_c(c.cable, a.cable);
  to_c(c.governed, a.by);
  to_c(c.thinner, a.thinner);
  to_c(c.nearest, a.nearest);
  to_c(c.cost_minor, a.cost);
  to_c(c.units, a.units);
}

inline void to_c(tw_connector_check& c, const connector_check& a) noexcept {
  to_c(c.fits, a.fits);
  to_c(c.governed, a.by);
  to_c(c.poles_fit, a.poles_fit);
  to_c(c.ways_fit, a.ways_fit);
  to_c(c.voltage_fits, a.voltage_fits);
  to_c(c.conductor_fits, a.conductor_fits);
  to_c(c.ambient_fits, a.ambient_fits);
  to_c(c.source, a.from);
  to_c(c.allowed_a, a.allowed);
  to_c(c.utilisation, a.utilisation);
}

inline void to_c(tw_controller_check& c, const controller_check& a) noexcept {
  to_c(c.fits, a.fits);
  to_c(c.governed, a.by);
  to_c(c.worst_channel, a.worst_channel);
  to_c(c.channels_fit, a.channels_fit);
  to_c(c.voltage_fits, a.voltage_fits);
  to_c(c.polarity_fits, a.polarity_fits);
  to_c(c.ambient_fits, a.ambient_fits);
  to_c(c.terminal_fits, a.terminal_fits);
  to_c(c.total_a, a.total);
  to_c(c.channel_utilisation, a.channel_utilisation);
  to_c(c.total_utilisation, a.total_utilisation);
  to_c(c.terminal_utilisation, a.terminal_utilisation);
  to_c(c.utilisation, a.utilisation);
}

inline void to_c(tw_driver_check& c, const driver_check& a) noexcept {
  to_c(c.fits, a.fits);
  to_c(c.governed, a.by);
  to_c(c.ambient_fits, a.ambient_fits);
  to_c(c.voltage_fits, a.voltage_fits);
  to_c(c.mains_fits, a.mains_fits);
  to_c(c.mount_fits, a.mount_fits);
  to_c(c.ingress_fits, a.ingress_fits);
  to_c(c.terminal_fits, a.terminal_fits);
  to_c(c.connector_fits, a.connector_fits);
  to_c(c.least_load_met, a.least_load_met);
  to_c(c.limited_energy_fits, a.limited_energy_fits);
  to_c(c.limited_energy_claim_holds, a.limited_energy_claim_holds);
  to_c(c.derating_source, a.derating_source);
  to_c(c.headroom_source, a.headroom_source);
  to_c(c.class_source, a.class_source);
  to_c(c.share, a.share);
  to_c(c.capacity_w, a.capacity);
  to_c(c.limit_a, a.current_limit);
  to_c(c.current_a, a.current);
  to_c(c.needed_w, a.needed);
  to_c(c.utilisation, a.utilisation);
  to_c(c.current_utilisation, a.current_utilisation);
  to_c(c.connector_utilisation, a.connector_utilisation);
  to_c(c.headroom_left, a.headroom_left);
  to_c(c.loading, a.loading);
  to_c(c.class_a, a.class_current);
  to_c(c.class_va, a.class_power);
}

inline void to_c(tw_driver_choice& c, const driver_choice& a) noexcept {
  to_c(c.driver, a.driver);
  to_c(c.nearest, a.nearest);
  to_c(c.stopped_by, a.stopped_by);
}

inline void to_c(tw_overcurrent_check& c, const overcurrent_check& a) noexcept {
  to_c(c.fits, a.fits);
  to_c(c.governed, a.by);
  to_c(c.source_protects, a.source_protects);
  to_c(c.opens, a.opens);
  to_c(c.voltage_fits, a.voltage_fits);
  to_c(c.rule_source, a.rule_source);
  to_c(c.fault_a, a.fault_current);
  to_c(c.operating_factor, a.operating_factor);
  to_c(c.operating_a, a.operating);
  to_c(c.load_utilisation, a.load_utilisation);
  to_c(c.cable_utilisation, a.cable_utilisation);
  to_c(c.device_utilisation, a.device_utilisation);
  to_c(c.operating_utilisation, a.operating_utilisation);
  to_c(c.fault_utilisation, a.fault_utilisation);
}

inline void to_c(tw_tape_load& c, const tape_load& a) noexcept {
  to_c(c.channels, a.channels);
  to_c(c.above_all_on_limit, a.above_all_on_limit);
  to_c(c.source, a.from);
  to_c(c.channel_w, a.channel_power);
  to_c(c.channel_a, a.channel_current);
  to_c(c.summed_w, a.summed);
  to_c(c.all_on_limit_w, a.all_on_limit);
  to_c(c.sized_w, a.sized);
  to_c(c.total_sized_a, a.total_sized);
}

inline void to_c(tw_network_figures& c, const network_figures& a) noexcept {
  to_c(c.sweeps, a.sweeps);
  c.warming_rounds = 0;
  to_c(c.total_a, a.total);
  to_c(c.lamps_w, a.lamps);
  to_c(c.trace_loss_w, a.trace_loss);
  to_c(c.feeder_loss_w, a.feeder_loss);
  to_c(c.switch_loss_w, a.switch_loss);
  to_c(c.supply_loss_w, a.supply_loss);
  to_c(c.residual_v, a.residual);
  c.residual_k = 0;
}
inline void to_c(tw_network_figures& c, const warm_figures& a) noexcept {
  to_c(c, a.network);
  to_c(c.warming_rounds, a.rounds);
  to_c(c.residual_k, a.residual);
}

inline void to_c(tw_fed_run_figures& c, const fed_run_figures& a) noexcept {
  to_c(c.channels, a.channels);
  to_c(c.dimmest, a.dimmest);
  to_c(c.at_terminals_v, a.at_terminals);
  to_c(c.highest_load_v, a.highest_load);
  to_c(c.lowest_load_v, a.lowest_load);
  to_c(c.channel_a, a.channel_current);
  to_c(c.evenness, a.evenness);
  to_c(c.total_a, a.total);
  to_c(c.greatest_feed_a, a.greatest_feed_current);
  to_c(c.greatest_link_a, a.greatest_link_current);
  to_c(c.least_evenness, a.least_evenness);
  to_c(c.lightness_step, a.lightness_step);
  to_c(c.colour_shift, a.colour_shift);
  to_c(c.lamps_w, a.lamps);
  to_c(c.trace_loss_w, a.trace_loss);
  to_c(c.feeder_loss_w, a.feeder_loss);
}

template <class Share, class PerOhm>
void to_c(tw_run_sensitivity& c, const run_influence<Share, PerOhm>& a) noexcept {
  to_c(c.trace_common_v, a.trace_common);
  to_c(c.trace_channel_v, a.trace_channel);
  to_c(c.load_v, a.load);
  to_c(c.length_v, a.length);
  to_c(c.copper_v, a.copper);
  to_c(c.link_common_v_per_ohm, a.link_common);
  to_c(c.link_channel_v_per_ohm, a.link_channel);
  to_c(c.feeder_common_v_per_ohm, a.feeder_common);
  to_c(c.feeder_channel_v_per_ohm, a.feeder_channel);
}

template <class PerOhm>
void to_c(tw_hub_sensitivity& c, const hub_influence<PerOhm>& a) noexcept {
  to_c(c.supply_v_per_ohm, a.supply);
  to_c(c.channel_v_per_ohm, a.channel);
}

template <class PerOhm>
void to_c(tw_feed_sensitivity& c, const lead_influence<PerOhm>& a) noexcept {
  to_c(c.common_v_per_ohm, a.common);
  to_c(c.channel_v_per_ohm, a.channel);
}

inline void to_c(tw_light_sensitivity& c, const light_sensitivity& a) noexcept {
  to_c(c.at_kink, a.at_kink);
  to_c(c.dimmest, a.dimmest);
  to_c(c.brightest, a.brightest);
  to_c(c.share, a.share);
  to_c(c.source_per_v, a.per_volt);
  to_c(c.lead_per_ohm, a.lead);
  to_c(c.to_kink_v, a.to_kink);
}

inline void to_c(tw_bound& c, const one_bound& a) noexcept {
  to_c(c.by, a.by);
  to_c(c.value, a.value);
  for (std::size_t w = 0; w < TW_CORNER_WORDS; ++w) {
    c.high[w] = static_cast<std::uint32_t>(a.corner.high[w / 2] >> 32 * (w % 2));
    c.free[w] = static_cast<std::uint32_t>(a.corner.free[w / 2] >> 32 * (w % 2));
  }
}

inline void to_c(tw_swap_effect& c, const swap_effect& a) noexcept {
  to_c(c.run, a.dimmest.run);
  to_c(c.channel, a.dimmest.channel);
  to_c(c.segment, a.dimmest.segment);
  to_c(c.before_v, a.before);
  to_c(c.after_v, a.after);
  to_c(c.first_order_v, a.first_order);
}

inline void to_c(tw_core_currents& c, const core_currents& a) noexcept {
  to_c(c.common_mean_a, a.common.mean);
  to_c(c.common_rms_a, a.common.rms);
  to_c(c.common_peak_a, a.common.peak);
  for (std::size_t k = 0; k < max_channels; ++k) {
    to_c(c.channel_mean_a[k], a.channel[k].mean);
    to_c(c.channel_rms_a[k], a.channel[k].rms);
    to_c(c.channel_peak_a[k], a.channel[k].peak);
  }
}

inline void to_c(tw_dimmed_figures& c, const dimmed_figures& a) noexcept {
  to_c(c.intervals, a.intervals);
  to_c(c.mean_a, a.total.mean);
  to_c(c.rms_a, a.total.rms);
  to_c(c.peak_a, a.total.peak);
  to_c(c.lamps_w, a.lamps);
  to_c(c.trace_loss_w, a.trace_loss);
  to_c(c.feeder_loss_w, a.feeder_loss);
  to_c(c.switch_loss_w, a.switch_loss);
  to_c(c.supply_loss_w, a.supply_loss);
  to_c(c.residual_v, a.residual);
}

inline void to_c(tw_dimmed_run_figures& c, const dimmed_run& a) noexcept {
  to_c(c.channels, a.channels);
  to_c(c.brightest, a.brightest);
  to_c(c.dimmest, a.dimmest);
  to_c(c.evenness, a.evenness);
  to_c(c.least_evenness, a.least_evenness);
  to_c(c.lamps_w, a.lamps);
  to_c(c.trace_loss_w, a.trace_loss);
  to_c(c.feeder_loss_w, a.feeder_loss);
}

inline void to_c(tw_line_figures& c, const line_figures& a) noexcept {
  to_c(c.channels, a.channels);
  to_c(c.steps, a.steps);
  to_c(c.at_feed_v, a.at_feed);
  to_c(c.first_load_v, a.first_load);
  to_c(c.last_load_v, a.last_load);
  to_c(c.channel_a, a.channel_current);
  to_c(c.evenness, a.evenness);
  to_c(c.total_a, a.total);
  to_c(c.least_evenness, a.least_evenness);
  to_c(c.lightness_step, a.lightness_step);
  to_c(c.colour_shift, a.colour_shift);
  to_c(c.lamps_w, a.lamps);
  to_c(c.trace_loss_w, a.trace_loss);
  to_c(c.feeder_loss_w, a.feeder_loss);
  to_c(c.residual_v, a.residual);
}

inline void to_c(tw_longest& c, const longest_run& a) noexcept {
  to_c(c.limited_by, a.limited_by);
  to_c(c.segments, a.segments);
  to_c(c.length_m, a.length);
}

inline void to_c(tw_feed_places& c, const fed_length& a) noexcept {
  to_c(c.points, static_cast<std::int32_t>(a.places.size()));
  to_c(c.segments, a.segments);
  for (std::size_t i = 0; i < TW_MOST_FEED_POINTS; ++i) c.place[i] = i < a.places.size() ? a.places[i] : 0;
  to_c(c.length_m, a.length);
  to_c(c.utilisation, a.utilisation);
  to_c(c.least_evenness, a.figures.least_evenness);
  to_c(c.lightness_step, a.figures.lightness_step);
  to_c(c.total_a, a.figures.total);
  to_c(c.greatest_feed_a, a.figures.greatest_feed_current);
}
inline void to_c(tw_feed_places& c, const longest_fed& a) noexcept {
  to_c(c, a.run);
  to_c(c.limited_by, a.limited_by);
  c.fewest_proven = c.best_proven = 0;
  c.solves = 0;
}
inline void to_c(tw_feed_places& c, const fewest_feeds& a) noexcept {
  to_c(c, a.run);
  to_c(c.limited_by, run_limit::none);
  to_c(c.fewest_proven, a.fewest_proven);
  to_c(c.best_proven, a.best_proven);
  to_c(c.solves, a.solves);
}

inline void to_c(tw_rules& c, const design_rules& a) noexcept {
  to_c(c.code_family, a.family);
  to_c(c.method, a.method);
  to_c(c.grouping, a.grouping);
  to_c(c.circuits_grouped, a.circuits_grouped);
  to_c(c.join, a.join);
  to_c(c.breaker_family, a.breaker_family);
  to_c(c.solder_fee_minor, a.solder_fee);
  to_c(c.tariff_minor_per_kwh, a.tariff);
  to_c(c.headroom, a.headroom);
  to_c(c.drop_to_feed, a.drop_to_feed);
  to_c(c.drop_to_lamp, a.drop_to_lamp);
  to_c(c.least_evenness, a.least_evenness);
  to_c(c.supply_tolerance, a.supply_tolerance);
  to_c(c.cable_ambient_c, a.cable_ambient);
  to_c(c.driver_ambient_c, a.driver_ambient);
  to_c(c.least_conductor_mm2, a.least_conductor);
  to_c(c.contact_factor, a.contact_factor);
  to_c(c.slack_m, a.wiring_slack_m);
  to_c(c.mains_v, a.mains);
  to_c(c.breaker_a, a.breaker);
  to_c(c.breaker_share, a.breaker_share);
  to_c(c.residual_a, a.residual_device);
  to_c(c.leakage_share, a.leakage_share);
  to_c(c.hours_per_year, a.yearly_hours);
}

inline void to_c(tw_plan_totals& c, const plan& p) noexcept {
  to_c(c.fits, p.fits);
  to_c(c.every_price_known, p.every_price_known);
  to_c(c.runs, p.runs.size());
  to_c(c.hubs, p.hubs.size());
  to_c(c.outputs, p.outputs.size());
  to_c(c.drivers, p.drivers.size());
  to_c(c.order_lines, p.order.size());
  to_c(c.cut_pieces, p.pieces.size());
  to_c(c.connections, p.connections.size());
  to_c(c.findings, p.findings.size());
  to_c(c.readings, p.readings.size());
  to_c(c.notes, p.notes.size());
  to_c(c.breakers, p.mains.breakers);
  to_c(c.drivers_each, p.mains.drivers_each);
  to_c(c.feeds, p.feeds.size());
  to_c(c.stretches, p.stretches.size());
  to_c(c.price_minor, p.price);
  to_c(c.yearly_cost_minor, p.mains.yearly_cost);
  to_c(c.load_w, p.load);
  to_c(c.mains_a, p.mains.steady);
  to_c(c.leakage_a, p.mains.leakage);
  to_c(c.yearly_kwh, p.mains.yearly);
}

inline void to_c(tw_run_plan& c, const run_plan& a) noexcept {
  to_c(c.run, a.run);
  to_c(c.hub, a.hub);
  to_c(c.join, a.join);
  to_c(c.connector, a.connector);
  to_c(c.feeder_number, a.feeder.number);
  to_c(c.feeder_cable, a.feeder.cable);
  to_c(c.feeder_ruled_by, a.feeder.ruled_by);
  to_c(c.solved, a.solved);
  to_c(c.segments, a.cut.segments);
  to_c(c.units, a.tape_sale.quanta);
  to_c(c.reels, a.tape_sale.reels);
  to_c(c.length_m, a.cut.length);
  to_c(c.dark_m, a.cut.dark);
  to_c(c.sold_m, a.tape_sale.sold);
  to_c(c.spare_m, a.tape_sale.spare);
  to_c(c.from_reels_m, a.tape_sale.from_reels);
  to_c(c.route_m, a.feeder.route);
  to_c(c.cut_m, a.feeder.cut);
  to_c(c.feed_least_v, a.feed_least);
  to_c(c.feed_greatest_v, a.feed_greatest);
  to_c(c.end_least_v, a.end_least);
  to_c(c.end_greatest_v, a.end_greatest);
  to_c(c.section, a.section);
  to_c(c.sections, a.sections);
  to_c(c.arrangement, a.arrangement);
  to_c(c.more_feeds, a.more_feeds);
  to_c(c.feeds_from, a.feeds_from);
  to_c(c.stretches, a.stretches);
  to_c(c.stretches_from, a.stretches_from);
  to_c(c.first, a.first);
  to_c(c.at, a.at);
  to_c(c.feed_a, a.current);
  to_c(c.link_a, a.link_current);
}

inline void to_c(tw_quote& c, const plan& a) noexcept {
  to_c(c.proven, a.proven);
  to_c(c.every_price_known, a.every_price_known);
  to_c(c.net_minor, a.to_pay.net);
  to_c(c.discount_minor, a.to_pay.discount);
  to_c(c.taxable_minor, a.to_pay.taxable);
  to_c(c.tax_minor, a.to_pay.tax);
  to_c(c.gross_minor, a.to_pay.gross);
  to_c(c.price_at_least_minor, a.price_at_least);
  to_c(c.gap_minor, a.price - a.capacity_credit - a.price_at_least);
  to_c(c.search_steps, a.steps);
  to_c(c.capacity_credit_minor, a.capacity_credit);
  to_c(c.spare_drivers_w, a.spare.drivers);
  to_c(c.spare_controllers_a, a.spare.controllers);
  to_c(c.spare_cables_a, a.spare.cables);
}

inline void to_c(tw_terms& c, const design_rules& a) noexcept {
  to_c(c.discount_bp, a.discount_bp);
  to_c(c.tax_bp, a.tax_bp);
  to_c(c.rounding, a.rounding);
  to_c(c.cut_fee_minor, a.cut_fee);
  to_c(c.search_steps, a.search_steps);
  to_c(c.spare_driver_minor_per_100w, a.balanced.driver);
  to_c(c.spare_controller_minor_per_a, a.balanced.controller);
  to_c(c.spare_cable_minor_per_a, a.balanced.cable);
}

inline void to_c(tw_feed_plan& c, const tape_feed& a) noexcept {
  to_c(c.join, a.join);
  to_c(c.connector, a.connector);
  to_c(c.feeder_number, a.feeder.number);
  to_c(c.feeder_cable, a.feeder.cable);
  to_c(c.feeder_ruled_by, a.feeder.ruled_by);
  to_c(c.at, a.at);
  to_c(c.route_m, a.feeder.route);
  to_c(c.cut_m, a.feeder.cut);
  to_c(c.feed_a, a.current);
  to_c(c.feed_least_v, a.feed_least);
  to_c(c.feed_greatest_v, a.feed_greatest);
}

inline void to_c(tw_stretch_plan& c, const stretch_plan& a) noexcept {
  to_c(c.run, a.run);
  to_c(c.linked, a.linked);
  to_c(c.connector, a.connector);
  to_c(c.segments, a.cut.segments);
  to_c(c.length_m, a.cut.length);
  to_c(c.dark_m, a.cut.dark);
  to_c(c.dark_near_m, a.dark_near);
  to_c(c.gap_m, a.gap);
}

inline void to_c(tw_hub_plan& c, const hub_plan& a) noexcept {
  to_c(c.zone, a.zone);
  to_c(c.controller, a.controller);
  to_c(c.follows, a.follows);
  to_c(c.output, a.output);
  to_c(c.runs, a.runs);
  to_c(c.splice, a.splice);
  to_c(c.splices, a.splices);
  to_c(c.supply_number, a.supply.number);
  to_c(c.supply_cable, a.supply.cable);
  to_c(c.supply_ruled_by, a.supply.ruled_by);
  to_c(c.channels, a.channel_current.size());
  to_c(c.channel_a, a.channel_current);
  to_c(c.total_a, a.total);
  to_c(c.load_w, a.load);
  to_c(c.route_m, a.supply.route);
  to_c(c.cut_m, a.supply.cut);
  to_c(c.input_v, a.input);
}

inline void to_c(tw_output_plan& c, const output_plan& a) noexcept {
  to_c(c.driver, a.driver);
  to_c(c.number, a.number);
  to_c(c.device, a.device);
  to_c(c.plug, a.plug);
  to_c(c.load_w, a.load);
  to_c(c.current_a, a.current);
}

inline void to_c(tw_driver_plan& c, const driver_plan& a) noexcept {
  to_c(c.driver, a.part);
  to_c(c.zone, a.zone);
  to_c(c.outputs, a.outputs);
  to_c(c.load_w, a.load);
  to_c(c.mains_a, a.mains_current);
}

inline void to_c(tw_order_line& c, const order_line& a) noexcept {
  to_c(c.part_kind, a.part.kind);
  to_c(c.part, a.part.index);
  to_c(c.service, a.service);
  to_c(c.price_known, a.price_known);
  to_c(c.quantity, a.quantity);
  to_c(c.unit_price_minor, a.unit_price);
  to_c(c.total_minor, a.total);
  to_c(c.length_m, a.length);
}

inline void to_c(tw_cut_piece& c, const cut_piece& a) noexcept {
  to_c(c.part_kind, a.part.kind);
  to_c(c.part, a.part.index);
  to_c(c.subject_kind, a.about.kind);
  to_c(c.subject, a.about.index);
  to_c(c.number, a.number);
  to_c(c.segments, a.segments);
  to_c(c.length_m, a.length);
  to_c(c.dark_m, a.dark);
  to_c(c.dark_near_m, a.dark_near);
}

inline void to_c(tw_cut_stock& c, const cut_piece& a) noexcept {
  to_c(c.stock, a.stock);
  to_c(c.stock_m, a.stock_length);
}

inline void to_c(tw_connection& c, const connection& a) noexcept {
  to_c(c.number, a.number);
  to_c(c.cable, a.cable);
  to_c(c.core, a.core);
  to_c(c.from_kind, a.from.kind);
  to_c(c.from_owner, a.from.owner);
  to_c(c.from_channel, a.from.channel);
  to_c(c.to_kind, a.to.kind);
  to_c(c.to_owner, a.to.owner);
  to_c(c.to_channel, a.to.channel);
  to_c(c.area_mm2, a.area);
  to_c(c.length_m, a.length);
  to_c(c.current_a, a.current);
  to_c(c.to_feed, a.to.feed);
}

inline void to_c(tw_finding& c, const finding& a) noexcept {
  to_c(c.finding, a.code);
  to_c(c.severity, a.level);
  to_c(c.subject_kind, a.subject.kind);
  to_c(c.subject, a.subject.index);
  to_c(c.source, a.from);
  to_c(c.advice, a.help);
  to_c(c.stopped_by, a.stopped_by);
  to_c(c.value, a.value);
  to_c(c.limit, a.limit);
  to_c(c.utilisation, a.utilisation);
}

inline void to_c(tw_reading& c, const reading& a) noexcept {
  to_c(c.kind, a.kind);
  to_c(c.subject_kind, a.about.kind);
  to_c(c.subject, a.about.index);
  to_c(c.channel, a.channel);
  to_c(c.expected_v_or_a, a.expected);
  to_c(c.least_v_or_a, a.least);
  to_c(c.most_v_or_a, a.most);
  to_c(c.feed, a.feed);
}

inline void to_c(tw_note& c, const note& a) noexcept {
  to_c(c.note, a.code);
  to_c(c.subject_kind, a.about.kind);
  to_c(c.subject, a.about.index);
  to_c(c.reader, reader_of(a.code));
}

}  // namespace tapewright
