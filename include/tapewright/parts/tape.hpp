// SPDX-License-Identifier: BSL-1.0
// LED tape as it is sold: channels, traces, cut marks, limits, price.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"

namespace tapewright {

inline constexpr std::size_t max_channels = 6;

/// How the current of a channel follows the voltage across it (laws: network/load_law.hpp).
enum class load_kind : std::int32_t {
  resistor_limited = 0,  ///< LEDs in series with a resistor: linear above a knee, dark below it
  regulated = 1,         ///< constant current above its dropout voltage, linear below it
  constant_power = 2,    ///< a switching regulator: P/v above its under-voltage limit, off below it
};

/// Which conductor all channels of a tape share.
enum class polarity : std::int32_t { common_positive = 0, common_negative = 1 };

/// One channel of a tape.
struct tape_channel {
  std::string_view code;  ///< W, CW, WW, R, G, B or free text; not empty
  watts_per_metre load;   ///< nominal, at the tape's nominal voltage; > 0
  load_kind law = load_kind::resistor_limited;
  volts knee;                   ///< dark below it / dropout / under-voltage limit; 0 <= knee < nominal
  ohms_per_metre return_trace;  ///< this channel's own conductor, 20 degC
};

/// One tape of a catalogue. Zero in a limit or price means "the maker states none".
struct tape {
  std::string_view code, name;
  volts nominal, highest;
  bounded<tape_channel, max_channels> channels;
  ohms_per_metre common_trace;  ///< the shared conductor, 20 degC
  polarity common = polarity::common_positive;
  metres cut_pitch;
  metres longest_piece;
  amps feed_point_limit;
  metres single_feed_limit;
  watts_per_metre all_on_limit;
  metres free_tail;     ///< tail that comes soldered on a piece without extra charge
  metres sale_quantum;  ///< sold in whole multiples of this
  metres reel;          ///< a full reel; 0 = not sold by the reel
  money price;          ///< of one sale quantum; 0 = not known
  celsius lowest_ambient, highest_ambient;
  std::int32_t ingress = 20;  ///< IP code of IEC 60529 as two digits
};

/// The tape's nominal power with every channel on: the plain sum of its channels.
constexpr watts_per_metre summed_load(const tape& t) noexcept {
  watts_per_metre sum;
  for (const tape_channel& c : t.channels) sum += c.load;
  return sum;
}

/// Refuses a tape whose figures make no sense; the fault names the first field at fault.
/// Ranges: core/field.hpp; and knee < nominal <= highest, pitch <= longest piece, lowest <= highest ambient,
/// a reel of whole sale quanta, no channel above the all-on limit, a named channel.
constexpr fault check(const tape& t) noexcept {
  if (const fault f = refuse_nameless(t.code)) return f;
  if (const fault f = first_fault(
          refuse(field::nominal_voltage, t.nominal), refuse(field::highest_voltage, t.highest),
          refuse(field::channel_count, static_cast<double>(t.channels.size())),
          refuse(field::common_resistance, t.common_trace), refuse(field::cut_pitch, t.cut_pitch),
          refuse(field::longest_piece, t.longest_piece), refuse(field::feed_point_limit, t.feed_point_limit),
          refuse(field::single_feed_limit, t.single_feed_limit), refuse(field::all_on_limit, t.all_on_limit),
          refuse(field::free_tail, t.free_tail), refuse(field::sale_quantum, t.sale_quantum),
          refuse(field::reel_length, t.reel), refuse(field::price, static_cast<double>(t.price.minor)),
          refuse(field::lowest_ambient, t.lowest_ambient), refuse(field::highest_ambient, t.highest_ambient),
          refuse(field::ingress, t.ingress)))
    return f;
  if (t.highest < t.nominal)
    return contradiction(field::highest_voltage, t.highest.v, t.nominal.v,
                         range_of(field::highest_voltage).most);
  if (t.longest_piece < t.cut_pitch)
    return contradiction(field::longest_piece, t.longest_piece.v, t.cut_pitch.v,
                         range_of(field::longest_piece).most);
  if (t.highest_ambient < t.lowest_ambient)
    return contradiction(field::highest_ambient, t.highest_ambient.v, t.lowest_ambient.v,
                         range_of(field::highest_ambient).most);
  // a micrometre either way is rounding (sizing/run_length.hpp)
  if (const metres whole = round_half_away(t.reel / t.sale_quantum) * t.sale_quantum;
      absolute((whole - t.reel).v) > 1e-6)
    return contradiction(field::reel_length, t.reel.v, whole.v, whole.v);
  for (const tape_channel& c : t.channels) {
    if (const fault f = refuse_nameless(c.code)) return f;
    if (const fault f = first_fault(
            refuse_outside(field::load_per_metre, c.load.v, 1e-3, range_of(field::load_per_metre).most),
            refuse(field::return_resistance, c.return_trace), refuse(field::knee_voltage, c.knee)))
      return f;
    if (t.all_on_limit.v > 0 && t.all_on_limit < c.load)
      return contradiction(field::all_on_limit, t.all_on_limit.v, c.load.v,
                           range_of(field::all_on_limit).most);
    if (!(c.knee < t.nominal)) return contradiction(field::knee_voltage, c.knee.v, 0, t.nominal.v);
  }
  return {};
}

}  // namespace tapewright
