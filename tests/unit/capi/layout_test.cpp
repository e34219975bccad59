// SPDX-License-Identifier: BSL-1.0
// Size of every C structure and offset of every member, as first released: they hold on 32 and 64 bit alike.
#include <doctest/doctest.h>

#include <cstddef>
#include <cstdint>

#include "capi/struct_table.hpp"
#include "tapewright.h"

// A member that is added stands behind these and changes the size alone; no line here changes otherwise. That
// there is no hidden padding, and that eight-byte members stand on multiples of eight, capi/struct_table.hpp
// asserts for every compiler.

static_assert(sizeof(tw_fault) == 40);
static_assert(offsetof(tw_fault, code) == 4);
static_assert(offsetof(tw_fault, field) == 8);
static_assert(offsetof(tw_fault, item) == 12);
static_assert(offsetof(tw_fault, given) == 16);
static_assert(offsetof(tw_fault, least) == 24);
static_assert(offsetof(tw_fault, most) == 32);

static_assert(sizeof(tw_function_facts) == 32);
static_assert(offsetof(tw_function_facts, arguments) == 4);
static_assert(offsetof(tw_function_facts, name) == 8);
static_assert(offsetof(tw_function_facts, returns) == 16);
static_assert(offsetof(tw_function_facts, text) == 24);

static_assert(sizeof(tw_argument_facts) == 48);
static_assert(offsetof(tw_argument_facts, field) == 4);
static_assert(offsetof(tw_argument_facts, type) == 8);
static_assert(offsetof(tw_argument_facts, name) == 16);
static_assert(offsetof(tw_argument_facts, text) == 24);
static_assert(offsetof(tw_argument_facts, least) == 32);
static_assert(offsetof(tw_argument_facts, most) == 40);

static_assert(sizeof(tw_field_facts) == 48);
static_assert(offsetof(tw_field_facts, field) == 4);
static_assert(offsetof(tw_field_facts, name) == 8);
static_assert(offsetof(tw_field_facts, unit) == 16);
static_assert(offsetof(tw_field_facts, text) == 24);
static_assert(offsetof(tw_field_facts, least) == 32);
static_assert(offsetof(tw_field_facts, most) == 40);

static_assert(sizeof(tw_structure_facts) == 24);
static_assert(offsetof(tw_structure_facts, members) == 4);
static_assert(offsetof(tw_structure_facts, bytes) == 8);
static_assert(offsetof(tw_structure_facts, first_release) == 12);
static_assert(offsetof(tw_structure_facts, name) == 16);

static_assert(sizeof(tw_member_facts) == 56);
static_assert(offsetof(tw_member_facts, field) == 4);
static_assert(offsetof(tw_member_facts, offset) == 8);
static_assert(offsetof(tw_member_facts, bytes) == 12);
static_assert(offsetof(tw_member_facts, count) == 16);
static_assert(offsetof(tw_member_facts, text_bytes) == 20);
static_assert(offsetof(tw_member_facts, type) == 24);
static_assert(offsetof(tw_member_facts, name) == 32);
static_assert(offsetof(tw_member_facts, least) == 40);
static_assert(offsetof(tw_member_facts, most) == 48);

static_assert(sizeof(tw_ampacity_question) == 64);
static_assert(offsetof(tw_ampacity_question, code_family) == 4);
static_assert(offsetof(tw_ampacity_question, method) == 8);
static_assert(offsetof(tw_ampacity_question, conductor_system) == 12);
static_assert(offsetof(tw_ampacity_question, awg) == 16);
static_assert(offsetof(tw_ampacity_question, loaded_conductors) == 20);
static_assert(offsetof(tw_ampacity_question, circuits_grouped) == 24);
static_assert(offsetof(tw_ampacity_question, grouping) == 28);
static_assert(offsetof(tw_ampacity_question, area_mm2) == 32);
static_assert(offsetof(tw_ampacity_question, conductor_limit_c) == 40);
static_assert(offsetof(tw_ampacity_question, ambient_c) == 48);
static_assert(offsetof(tw_ampacity_question, cable_rating_a) == 56);

static_assert(sizeof(tw_ampacity_answer) == 80);
static_assert(offsetof(tw_ampacity_answer, base_source) == 4);
static_assert(offsetof(tw_ampacity_answer, ambient_source) == 8);
static_assert(offsetof(tw_ampacity_answer, grouping_source) == 12);
static_assert(offsetof(tw_ampacity_answer, count_source) == 16);
static_assert(offsetof(tw_ampacity_answer, reserved) == 20);
static_assert(offsetof(tw_ampacity_answer, base_a) == 24);
static_assert(offsetof(tw_ampacity_answer, ambient_factor) == 32);
static_assert(offsetof(tw_ampacity_answer, grouping_factor) == 40);
static_assert(offsetof(tw_ampacity_answer, count_factor) == 48);
static_assert(offsetof(tw_ampacity_answer, allowed_a) == 56);
static_assert(offsetof(tw_ampacity_answer, row_mm2) == 64);
static_assert(offsetof(tw_ampacity_answer, column_limit_c) == 72);

static_assert(sizeof(tw_cable) == 200);
static_assert(offsetof(tw_cable, cores) == 4);
static_assert(offsetof(tw_cable, conductor_system) == 8);
static_assert(offsetof(tw_cable, awg) == 12);
static_assert(offsetof(tw_cable, colours) == 16);
static_assert(offsetof(tw_cable, reserved) == 20);
static_assert(offsetof(tw_cable, code) == 24);
static_assert(offsetof(tw_cable, core_colour) == 56);
static_assert(offsetof(tw_cable, price_minor) == 152);
static_assert(offsetof(tw_cable, area_mm2) == 160);
static_assert(offsetof(tw_cable, conductor_limit_c) == 168);
static_assert(offsetof(tw_cable, cable_rating_a) == 176);
static_assert(offsetof(tw_cable, sale_quantum_m) == 184);
static_assert(offsetof(tw_cable, stock_m) == 192);

static_assert(sizeof(tw_feeder_question) == 144);
static_assert(offsetof(tw_feeder_question, channels) == 4);
static_assert(offsetof(tw_feeder_question, code_family) == 8);
static_assert(offsetof(tw_feeder_question, method) == 12);
static_assert(offsetof(tw_feeder_question, grouping) == 16);
static_assert(offsetof(tw_feeder_question, circuits_grouped) == 20);
static_assert(offsetof(tw_feeder_question, channel_a) == 24);
static_assert(offsetof(tw_feeder_question, common_a) == 72);
static_assert(offsetof(tw_feeder_question, one_way_m) == 80);
static_assert(offsetof(tw_feeder_question, nominal_v) == 88);
static_assert(offsetof(tw_feeder_question, drop_limit) == 96);
static_assert(offsetof(tw_feeder_question, ambient_c) == 104);
static_assert(offsetof(tw_feeder_question, copper_c) == 112);
static_assert(offsetof(tw_feeder_question, least_mm2) == 120);
static_assert(offsetof(tw_feeder_question, greatest_mm2) == 128);
static_assert(offsetof(tw_feeder_question, least_area_mm2) == 136);

static_assert(sizeof(tw_feeder_check) == 264);
static_assert(offsetof(tw_feeder_check, fits) == 4);
static_assert(offsetof(tw_feeder_check, governed) == 8);
static_assert(offsetof(tw_feeder_check, conductor_system) == 12);
static_assert(offsetof(tw_feeder_check, awg) == 16);
static_assert(offsetof(tw_feeder_check, cores_needed) == 20);
static_assert(offsetof(tw_feeder_check, loaded_cores) == 24);
static_assert(offsetof(tw_feeder_check, worst_channel) == 28);
static_assert(offsetof(tw_feeder_check, ampacity_known) == 32);
static_assert(offsetof(tw_feeder_check, cores_fit) == 36);
static_assert(offsetof(tw_feeder_check, terminal_fits) == 40);
static_assert(offsetof(tw_feeder_check, area_fits) == 44);
static_assert(offsetof(tw_feeder_check, piece_fits) == 48);
static_assert(offsetof(tw_feeder_check, base_source) == 52);
static_assert(offsetof(tw_feeder_check, ambient_source) == 56);
static_assert(offsetof(tw_feeder_check, grouping_source) == 60);
static_assert(offsetof(tw_feeder_check, count_source) == 64);
static_assert(offsetof(tw_feeder_check, resistance_source) == 68);
static_assert(offsetof(tw_feeder_check, drop_source) == 72);
static_assert(offsetof(tw_feeder_check, reserved) == 76);
static_assert(offsetof(tw_feeder_check, area_mm2) == 80);
static_assert(offsetof(tw_feeder_check, common_a) == 88);
static_assert(offsetof(tw_feeder_check, resistance_ohm_per_m) == 96);
static_assert(offsetof(tw_feeder_check, core_ohm) == 104);
static_assert(offsetof(tw_feeder_check, drop_v) == 112);
static_assert(offsetof(tw_feeder_check, worst_drop_v) == 160);
static_assert(offsetof(tw_feeder_check, drop_share) == 168);
static_assert(offsetof(tw_feeder_check, loss_w) == 176);
static_assert(offsetof(tw_feeder_check, heat_share) == 184);
static_assert(offsetof(tw_feeder_check, base_a) == 192);
static_assert(offsetof(tw_feeder_check, ambient_factor) == 200);
static_assert(offsetof(tw_feeder_check, grouping_factor) == 208);
static_assert(offsetof(tw_feeder_check, count_factor) == 216);
static_assert(offsetof(tw_feeder_check, allowed_a) == 224);
static_assert(offsetof(tw_feeder_check, expected_copper_c) == 232);
static_assert(offsetof(tw_feeder_check, drop_utilisation) == 240);
static_assert(offsetof(tw_feeder_check, ampacity_utilisation) == 248);
static_assert(offsetof(tw_feeder_check, utilisation) == 256);

static_assert(sizeof(tw_feeder_choice) == 40);
static_assert(offsetof(tw_feeder_choice, cable) == 4);
static_assert(offsetof(tw_feeder_choice, governed) == 8);
static_assert(offsetof(tw_feeder_choice, thinner) == 12);
static_assert(offsetof(tw_feeder_choice, nearest) == 16);
static_assert(offsetof(tw_feeder_choice, reserved) == 20);
static_assert(offsetof(tw_feeder_choice, cost_minor) == 24);
static_assert(offsetof(tw_feeder_choice, units) == 32);

static_assert(sizeof(tw_connector) == 112);
static_assert(offsetof(tw_connector, use) == 4);
static_assert(offsetof(tw_connector, poles) == 8);
static_assert(offsetof(tw_connector, ways) == 12);
static_assert(offsetof(tw_connector, code) == 16);
static_assert(offsetof(tw_connector, price_minor) == 48);
static_assert(offsetof(tw_connector, rated_a) == 56);
static_assert(offsetof(tw_connector, rated_v) == 64);
static_assert(offsetof(tw_connector, rating_ambient_c) == 72);
static_assert(offsetof(tw_connector, upper_limit_c) == 80);
static_assert(offsetof(tw_connector, least_mm2) == 88);
static_assert(offsetof(tw_connector, greatest_mm2) == 96);
static_assert(offsetof(tw_connector, contact_ohm) == 104);

static_assert(sizeof(tw_connector_duty) == 56);
static_assert(offsetof(tw_connector_duty, poles) == 4);
static_assert(offsetof(tw_connector_duty, ways) == 8);
static_assert(offsetof(tw_connector_duty, reserved) == 12);
static_assert(offsetof(tw_connector_duty, pole_a) == 16);
static_assert(offsetof(tw_connector_duty, voltage_v) == 24);
static_assert(offsetof(tw_connector_duty, ambient_c) == 32);
static_assert(offsetof(tw_connector_duty, conductor_mm2) == 40);
static_assert(offsetof(tw_connector_duty, curve_factor) == 48);

static_assert(sizeof(tw_connector_check) == 56);
static_assert(offsetof(tw_connector_check, fits) == 4);
static_assert(offsetof(tw_connector_check, governed) == 8);
static_assert(offsetof(tw_connector_check, poles_fit) == 12);
static_assert(offsetof(tw_connector_check, ways_fit) == 16);
static_assert(offsetof(tw_connector_check, voltage_fits) == 20);
static_assert(offsetof(tw_connector_check, conductor_fits) == 24);
static_assert(offsetof(tw_connector_check, ambient_fits) == 28);
static_assert(offsetof(tw_connector_check, source) == 32);
static_assert(offsetof(tw_connector_check, reserved) == 36);
static_assert(offsetof(tw_connector_check, allowed_a) == 40);
static_assert(offsetof(tw_connector_check, utilisation) == 48);

static_assert(sizeof(tw_controller) == 400);
static_assert(offsetof(tw_controller, channels) == 4);
static_assert(offsetof(tw_controller, polarity) == 8);
static_assert(offsetof(tw_controller, is_repeater) == 12);
static_assert(offsetof(tw_controller, enforces_all_on_limit) == 16);
static_assert(offsetof(tw_controller, features) == 20);
static_assert(offsetof(tw_controller, code) == 24);
static_assert(offsetof(tw_controller, feature) == 56);
static_assert(offsetof(tw_controller, price_minor) == 312);
static_assert(offsetof(tw_controller, channel_limit_a) == 320);
static_assert(offsetof(tw_controller, total_limit_a) == 328);
static_assert(offsetof(tw_controller, lowest_input_v) == 336);
static_assert(offsetof(tw_controller, highest_input_v) == 344);
static_assert(offsetof(tw_controller, least_mm2) == 352);
static_assert(offsetof(tw_controller, greatest_mm2) == 360);
static_assert(offsetof(tw_controller, terminal_a) == 368);
static_assert(offsetof(tw_controller, switch_ohm) == 376);
static_assert(offsetof(tw_controller, pwm_hz) == 384);
static_assert(offsetof(tw_controller, highest_ambient_c) == 392);

static_assert(sizeof(tw_controller_duty) == 96);
static_assert(offsetof(tw_controller_duty, channels) == 4);
static_assert(offsetof(tw_controller_duty, polarity) == 8);
static_assert(offsetof(tw_controller_duty, reserved) == 12);
static_assert(offsetof(tw_controller_duty, channel_a) == 16);
static_assert(offsetof(tw_controller_duty, total_a) == 64);
static_assert(offsetof(tw_controller_duty, input_v) == 72);
static_assert(offsetof(tw_controller_duty, ambient_c) == 80);
static_assert(offsetof(tw_controller_duty, conductor_mm2) == 88);

static_assert(sizeof(tw_controller_check) == 80);
static_assert(offsetof(tw_controller_check, fits) == 4);
static_assert(offsetof(tw_controller_check, governed) == 8);
static_assert(offsetof(tw_controller_check, worst_channel) == 12);
static_assert(offsetof(tw_controller_check, channels_fit) == 16);
static_assert(offsetof(tw_controller_check, voltage_fits) == 20);
static_assert(offsetof(tw_controller_check, polarity_fits) == 24);
static_assert(offsetof(tw_controller_check, ambient_fits) == 28);
static_assert(offsetof(tw_controller_check, terminal_fits) == 32);
static_assert(offsetof(tw_controller_check, reserved) == 36);
static_assert(offsetof(tw_controller_check, total_a) == 40);
static_assert(offsetof(tw_controller_check, channel_utilisation) == 48);
static_assert(offsetof(tw_controller_check, total_utilisation) == 56);
static_assert(offsetof(tw_controller_check, terminal_utilisation) == 64);
static_assert(offsetof(tw_controller_check, utilisation) == 72);

static_assert(sizeof(tw_driver) == 336);
static_assert(offsetof(tw_driver, outputs) == 4);
static_assert(offsetof(tw_driver, mount) == 8);
static_assert(offsetof(tw_driver, limited_energy) == 12);
static_assert(offsetof(tw_driver, ingress) == 16);
static_assert(offsetof(tw_driver, derating_points) == 20);
static_assert(offsetof(tw_driver, code) == 24);
static_assert(offsetof(tw_driver, price_minor) == 56);
static_assert(offsetof(tw_driver, output_v) == 64);
static_assert(offsetof(tw_driver, trim_low_v) == 72);
static_assert(offsetof(tw_driver, trim_high_v) == 80);
static_assert(offsetof(tw_driver, rated_output_w) == 88);
static_assert(offsetof(tw_driver, output_limit_a) == 96);
static_assert(offsetof(tw_driver, overload_limit_a) == 104);
static_assert(offsetof(tw_driver, least_load_w) == 112);
static_assert(offsetof(tw_driver, efficiency) == 120);
static_assert(offsetof(tw_driver, power_factor) == 128);
static_assert(offsetof(tw_driver, mains_low_v) == 136);
static_assert(offsetof(tw_driver, mains_high_v) == 144);
static_assert(offsetof(tw_driver, inrush_a) == 152);
static_assert(offsetof(tw_driver, inrush_s) == 160);
static_assert(offsetof(tw_driver, leakage_a) == 168);
static_assert(offsetof(tw_driver, least_mm2) == 176);
static_assert(offsetof(tw_driver, greatest_mm2) == 184);
static_assert(offsetof(tw_driver, output_connector_a) == 192);
static_assert(offsetof(tw_driver, plug_fuse_a) == 200);
static_assert(offsetof(tw_driver, derating_c) == 208);
static_assert(offsetof(tw_driver, derating_share) == 272);

static_assert(sizeof(tw_driver_duty) == 72);
static_assert(offsetof(tw_driver_duty, limited_energy) == 4);
static_assert(offsetof(tw_driver_duty, mount) == 8);
static_assert(offsetof(tw_driver_duty, ingress) == 12);
static_assert(offsetof(tw_driver_duty, load_w) == 16);
static_assert(offsetof(tw_driver_duty, current_a) == 24);
static_assert(offsetof(tw_driver_duty, headroom) == 32);
static_assert(offsetof(tw_driver_duty, ambient_c) == 40);
static_assert(offsetof(tw_driver_duty, nominal_v) == 48);
static_assert(offsetof(tw_driver_duty, mains_v) == 56);
static_assert(offsetof(tw_driver_duty, conductor_mm2) == 64);

static_assert(sizeof(tw_driver_check) == 160);
static_assert(offsetof(tw_driver_check, fits) == 4);
static_assert(offsetof(tw_driver_check, governed) == 8);
static_assert(offsetof(tw_driver_check, ambient_fits) == 12);
static_assert(offsetof(tw_driver_check, voltage_fits) == 16);
static_assert(offsetof(tw_driver_check, mains_fits) == 20);
static_assert(offsetof(tw_driver_check, mount_fits) == 24);
static_assert(offsetof(tw_driver_check, ingress_fits) == 28);
static_assert(offsetof(tw_driver_check, terminal_fits) == 32);
static_assert(offsetof(tw_driver_check, connector_fits) == 36);
static_assert(offsetof(tw_driver_check, least_load_met) == 40);
static_assert(offsetof(tw_driver_check, limited_energy_fits) == 44);
static_assert(offsetof(tw_driver_check, limited_energy_claim_holds) == 48);
static_assert(offsetof(tw_driver_check, derating_source) == 52);
static_assert(offsetof(tw_driver_check, headroom_source) == 56);
static_assert(offsetof(tw_driver_check, class_source) == 60);
static_assert(offsetof(tw_driver_check, share) == 64);
static_assert(offsetof(tw_driver_check, capacity_w) == 72);
static_assert(offsetof(tw_driver_check, limit_a) == 80);
static_assert(offsetof(tw_driver_check, current_a) == 88);
static_assert(offsetof(tw_driver_check, needed_w) == 96);
static_assert(offsetof(tw_driver_check, utilisation) == 104);
static_assert(offsetof(tw_driver_check, current_utilisation) == 112);
static_assert(offsetof(tw_driver_check, connector_utilisation) == 120);
static_assert(offsetof(tw_driver_check, headroom_left) == 128);
static_assert(offsetof(tw_driver_check, loading) == 136);
static_assert(offsetof(tw_driver_check, class_a) == 144);
static_assert(offsetof(tw_driver_check, class_va) == 152);

static_assert(sizeof(tw_driver_choice) == 16);
static_assert(offsetof(tw_driver_choice, driver) == 4);
static_assert(offsetof(tw_driver_choice, nearest) == 8);
static_assert(offsetof(tw_driver_choice, stopped_by) == 12);

static_assert(sizeof(tw_overcurrent_device) == 64);
static_assert(offsetof(tw_overcurrent_device, family) == 4);
static_assert(offsetof(tw_overcurrent_device, code) == 8);
static_assert(offsetof(tw_overcurrent_device, price_minor) == 40);
static_assert(offsetof(tw_overcurrent_device, fuse_a) == 48);
static_assert(offsetof(tw_overcurrent_device, rated_v) == 56);

static_assert(sizeof(tw_overcurrent_duty) == 64);
static_assert(offsetof(tw_overcurrent_duty, reserved) == 4);
static_assert(offsetof(tw_overcurrent_duty, load_a) == 8);
static_assert(offsetof(tw_overcurrent_duty, ampacity_a) == 16);
static_assert(offsetof(tw_overcurrent_duty, voltage_v) == 24);
static_assert(offsetof(tw_overcurrent_duty, fault_loop_ohm) == 32);
static_assert(offsetof(tw_overcurrent_duty, source_limit_a) == 40);
static_assert(offsetof(tw_overcurrent_duty, load_factor) == 48);
static_assert(offsetof(tw_overcurrent_duty, device_limit_a) == 56);

static_assert(sizeof(tw_overcurrent_check) == 96);
static_assert(offsetof(tw_overcurrent_check, fits) == 4);
static_assert(offsetof(tw_overcurrent_check, governed) == 8);
static_assert(offsetof(tw_overcurrent_check, source_protects) == 12);
static_assert(offsetof(tw_overcurrent_check, opens) == 16);
static_assert(offsetof(tw_overcurrent_check, voltage_fits) == 20);
static_assert(offsetof(tw_overcurrent_check, rule_source) == 24);
static_assert(offsetof(tw_overcurrent_check, reserved) == 28);
static_assert(offsetof(tw_overcurrent_check, fault_a) == 32);
static_assert(offsetof(tw_overcurrent_check, operating_factor) == 40);
static_assert(offsetof(tw_overcurrent_check, operating_a) == 48);
static_assert(offsetof(tw_overcurrent_check, load_utilisation) == 56);
static_assert(offsetof(tw_overcurrent_check, cable_utilisation) == 64);
static_assert(offsetof(tw_overcurrent_check, device_utilisation) == 72);
static_assert(offsetof(tw_overcurrent_check, operating_utilisation) == 80);
static_assert(offsetof(tw_overcurrent_check, fault_utilisation) == 88);

static_assert(sizeof(tw_tape_channel) == 48);
static_assert(offsetof(tw_tape_channel, code) == 0);
static_assert(offsetof(tw_tape_channel, law) == 16);
static_assert(offsetof(tw_tape_channel, reserved) == 20);
static_assert(offsetof(tw_tape_channel, load_w_per_m) == 24);
static_assert(offsetof(tw_tape_channel, knee_v) == 32);
static_assert(offsetof(tw_tape_channel, return_ohm_per_m) == 40);

static_assert(sizeof(tw_tape) == 448);
static_assert(offsetof(tw_tape, channels) == 4);
static_assert(offsetof(tw_tape, polarity) == 8);
static_assert(offsetof(tw_tape, ingress) == 12);
static_assert(offsetof(tw_tape, code) == 16);
static_assert(offsetof(tw_tape, channel) == 48);
static_assert(offsetof(tw_tape, price_minor) == 336);
static_assert(offsetof(tw_tape, nominal_v) == 344);
static_assert(offsetof(tw_tape, highest_v) == 352);
static_assert(offsetof(tw_tape, common_ohm_per_m) == 360);
static_assert(offsetof(tw_tape, cut_pitch_m) == 368);
static_assert(offsetof(tw_tape, longest_piece_m) == 376);
static_assert(offsetof(tw_tape, feed_point_limit_a) == 384);
static_assert(offsetof(tw_tape, single_feed_limit_m) == 392);
static_assert(offsetof(tw_tape, all_on_limit_w_per_m) == 400);
static_assert(offsetof(tw_tape, free_tail_m) == 408);
static_assert(offsetof(tw_tape, sale_quantum_m) == 416);
static_assert(offsetof(tw_tape, reel_m) == 424);
static_assert(offsetof(tw_tape, lowest_ambient_c) == 432);
static_assert(offsetof(tw_tape, highest_ambient_c) == 440);

static_assert(sizeof(tw_tape_load) == 144);
static_assert(offsetof(tw_tape_load, channels) == 4);
static_assert(offsetof(tw_tape_load, above_all_on_limit) == 8);
static_assert(offsetof(tw_tape_load, source) == 12);
static_assert(offsetof(tw_tape_load, channel_w) == 16);
static_assert(offsetof(tw_tape_load, channel_a) == 64);
static_assert(offsetof(tw_tape_load, summed_w) == 112);
static_assert(offsetof(tw_tape_load, all_on_limit_w) == 120);
static_assert(offsetof(tw_tape_load, sized_w) == 128);
static_assert(offsetof(tw_tape_load, total_sized_a) == 136);

static_assert(sizeof(tw_line_question) == 88);
static_assert(offsetof(tw_line_question, lit) == 4);
static_assert(offsetof(tw_line_question, segments) == 8);
static_assert(offsetof(tw_line_question, trace_c) == 16);
static_assert(offsetof(tw_line_question, source_v) == 24);
static_assert(offsetof(tw_line_question, feed_common_ohm) == 32);
static_assert(offsetof(tw_line_question, feed_channel_ohm) == 40);

static_assert(sizeof(tw_line_figures) == 320);
static_assert(offsetof(tw_line_figures, channels) == 4);
static_assert(offsetof(tw_line_figures, steps) == 8);
static_assert(offsetof(tw_line_figures, reserved) == 12);
static_assert(offsetof(tw_line_figures, at_feed_v) == 16);
static_assert(offsetof(tw_line_figures, first_load_v) == 64);
static_assert(offsetof(tw_line_figures, last_load_v) == 112);
static_assert(offsetof(tw_line_figures, channel_a) == 160);
static_assert(offsetof(tw_line_figures, evenness) == 208);
static_assert(offsetof(tw_line_figures, total_a) == 256);
static_assert(offsetof(tw_line_figures, least_evenness) == 264);
static_assert(offsetof(tw_line_figures, lightness_step) == 272);
static_assert(offsetof(tw_line_figures, colour_shift) == 280);
static_assert(offsetof(tw_line_figures, lamps_w) == 288);
static_assert(offsetof(tw_line_figures, trace_loss_w) == 296);
static_assert(offsetof(tw_line_figures, feeder_loss_w) == 304);
static_assert(offsetof(tw_line_figures, residual_v) == 312);

static_assert(sizeof(tw_longest) == 24);
static_assert(offsetof(tw_longest, limited_by) == 4);
static_assert(offsetof(tw_longest, segments) == 8);
static_assert(offsetof(tw_longest, length_m) == 16);

static_assert(sizeof(tw_feed_question) == 72);
static_assert(offsetof(tw_feed_question, arrangement) == 4);
static_assert(offsetof(tw_feed_question, points) == 8);
static_assert(offsetof(tw_feed_question, far_along) == 12);
static_assert(offsetof(tw_feed_question, near_closed) == 16);
static_assert(offsetof(tw_feed_question, far_closed) == 20);
static_assert(offsetof(tw_feed_question, between_closed) == 24);
static_assert(offsetof(tw_feed_question, most_solves) == 28);
static_assert(offsetof(tw_feed_question, near_end_ohm) == 32);
static_assert(offsetof(tw_feed_question, far_end_ohm) == 40);
static_assert(offsetof(tw_feed_question, along_ohm_per_m) == 48);
static_assert(offsetof(tw_feed_question, least_evenness) == 56);
static_assert(offsetof(tw_feed_question, drop_limit) == 64);

static_assert(sizeof(tw_feed_places) == 152);
static_assert(offsetof(tw_feed_places, points) == 4);
static_assert(offsetof(tw_feed_places, limited_by) == 8);
static_assert(offsetof(tw_feed_places, fewest_proven) == 12);
static_assert(offsetof(tw_feed_places, best_proven) == 16);
static_assert(offsetof(tw_feed_places, reserved) == 20);
static_assert(offsetof(tw_feed_places, solves) == 24);
static_assert(offsetof(tw_feed_places, segments) == 32);
static_assert(offsetof(tw_feed_places, place) == 40);
static_assert(offsetof(tw_feed_places, length_m) == 104);
static_assert(offsetof(tw_feed_places, utilisation) == 112);
static_assert(offsetof(tw_feed_places, least_evenness) == 120);
static_assert(offsetof(tw_feed_places, lightness_step) == 128);
static_assert(offsetof(tw_feed_places, total_a) == 136);
static_assert(offsetof(tw_feed_places, greatest_feed_a) == 144);

static_assert(sizeof(tw_network_stretch) == 80);
static_assert(offsetof(tw_network_stretch, tape) == 4);
static_assert(offsetof(tw_network_stretch, segments) == 8);
static_assert(offsetof(tw_network_stretch, trace_c) == 16);
static_assert(offsetof(tw_network_stretch, link_common_ohm) == 24);
static_assert(offsetof(tw_network_stretch, link_channel_ohm) == 32);

static_assert(sizeof(tw_network_feed) == 72);
static_assert(offsetof(tw_network_feed, reserved) == 4);
static_assert(offsetof(tw_network_feed, place) == 8);
static_assert(offsetof(tw_network_feed, common_ohm) == 16);
static_assert(offsetof(tw_network_feed, channel_ohm) == 24);

static_assert(sizeof(tw_network_run) == 104);
static_assert(offsetof(tw_network_run, hub) == 4);
static_assert(offsetof(tw_network_run, stretches) == 8);
static_assert(offsetof(tw_network_run, feeds) == 12);
static_assert(offsetof(tw_network_run, lit) == 16);
static_assert(offsetof(tw_network_run, reserved) == 20);
static_assert(offsetof(tw_network_run, common_ohm) == 24);
static_assert(offsetof(tw_network_run, channel_ohm) == 32);
static_assert(offsetof(tw_network_run, ambient_c) == 80);
static_assert(offsetof(tw_network_run, warming_k_m_per_w) == 88);
static_assert(offsetof(tw_network_run, lamp_share) == 96);

static_assert(sizeof(tw_network_hub) == 160);
static_assert(offsetof(tw_network_hub, reserved) == 4);
static_assert(offsetof(tw_network_hub, supply_ohm) == 8);
static_assert(offsetof(tw_network_hub, channel_ohm) == 16);
static_assert(offsetof(tw_network_hub, duty) == 64);
static_assert(offsetof(tw_network_hub, phase) == 112);

static_assert(sizeof(tw_network) == 80);
static_assert(offsetof(tw_network, tapes) == 4);
static_assert(offsetof(tw_network, hubs) == 8);
static_assert(offsetof(tw_network, runs) == 12);
static_assert(offsetof(tw_network, stretches) == 16);
static_assert(offsetof(tw_network, feeds) == 20);
static_assert(offsetof(tw_network, source_v) == 24);
static_assert(offsetof(tw_network, lead_ohm) == 32);
static_assert(offsetof(tw_network, tape) == 40);
static_assert(offsetof(tw_network, hub) == 48);
static_assert(offsetof(tw_network, run) == 56);
static_assert(offsetof(tw_network, stretch) == 64);
static_assert(offsetof(tw_network, feed) == 72);

static_assert(sizeof(tw_network_figures) == 80);
static_assert(offsetof(tw_network_figures, sweeps) == 4);
static_assert(offsetof(tw_network_figures, warming_rounds) == 8);
static_assert(offsetof(tw_network_figures, reserved) == 12);
static_assert(offsetof(tw_network_figures, total_a) == 16);
static_assert(offsetof(tw_network_figures, lamps_w) == 24);
static_assert(offsetof(tw_network_figures, trace_loss_w) == 32);
static_assert(offsetof(tw_network_figures, feeder_loss_w) == 40);
static_assert(offsetof(tw_network_figures, switch_loss_w) == 48);
static_assert(offsetof(tw_network_figures, supply_loss_w) == 56);
static_assert(offsetof(tw_network_figures, residual_v) == 64);
static_assert(offsetof(tw_network_figures, residual_k) == 72);

static_assert(sizeof(tw_fed_run_figures) == 328);
static_assert(offsetof(tw_fed_run_figures, channels) == 4);
static_assert(offsetof(tw_fed_run_figures, dimmest) == 8);
static_assert(offsetof(tw_fed_run_figures, at_terminals_v) == 16);
static_assert(offsetof(tw_fed_run_figures, highest_load_v) == 64);
static_assert(offsetof(tw_fed_run_figures, lowest_load_v) == 112);
static_assert(offsetof(tw_fed_run_figures, channel_a) == 160);
static_assert(offsetof(tw_fed_run_figures, evenness) == 208);
static_assert(offsetof(tw_fed_run_figures, total_a) == 256);
static_assert(offsetof(tw_fed_run_figures, greatest_feed_a) == 264);
static_assert(offsetof(tw_fed_run_figures, greatest_link_a) == 272);
static_assert(offsetof(tw_fed_run_figures, least_evenness) == 280);
static_assert(offsetof(tw_fed_run_figures, lightness_step) == 288);
static_assert(offsetof(tw_fed_run_figures, colour_shift) == 296);
static_assert(offsetof(tw_fed_run_figures, lamps_w) == 304);
static_assert(offsetof(tw_fed_run_figures, trace_loss_w) == 312);
static_assert(offsetof(tw_fed_run_figures, feeder_loss_w) == 320);

static_assert(sizeof(tw_core_currents) == 176);
static_assert(offsetof(tw_core_currents, reserved) == 4);
static_assert(offsetof(tw_core_currents, common_mean_a) == 8);
static_assert(offsetof(tw_core_currents, common_rms_a) == 16);
static_assert(offsetof(tw_core_currents, common_peak_a) == 24);
static_assert(offsetof(tw_core_currents, channel_mean_a) == 32);
static_assert(offsetof(tw_core_currents, channel_rms_a) == 80);
static_assert(offsetof(tw_core_currents, channel_peak_a) == 128);

static_assert(sizeof(tw_dimmed_figures) == 80);
static_assert(offsetof(tw_dimmed_figures, intervals) == 4);
static_assert(offsetof(tw_dimmed_figures, mean_a) == 8);
static_assert(offsetof(tw_dimmed_figures, rms_a) == 16);
static_assert(offsetof(tw_dimmed_figures, peak_a) == 24);
static_assert(offsetof(tw_dimmed_figures, lamps_w) == 32);
static_assert(offsetof(tw_dimmed_figures, trace_loss_w) == 40);
static_assert(offsetof(tw_dimmed_figures, feeder_loss_w) == 48);
static_assert(offsetof(tw_dimmed_figures, switch_loss_w) == 56);
static_assert(offsetof(tw_dimmed_figures, supply_loss_w) == 64);
static_assert(offsetof(tw_dimmed_figures, residual_v) == 72);

static_assert(sizeof(tw_dimmed_run_figures) == 184);
static_assert(offsetof(tw_dimmed_run_figures, channels) == 4);
static_assert(offsetof(tw_dimmed_run_figures, brightest) == 8);
static_assert(offsetof(tw_dimmed_run_figures, dimmest) == 56);
static_assert(offsetof(tw_dimmed_run_figures, evenness) == 104);
static_assert(offsetof(tw_dimmed_run_figures, least_evenness) == 152);
static_assert(offsetof(tw_dimmed_run_figures, lamps_w) == 160);
static_assert(offsetof(tw_dimmed_run_figures, trace_loss_w) == 168);
static_assert(offsetof(tw_dimmed_run_figures, feeder_loss_w) == 176);

static_assert(sizeof(tw_dimmed_question) == 152);
static_assert(offsetof(tw_dimmed_question, channels) == 4);
static_assert(offsetof(tw_dimmed_question, on_a) == 8);
static_assert(offsetof(tw_dimmed_question, duty) == 56);
static_assert(offsetof(tw_dimmed_question, phase) == 104);

static_assert(sizeof(tw_catalogue) == 80);
static_assert(offsetof(tw_catalogue, tapes) == 4);
static_assert(offsetof(tw_catalogue, cables) == 8);
static_assert(offsetof(tw_catalogue, connectors) == 12);
static_assert(offsetof(tw_catalogue, controllers) == 16);
static_assert(offsetof(tw_catalogue, drivers) == 20);
static_assert(offsetof(tw_catalogue, overcurrent_devices) == 24);
static_assert(offsetof(tw_catalogue, reserved) == 28);
static_assert(offsetof(tw_catalogue, tape) == 32);
static_assert(offsetof(tw_catalogue, cable) == 40);
static_assert(offsetof(tw_catalogue, connector) == 48);
static_assert(offsetof(tw_catalogue, controller) == 56);
static_assert(offsetof(tw_catalogue, driver) == 64);
static_assert(offsetof(tw_catalogue, overcurrent_device) == 72);

static_assert(sizeof(tw_zone) == 360);
static_assert(offsetof(tw_zone, wants_controller) == 4);
static_assert(offsetof(tw_zone, mount) == 8);
static_assert(offsetof(tw_zone, limited_energy) == 12);
static_assert(offsetof(tw_zone, ingress) == 16);
static_assert(offsetof(tw_zone, features) == 20);
static_assert(offsetof(tw_zone, code) == 24);
static_assert(offsetof(tw_zone, driver_place) == 56);
static_assert(offsetof(tw_zone, feature) == 88);
static_assert(offsetof(tw_zone, from_driver_m) == 344);
static_assert(offsetof(tw_zone, driver_ambient_c) == 352);

static_assert(sizeof(tw_run) == 80);
static_assert(offsetof(tw_run, zone) == 4);
static_assert(offsetof(tw_run, tape) == 8);
static_assert(offsetof(tw_run, reserved) == 12);
static_assert(offsetof(tw_run, code) == 16);
static_assert(offsetof(tw_run, measured_m) == 48);
static_assert(offsetof(tw_run, from_controller_m) == 56);
static_assert(offsetof(tw_run, ambient_c) == 64);
static_assert(offsetof(tw_run, cable_ambient_c) == 72);

static_assert(sizeof(tw_rules) == 176);
static_assert(offsetof(tw_rules, code_family) == 4);
static_assert(offsetof(tw_rules, method) == 8);
static_assert(offsetof(tw_rules, grouping) == 12);
static_assert(offsetof(tw_rules, circuits_grouped) == 16);
static_assert(offsetof(tw_rules, join) == 20);
static_assert(offsetof(tw_rules, breaker_family) == 24);
static_assert(offsetof(tw_rules, reserved) == 28);
static_assert(offsetof(tw_rules, solder_fee_minor) == 32);
static_assert(offsetof(tw_rules, tariff_minor_per_kwh) == 40);
static_assert(offsetof(tw_rules, headroom) == 48);
static_assert(offsetof(tw_rules, drop_to_feed) == 56);
static_assert(offsetof(tw_rules, drop_to_lamp) == 64);
static_assert(offsetof(tw_rules, least_evenness) == 72);
static_assert(offsetof(tw_rules, supply_tolerance) == 80);
static_assert(offsetof(tw_rules, cable_ambient_c) == 88);
static_assert(offsetof(tw_rules, driver_ambient_c) == 96);
static_assert(offsetof(tw_rules, least_conductor_mm2) == 104);
static_assert(offsetof(tw_rules, contact_factor) == 112);
static_assert(offsetof(tw_rules, slack_m) == 120);
static_assert(offsetof(tw_rules, mains_v) == 128);
static_assert(offsetof(tw_rules, breaker_a) == 136);
static_assert(offsetof(tw_rules, breaker_share) == 144);
static_assert(offsetof(tw_rules, residual_a) == 152);
static_assert(offsetof(tw_rules, leakage_share) == 160);
static_assert(offsetof(tw_rules, hours_per_year) == 168);

static_assert(sizeof(tw_job) == 40);
static_assert(offsetof(tw_job, zones) == 4);
static_assert(offsetof(tw_job, runs) == 8);
static_assert(offsetof(tw_job, reserved) == 12);
static_assert(offsetof(tw_job, zone) == 16);
static_assert(offsetof(tw_job, run) == 24);
static_assert(offsetof(tw_job, rules) == 32);

static_assert(sizeof(tw_plan_totals) == 112);
static_assert(offsetof(tw_plan_totals, fits) == 4);
static_assert(offsetof(tw_plan_totals, every_price_known) == 8);
static_assert(offsetof(tw_plan_totals, runs) == 12);
static_assert(offsetof(tw_plan_totals, hubs) == 16);
static_assert(offsetof(tw_plan_totals, outputs) == 20);
static_assert(offsetof(tw_plan_totals, drivers) == 24);
static_assert(offsetof(tw_plan_totals, order_lines) == 28);
static_assert(offsetof(tw_plan_totals, cut_pieces) == 32);
static_assert(offsetof(tw_plan_totals, connections) == 36);
static_assert(offsetof(tw_plan_totals, findings) == 40);
static_assert(offsetof(tw_plan_totals, readings) == 44);
static_assert(offsetof(tw_plan_totals, notes) == 48);
static_assert(offsetof(tw_plan_totals, breakers) == 52);
static_assert(offsetof(tw_plan_totals, drivers_each) == 56);
static_assert(offsetof(tw_plan_totals, reserved) == 60);
static_assert(offsetof(tw_plan_totals, price_minor) == 64);
static_assert(offsetof(tw_plan_totals, yearly_cost_minor) == 72);
static_assert(offsetof(tw_plan_totals, load_w) == 80);
static_assert(offsetof(tw_plan_totals, mains_a) == 88);
static_assert(offsetof(tw_plan_totals, leakage_a) == 96);
static_assert(offsetof(tw_plan_totals, yearly_kwh) == 104);

static_assert(sizeof(tw_run_plan) == 152);
static_assert(offsetof(tw_run_plan, run) == 4);
static_assert(offsetof(tw_run_plan, hub) == 8);
static_assert(offsetof(tw_run_plan, join) == 12);
static_assert(offsetof(tw_run_plan, connector) == 16);
static_assert(offsetof(tw_run_plan, feeder_number) == 20);
static_assert(offsetof(tw_run_plan, feeder_cable) == 24);
static_assert(offsetof(tw_run_plan, feeder_ruled_by) == 28);
static_assert(offsetof(tw_run_plan, solved) == 32);
static_assert(offsetof(tw_run_plan, reserved) == 36);
static_assert(offsetof(tw_run_plan, segments) == 40);
static_assert(offsetof(tw_run_plan, units) == 48);
static_assert(offsetof(tw_run_plan, reels) == 56);
static_assert(offsetof(tw_run_plan, length_m) == 64);
static_assert(offsetof(tw_run_plan, dark_m) == 72);
static_assert(offsetof(tw_run_plan, sold_m) == 80);
static_assert(offsetof(tw_run_plan, spare_m) == 88);
static_assert(offsetof(tw_run_plan, from_reels_m) == 96);
static_assert(offsetof(tw_run_plan, route_m) == 104);
static_assert(offsetof(tw_run_plan, cut_m) == 112);
static_assert(offsetof(tw_run_plan, feed_least_v) == 120);
static_assert(offsetof(tw_run_plan, feed_greatest_v) == 128);
static_assert(offsetof(tw_run_plan, end_least_v) == 136);
static_assert(offsetof(tw_run_plan, end_greatest_v) == 144);

static_assert(sizeof(tw_hub_plan) == 136);
static_assert(offsetof(tw_hub_plan, zone) == 4);
static_assert(offsetof(tw_hub_plan, controller) == 8);
static_assert(offsetof(tw_hub_plan, follows) == 12);
static_assert(offsetof(tw_hub_plan, output) == 16);
static_assert(offsetof(tw_hub_plan, runs) == 20);
static_assert(offsetof(tw_hub_plan, splice) == 24);
static_assert(offsetof(tw_hub_plan, splices) == 28);
static_assert(offsetof(tw_hub_plan, supply_number) == 32);
static_assert(offsetof(tw_hub_plan, supply_cable) == 36);
static_assert(offsetof(tw_hub_plan, supply_ruled_by) == 40);
static_assert(offsetof(tw_hub_plan, channels) == 44);
static_assert(offsetof(tw_hub_plan, channel_a) == 48);
static_assert(offsetof(tw_hub_plan, total_a) == 96);
static_assert(offsetof(tw_hub_plan, load_w) == 104);
static_assert(offsetof(tw_hub_plan, route_m) == 112);
static_assert(offsetof(tw_hub_plan, cut_m) == 120);
static_assert(offsetof(tw_hub_plan, input_v) == 128);

static_assert(sizeof(tw_output_plan) == 40);
static_assert(offsetof(tw_output_plan, driver) == 4);
static_assert(offsetof(tw_output_plan, number) == 8);
static_assert(offsetof(tw_output_plan, device) == 12);
static_assert(offsetof(tw_output_plan, plug) == 16);
static_assert(offsetof(tw_output_plan, reserved) == 20);
static_assert(offsetof(tw_output_plan, load_w) == 24);
static_assert(offsetof(tw_output_plan, current_a) == 32);

static_assert(sizeof(tw_driver_plan) == 32);
static_assert(offsetof(tw_driver_plan, driver) == 4);
static_assert(offsetof(tw_driver_plan, zone) == 8);
static_assert(offsetof(tw_driver_plan, outputs) == 12);
static_assert(offsetof(tw_driver_plan, load_w) == 16);
static_assert(offsetof(tw_driver_plan, mains_a) == 24);

static_assert(sizeof(tw_order_line) == 56);
static_assert(offsetof(tw_order_line, part_kind) == 4);
static_assert(offsetof(tw_order_line, part) == 8);
static_assert(offsetof(tw_order_line, service) == 12);
static_assert(offsetof(tw_order_line, price_known) == 16);
static_assert(offsetof(tw_order_line, reserved) == 20);
static_assert(offsetof(tw_order_line, quantity) == 24);
static_assert(offsetof(tw_order_line, unit_price_minor) == 32);
static_assert(offsetof(tw_order_line, total_minor) == 40);
static_assert(offsetof(tw_order_line, length_m) == 48);

static_assert(sizeof(tw_cut_piece) == 48);
static_assert(offsetof(tw_cut_piece, part_kind) == 4);
static_assert(offsetof(tw_cut_piece, part) == 8);
static_assert(offsetof(tw_cut_piece, subject_kind) == 12);
static_assert(offsetof(tw_cut_piece, subject) == 16);
static_assert(offsetof(tw_cut_piece, number) == 20);
static_assert(offsetof(tw_cut_piece, segments) == 24);
static_assert(offsetof(tw_cut_piece, length_m) == 32);
static_assert(offsetof(tw_cut_piece, dark_m) == 40);

static_assert(sizeof(tw_connection) == 64);
static_assert(offsetof(tw_connection, number) == 4);
static_assert(offsetof(tw_connection, cable) == 8);
static_assert(offsetof(tw_connection, core) == 12);
static_assert(offsetof(tw_connection, from_kind) == 16);
static_assert(offsetof(tw_connection, from_owner) == 20);
static_assert(offsetof(tw_connection, from_channel) == 24);
static_assert(offsetof(tw_connection, to_kind) == 28);
static_assert(offsetof(tw_connection, to_owner) == 32);
static_assert(offsetof(tw_connection, to_channel) == 36);
static_assert(offsetof(tw_connection, area_mm2) == 40);
static_assert(offsetof(tw_connection, length_m) == 48);
static_assert(offsetof(tw_connection, current_a) == 56);

static_assert(sizeof(tw_finding) == 56);
static_assert(offsetof(tw_finding, finding) == 4);
static_assert(offsetof(tw_finding, severity) == 8);
static_assert(offsetof(tw_finding, subject_kind) == 12);
static_assert(offsetof(tw_finding, subject) == 16);
static_assert(offsetof(tw_finding, source) == 20);
static_assert(offsetof(tw_finding, advice) == 24);
static_assert(offsetof(tw_finding, stopped_by) == 28);
static_assert(offsetof(tw_finding, value) == 32);
static_assert(offsetof(tw_finding, limit) == 40);
static_assert(offsetof(tw_finding, utilisation) == 48);

static_assert(sizeof(tw_reading) == 48);
static_assert(offsetof(tw_reading, kind) == 4);
static_assert(offsetof(tw_reading, subject_kind) == 8);
static_assert(offsetof(tw_reading, subject) == 12);
static_assert(offsetof(tw_reading, channel) == 16);
static_assert(offsetof(tw_reading, reserved) == 20);
static_assert(offsetof(tw_reading, expected_v_or_a) == 24);
static_assert(offsetof(tw_reading, least_v_or_a) == 32);
static_assert(offsetof(tw_reading, most_v_or_a) == 40);

static_assert(sizeof(tw_note) == 24);
static_assert(offsetof(tw_note, note) == 4);
static_assert(offsetof(tw_note, subject_kind) == 8);
static_assert(offsetof(tw_note, subject) == 12);
static_assert(offsetof(tw_note, reader) == 16);
static_assert(offsetof(tw_note, reserved) == 20);

namespace {

using namespace tapewright::capi;

template <class C>
void no_older_than_it_is() {
  CHECK(layout<C>::first_release <= sizeof(C));
  CHECK(layout<C>::members[layout<C>::count - 1].offset + layout<C>::members[layout<C>::count - 1].bytes ==
        sizeof(C));
}

TEST_CASE("the first release's size is that of the members it had") {
  no_older_than_it_is<tw_fault>();
  no_older_than_it_is<tw_function_facts>();
  no_older_than_it_is<tw_argument_facts>();
  no_older_than_it_is<tw_field_facts>();
  no_older_than_it_is<tw_structure_facts>();
  no_older_than_it_is<tw_member_facts>();
  no_older_than_it_is<tw_ampacity_question>();
  no_older_than_it_is<tw_ampacity_answer>();
  no_older_than_it_is<tw_cable>();
  no_older_than_it_is<tw_feeder_question>();
  no_older_than_it_is<tw_feeder_check>();
  no_older_than_it_is<tw_feeder_choice>();
  no_older_than_it_is<tw_connector>();
  no_older_than_it_is<tw_connector_duty>();
  no_older_than_it_is<tw_connector_check>();
  no_older_than_it_is<tw_controller>();
  no_older_than_it_is<tw_controller_duty>();
  no_older_than_it_is<tw_controller_check>();
  no_older_than_it_is<tw_driver>();
  no_older_than_it_is<tw_driver_duty>();
  no_older_than_it_is<tw_driver_check>();
  no_older_than_it_is<tw_driver_choice>();
  no_older_than_it_is<tw_overcurrent_device>();
  no_older_than_it_is<tw_overcurrent_duty>();
  no_older_than_it_is<tw_overcurrent_check>();
  no_older_than_it_is<tw_tape_channel>();
  no_older_than_it_is<tw_tape>();
  no_older_than_it_is<tw_tape_load>();
  no_older_than_it_is<tw_line_question>();
  no_older_than_it_is<tw_line_figures>();
  no_older_than_it_is<tw_longest>();
  no_older_than_it_is<tw_feed_question>();
  no_older_than_it_is<tw_feed_places>();
  no_older_than_it_is<tw_network_stretch>();
  no_older_than_it_is<tw_network_feed>();
  no_older_than_it_is<tw_network_run>();
  no_older_than_it_is<tw_network_hub>();
  no_older_than_it_is<tw_network>();
  no_older_than_it_is<tw_network_figures>();
  no_older_than_it_is<tw_fed_run_figures>();
  no_older_than_it_is<tw_core_currents>();
  no_older_than_it_is<tw_dimmed_figures>();
  no_older_than_it_is<tw_dimmed_run_figures>();
  no_older_than_it_is<tw_dimmed_question>();
  no_older_than_it_is<tw_catalogue>();
  no_older_than_it_is<tw_zone>();
  no_older_than_it_is<tw_run>();
  no_older_than_it_is<tw_rules>();
  no_older_than_it_is<tw_job>();
  no_older_than_it_is<tw_plan_totals>();
  no_older_than_it_is<tw_run_plan>();
  no_older_than_it_is<tw_hub_plan>();
  no_older_than_it_is<tw_output_plan>();
  no_older_than_it_is<tw_driver_plan>();
  no_older_than_it_is<tw_order_line>();
  no_older_than_it_is<tw_cut_piece>();
  no_older_than_it_is<tw_connection>();
  no_older_than_it_is<tw_finding>();
  no_older_than_it_is<tw_reading>();
  no_older_than_it_is<tw_note>();
}

}  // namespace
