// SPDX-License-Identifier: BSL-1.0
// Every figure that can come in from outside: its number, its name with unit, and its allowed range.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

namespace tapewright {

// One line a figure: number (append-only, never reused), enumerator, name as it stands in the C
// interface and in column headings (unit last), unit as printed, least and most allowed (both
// included), meaning. Limits are those of extra-low-voltage lighting work with room to spare; being
// finite, they also bound every product in the library, so that nothing can overflow.
#define TAPEWRIGHT_FIELDS(X)                                                                                \
  X(1, current, "current_a", "A", 0, 1e4, "current")                                                        \
  X(2, voltage, "voltage_v", "V", 0.1, 120,                                                                 \
    "direct voltage of the lighting side (IEC 61140: ELV ends at 120 V)")                                   \
  X(3, power, "power_w", "W", 0, 1e6, "power")                                                              \
  X(4, length, "length_m", "m", 0, 1e4, "length")                                                           \
  X(5, one_way, "one_way_m", "m", 0, 1e4, "route length, one way; the return is added where it belongs")    \
  X(6, resistance_per_metre, "resistance_ohm_per_m", "ohm/m", 0, 1e3,                                       \
    "resistance of ONE conductor per metre")                                                                \
  X(7, resistance, "resistance_ohm", "ohm", 0, 1e6, "resistance")                                           \
  X(8, area, "area_mm2", "mm2", 0.01, 1000, "conductor cross-section")                                      \
  X(9, temperature, "temperature_c", "degC", -60, 200, "conductor temperature")                             \
  X(10, ambient, "ambient_c", "degC", -40, 120, "temperature of the surroundings")                          \
  X(11, conductor_limit, "conductor_limit_c", "degC", 40, 200,                                              \
    "highest conductor temperature of the insulation")                                                      \
  X(12, load_per_metre, "load_w_per_m", "W/m", 0, 200, "nominal power of a tape channel per metre")         \
  X(13, nominal_voltage, "nominal_v", "V", 3, 60, "nominal voltage")                                        \
  X(14, highest_voltage, "highest_v", "V", 3, 75, "highest voltage the tape may see")                       \
  X(15, knee_voltage, "knee_v", "V", 0, 60, "voltage below which a channel is dark, or stops regulating")   \
  X(16, common_resistance, "common_ohm_per_m", "ohm/m", 0, 10,                                              \
    "trace of the tape's common conductor at 20 degC")                                                      \
  X(17, return_resistance, "return_ohm_per_m", "ohm/m", 0, 10,                                              \
    "trace of one channel's own conductor at 20 degC")                                                      \
  X(18, cut_pitch, "cut_pitch_m", "m", 0.001, 5, "distance between cut marks")                              \
  X(19, longest_piece, "longest_piece_m", "m", 0.001, 1000, "longest piece the maker supplies")             \
  X(20, feed_point_limit, "feed_point_limit_a", "A", 0, 1000,                                               \
    "greatest current at one feed point; 0 = not stated")                                                   \
  X(21, single_feed_limit, "single_feed_limit_m", "m", 0, 1000,                                             \
    "maker's longest run from one feed; 0 = not stated")                                                    \
  X(22, all_on_limit, "all_on_limit_w_per_m", "W/m", 0, 1000,                                               \
    "maker's limit with all channels on; 0 = not stated")                                                   \
  X(23, free_tail, "free_tail_m", "m", 0, 100, "length of the tail supplied on a tape piece")               \
  X(24, sale_quantum, "sale_quantum_m", "m", 0.001, 1000, "length in which it is sold")                     \
  X(25, reel_length, "reel_m", "m", 0, 1000, "length of a full reel; 0 = not sold by the reel")             \
  X(26, price, "price_minor", "minor units", 0, 1e12, "price in whole minor units; 0 = not known")          \
  X(27, lowest_ambient, "lowest_ambient_c", "degC", -60, 60, "lowest ambient allowed by the maker")         \
  X(28, highest_ambient, "highest_ambient_c", "degC", 0, 120, "highest ambient allowed by the maker")       \
  X(29, channel_count, "channels", "", 1, 6, "number of channels")                                          \
  X(30, segment_count, "segments", "", 1, 1e5, "number of cut segments")                                    \
  X(31, measured_length, "measured_m", "m", 0.001, 1000, "length measured on the wall")                     \
  X(32, from_controller, "from_controller_m", "m", 0, 1000,                                                 \
    "cable route from the controller to the run's near end, one way")                                       \
  X(33, from_driver, "from_driver_m", "m", 0, 1000,                                                         \
    "cable route from the driver to the controller, one way")                                               \
  X(34, rated_current, "rated_a", "A", 0.001, 1e4, "rated current")                                         \
  X(35, channel_limit, "channel_limit_a", "A", 0.001, 1000, "greatest current of one channel")              \
  X(36, total_limit, "total_limit_a", "A", 0.001, 1e4, "greatest current of all channels together")         \
  X(37, lowest_input, "lowest_input_v", "V", 1, 120, "lowest input voltage")                                \
  X(38, highest_input, "highest_input_v", "V", 1, 120, "highest input voltage")                             \
  X(39, least_terminal, "least_mm2", "mm2", 0, 1000, "smallest conductor a terminal takes")                 \
  X(40, greatest_terminal, "greatest_mm2", "mm2", 0.01, 1000, "largest conductor a terminal takes")         \
  X(41, terminal_current, "terminal_a", "A", 0.001, 1e4, "rated current of a terminal")                     \
  X(42, switch_resistance, "switch_mohm", "mohm", 0, 1e4, "on-resistance of one channel's switch")          \
  X(43, pwm_frequency, "pwm_hz", "Hz", 0, 1e6, "dimming frequency; 0 = not stated")                         \
  X(44, poles, "poles", "", 1, 24, "number of poles")                                                       \
  X(45, rated_voltage, "rated_v", "V", 1, 1000, "rated voltage")                                            \
  X(46, rating_ambient, "rating_ambient_c", "degC", -20, 120,                                               \
    "ambient at which the rated current was stated")                                                        \
  X(47, upper_limit, "upper_limit_c", "degC", 30, 250, "upper limiting temperature")                        \
  X(48, rated_output, "rated_output_w", "W", 0.1, 1e5, "rated output power")                                \
  X(49, output_current_limit, "output_limit_a", "A", 0, 1e4,                                                \
    "greatest output current; 0 = rated power over output voltage")                                         \
  X(50, least_load, "least_load_w", "W", 0, 1e5, "smallest load at which the driver works to its data")     \
  X(51, efficiency, "efficiency", "", 0.05, 1, "output power over input power")                             \
  X(52, power_factor, "power_factor", "", 0.05, 1, "active over apparent power")                            \
  X(53, inrush_peak, "inrush_a", "A", 0, 1e4, "peak of the inrush current")                                 \
  X(54, inrush_duration, "inrush_us", "us", 0, 1e6, "duration of the inrush at half its peak")              \
  X(55, leakage, "leakage_ma", "mA", 0, 1000, "protective-conductor (earth leakage) current")               \
  X(56, share, "share", "", 0, 1, "share of a whole")                                                       \
  X(57, headroom, "headroom", "", 0, 2,                                                                     \
    "spare capacity as a share of the LOAD: capacity >= load x (1 + headroom)")                             \
  X(58, loading_limit, "loading_limit", "", 0.1, 1,                                                         \
    "load as a share of the CAPACITY: load <= capacity x limit")                                            \
  X(59, drop_limit, "drop_limit", "", 0, 0.5, "allowed voltage drop as a share of nominal")                 \
  X(60, least_evenness, "least_evenness", "", 0, 1, "least channel current over greatest along a run")      \
  X(61, supply_tolerance, "supply_tolerance", "", 0, 0.2, "driver output tolerance as a share of nominal")  \
  X(62, loaded_conductors, "loaded_conductors", "", 1, 200, "conductors that carry current in one cable")   \
  X(63, circuits_grouped, "circuits_grouped", "", 1, 20, "circuits or cables laid together")                \
  X(64, conductor_class, "conductor_class", "", 1, 5, "IEC 60228 class: 1, 2 or 5")                         \
  X(65, gauge, "awg", "AWG", -3, 40, "American wire gauge; 0 = 1/0, -1 = 2/0, -2 = 3/0, -3 = 4/0")          \
  X(66, core_count, "cores", "", 1, 61, "number of cores")                                                  \
  X(67, mains_voltage, "mains_v", "V", 90, 440, "mains voltage, r.m.s.")                                    \
  X(68, breaker_rating, "breaker_a", "A", 0.5, 125, "rated current of the circuit breaker")                 \
  X(69, fault_current, "fault_a", "A", 0, 1e6, "prospective short-circuit current")                         \
  X(70, hours_per_year, "hours_per_year", "h", 0, 8784, "hours of full light in a year")                    \
  X(71, duty, "duty", "", 0, 1, "share of the time a channel is on")                                        \
  X(72, luminance_ratio, "luminance_ratio", "", 0, 1, "luminance over that of the reference white")         \
  X(73, cable_outside, "outside_mm", "mm", 0, 200, "outside diameter of a cable")                           \
  X(74, cable_rating, "cable_rating_a", "A", 0, 1000, "maker's current rating; 0 = take the table's")       \
  X(75, run_tape, "tape", "", 0, 1e6, "the run's tape, as a place in the catalogue")                        \
  X(76, run_zone, "zone", "", 0, 1e6, "the run's zone, as a place in the job")                              \
  X(77, run_count, "runs", "", 1, 2000, "number of runs")                                                   \
  X(78, zone_count, "zones", "", 1, 200, "number of zones")                                                 \
  X(79, tape_count, "tapes", "", 1, 500, "number of tapes in the catalogue")                                \
  X(80, space, "space", "", 0, 1e9, "room in the caller's storage")                                         \
  X(81, ingress, "ingress", "", 0, 69, "IP code by IEC 60529, its two digits as one number")                \
  X(82, fuse_rating, "fuse_a", "A", 0.01, 400, "rated current of a fuse or protective device")              \
  X(83, ampacity, "ampacity_a", "A", 0, 1e4, "continuous current a conductor may carry")                    \
  X(84, slack, "slack_m", "m", 0, 20, "spare cable left at each end")                                       \
  X(85, tariff, "tariff_minor_per_kwh", "minor units/kWh", 0, 1e6, "price of a kilowatt-hour")              \
  X(86, thermal_resistance, "thermal_k_per_w", "K/W", 0, 1e3, "thermal resistance")                         \
  X(87, output_count, "outputs", "", 1, 16, "independent outputs of a driver")                              \
  X(88, output_voltage, "output_v", "V", 3, 60, "output voltage")                                           \
  X(89, trim_low, "trim_low_v", "V", 0, 60, "lowest output the trim can set; 0 = no trim")                  \
  X(90, trim_high, "trim_high_v", "V", 0, 75, "highest output the trim can set; 0 = no trim")               \
  X(91, fuse_factor, "fuse_factor", "", 1, 3, "conventional operating current over rated current")          \
  X(92, derating_point, "derating_point", "", 0, 1.5,                                                       \
    "share of the rated output available at a temperature")                                                 \
  X(93, feeder_method, "method", "", 0, 20, "installation method, by its number in the list")               \
  X(94, code_family, "code_family", "", 0, 1, "0 = IEC-based, 1 = NEC-based")                               \
  X(95, fee, "fee_minor", "minor units", 0, 1e12, "price of a service in whole minor units")                \
  X(96, struct_size, "struct_size", "bytes", 1, 1e9, "size of a C structure as the caller knows it")        \
  X(97, pointer, "pointer", "", 1, 1, "a pointer that must not be null")                                    \
  X(98, name, "name", "", 1, 1, "a name or code that must be known and not empty")                          \
  X(99, stock_length, "stock_m", "m", 0, 1e5, "length of a piece in stock")                                 \
  X(100, resistivity, "resistivity_ohm_mm2_per_m", "ohm mm2/m", 0.01, 0.1, "resistivity of a conductor")    \
  X(101, residual_rating, "residual_a", "A", 0.001, 10,                                                     \
    "rated residual current of a residual current device")                                                  \
  X(102, energy, "energy_kwh", "kWh", 0, 1e7, "energy of a year")                                           \
  X(103, overload_limit, "overload_limit_a", "A", 0, 1e4,                                                   \
    "greatest current a driver's output can give, into a short circuit too; 0 = not stated")                \
  X(104, common_polarity, "polarity", "", 0, 1, "0 = common positive, 1 = common negative")                 \
  X(105, load_law, "law", "", 0, 2, "0 = resistor-limited, 1 = regulated, 2 = constant power")              \
  X(106, connector_use, "use", "", 0, 3,                                                                    \
    "0 = tape to cable, 1 = cable to cable, 2 = tape to tape, 3 = driver plug")                             \
  X(107, mount, "mount", "", 0, 1, "0 = plug-in, 1 = hardwired")                                            \
  X(108, mount_wish, "mount_wish", "", -1, 1, "-1 = any, 0 = plug-in, 1 = hardwired")                       \
  X(109, overcurrent_family, "overcurrent_family", "", 0, 5,                                                \
    "0 = gG fuse, 1, 2, 3 = breaker B, C, D, 4 = blade fuse, 5 = cartridge fuse")                           \
  X(110, yes_no, "yes_no", "", 0, 1, "0 = no, 1 = yes")                                                     \
  X(111, conductor_system, "conductor_system", "", 1, 10, "1, 2, 5 = IEC 60228 class, 10 = AWG")            \
  X(112, alignment, "alignment_bytes", "bytes", 8, 1e9, "power of two that divides the address of a block") \
  X(113, place, "place", "", 0, 1e9, "place of a row in its list, counted from 0")                          \
  X(114, row_count, "rows", "", 0, 1e6, "number of rows of a list")                                         \
  X(115, word_count, "words", "", 0, 8, "number of words of a set of features")                             \
  X(116, grouping, "grouping", "", 0, 4,                                                                    \
    "0 = bunched, 1 = single layer on wall, 2 = under ceiling, 3 = perforated tray, 4 = ladder")            \
  X(117, bath_zone, "bath_zone", "", 0, 2, "zone of a bathroom, IEC 60364-7-701")                           \
  X(118, lightness, "lightness", "", 0, 100, "CIE 1976 lightness L*")                                       \
  X(119, guard_channels, "guard_channels", "", 1, 8, "channels that a firmware guard looks after")          \
  X(120, full_current, "full_ua", "uA", 0, 2000000000,                                                      \
    "current of a channel at full duty; all channels together at most 2000 A")                              \
  X(121, guard_channel_limit, "guard_channel_ua", "uA", 0, 4294967295,                                      \
    "most a channel may carry; 0 = keep it dark")                                                           \
  X(122, guard_total_limit, "guard_total_ua", "uA", 0, 4294967295,                                          \
    "most all channels may carry at any time; 0 = keep all dark")                                           \
  X(123, guard_sustained_limit, "guard_sustained_ua", "uA", 0, 4294967295,                                  \
    "most all channels may carry on average")                                                               \
  X(124, average_shift, "average_shift", "", 1, 16,                                                         \
    "time constant of the average as a power of two of frames")                                             \
  X(125, softness, "softness", "", 0, 15,                                                                   \
    "amperes of peak given up for each ampere that the average comes closer, as a power of two")            \
  X(126, budget_rise, "rise_ua", "uA", 0, 4294967295,                                                       \
    "most by which the total may rise from frame to frame; 0 = no ramp")                                    \
  X(127, frame_rate, "frame_hz", "Hz", 1, 100000, "frames a second that pass a guard")                      \
  X(128, time_constant, "time_constant_s", "s", 1e-05, 3600, "time constant of an average")                 \
  X(129, peak_share, "peak_share", "", 1, 3, "short peak as a multiple of the sustained limit")             \
  X(130, pixel_bytes, "pixel_bytes", "", 3, 4, "bytes of a pixel of addressable tape")                      \
  X(131, colour_current, "colour_ua", "uA", 0, 65535, "current of one colour of one pixel at full")         \
  X(132, pixel_idle_current, "pixel_idle_ua", "uA", 0, 65535, "current of a dark pixel")                    \
  X(133, phase_current, "phase_current", "", 0, 32767,                                                      \
    "current of a channel while it is on, in any unit; all channels together at most 32767")                \
  X(134, counts, "counts", "", 0, 65535, "reading of a converter, in counts")                               \
  X(135, steadiness, "steady_samples", "", 1, 255, "readings in a row that a finding needs")                \
  X(136, load_units, "load", "", 0, 1e14, "load or capacity in whole units")                                \
  X(137, load_count, "loads", "", 1, 8, "loads of an item side by side")                                    \
  X(138, feed_points, "feed_points", "", 1, 8, "places at which a run is fed")                              \
  X(139, feed_arrangement, "arrangement", "", 0, 5,                                                         \
    "0 = one end, 1 = far end, 2 = both ends, 3 = middle, 4 = k points, 5 = ring")                          \
  X(140, step_budget, "most_steps", "", 1, 1e9, "most steps of a search")                                   \
  X(141, to_far_end, "to_far_end_m", "m", 0, 1000,                                                          \
    "cable route from the controller to the run's far end, one way")                                        \
  X(142, between_extra, "between_extra_m", "m", 0, 1000,                                                    \
    "cable route added where a feed point lies between the ends of a run")                                  \
  X(143, feed_reach, "reach", "", 0, 2, "0 = cables reach the near end, 1 = both ends, 2 = every cut mark") \
  X(144, dark_end, "dark", "", 0, 2, "end where the dark remainder lies: 0 = far, 1 = near, 2 = shared")    \
  X(145, arrangements, "arrangements", "", 1, 63, "one bit for each arrangement that may be used")          \
  X(146, link_gap, "gap_m", "m", 0, 1, "wall that the link at a corner leaves dark")                        \
  X(147, stretch_count, "stretches", "", 0, 100, "straight stretches of a run; 0 = one")                    \
  X(148, pwm_phase, "phase", "", 0, 1, "when a channel switches on, as a share of the dimming period")      \
  X(149, warming_per_load, "warming_k_m_per_w", "K m/W", 0, 100,                                            \
    "warming of the tape above its surroundings for each W/m of heat")                                      \
  X(150, pinned_driver, "pinned_driver", "", -1, 1e6, "place of the only driver to use; -1 = any")          \
  X(151, pinned_controller, "pinned_controller", "", -1, 1e6, "place of the only leader; -1 = any")         \
  X(152, pinned_feeder, "pinned_feeder", "", -1, 1e6, "place of the only feeder cable; -1 = any")           \
  X(153, basis_points, "share_bp", "", 0, 100000, "share in hundredths of a per cent")                      \
  X(154, of_itself, "of_itself_v", "V", -1e6, 1e6, "change of a voltage for a relative change of an input") \
  X(155, spare_watts, "spare_minor_per_100w", "minor units", 0, 1e9,                                        \
    "what 100 W of capacity to spare is worth")                                                             \
  X(156, spare_amperes, "spare_minor_per_a", "minor units", 0, 1e9,                                         \
    "what an ampere of capacity to spare is worth")

/// Names a figure in faults, tables and interfaces. The numbers never change.
enum class field : std::int32_t {
  none = 0,
#define TAPEWRIGHT_ENUMERATOR(NUMBER, NAME, TEXT, UNIT, LEAST, MOST, MEANING) NAME = NUMBER,
  TAPEWRIGHT_FIELDS(TAPEWRIGHT_ENUMERATOR)
#undef TAPEWRIGHT_ENUMERATOR
};

/// What is known of a field: its name with unit, the unit alone, its allowed range, its meaning.
struct field_facts {
  field id;
  std::string_view name, unit;
  double least, most;
  std::string_view meaning;
};

inline constexpr field_facts field_table[] = {
#define TAPEWRIGHT_ROW(NUMBER, NAME, TEXT, UNIT, LEAST, MOST, MEANING) \
  {field::NAME, TEXT, UNIT, LEAST, MOST, MEANING},
    TAPEWRIGHT_FIELDS(TAPEWRIGHT_ROW)
#undef TAPEWRIGHT_ROW
};
inline constexpr std::size_t field_table_size = sizeof field_table / sizeof field_table[0];

/// The range alone, in a table of its own: a program that only checks figures carries no texts.
struct field_range {
  double least, most;
};

inline constexpr field_range range_table[] = {
#define TAPEWRIGHT_ROW(NUMBER, NAME, TEXT, UNIT, LEAST, MOST, MEANING) {LEAST, MOST},
    TAPEWRIGHT_FIELDS(TAPEWRIGHT_ROW)
#undef TAPEWRIGHT_ROW
};

/// The range of a field; of an unknown number [0, 0].
constexpr field_range range_of(field f) noexcept {
  const auto at = static_cast<std::int64_t>(f) - 1;  // numbers count up from 1 without a gap
  if (at < 0 || at >= static_cast<std::int64_t>(field_table_size)) return {0, 0};
  return range_table[static_cast<std::size_t>(at)];
}

/// The facts of a field; those of an unknown number are empty with the range [0, 0].
constexpr field_facts facts_of(field f) noexcept {
  const auto at = static_cast<std::int64_t>(f) - 1;  // numbers count up from 1 without a gap
  if (at < 0 || at >= static_cast<std::int64_t>(field_table_size)) return {field::none, {}, {}, 0, 0, {}};
  return field_table[static_cast<std::size_t>(at)];
}

namespace detail {
constexpr bool field_numbers_have_no_gap() noexcept {
  for (std::size_t i = 0; i < field_table_size; ++i)
    if (static_cast<std::size_t>(field_table[i].id) != i + 1) return false;
  return true;
}
static_assert(field_numbers_have_no_gap());
}  // namespace detail

}  // namespace tapewright
