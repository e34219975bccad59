// SPDX-License-Identifier: BSL-1.0
// Every structure of the C interface, member by member: its offset, what it holds, the field it answers to.
#pragma once

#include <cstddef>
#include <cstdint>
#include <type_traits>
#include <utility>

#include "tapewright.h"
#include "tapewright/core/field.hpp"

namespace tapewright::capi {

/// What a member holds; it decides what stands there when there is no answer.
enum class shape : std::int32_t {
  struct_size = 0,
  whole = 1,     ///< int32_t or bits: 0
  place = 2,     ///< int32_t, place in a list: -1
  large = 3,     ///< int64_t: 0
  number = 4,    ///< double or several: NaN
  text = 5,      ///< characters in a fixed room
  pointer = 6,   ///< eight bytes
  nested = 7,    ///< a structure without a size of its own
  reserved = 8,  ///< int32_t: 0, or a later release gave it a meaning
};

struct member {
  const char* name;
  shape what;
  std::uint32_t offset, bytes;
  field range;                   ///< unit and range of a figure that comes in; none for others
  const char* type = "";         ///< as in C, of one of them: "double", "const tw_tape *"
  std::uint32_t count = 1;       ///< how many stand one behind the other
  std::uint32_t text_bytes = 0;  ///< room of one text
};

/// The members of a structure in order, and its size in the first release (it may grow, never shrink).
template <class C>
struct layout;

/// The structures by number, from 0, in the order of this table.
template <int Number>
struct structure_number;

namespace detail {

template <class T>
constexpr shape shape_of() noexcept {
  using element = std::remove_all_extents_t<T>;
  if constexpr (std::is_same_v<element, double>) return shape::number;
  else if constexpr (std::is_same_v<element, char>) return shape::text;
  else if constexpr (std::is_same_v<element, std::int64_t>) return shape::large;
  else if constexpr (std::is_union_v<element>) return shape::pointer;
  else if constexpr (std::is_class_v<element>) return shape::nested;
  else return shape::whole;
}

template <class T>
constexpr const char* type_of() noexcept {
  using element = std::remove_all_extents_t<T>;
  if constexpr (std::is_same_v<element, double>) return "double";
  else if constexpr (std::is_same_v<element, char>) return "char";
  else if constexpr (std::is_same_v<element, std::int32_t>) return "int32_t";
  else if constexpr (std::is_same_v<element, std::uint32_t>) return "uint32_t";
  else if constexpr (std::is_same_v<element, std::int64_t>) return "int64_t";
  else if constexpr (std::is_union_v<element>) {
    using rows = std::remove_const_t<std::remove_pointer_t<decltype(element::at)>>;
    if constexpr (std::is_same_v<rows, char>) return "const char *";
    else return layout<rows>::pointer;
  } else return layout<element>::name;
}

/// How many elements an array of any rank has; 1 for what is no array.
template <class T>
constexpr std::uint32_t elements_of() noexcept {
  if constexpr (std::is_array_v<T>) return std::extent_v<T> * elements_of<std::remove_extent_t<T>>();
  else return 1;
}

template <class T>
constexpr member member_of(const char* name, shape what, std::size_t offset, field range) noexcept {
  member m{name, what, static_cast<std::uint32_t>(offset), sizeof(T), range, type_of<T>(), elements_of<T>()};
  if (what == shape::text) m.text_bytes = sizeof(T) / (std::rank_v<T> > 1 ? std::extent_v<T> : 1);
  return m;
}

constexpr bool is_aligned(const member& m) noexcept {
  const bool four = m.what == shape::struct_size || m.what == shape::whole || m.what == shape::place ||
                    m.what == shape::reserved;
  return m.offset % (four ? 4 : m.what == shape::text ? 1 : 8) == 0;
}

/// Members follow one another without a gap and end where the structure ends, eight-byte ones on multiples of
/// eight: then no compiler has anything left to decide, and layout is the same on 32 and 64 bit.
template <class C>
constexpr bool is_the_same_everywhere() noexcept {
  std::uint32_t end = 0;
  for (const member& m : layout<C>::members) {
    if (m.offset != end || !is_aligned(m)) return false;
    end = m.offset + m.bytes;
  }
  return end == sizeof(C) && sizeof(C) % 8 == 0 && std::is_standard_layout_v<C> &&
         std::is_trivially_copyable_v<C>;
}

}  // namespace detail

// Where the numbers of the structures start in this file; what else counts before it does not matter.
static constexpr int first_counted = __COUNTER__;

// S: the size in front; M: a plain member; F: one that answers to a field of core/field.hpp; P: a place in a list; R: kept for later.
#define TW_MEMBER(NAME, SHAPE, FIELD) \
  detail::member_of<decltype(structure::NAME)>(#NAME, SHAPE, offsetof(structure, NAME), field::FIELD)
#define M(NAME)        TW_MEMBER(NAME, detail::shape_of<decltype(structure::NAME)>(), none)
#define F(NAME, FIELD) TW_MEMBER(NAME, detail::shape_of<decltype(structure::NAME)>(), FIELD)
#define P(NAME)        TW_MEMBER(NAME, shape::place, none)
#define S()            TW_MEMBER(struct_size, shape::struct_size, struct_size)
#define R()            TW_MEMBER(reserved, shape::reserved, none)
// LAST is the last member of the first release; members added later stand behind it.
#define TW_LAYOUT(NAME, LAST, ...)                                                            \
  template <>                                                                                 \
  struct layout<NAME> {                                                                       \
    using structure = NAME;                                                                   \
    static constexpr const char* name = #NAME;                                                \
    static constexpr const char* pointer = "const " #NAME " *";                               \
    static constexpr std::uint32_t first_release = offsetof(NAME, LAST) + sizeof(NAME::LAST); \
    static constexpr member members[] = {__VA_ARGS__};                                        \
    static constexpr std::size_t count = sizeof members / sizeof members[0];                  \
  };                                                                                          \
  template <>                                                                                 \
  struct structure_number<__COUNTER__ - first_counted - 1> {                                  \
    using type = NAME;                                                                        \
  };                                                                                          \
  static_assert(detail::is_the_same_everywhere<NAME>());

// clang-format off
TW_LAYOUT(tw_fault, most,
      S(), M(code), M(field), P(item), M(given), M(least), M(most))
TW_LAYOUT(tw_function_facts, text,
      S(), M(arguments), M(name), M(returns), M(text))
TW_LAYOUT(tw_argument_facts, most,
      S(), M(field), M(type), M(name), M(text), M(least), M(most))
TW_LAYOUT(tw_field_facts, most,
      S(), M(field), M(name), M(unit), M(text), M(least), M(most))
TW_LAYOUT(tw_structure_facts, name,
      S(), M(members), M(bytes), M(first_release), M(name))
TW_LAYOUT(tw_member_facts, most,
      S(), M(field), M(offset), M(bytes), M(count), M(text_bytes), M(type), M(name), M(least), M(most))
TW_LAYOUT(tw_ampacity_question, cable_rating_a,
      S(), F(code_family, code_family), F(method, feeder_method), F(conductor_system, conductor_system),
      F(awg, gauge), F(loaded_conductors, loaded_conductors), F(circuits_grouped, circuits_grouped),
      F(grouping, grouping), F(area_mm2, area), F(conductor_limit_c, conductor_limit),
      F(ambient_c, ambient), F(cable_rating_a, cable_rating))
TW_LAYOUT(tw_ampacity_answer, column_limit_c,
      S(), M(base_source), M(ambient_source), M(grouping_source), M(count_source), R(), M(base_a),
      M(ambient_factor), M(grouping_factor), M(count_factor), M(allowed_a), M(row_mm2), M(column_limit_c))
TW_LAYOUT(tw_cable, stock_m,
      S(), F(cores, core_count), F(conductor_system, conductor_system), F(awg, gauge),
      F(colours, core_count), R(), F(code, name), M(core_colour), F(price_minor, price), F(area_mm2, area),
      F(conductor_limit_c, conductor_limit), F(cable_rating_a, cable_rating),
      F(sale_quantum_m, sale_quantum), F(stock_m, stock_length))
TW_LAYOUT(tw_feeder_question, least_area_mm2,
      S(), F(channels, channel_count), F(code_family, code_family), F(method, feeder_method),
      F(grouping, grouping), F(circuits_grouped, circuits_grouped), F(channel_a, current),
      F(common_a, current), F(one_way_m, one_way), F(nominal_v, nominal_voltage),
      F(drop_limit, drop_limit), F(ambient_c, ambient), F(copper_c, temperature),
      F(least_mm2, least_terminal), F(greatest_mm2, greatest_terminal), F(least_area_mm2, least_terminal))
TW_LAYOUT(tw_feeder_check, utilisation,
      S(), M(fits), M(governed), M(conductor_system), M(awg), M(cores_needed), M(loaded_cores),
      P(worst_channel), M(ampacity_known), M(cores_fit), M(terminal_fits), M(area_fits), M(piece_fits),
      M(base_source), M(ambient_source), M(grouping_source), M(count_source), M(resistance_source),
      M(drop_source), R(), M(area_mm2), M(common_a), M(resistance_ohm_per_m), M(core_ohm), M(drop_v),
      M(worst_drop_v), M(drop_share), M(loss_w), M(heat_share), M(base_a), M(ambient_factor),
      M(grouping_factor), M(count_factor), M(allowed_a), M(expected_copper_c), M(drop_utilisation),
      M(ampacity_utilisation), M(utilisation))
TW_LAYOUT(tw_feeder_choice, units,
      S(), P(cable), M(governed), P(thinner), P(nearest), R(), M(cost_minor), M(units))
TW_LAYOUT(tw_connector, contact_ohm,
      S(), F(use, connector_use), F(poles, poles), F(ways, poles), F(code, name), F(price_minor, price),
      F(rated_a, rated_current), F(rated_v, rated_voltage), F(rating_ambient_c, rating_ambient),
      F(upper_limit_c, upper_limit), F(least_mm2, least_terminal), F(greatest_mm2, greatest_terminal),
      F(contact_ohm, resistance))
TW_LAYOUT(tw_connector_duty, curve_factor,
      S(), F(poles, poles), F(ways, poles), R(), F(pole_a, current), F(voltage_v, voltage),
      F(ambient_c, ambient), F(conductor_mm2, least_terminal), F(curve_factor, share))
TW_LAYOUT(tw_connector_check, utilisation,
      S(), M(fits), M(governed), M(poles_fit), M(ways_fit), M(voltage_fits), M(conductor_fits),
      M(ambient_fits), M(source), R(), M(allowed_a), M(utilisation))
TW_LAYOUT(tw_controller, highest_ambient_c,
      S(), F(channels, channel_count), F(polarity, common_polarity), F(is_repeater, yes_no),
      F(enforces_all_on_limit, yes_no), F(features, word_count), F(code, name), F(feature, name),
      F(price_minor, price), F(channel_limit_a, channel_limit), F(total_limit_a, total_limit),
      F(lowest_input_v, lowest_input), F(highest_input_v, highest_input), F(least_mm2, least_terminal),
      F(greatest_mm2, greatest_terminal), F(terminal_a, terminal_current), F(switch_ohm, resistance),
      F(pwm_hz, pwm_frequency), F(highest_ambient_c, highest_ambient))
TW_LAYOUT(tw_controller_duty, conductor_mm2,
      S(), F(channels, channel_count), F(polarity, common_polarity), R(), F(channel_a, current),
      F(total_a, current), F(input_v, voltage), F(ambient_c, ambient), F(conductor_mm2, least_terminal))
TW_LAYOUT(tw_controller_check, utilisation,
      S(), M(fits), M(governed), P(worst_channel), M(channels_fit), M(voltage_fits), M(polarity_fits),
      M(ambient_fits), M(terminal_fits), R(), M(total_a), M(channel_utilisation), M(total_utilisation),
      M(terminal_utilisation), M(utilisation))
// the fields of inrush_s and leakage_a count microseconds and milliamperes
TW_LAYOUT(tw_driver, derating_share,
      S(), F(outputs, output_count), F(mount, mount), F(limited_energy, yes_no), F(ingress, ingress),
      F(derating_points, derating_point), F(code, name), F(price_minor, price),
      F(output_v, output_voltage), F(trim_low_v, trim_low), F(trim_high_v, trim_high),
      F(rated_output_w, rated_output), F(output_limit_a, output_current_limit),
      F(overload_limit_a, overload_limit), F(least_load_w, least_load), F(efficiency, efficiency),
      F(power_factor, power_factor), F(mains_low_v, mains_voltage), F(mains_high_v, mains_voltage),
      F(inrush_a, inrush_peak), M(inrush_s), M(leakage_a),
      F(least_mm2, least_terminal), F(greatest_mm2, greatest_terminal),
      F(output_connector_a, terminal_current), F(plug_fuse_a, fuse_rating), F(derating_c, ambient),
      F(derating_share, derating_point))
TW_LAYOUT(tw_driver_duty, conductor_mm2,
      S(), F(limited_energy, yes_no), F(mount, mount_wish), F(ingress, ingress), F(load_w, power),
      F(current_a, current), F(headroom, headroom), F(ambient_c, ambient), F(nominal_v, nominal_voltage),
      F(mains_v, mains_voltage), F(conductor_mm2, least_terminal))
TW_LAYOUT(tw_driver_check, class_va,
      S(), M(fits), M(governed), M(ambient_fits), M(voltage_fits), M(mains_fits), M(mount_fits),
      M(ingress_fits), M(terminal_fits), M(connector_fits), M(least_load_met), M(limited_energy_fits),
      M(limited_energy_claim_holds), M(derating_source), M(headroom_source), M(class_source), M(share),
      M(capacity_w), M(limit_a), M(current_a), M(needed_w), M(utilisation), M(current_utilisation),
      M(connector_utilisation), M(headroom_left), M(loading), M(class_a), M(class_va))
TW_LAYOUT(tw_driver_choice, stopped_by,
      S(), P(driver), P(nearest), M(stopped_by))
TW_LAYOUT(tw_overcurrent_device, rated_v,
      S(), F(family, overcurrent_family), F(code, name), F(price_minor, price), F(fuse_a, fuse_rating),
      F(rated_v, rated_voltage))
TW_LAYOUT(tw_overcurrent_duty, device_limit_a,
      S(), R(), F(load_a, current), F(ampacity_a, ampacity), F(voltage_v, voltage),
      F(fault_loop_ohm, resistance), F(source_limit_a, current), F(load_factor, fuse_factor),
      F(device_limit_a, fuse_rating))
TW_LAYOUT(tw_overcurrent_check, fault_utilisation,
      S(), M(fits), M(governed), M(source_protects), M(opens), M(voltage_fits), M(rule_source), R(),
      M(fault_a), M(operating_factor), M(operating_a), M(load_utilisation), M(cable_utilisation),
      M(device_utilisation), M(operating_utilisation), M(fault_utilisation))
TW_LAYOUT(tw_tape_channel, return_ohm_per_m,
      F(code, name), F(law, load_law), R(), F(load_w_per_m, load_per_metre), F(knee_v, knee_voltage),
      F(return_ohm_per_m, return_resistance))
TW_LAYOUT(tw_tape, highest_ambient_c,
      S(), F(channels, channel_count), F(polarity, common_polarity), F(ingress, ingress), F(code, name),
      M(channel), F(price_minor, price), F(nominal_v, nominal_voltage), F(highest_v, highest_voltage),
      F(common_ohm_per_m, common_resistance), F(cut_pitch_m, cut_pitch), F(longest_piece_m, longest_piece),
      F(feed_point_limit_a, feed_point_limit), F(single_feed_limit_m, single_feed_limit),
      F(all_on_limit_w_per_m, all_on_limit), F(free_tail_m, free_tail), F(sale_quantum_m, sale_quantum),
      F(reel_m, reel_length), F(lowest_ambient_c, lowest_ambient), F(highest_ambient_c, highest_ambient))
TW_LAYOUT(tw_tape_load, total_sized_a,
      S(), M(channels), M(above_all_on_limit), M(source), M(channel_w), M(channel_a), M(summed_w),
      M(all_on_limit_w), M(sized_w), M(total_sized_a))
TW_LAYOUT(tw_line_question, feed_channel_ohm,
      S(), M(lit), F(segments, segment_count), F(trace_c, temperature), F(source_v, voltage),
      F(feed_common_ohm, resistance), F(feed_channel_ohm, resistance))
TW_LAYOUT(tw_line_figures, residual_v,
      S(), M(channels), M(steps), R(), M(at_feed_v), M(first_load_v), M(last_load_v), M(channel_a),
      M(evenness), M(total_a), M(least_evenness), M(lightness_step), M(colour_shift), M(lamps_w),
      M(trace_loss_w), M(feeder_loss_w), M(residual_v))
TW_LAYOUT(tw_longest, length_m,
      S(), M(limited_by), M(segments), M(length_m))
TW_LAYOUT(tw_feed_question, drop_limit,
      S(), F(arrangement, feed_arrangement), F(points, feed_points), F(far_along, yes_no),
      F(near_closed, yes_no), F(far_closed, yes_no), F(between_closed, yes_no), F(most_solves, step_budget),
      F(near_end_ohm, resistance), F(far_end_ohm, resistance), F(along_ohm_per_m, resistance_per_metre),
      F(least_evenness, least_evenness), F(drop_limit, drop_limit))
TW_LAYOUT(tw_feed_places, greatest_feed_a,
      S(), M(points), M(limited_by), M(fewest_proven), M(best_proven), R(), M(solves), M(segments), M(place),
      M(length_m), M(utilisation), M(least_evenness), M(lightness_step), M(total_a), M(greatest_feed_a))
TW_LAYOUT(tw_network_stretch, link_channel_ohm,
      S(), F(tape, run_tape), F(segments, segment_count), F(trace_c, temperature),
      F(link_common_ohm, resistance), F(link_channel_ohm, resistance))
TW_LAYOUT(tw_network_feed, channel_ohm,
      S(), R(), F(place, place), F(common_ohm, resistance), F(channel_ohm, resistance))
TW_LAYOUT(tw_network_run, lamp_share,
      S(), F(hub, place), F(stretches, row_count), F(feeds, row_count), M(lit), R(),
      F(common_ohm, resistance), F(channel_ohm, resistance), F(ambient_c, ambient),
      F(warming_k_m_per_w, warming_per_load), F(lamp_share, share))
TW_LAYOUT(tw_network_hub, phase,
      S(), R(), F(supply_ohm, resistance), F(channel_ohm, resistance), F(duty, duty), F(phase, pwm_phase))
TW_LAYOUT(tw_network, feed,
      S(), F(tapes, row_count), F(hubs, row_count), F(runs, row_count), F(stretches, row_count),
      F(feeds, row_count), F(source_v, voltage), F(lead_ohm, resistance), M(tape), M(hub), M(run),
      M(stretch), M(feed))
TW_LAYOUT(tw_network_figures, residual_k,
      S(), M(sweeps), M(warming_rounds), R(), M(total_a), M(lamps_w), M(trace_loss_w), M(feeder_loss_w),
      M(switch_loss_w), M(supply_loss_w), M(residual_v), M(residual_k))
TW_LAYOUT(tw_fed_run_figures, feeder_loss_w,
      S(), M(channels), M(dimmest), M(at_terminals_v), M(highest_load_v), M(lowest_load_v), M(channel_a),
      M(evenness), M(total_a), M(greatest_feed_a), M(greatest_link_a), M(least_evenness), M(lightness_step),
      M(colour_shift), M(lamps_w), M(trace_loss_w), M(feeder_loss_w))
TW_LAYOUT(tw_core_currents, channel_peak_a,
      S(), R(), M(common_mean_a), M(common_rms_a), M(common_peak_a), M(channel_mean_a), M(channel_rms_a),
      M(channel_peak_a))
TW_LAYOUT(tw_dimmed_figures, residual_v,
      S(), M(intervals), M(mean_a), M(rms_a), M(peak_a), M(lamps_w), M(trace_loss_w), M(feeder_loss_w),
      M(switch_loss_w), M(supply_loss_w), M(residual_v))
TW_LAYOUT(tw_dimmed_run_figures, feeder_loss_w,
      S(), M(channels), M(brightest), M(dimmest), M(evenness), M(least_evenness), M(lamps_w),
      M(trace_loss_w), M(feeder_loss_w))
TW_LAYOUT(tw_dimmed_question, phase,
      S(), F(channels, channel_count), F(on_a, current), F(duty, duty), F(phase, pwm_phase))
TW_LAYOUT(tw_solved_place, segments,
      S(), P(plan_run), P(plan_hub), M(channels), M(first_feed), M(feeds), M(segments))
TW_LAYOUT(tw_load_sensitivity, to_kink_v,
      S(), P(run), P(channel), M(at_kink), M(segment), M(voltage_v), M(current_a), M(slope_a_per_v),
      M(source_v_per_v), M(lead_v_per_ohm), M(own_v_per_a), M(to_kink_v))
TW_LAYOUT(tw_light_sensitivity, to_kink_v,
      S(), M(at_kink), M(dimmest), M(brightest), M(share), M(source_per_v), M(lead_per_ohm), M(to_kink_v))
TW_LAYOUT(tw_run_sensitivity, feeder_channel_v_per_ohm,
      S(), R(), M(trace_common_v), M(trace_channel_v), M(load_v), M(length_v), M(copper_v),
      M(link_common_v_per_ohm), M(link_channel_v_per_ohm), M(feeder_common_v_per_ohm),
      M(feeder_channel_v_per_ohm))
TW_LAYOUT(tw_hub_sensitivity, channel_v_per_ohm,
      S(), R(), M(supply_v_per_ohm), M(channel_v_per_ohm))
TW_LAYOUT(tw_feed_sensitivity, channel_v_per_ohm,
      S(), R(), M(common_v_per_ohm), M(channel_v_per_ohm))
TW_LAYOUT(tw_tolerances, contact_most,
      S(), R(), M(source_least), M(source_most), M(load_least), M(load_most), M(trace_least),
      M(trace_most), M(length_least), M(length_most), M(cable_least), M(cable_most), M(contact_least),
      M(contact_most))
TW_LAYOUT(tw_bound, free,
      S(), M(by), M(value), M(high), M(free))
TW_LAYOUT(tw_swap_effect, first_order_v,
      S(), P(run), P(channel), R(), M(segment), M(before_v), M(after_v), M(first_order_v))
TW_LAYOUT(tw_catalogue, overcurrent_device,
      S(), F(tapes, tape_count), F(cables, row_count), F(connectors, row_count), F(controllers, row_count),
      F(drivers, row_count), F(overcurrent_devices, row_count), R(), M(tape), M(cable), M(connector),
      M(controller), M(driver), M(overcurrent_device))
TW_LAYOUT(tw_zone, driver_ambient_c,
      S(), F(wants_controller, yes_no), F(mount, mount_wish), F(limited_energy, yes_no),
      F(ingress, ingress), F(features, word_count), F(code, name), M(driver_place), F(feature, name),
      F(from_driver_m, from_driver), F(driver_ambient_c, ambient))
TW_LAYOUT(tw_stretch, gap_m,
      S(), R(), F(measured_m, measured_length), F(gap_m, link_gap))
TW_LAYOUT(tw_run, cable_ambient_c,
      S(), F(zone, run_zone), F(tape, run_tape), R(), F(code, name), F(measured_m, measured_length),
      F(from_controller_m, from_controller), F(ambient_c, ambient), F(cable_ambient_c, ambient),
      F(reach, feed_reach), F(dark, dark_end), F(closes, yes_no), F(arrangements, arrangements),
      F(to_far_end_m, to_far_end), F(between_extra_m, between_extra), F(stretches, stretch_count),
      TW_MEMBER(spare, shape::reserved, none), M(stretch))
TW_LAYOUT(tw_rules, hours_per_year,
      S(), F(code_family, code_family), F(method, feeder_method), F(grouping, grouping),
      F(circuits_grouped, circuits_grouped), F(join, feeder_method), F(breaker_family, overcurrent_family),
      R(), F(solder_fee_minor, fee), F(tariff_minor_per_kwh, tariff), F(headroom, headroom),
      F(drop_to_feed, drop_limit), F(drop_to_lamp, drop_limit), F(least_evenness, least_evenness),
      F(supply_tolerance, supply_tolerance), F(cable_ambient_c, ambient), F(driver_ambient_c, ambient),
      F(least_conductor_mm2, area), F(contact_factor, share), F(slack_m, slack), F(mains_v, mains_voltage),
      F(breaker_a, breaker_rating), F(breaker_share, share), F(residual_a, residual_rating),
      F(leakage_share, share), F(hours_per_year, hours_per_year))
TW_LAYOUT(tw_job, rules,
      S(), F(zones, zone_count), F(runs, run_count), R(), M(zone), M(run), M(rules))
TW_LAYOUT(tw_pin, part,
      S(), M(pin), F(place, place), F(part, place))
TW_LAYOUT(tw_terms, pin,
      S(), F(discount_bp, basis_points), F(tax_bp, basis_points), M(rounding), F(cut_fee_minor, fee),
      F(search_steps, step_budget), F(spare_driver_minor_per_100w, spare_watts), F(spare_controller_minor_per_a, spare_amperes), F(spare_cable_minor_per_a, spare_amperes), F(pins, row_count), R(), M(pin))
TW_LAYOUT(tw_plan_totals, yearly_kwh,
      S(), M(fits), M(every_price_known), M(runs), M(hubs), M(outputs), M(drivers), M(order_lines),
      M(cut_pieces), M(connections), M(findings), M(readings), M(notes), M(breakers), M(drivers_each), M(feeds),
      M(price_minor), M(yearly_cost_minor), M(load_w), M(mains_a), M(leakage_a), M(yearly_kwh),
      M(stretches), R())
TW_LAYOUT(tw_quote, spare_cables_a,
      S(), M(proven), M(every_price_known), R(), M(net_minor), M(discount_minor), M(taxable_minor),
      M(tax_minor), M(gross_minor), M(price_at_least_minor), M(gap_minor), M(search_steps), M(capacity_credit_minor), M(spare_drivers_w), M(spare_controllers_a), M(spare_cables_a))
TW_LAYOUT(tw_run_plan, end_greatest_v,
      S(), P(run), P(hub), M(join), P(connector), M(feeder_number), P(feeder_cable), M(feeder_ruled_by),
      M(solved), M(section), M(segments), M(units), M(reels), M(length_m), M(dark_m), M(sold_m), M(spare_m),
      M(from_reels_m), M(route_m), M(cut_m), M(feed_least_v), M(feed_greatest_v), M(end_least_v),
      M(end_greatest_v), M(sections), M(arrangement), M(more_feeds), M(feeds_from), M(stretches),
      M(stretches_from), M(first), M(at), M(feed_a), M(link_a))
TW_LAYOUT(tw_feed_plan, feed_greatest_v,
      S(), M(join), P(connector), M(feeder_number), P(feeder_cable), M(feeder_ruled_by), M(at), M(route_m),
      M(cut_m), M(feed_a), M(feed_least_v), M(feed_greatest_v))
TW_LAYOUT(tw_stretch_plan, gap_m,
      S(), P(run), M(linked), P(connector), M(segments), M(length_m), M(dark_m), M(dark_near_m), M(gap_m))
TW_LAYOUT(tw_hub_plan, input_v,
      S(), P(zone), P(controller), P(follows), P(output), M(runs), P(splice), M(splices), M(supply_number),
      P(supply_cable), M(supply_ruled_by), M(channels), M(channel_a), M(total_a), M(load_w), M(route_m),
      M(cut_m), M(input_v))
TW_LAYOUT(tw_output_plan, current_a,
      S(), P(driver), M(number), P(device), P(plug), R(), M(load_w), M(current_a))
TW_LAYOUT(tw_driver_plan, mains_a,
      S(), P(driver), P(zone), M(outputs), M(load_w), M(mains_a))
TW_LAYOUT(tw_order_line, length_m,
      S(), M(part_kind), P(part), M(service), M(price_known), R(), M(quantity), M(unit_price_minor),
      M(total_minor), M(length_m))
TW_LAYOUT(tw_cut_piece, dark_m,
      S(), M(part_kind), P(part), M(subject_kind), M(subject), M(number), M(segments), M(length_m),
      M(dark_m), M(dark_near_m))
TW_LAYOUT(tw_cut_stock, stock_m,
      S(), M(stock), M(stock_m))
TW_LAYOUT(tw_connection, current_a,
      S(), M(number), P(cable), M(core), M(from_kind), M(from_owner), M(from_channel), M(to_kind),
      M(to_owner), M(to_channel), M(area_mm2), M(length_m), M(current_a), M(to_feed), R())
TW_LAYOUT(tw_finding, utilisation,
      S(), M(finding), M(severity), M(subject_kind), M(subject), M(source), M(advice), M(stopped_by),
      M(value), M(limit), M(utilisation))
TW_LAYOUT(tw_reading, most_v_or_a,
      S(), M(kind), M(subject_kind), M(subject), M(channel), M(feed), M(expected_v_or_a), M(least_v_or_a),
      M(most_v_or_a))
TW_LAYOUT(tw_note, reserved,
      S(), M(note), M(subject_kind), M(subject), M(reader), R())
TW_LAYOUT(tw_ban, reserved,
      S(), M(part_kind), F(part, place), R())
TW_LAYOUT(tw_plan_change, length_after_m,
      S(), M(kind), P(run), M(service), M(kind_before), P(part_before), M(kind_after), P(part_after),
      M(quantity_before), M(quantity_after), M(price_before_minor), M(price_after_minor), M(length_before_m),
      M(length_after_m))
TW_LAYOUT(tw_alternative, thickest_mm2,
      S(), M(kind), M(every_price_known), M(drivers), M(plug_in), M(soldered), M(price_minor), M(capacity_credit_minor),
      M(thickest_mm2))
TW_LAYOUT(tw_conflict_facts, plans,
      S(), M(conflicting), M(smallest), M(demands), M(relaxations), M(plans))
TW_LAYOUT(tw_demand, value,
      S(), M(kind), P(place), R(), M(value))
TW_LAYOUT(tw_relaxation, price_minor,
      S(), M(kind), P(place), M(every_price_known), M(whole_job_fits), R(), M(from), M(to), M(price_minor))
// clang-format on

static constexpr int structure_count = __COUNTER__ - first_counted - 1;

#undef TW_LAYOUT
#undef TW_MEMBER
#undef S
#undef R
#undef P
#undef F
#undef M

/// A structure of the table, for those who list it.
struct structure_facts {
  const char* name;
  std::uint32_t bytes, first_release;
  const member* members;
  std::size_t count;
};

namespace detail {
template <int... Number>
struct all_structures {
  template <class C>
  static constexpr structure_facts facts() noexcept {
    return {layout<C>::name, sizeof(C), layout<C>::first_release, layout<C>::members, layout<C>::count};
  }
  static constexpr structure_facts table[] = {facts<typename structure_number<Number>::type>()...};
};
template <int... Number>
constexpr all_structures<Number...> list_structures(std::integer_sequence<int, Number...>) noexcept {
  return {};
}
}  // namespace detail

/// Every structure above, in the same order.
inline constexpr auto& structure_table =
    decltype(detail::list_structures(std::make_integer_sequence<int, structure_count>{}))::table;

}  // namespace tapewright::capi
