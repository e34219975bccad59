// SPDX-License-Identifier: BSL-1.0
// The firmware's settings out of the parts that sized the job: at compile time, rounded to the safe side.
#pragma once

#include <cstdint>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/firmware/guard_settings.hpp"
#include "tapewright/firmware/startup_check.hpp"
#include "tapewright/network/load_law.hpp"
#include "tapewright/parts/connector.hpp"
#include "tapewright/parts/controller.hpp"
#include "tapewright/parts/driver.hpp"
#include "tapewright/parts/tape.hpp"
#include "tapewright/rules/contact_derating.hpp"
#include "tapewright/rules/extra_low_voltage.hpp"
#include "tapewright/sizing/driver_choice.hpp"

namespace tapewright {

/// What one controller feeds, and where everything is. Headroom, tolerance, drop and connector factor default to
/// the design rules; the driver's place is taken as hotter than theirs, which errs on the safe side.
struct guard_site {
  metres length;                     ///< tape on the controller's outputs, all runs together; above 0
  celsius ambient{25};               ///< at the connector; -40..120
  celsius driver_ambient{40};        ///< -40..120
  double headroom = usual_headroom;  ///< kept free on the driver, as a share of the LOAD; 0..2
  double driver_share = 1;           ///< of the driver's output for this controller; above 0, to 1
  double supply_tolerance = 0.02;    ///< output voltage of the driver, either way; 0..0.2
  double drop = elv_lighting_drop;   ///< largest drop to a lamp: raises constant-power currents; 0..0.5
  double connector_factor = base_curve_factor;  ///< 1 for a rating that is derated already; 0.1..1
  amps cable{};                                 ///< ampacity of the common core; 0 = not looked at

  double peak_share = 1;      ///< short peak over what connector, cable and driver bear for ever; 1..3
  seconds time_constant{10};  ///< of the average that must stay within the latter
  hertz frames{100};          ///< frames a second that pass the guard; 1..100000
  std::int32_t softness = 2;  ///< firmware/sustained_limit.hpp
  seconds rise_time{0};       ///< from dark to everything, at least; 0 = at once
};

/// Which limit is the least of all that hold for the sum of the channels.
enum class guard_governed : std::int32_t {
  connected = 0,  ///< none: all channels at full are within every limit
  controller = 1,
  terminal = 2,
  feed_point = 3,
  all_on = 4,
  connector = 5,
  cable = 6,
  driver = 7,
};

/// Settings with the figures they came from.
struct guard_basis {
  guard_settings settings;
  amps full[max_channels] = {unset, unset, unset, unset, unset, unset};  ///< each channel at full duty
  amps steady = unset;                            ///< least of the limits that hold for ever
  amps peak = unset;                              ///< least of the limits that hold at any moment
  guard_governed by = guard_governed::connected;  ///< sets `steady`
};

namespace detail {

inline constexpr amps most_guarded{2000};

constexpr std::uint32_t microamps_down(amps i) noexcept {
  return static_cast<std::uint32_t>(floor_of(i.v < 4000 ? i.v * 1e6 : 4e9));
}
constexpr std::uint32_t microamps_up(amps i) noexcept {
  return static_cast<std::uint32_t>(ceil_of(i.v * 1e6));
}

/// The greatest current of a channel over the voltages that it can see.
constexpr outcome<amps> greatest_current(const tape_channel& c, volts nominal, volts supply,
                                         const guard_site& site) noexcept {
  const outcome<load_law> law = fitted_law(c.law, c.load * site.length, nominal, c.knee);
  if (!law) return law.why();
  if (c.law != load_kind::constant_power) return at(*law, supply * (1 + site.supply_tolerance)).current;
  const volts lowest = supply * (1 - site.supply_tolerance - site.drop);
  return law->power / (lowest < c.knee ? c.knee : lowest);
}

/// Keeps the least of several limits, and whose it is.
struct least_limit {
  amps value = amps{infinity};
  guard_governed by = guard_governed::connected;

  constexpr void take(guard_governed whose, amps limit) noexcept {
    if (!(limit < value)) return;
    value = limit;
    by = whose;
  }
};

constexpr fault check(const guard_site& s) noexcept {
  return first_fault(refuse_outside(field::length, s.length.v, 1e-3, range_of(field::length).most),
                     refuse(field::ambient, s.ambient), refuse(field::ambient, s.driver_ambient),
                     refuse(field::headroom, s.headroom),
                     refuse_outside(field::share, s.driver_share, 1e-3, 1),
                     refuse(field::supply_tolerance, s.supply_tolerance), refuse(field::drop_limit, s.drop),
                     refuse_outside(field::share, s.connector_factor, 0.1, 1),
                     refuse(field::ampacity, s.cable), refuse(field::peak_share, s.peak_share),
                     refuse(field::time_constant, s.time_constant.v), refuse(field::frame_rate, s.frames.v),
                     refuse(field::time_constant, s.rise_time.v > 0 ? s.rise_time.v : 1.0));
}

/// The largest power of two of frames that is not longer than the time constant: a shorter one errs on the safe side.
constexpr outcome<std::uint32_t> average_shift_of(seconds time_constant, hertz frames) noexcept {
  const double within = time_constant.v * frames.v;
  if (within < 2)
    return fault{fault_code::out_of_range, field::time_constant, time_constant.v, 2 / frames.v, 3600, -1};
  std::uint32_t shift = 1;
  while (shift < most_of<field::average_shift> && within >= static_cast<double>(2u << shift)) ++shift;
  return shift;
}

}  // namespace detail

/// The settings of a guard for one controller.
///
/// @param t, c, d  tape, controller and driver of the job, as `check` accepts them.
/// @param feed     the connector at the feed point, as `check` accepts it.
/// @return         settings for `configure`. Faults: figures out of range; a part that `check` refuses; more channels
///                 on the tape than on the controller; more than 2000 A.
/// Formula  full     channel current at the driver's highest voltage (at its lowest, for constant power)
///          steady   least of controller total, its terminal, the tape's feed point and all-on limit, the connector at
///                   its ambient, the cable, and the driver's current, or rated power over nominal voltage if less,
///                   derated, shared, divided by 1 + headroom
///          peak     least of controller total, terminal, feed point and all-on limit, and `peak_share` times each of
///                   the others; not above what the driver can give at all
///          channel  least of controller channel, terminal and connector
///          where steady and peak both are the sum's, a channel's own contact carries no more than the common one
/// Safe     full currents are rounded up, limits down, to whole microamperes.
/// Source   limits: maker's statements and sizing/; that contacts and drivers bear short peaks is common practice, no
///          source, and so is on only where `peak_share` says more than 1.
constexpr outcome<guard_basis> guard_basis_of(const tape& t, const controller& c, const connector& feed,
                                              const driver& d, const guard_site& site) noexcept {
  if (const fault f = first_fault(detail::check(site), check(t), check(c), check(feed), check(d))) return f;
  if (t.channels.size() > static_cast<std::size_t>(c.channels))
    return contradiction(field::channel_count, static_cast<double>(t.channels.size()), 1,
                         static_cast<double>(c.channels));
  const outcome<amps> contact =
      contact_current(feed.rated, feed.rating_ambient, feed.upper_limit, site.ambient, site.connector_factor);
  if (!contact) return contact.why();
  const outcome<double> derated = derated_share(d.derating, site.driver_ambient);
  if (!derated) return derated.why();
  // a stated current limit may be more than the rated power gives at this voltage
  const amps rated{smaller(rated_output_current(d).v, (d.rated / t.nominal).v)};
  const amps output = *derated * site.driver_share * rated / (1 + site.headroom);

  using by = guard_governed;
  detail::least_limit always, thermal;
  always.take(by::controller, c.total_limit);
  always.take(by::terminal, c.terminal);
  if (t.feed_point_limit.v > 0) always.take(by::feed_point, t.feed_point_limit);
  if (t.all_on_limit.v > 0) always.take(by::all_on, t.all_on_limit * site.length / t.nominal);
  thermal.take(by::connector, *contact);
  if (site.cable.v > 0) thermal.take(by::cable, site.cable);
  thermal.take(by::driver, output);

  guard_basis b;
  amps sum;
  b.settings.channels = static_cast<std::uint32_t>(t.channels.size());
  for (std::size_t i = 0; i < t.channels.size(); ++i) {
    const outcome<amps> full = detail::greatest_current(t.channels[i], t.nominal, d.output, site);
    if (!full) return at_item(full.why(), i);
    sum += *full;
    if (!(sum < detail::most_guarded))
      return at_item(refuse_outside(field::current, sum.v, 0, detail::most_guarded.v), i);
    detail::least_limit own;
    own.take(by::controller, c.channel_limit);
    own.take(by::terminal, c.terminal);
    own.take(by::connector, *contact);
    b.full[i] = *full;
    b.settings.full_ua[i] = detail::microamps_up(*full);
    b.settings.channel_limit_ua[i] = detail::microamps_down(own.value);
  }
  detail::least_limit steady = always;
  steady.take(thermal.by, thermal.value);
  detail::least_limit peak = always;
  peak.take(thermal.by, thermal.value * site.peak_share);
  if (d.overload_limit.v > 0) peak.take(by::driver, d.overload_limit * site.driver_share);
  b.steady = steady.value;
  b.peak = peak.value;
  b.by = sum <= steady.value ? by::connected : steady.by;

  const outcome<std::uint32_t> shift = detail::average_shift_of(site.time_constant, site.frames);
  if (!shift) return shift.why();
  if (const fault f = refuse_outside(field::softness, site.softness, 0, *shift - 1)) return f;
  b.settings.total_limit_ua = detail::microamps_down(peak.value);
  b.settings.sustained_limit_ua = detail::microamps_down(steady.value);
  b.settings.average_shift = *shift;
  b.settings.softness = static_cast<std::uint32_t>(site.softness);
  if (site.rise_time.v > 0) {
    const std::uint32_t rise = detail::microamps_down(sum / (site.rise_time.v * site.frames.v));
    b.settings.rise_ua = rise > 0 ? rise : 1;
  }
  return b;
}

/// The words of a guard straight from the parts: `inline constexpr auto limits = *guard_limits_of(...)` is flash.
/// Faults of guard_basis_of and of `configure`.
constexpr outcome<guard_limits> guard_limits_of(const tape& t, const controller& c, const connector& feed,
                                                const driver& d, const guard_site& site) noexcept {
  const outcome<guard_basis> basis = guard_basis_of(t, c, feed, d, site);
  if (!basis) return basis.why();
  guard_limits limits;
  if (const whole_fault f = configure(basis->settings, limits)) return as_fault(f);
  return limits;
}

/// What a converter should read at start-up.
/// @param counts_per_amp, counts_per_volt  of the measuring inputs; above 0, to 65535.
/// Formula  supply = driver output; channel = nominal current of the whole tape, each channel on by itself
/// Source   closed form; drops along cable and tape lie within the share allowed either way.
constexpr outcome<startup_settings> startup_settings_of(const tape& t, const driver& d, metres length,
                                                        double counts_per_amp,
                                                        double counts_per_volt) noexcept {
  if (const fault f =
          first_fault(refuse_outside(field::length, length.v, 1e-3, range_of(field::length).most), check(t),
                      check(d), refuse_outside(field::counts, counts_per_amp, 1e-3, 65535),
                      refuse_outside(field::counts, counts_per_volt, 1e-3, 65535)))
    return f;
  startup_settings s;
  s.channels = static_cast<std::uint32_t>(t.channels.size());
  const double supply = round_half_away(d.output.v * counts_per_volt);
  if (const fault f = refuse_outside(field::counts, supply, 1, 65535)) return f;
  s.supply_counts = static_cast<std::uint32_t>(supply);
  for (std::size_t i = 0; i < t.channels.size(); ++i) {
    const double counts = round_half_away((t.channels[i].load * length / t.nominal).v * counts_per_amp);
    if (const fault f = refuse_outside(field::counts, counts, 1, 65535)) return at_item(f, i);
    s.channel_counts[i] = static_cast<std::uint32_t>(counts);
  }
  return s;
}

}  // namespace tapewright
