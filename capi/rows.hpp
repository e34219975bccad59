// SPDX-License-Identifier: BSL-1.0
// From C rows and questions to C++ ones. Texts are views into the C row, which must outlive the C++ one.
#pragma once

#include <cstddef>
#include <cstdint>

#include "answer.hpp"
#include "tapewright.h"
#include "tapewright/network/feed_network.hpp"
#include "tapewright/network/tolerance.hpp"
#include "tapewright/parts/catalogue.hpp"
#include "tapewright/plan/job.hpp"
#include "tapewright/sizing/connector_check.hpp"
#include "tapewright/sizing/controller_check.hpp"
#include "tapewright/sizing/driver_choice.hpp"
#include "tapewright/sizing/feeder_size.hpp"
#include "tapewright/sizing/overcurrent_choice.hpp"

namespace tapewright::capi {

// Only what has no place in a C++ row is refused here: counts that do not fit, numbers that no enumeration
// has, answers that are neither yes nor no. Everything else is the C++ functions' to refuse.

template <class Enum>
fault set(Enum& into, field f, std::int32_t number, double least, double most) noexcept {
  if (const fault bad = refuse_outside(f, number, least, most)) return bad;
  into = static_cast<Enum>(number);
  return {};
}
template <class Enum>
fault set(Enum& into, field f, std::int32_t number) noexcept {
  return set(into, f, number, facts_of(f).least, facts_of(f).most);
}
inline fault set(bool& into, field f, std::int32_t number) noexcept {
  if (const fault bad = refuse(f, number)) return bad;
  into = number == 1;
  return {};
}

/// 1, 2, 5 and 10 are numbers of conductor_system; what lies between is refused by its table.
inline fault from_c(conductor_size& into, std::int32_t system, double area_mm2, std::int32_t awg) noexcept {
  into.area = square_millimetres{area_mm2};
  into.gauge = awg;
  return set(into.system, field::conductor_system, system);
}

template <std::size_t N>
fault from_c(bounded<amps, N>& into, const double* figures, std::int32_t count) noexcept {
  if (const fault f = refuse_outside(field::channel_count, count, 1, static_cast<double>(N))) return f;
  for (std::int32_t i = 0; i < count; ++i) into.push(amps{figures[i]});
  return {};
}

inline fault from_c(tag_set& into, const char (&words)[TW_MOST_WORDS][TW_CODE_BYTES],
                    std::int32_t count) noexcept {
  if (const fault f = refuse(field::word_count, count)) return f;
  for (std::int32_t i = 0; i < count; ++i) into.push(view_of(words[i]));
  return {};
}

inline fault from_c(tape& into, const tw_tape& c) noexcept {
  if (const fault f = first_fault(refuse(field::channel_count, c.channels),
                                  set(into.common, field::common_polarity, c.polarity)))
    return f;
  into.code = view_of(c.code);
  for (std::int32_t i = 0; i < c.channels; ++i) {
    const tw_tape_channel& from = c.channel[i];
    tape_channel channel;
    if (const fault f = first_fault(
            set(channel.law, field::load_law, from.law),
            refuse_reserved(&from, layout<tw_tape_channel>::members, layout<tw_tape_channel>::count)))
      return f;
    channel.code = view_of(from.code);
    channel.load = watts_per_metre{from.load_w_per_m};
    channel.knee = volts{from.knee_v};
    channel.return_trace = ohms_per_metre{from.return_ohm_per_m};
    into.channels.push(channel);
  }
  into.nominal = volts{c.nominal_v};
  into.highest = volts{c.highest_v};
  into.common_trace = ohms_per_metre{c.common_ohm_per_m};
  into.cut_pitch = metres{c.cut_pitch_m};
  into.longest_piece = metres{c.longest_piece_m};
  into.feed_point_limit = amps{c.feed_point_limit_a};
  into.single_feed_limit = metres{c.single_feed_limit_m};
  into.all_on_limit = watts_per_metre{c.all_on_limit_w_per_m};
  into.free_tail = metres{c.free_tail_m};
  into.sale_quantum = metres{c.sale_quantum_m};
  into.reel = metres{c.reel_m};
  into.price = money{c.price_minor};
  into.lowest_ambient = celsius{c.lowest_ambient_c};
  into.highest_ambient = celsius{c.highest_ambient_c};
  into.ingress = c.ingress;
  return {};
}

inline fault from_c(cable& into, const tw_cable& c) noexcept {
  if (const fault f = first_fault(refuse_outside(field::core_count, c.colours, 0, TW_MOST_CORES),
                                  from_c(into.conductor, c.conductor_system, c.area_mm2, c.awg)))
    return f;
  into.code = view_of(c.code);
  into.cores = c.cores;
  into.conductor_limit = celsius{c.conductor_limit_c};
  into.rating = amps{c.cable_rating_a};
  for (std::int32_t i = 0; i < c.colours; ++i) into.core_colours.push(view_of(c.core_colour[i]));
  into.sale_quantum = metres{c.sale_quantum_m};
  into.stock = metres{c.stock_m};
  into.price = money{c.price_minor};
  return {};
}

inline fault from_c(connector& into, const tw_connector& c) noexcept {
  into.code = view_of(c.code);
  into.poles = c.poles;
  into.ways = c.ways;
  into.rated = amps{c.rated_a};
  into.rated_voltage = volts{c.rated_v};
  into.rating_ambient = celsius{c.rating_ambient_c};
  into.upper_limit = celsius{c.upper_limit_c};
  into.least = square_millimetres{c.least_mm2};
  into.greatest = square_millimetres{c.greatest_mm2};
  into.contact = ohms{c.contact_ohm};
  into.price = money{c.price_minor};
  return set(into.use, field::connector_use, c.use);
}

inline fault from_c(controller& into, const tw_controller& c) noexcept {
  into.code = view_of(c.code);
  into.channels = c.channels;
  into.channel_limit = amps{c.channel_limit_a};
  into.total_limit = amps{c.total_limit_a};
  into.lowest_input = volts{c.lowest_input_v};
  into.highest_input = volts{c.highest_input_v};
  into.least_terminal = square_millimetres{c.least_mm2};
  into.greatest_terminal = square_millimetres{c.greatest_mm2};
  into.terminal = amps{c.terminal_a};
  into.switch_resistance = ohms{c.switch_ohm};
  into.pwm = hertz{c.pwm_hz};
  into.highest_ambient = celsius{c.highest_ambient_c};
  into.price = money{c.price_minor};
  return first_fault(set(into.common, field::common_polarity, c.polarity),
                     set(into.is_repeater, field::yes_no, c.is_repeater),
                     set(into.enforces_all_on_limit, field::yes_no, c.enforces_all_on_limit),
                     from_c(into.features, c.feature, c.features));
}

inline fault from_c(driver& into, const tw_driver& c) noexcept {
  if (const fault f = first_fault(refuse_outside(field::derating_point, c.derating_points, 1, TW_MOST_POINTS),
                                  set(into.mount, field::mount, c.mount),
                                  set(into.limited_energy, field::yes_no, c.limited_energy)))
    return f;
  into.code = view_of(c.code);
  into.output = volts{c.output_v};
  into.trim_low = volts{c.trim_low_v};
  into.trim_high = volts{c.trim_high_v};
  into.rated = watts{c.rated_output_w};
  into.output_limit = amps{c.output_limit_a};
  into.overload_limit = amps{c.overload_limit_a};
  into.outputs = c.outputs;
  into.least_load = watts{c.least_load_w};
  into.efficiency = c.efficiency;
  into.power_factor = c.power_factor;
  into.mains_low = volts{c.mains_low_v};
  into.mains_high = volts{c.mains_high_v};
  into.inrush_peak = amps{c.inrush_a};
  into.inrush_duration = seconds{c.inrush_s};
  into.leakage = amps{c.leakage_a};
  for (std::int32_t i = 0; i < c.derating_points; ++i)
    into.derating.push({celsius{c.derating_c[i]}, c.derating_share[i]});
  into.least_terminal = square_millimetres{c.least_mm2};
  into.greatest_terminal = square_millimetres{c.greatest_mm2};
  into.output_connector = amps{c.output_connector_a};
  into.plug_fuse = amps{c.plug_fuse_a};
  into.ingress = c.ingress;
  into.price = money{c.price_minor};
  return {};
}

inline fault from_c(overcurrent_device& into, const tw_overcurrent_device& c) noexcept {
  into.code = view_of(c.code);
  into.rated = amps{c.fuse_a};
  into.rated_voltage = volts{c.rated_v};
  into.price = money{c.price_minor};
  return set(into.family, field::overcurrent_family, c.family);
}

inline void from_c(ohms (&into)[max_channels], const double (&each)[TW_MOST_CHANNELS]) noexcept {
  for (std::size_t k = 0; k < max_channels; ++k) into[k] = ohms{each[k]};
}

/// What a stretch says beside its line, which needs its tape.
inline fault from_c(run_stretch& into, const tw_network_stretch& c) noexcept {
  into.link_common = ohms{c.link_common_ohm};
  from_c(into.link_channel, c.link_channel_ohm);
  return {};
}

inline fault from_c(feed_point& into, const tw_network_feed& c) noexcept {
  into.at = c.place;
  into.common = ohms{c.common_ohm};
  from_c(into.channel, c.channel_ohm);
  return {};
}

/// What a run says beside its stretches and feed points.
inline fault from_c(fed_run& into, const tw_network_run& c) noexcept {
  into.hub = c.hub;
  into.common = ohms{c.common_ohm};
  from_c(into.channel, c.channel_ohm);
  return {};
}

inline fault from_c(feed_hub& into, const tw_network_hub& c) noexcept {
  into.supply = ohms{c.supply_ohm};
  from_c(into.channel, c.channel_ohm);
  return {};
}

inline fault from_c(network_tolerances& into, const tw_tolerances& c) noexcept {
  into.source = {c.source_least, c.source_most};
  into.load = {c.load_least, c.load_most};
  into.trace = {c.trace_least, c.trace_most};
  into.length = {c.length_least, c.length_most};
  into.cable = {c.cable_least, c.cable_most};
  into.contact = {c.contact_least, c.contact_most};
  return {};
}

inline fault from_c(ampacity_question& into, const tw_ampacity_question& c) noexcept {
  into.conductor_limit = celsius{c.conductor_limit_c};
  into.loaded_conductors = c.loaded_conductors;
  into.ambient = celsius{c.ambient_c};
  into.circuits = c.circuits_grouped;
  into.maker_rating = amps{c.cable_rating_a};
  return first_fault(set(into.family, field::code_family, c.code_family),
                     set(into.method, field::feeder_method, c.method, TW_METHOD_A1, TW_METHOD_FLEXIBLE_CORD),
                     set(into.grouping, field::grouping, c.grouping),
                     from_c(into.conductor, c.conductor_system, c.area_mm2, c.awg));
}

inline fault from_c(feeder_question& into, const tw_feeder_question& c) noexcept {
  into.one_way = metres{c.one_way_m};
  into.common = amps{c.common_a};
  into.nominal = volts{c.nominal_v};
  into.drop_limit = c.drop_limit;
  into.ambient = celsius{c.ambient_c};
  into.copper = celsius{c.copper_c};
  into.circuits = c.circuits_grouped;
  into.least_terminal = square_millimetres{c.least_mm2};
  into.greatest_terminal = square_millimetres{c.greatest_mm2};
  into.least_area = square_millimetres{c.least_area_mm2};
  return first_fault(set(into.family, field::code_family, c.code_family),
                     set(into.method, field::feeder_method, c.method, TW_METHOD_A1, TW_METHOD_FLEXIBLE_CORD),
                     set(into.grouping, field::grouping, c.grouping),
                     from_c(into.channel_current, c.channel_a, c.channels));
}

inline fault from_c(connector_duty& into, const tw_connector_duty& c) noexcept {
  into.poles = c.poles;
  into.pole_current = amps{c.pole_a};
  into.voltage = volts{c.voltage_v};
  into.ambient = celsius{c.ambient_c};
  into.conductor = square_millimetres{c.conductor_mm2};
  into.curve_factor = c.curve_factor;
  into.ways = c.ways;
  return {};
}

inline fault from_c(controller_duty& into, const tw_controller_duty& c) noexcept {
  into.total = amps{c.total_a};
  into.input = volts{c.input_v};
  into.ambient = celsius{c.ambient_c};
  into.conductor = square_millimetres{c.conductor_mm2};
  return first_fault(set(into.common, field::common_polarity, c.polarity),
                     from_c(into.channel_current, c.channel_a, c.channels));
}

inline fault from_c(driver_duty& into, const tw_driver_duty& c) noexcept {
  into.load = watts{c.load_w};
  into.current = amps{c.current_a};
  into.headroom = c.headroom;
  into.ambient = celsius{c.ambient_c};
  into.nominal = volts{c.nominal_v};
  into.mains = volts{c.mains_v};
  into.any_mount = c.mount == TW_MOUNT_ANY;
  into.ingress = c.ingress;
  into.conductor = square_millimetres{c.conductor_mm2};
  if (const fault f = first_fault(refuse(field::mount_wish, c.mount),
                                  set(into.limited_energy, field::yes_no, c.limited_energy)))
    return f;
  if (!into.any_mount) into.mount = static_cast<fitting>(c.mount);
  return {};
}

inline fault from_c(overcurrent_duty& into, const tw_overcurrent_duty& c) noexcept {
  into.load = amps{c.load_a};
  into.ampacity = amps{c.ampacity_a};
  into.voltage = volts{c.voltage_v};
  into.fault_loop = ohms{c.fault_loop_ohm};
  into.source_limit = amps{c.source_limit_a};
  into.load_factor = c.load_factor;
  into.device_limit = amps{c.device_limit_a};
  return {};
}

inline fault from_c(zone& into, const tw_zone& c) noexcept {
  into.code = view_of(c.code);
  into.driver_place = view_of(c.driver_place);
  into.from_driver = metres{c.from_driver_m};
  into.driver_ambient = celsius{c.driver_ambient_c};
  into.ingress = c.ingress;
  return first_fault(set(into.wants_controller, field::yes_no, c.wants_controller),
                     set(into.mount, field::mount_wish, c.mount),
                     set(into.limited_energy, field::yes_no, c.limited_energy),
                     from_c(into.features, c.feature, c.features));
}

inline fault from_c(run& into, const tw_run& c) noexcept {
  into.code = view_of(c.code);
  into.zone = c.zone;
  into.tape = c.tape;
  into.measured = metres{c.measured_m};
  into.from_controller = metres{c.from_controller_m};
  into.ambient = celsius{c.ambient_c};
  into.cable_ambient = celsius{c.cable_ambient_c};
  into.to_far_end = metres{c.to_far_end_m};
  into.between_extra = metres{c.between_extra_m};
  into.arrangements = c.arrangements == 0 ? every_arrangement : static_cast<std::uint32_t>(c.arrangements);
  return first_fault(set(into.reach, field::feed_reach, c.reach), set(into.dark, field::dark_end, c.dark),
                     set(into.closes, field::yes_no, c.closes),
                     c.arrangements == 0 ? fault{} : refuse(field::arrangements, c.arrangements),
                     refuse(field::stretch_count, c.stretches),
                     c.stretches > 0 && c.stretch.at == nullptr ? null_pointer(0) : fault{});
}

inline fault from_c(stretch& into, const tw_stretch& c) noexcept {
  into = {metres{c.measured_m}, metres{c.gap_m}};
  return {};
}

inline fault from_c(design_rules& into, const tw_rules& c) noexcept {
  into.headroom = c.headroom;
  into.drop_to_feed = c.drop_to_feed;
  into.drop_to_lamp = c.drop_to_lamp;
  into.least_evenness = c.least_evenness;
  into.supply_tolerance = c.supply_tolerance;
  into.circuits_grouped = c.circuits_grouped;
  into.cable_ambient = celsius{c.cable_ambient_c};
  into.driver_ambient = celsius{c.driver_ambient_c};
  into.least_conductor = square_millimetres{c.least_conductor_mm2};
  into.contact_factor = c.contact_factor;
  into.wiring_slack_m = c.slack_m;
  into.solder_fee = money{c.solder_fee_minor};
  into.mains = volts{c.mains_v};
  into.breaker = amps{c.breaker_a};
  into.breaker_share = c.breaker_share;
  into.residual_device = amps{c.residual_a};
  into.leakage_share = c.leakage_share;
  into.yearly_hours = hours{c.hours_per_year};
  into.tariff = money{c.tariff_minor_per_kwh};
  return first_fault(set(into.family, field::code_family, c.code_family),
                     set(into.method, field::feeder_method, c.method, TW_METHOD_A1, TW_METHOD_FLEXIBLE_CORD),
                     set(into.grouping, field::grouping, c.grouping),
                     set(into.join, field::feeder_method, c.join, 0, 1),
                     set(into.breaker_family, field::overcurrent_family, c.breaker_family));
}

/// The rules that terms hold; their pins are for the job's rows.
inline fault from_c(design_rules& into, const tw_terms& c) noexcept {
  into.cut_fee = money{c.cut_fee_minor};
  into.discount_bp = c.discount_bp;
  into.tax_bp = c.tax_bp;
  into.search_steps = c.search_steps;
  into.balanced = {money{c.spare_driver_minor_per_100w}, money{c.spare_controller_minor_per_a},
                   money{c.spare_cable_minor_per_a}};
  return set(into.rounding, field::feeder_method, c.rounding, TW_ROUNDING_EACH_LINE, TW_ROUNDING_TOTAL);
}

/// A structure of any release that comes in as argument `place`, in this release's and in C++ terms. The
/// C++ one views the texts of this object.
template <class C, class Row>
struct arrived {
  C c{};
  Row row{};
  fault why;

  arrived(const C* from, std::int32_t place) noexcept : why{read_argument(c, from, place)} {
    if (!why) why = from_c(row, c);
  }
  arrived(const arrived&) = delete;
  arrived& operator=(const arrived&) = delete;
};

}  // namespace tapewright::capi
