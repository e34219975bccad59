// SPDX-License-Identifier: BSL-1.0
// Whether a controller carries a zone, and how many of it a zone needs at least.
#pragma once

#include <cstddef>
#include <cstdint>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/parts/controller.hpp"
#include "tapewright/parts/tape.hpp"
#include "tapewright/sizing/governing.hpp"
#include "tapewright/sizing/tape_load.hpp"

namespace tapewright {

/// What is asked of one controller.
struct controller_duty {
  bounded<amps, max_channels> channel_current{};  ///< each at its own full load; 1..6 of them
  amps total{};  ///< all together; 0 = their sum (lower where a limit is enforced)
  volts input{};
  polarity common = polarity::common_positive;
  celsius ambient{25};
  square_millimetres conductor{};  ///< to be clamped; 0 = not decided yet, not looked at
};

/// How a controller meets its duty. `by` is the first yes-or-no limit broken, else the limit used most.
struct controller_check {
  amps total = unset;                         ///< current of all channels together
  double channel_utilisation = not_a_number;  ///< of the busiest channel
  std::int32_t worst_channel = -1;
  double total_utilisation = not_a_number;
  double terminal_utilisation = not_a_number;  ///< total over the rated current of one terminal: the
                                               ///< supply terminal carries everything
  bool voltage_fits = false, polarity_fits = false, channels_fit = false, terminal_fits = false,
       ambient_fits = false;
  bool fits = false;
  governed by = governed::none;
  double utilisation = not_a_number;  ///< the greatest of the three
};

/// Holds a controller's limits against a duty.
///
/// @param c     the controller; refused where check(c) refuses it.
/// @param duty  currents 0..10000 A, input 0.1..120 V, ambient -40..120 degC, conductor 0..1000 mm2.
/// @return      every utilisation, every yes-or-no, and which limit governs.
/// Formula  max_c I_c / limit_c;  I_total / limit_total;  I_total / terminal rating
/// Source   maker's statement: the limits are those of the catalogue row.
constexpr outcome<controller_check> check_controller(const controller& c,
                                                     const controller_duty& duty) noexcept {
  const outcome<amps> total = detail::common_current(duty.channel_current, duty.total);
  if (const fault f =
          first_fault(check(c), total.why(), refuse(field::voltage, duty.input),
                      refuse(field::ambient, duty.ambient), refuse(field::least_terminal, duty.conductor)))
    return f;
  controller_check k;
  k.total = *total;
  k.channel_utilisation = 0;
  k.worst_channel = 0;
  for (std::size_t i = 0; i < duty.channel_current.size(); ++i) {
    const double used = utilisation(duty.channel_current[i], c.channel_limit);
    if (!(used > k.channel_utilisation)) continue;
    k.channel_utilisation = used;
    k.worst_channel = static_cast<std::int32_t>(i);
  }
  k.total_utilisation = utilisation(k.total, c.total_limit);
  k.terminal_utilisation = utilisation(k.total, c.terminal);
  k.voltage_fits = c.lowest_input <= duty.input && duty.input <= c.highest_input;
  k.polarity_fits = c.common == duty.common;
  k.channels_fit = duty.channel_current.size() <= static_cast<std::size_t>(c.channels);
  k.terminal_fits = duty.conductor.v == 0 || takes(c.least_terminal, c.greatest_terminal, duty.conductor);
  k.ambient_fits = duty.ambient <= c.highest_ambient;

  detail::verdict v;
  v.must(governed::channels, k.channels_fit);
  v.must(governed::input_voltage, k.voltage_fits);
  v.must(governed::polarity, k.polarity_fits);
  v.must(governed::ambient, k.ambient_fits);
  v.must(governed::terminal, k.terminal_fits);
  v.use(governed::channel_current, k.channel_utilisation);
  v.use(governed::total_current, k.total_utilisation);
  v.use(governed::terminal_current, k.terminal_utilisation);
  k.fits = v.fits;
  k.by = v.by;
  k.utilisation = v.greatest;
  return k;
}

/// The fewest controllers of one kind that could share a load, by each limit.
struct controller_count {
  std::int32_t needed = 0;  ///< the greatest of the three below; at least 1
  std::int32_t by_channel = 0, by_total = 0, by_terminal = 0;
  std::int32_t worst_channel = -1;
  governed by = governed::none;  ///< which limit asks for that many; none where one would do
};

/// A lower bound on the number of controllers, as if runs could be shared out to the last segment;
/// whole runs may need more.
///
/// @param c                the controller; refused where check(c) refuses it.
/// @param channel_current  per channel, of everything that shall be shared, A; 1..6 of 0..10000.
/// @param total            all together, A; 0 = their sum.
/// @return  Fault contradiction of channel_count where the controller has too few channels: no number
///          of them drives the zone.
/// Formula  ceil(I / limit) for the busiest channel, the total and the supply terminal
/// Source   maker's statement.
constexpr outcome<controller_count> controllers_needed(const controller& c,
                                                       const bounded<amps, max_channels>& channel_current,
                                                       amps total = amps{}) noexcept {
  const outcome<amps> all = detail::common_current(channel_current, total);
  if (const fault f = first_fault(check(c), all.why())) return f;
  if (channel_current.size() > static_cast<std::size_t>(c.channels))
    return contradiction(field::channel_count, static_cast<double>(channel_current.size()), 1,
                         static_cast<double>(c.channels));
  // ceil, rounding of the quotient aside; at most 6e4 A over 1 mA, which an int32 holds
  const auto pieces = [](amps load, amps limit) noexcept {
    return static_cast<std::int32_t>(larger(1, ceil_of(load / limit * (1 - rounding_share))));
  };
  controller_count n;
  amps busiest;
  n.worst_channel = 0;
  for (std::size_t i = 0; i < channel_current.size(); ++i)
    if (channel_current[i] > busiest) {
      busiest = channel_current[i];
      n.worst_channel = static_cast<std::int32_t>(i);
    }
  n.by_channel = pieces(busiest, c.channel_limit);
  n.by_total = pieces(*all, c.total_limit);
  n.by_terminal = pieces(*all, c.terminal);
  n.needed = n.by_channel;
  if (n.by_total > n.needed) n.needed = n.by_total;
  if (n.by_terminal > n.needed) n.needed = n.by_terminal;
  if (n.needed == 1) n.by = governed::none;
  else if (n.needed == n.by_channel) n.by = governed::channel_current;
  else if (n.needed == n.by_total) n.by = governed::total_current;
  else n.by = governed::terminal_current;
  return n;
}

}  // namespace tapewright
