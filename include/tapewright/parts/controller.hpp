// SPDX-License-Identifier: BSL-1.0
// Controllers: what dims the channels of a zone, and what each of their outputs can carry.
#pragma once

#include <cstdint>
#include <string_view>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/text.hpp"
#include "tapewright/parts/tape.hpp"

namespace tapewright {

/// Free words for what a controller can do or a zone wants ("wall-panel", "radio", "scene").
using tag_set = bounded<std::string_view, 8>;

/// True when every wanted word is among the offered ones.
constexpr bool meets(const tag_set& offered, const tag_set& wanted) noexcept {
  for (const std::string_view w : wanted) {
    bool found = false;
    for (const std::string_view o : offered) found = found || same_text(o, w);
    if (!found) return false;
  }
  return true;
}

/// One controller of a catalogue. A repeater is a controller that follows another one's signal.
struct controller {
  std::string_view code, name;
  std::int32_t channels = 1;
  amps channel_limit;  ///< greatest continuous current of one channel
  amps total_limit;    ///< greatest continuous current of all channels together
  volts lowest_input, highest_input;
  polarity common = polarity::common_positive;
  square_millimetres least_terminal, greatest_terminal;
  amps terminal;           ///< rated current of one terminal
  ohms switch_resistance;  ///< of one channel's switch, hot
  hertz pwm;               ///< 0 = not stated
  bool is_repeater = false;
  bool enforces_all_on_limit = false;  ///< keeps the sum of the channels within a tape's all-on limit
  celsius highest_ambient;
  tag_set features;
  money price;  ///< 0 = not known
};

/// Refuses a controller whose figures make no sense (ranges: core/field.hpp).
constexpr fault check(const controller& c) noexcept {
  if (const fault f = refuse_nameless(c.code)) return f;
  return first_fault(
      refuse(field::channel_count, c.channels), refuse(field::channel_limit, c.channel_limit),
      refuse(field::total_limit, c.total_limit), refuse(field::lowest_input, c.lowest_input),
      refuse_outside(field::highest_input, c.highest_input.v, c.lowest_input.v, 120),
      refuse(field::least_terminal, c.least_terminal),
      refuse_outside(field::greatest_terminal, c.greatest_terminal.v,
                     is_within(c.least_terminal.v, 0.01, 1000) ? c.least_terminal.v : 0.01, 1000),
      refuse(field::terminal_current, c.terminal), refuse(field::resistance, c.switch_resistance),
      refuse(field::pwm_frequency, c.pwm), refuse(field::highest_ambient, c.highest_ambient),
      refuse(field::price, static_cast<double>(c.price.minor)));
}

}  // namespace tapewright
