// SPDX-License-Identifier: BSL-1.0
// What a plan says of itself: checks with value, limit and utilisation, and what would help.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

#include "tapewright/core/quantity.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/governing.hpp"

namespace tapewright {

/// What a finding, reading, terminal or note is about. `index` is the place in the plan's own list
/// (run, hub, driver) or, for a zone, in the job's.
enum class subject_kind : std::int32_t { job = 0, zone = 1, run = 2, hub = 3, driver = 4 };
struct subject {
  subject_kind kind = subject_kind::job;
  std::int32_t index = 0;

  friend constexpr bool operator==(subject, subject) noexcept = default;
};

enum class severity : std::int32_t {
  ok = 0,        ///< checked and within its limit
  note = 1,      ///< worth telling; nothing to do
  strained = 2,  ///< works, but a stated wish or a maker's advice is not met
  failed = 3,    ///< a rule is broken: do not build it so
};

/// Which side of the limit is the good one.
enum class sense : std::int32_t { at_most = 0, at_least = 1 };

/// What would help. The numbers never change.
enum class advice : std::int16_t {
  none = 0,
  shorten_run = 1,
  thicker_feeder = 2,
  shorter_feeder = 3,
  larger_controller = 4,
  more_controllers = 5,
  larger_driver = 6,
  cooler_place = 7,
  higher_voltage_tape = 8,
  feed_more_points = 9,
  widen_catalogue = 10,
  other_connector = 11,
  smaller_breaker_group = 12,
  other_tape = 13,
  ask_maker = 14,
  larger_breaker = 15,
  lower_output_voltage = 16,
  enforcing_controller = 17,
  split_feed = 18,
};

// One line a check: number (append-only), name, unit of value and limit, which side is good, text.
#define TAPEWRIGHT_FINDINGS(X)                                                                              \
  X(1, dark_remainder, "m", at_most, "wall left dark past the last cut mark")                               \
  X(2, tape_heat, "degC", at_most, "ambient at the tape against its maker's highest")                       \
  X(3, tape_cold, "degC", at_least, "ambient at the tape against its maker's lowest")                       \
  X(4, tape_ingress, "IP", at_least, "ingress protection of the tape")                                      \
  X(5, tape_piece, "m", at_most, "run against the longest piece the maker supplies")                        \
  X(6, tape_single_feed, "m", at_most, "run against the maker's longest single feed")                       \
  X(7, tape_feed_point, "A", at_most, "current at the feed point")                                          \
  X(8, tape_voltage, "V", at_most, "highest supply voltage at the tape")                                    \
  X(9, tape_all_on, "W/m", at_most, "all channels on against the maker's limit")                            \
  X(10, drop_to_feed, "share", at_most, "voltage drop, driver to feed point")                               \
  X(11, drop_to_lamp, "share", at_most, "voltage drop, driver to furthest lamp")                            \
  X(12, evenness, "share", at_least, "least over greatest channel current along the run")                   \
  X(13, colour_shift, "share", at_most, "change of colour balance along the run")                           \
  X(14, feeder_ampacity, "A", at_most, "current in the feeder's busiest core")                              \
  X(15, feeder_conductor, "mm2", at_least, "feeder conductor against the smallest allowed")                 \
  X(16, feed_connector, "A", at_most, "current in the busiest pole at the feed point")                      \
  X(17, controller_channel, "A", at_most, "current of the busiest controller channel")                      \
  X(18, controller_total, "A", at_most, "current of all controller channels together")                      \
  X(19, controller_terminal, "A", at_most, "current in the controller's supply terminal")                   \
  X(20, controller_heat, "degC", at_most, "ambient at the controller")                                      \
  X(21, supply_ampacity, "A", at_most, "current in the supply cable")                                       \
  X(22, driver_capacity, "W", at_most, "load with headroom against the derated output")                     \
  X(23, driver_current, "A", at_most, "output current of the driver")                                       \
  X(24, driver_least_load, "W", at_least, "load against the driver's smallest")                             \
  X(25, driver_connector, "A", at_most, "current in the driver's own output connector")                     \
  X(26, limited_energy, "A", at_most, "output current against the limited-energy class")                    \
  X(27, overcurrent_load, "A", at_most, "load current against the protective device's rating (Ib <= In)")   \
  X(28, overcurrent_rating, "A", at_most, "device rating against the cable's ampacity (In <= Iz)")          \
  X(29, overcurrent_operating, "A", at_most,                                                                \
    "device operating current against 1.45 x ampacity (I2 <= 1.45 Iz)")                                     \
  X(30, far_end_fault, "A", at_least, "short-circuit current at the far end against what opens the device") \
  X(31, source_limited, "A", at_most, "driver's greatest current against the cable's ampacity")             \
  X(32, breaker_steady, "A", at_most, "steady mains current on one breaker")                                \
  X(33, breaker_inrush, "A", at_most, "inrush of the drivers on one breaker")                               \
  X(34, leakage_sum, "A", at_most, "protective-conductor currents on one circuit")                          \
  X(35, no_controller, "", at_most, "no controller of the catalogue fits")                                  \
  X(36, no_feeder, "", at_most, "no feeder cable of the catalogue fits")                                    \
  X(37, no_supply_cable, "", at_most, "no supply cable of the catalogue fits")                              \
  X(38, no_driver, "", at_most, "no driver of the catalogue fits")                                          \
  X(39, no_overcurrent_device, "", at_most, "no overcurrent device of the catalogue fits")                  \
  X(40, no_connector, "", at_most, "no connector of the catalogue fits")                                    \
  X(41, price_unknown, "", at_most, "a part has no price; the total is a lower bound")                      \
  X(42, lightness_step, "L*", at_most, "lightness step along the run (CIE 1976)")                           \
  X(43, inrush_unknown, "A", at_most, "inrush is not stated by the driver's maker")                         \
  X(44, unsolved_network, "V", at_most, "the network of this run has no steady state")                      \
  X(45, extra_low_voltage, "V", at_most, "output voltage against the extra-low-voltage ceiling")            \
  X(46, cable_piece, "m", at_most, "cable piece against the longest in stock")                              \
  X(47, splice_current, "A", at_most, "current in the busiest splice where feeders meet")                   \
  X(48, plug_current, "A", at_most, "current in the connector that mates with the driver's own")            \
  X(49, link_current, "A", at_most, "current in the busiest link between pieces of a run")

enum class finding_code : std::int32_t {
  none = 0,
#define TAPEWRIGHT_ENUMERATOR(NUMBER, NAME, UNIT, SENSE, TEXT) NAME = NUMBER,
  TAPEWRIGHT_FINDINGS(TAPEWRIGHT_ENUMERATOR)
#undef TAPEWRIGHT_ENUMERATOR
};

struct finding_facts {
  finding_code code;
  std::string_view name, unit;
  sense good;
  std::string_view text;
};

inline constexpr finding_facts finding_table[] = {
#define TAPEWRIGHT_ROW(NUMBER, NAME, UNIT, SENSE, TEXT) {finding_code::NAME, #NAME, UNIT, sense::SENSE, TEXT},
    TAPEWRIGHT_FINDINGS(TAPEWRIGHT_ROW)
#undef TAPEWRIGHT_ROW
};

constexpr finding_facts facts_of(finding_code code) noexcept {
  const auto at = static_cast<std::int64_t>(code) - 1;  // numbers count up from 1 without a gap
  if (at < 0 || at >= static_cast<std::int64_t>(sizeof finding_table / sizeof finding_table[0]))
    return {finding_code::none, {}, {}, sense::at_most, {}};
  return finding_table[static_cast<std::size_t>(at)];
}

constexpr std::string_view text_of(severity s) noexcept {
  switch (s) {
    case severity::ok: return "ok";
    case severity::note: return "note";
    case severity::strained: return "strained";
    case severity::failed: return "FAILED";
  }
  return "";
}

constexpr std::string_view text_of(advice a) noexcept {
  switch (a) {
    case advice::none: return "";
    case advice::shorten_run: return "shorten the run";
    case advice::thicker_feeder: return "a thicker feeder";
    case advice::shorter_feeder: return "a shorter cable route";
    case advice::larger_controller: return "a controller with a higher limit";
    case advice::more_controllers: return "more controllers or repeaters";
    case advice::larger_driver: return "a larger driver";
    case advice::cooler_place: return "a cooler or better ventilated place";
    case advice::higher_voltage_tape: return "a tape of higher voltage";
    case advice::feed_more_points: return "feed the run at more points, or split it";
    case advice::widen_catalogue: return "a wider choice in the catalogue";
    case advice::other_connector: return "another connector, or a soldered tail";
    case advice::smaller_breaker_group: return "fewer drivers on one breaker";
    case advice::other_tape: return "a tape made for this place";
    case advice::ask_maker: return "ask the maker for the missing figure";
    case advice::larger_breaker: return "a breaker of a slower type, or an inrush limiter";
    case advice::enforcing_controller: return "a controller that keeps the tape's limit";
    case advice::split_feed:
      return "feed at more points, or cut the run into sections, each on an output of its own; never two "
             "outputs on one piece of tape, never two cables in parallel";
    case advice::lower_output_voltage: return "trim the driver's output down";
  }
  return "";
}

/// One check of a plan. `value` and `limit` are in the unit that the code's facts tell; `utilisation`
/// is value/limit where the value must stay below, limit/value where it must stay above: above 1 the
/// check is not held. `stopped_by` says, for a "no ... fits", which limit the nearest candidate broke;
/// value and limit are then that limit's. A plan has room for 46 of them a run: six bytes of numbers stand last.
struct finding {
  finding_code code = finding_code::none;
  severity level = severity::ok;
  tapewright::subject subject{};
  double value = 0, limit = 0, utilisation = 0;
  source from = source::none;
  advice help = advice::none;
  governed stopped_by = governed::none;
};

/// A finished check: `worse` is the level it gets when the limit is not held (rounding aside).
constexpr finding checked(finding_code code, subject about, double value, double limit, source from,
                          advice help, severity worse = severity::failed) noexcept {
  const bool below = facts_of(code).good == sense::at_most;
  const double used = below ? utilisation(value, limit) : utilisation(limit, value);
  return {.code = code,
          .level = within(used) ? severity::ok : worse,
          .subject = about,
          .value = value,
          .limit = limit,
          .utilisation = used,
          .from = from,
          .help = within(used) ? advice::none : help};
}

}  // namespace tapewright
