// SPDX-License-Identifier: BSL-1.0
// Drivers: the LED power supplies, with what they give, what they need, and how they are fitted.
#pragma once

#include <cstdint>
#include <string_view>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"

namespace tapewright {

/// How a driver meets the mains.
enum class fitting : std::int32_t {
  plug_in = 0,    ///< a fused mains plug, in a socket outlet; no electrician for the driver itself
  hardwired = 1,  ///< terminals; connected by a qualified person
};

/// A point of a driver's derating curve: share of the rated output left at an ambient.
struct derating_point {
  celsius ambient;
  double share = 1.0;  ///< 0..1.5 of rated output
};
using derating_curve = bounded<derating_point, 8>;

/// One driver of a catalogue.
struct driver {
  std::string_view code, name;
  volts output;               ///< nominal output voltage
  volts trim_low, trim_high;  ///< range of its output trim; both 0 = none
  watts rated;                ///< rated output power of ONE output
  amps output_limit;          ///< greatest continuous current of one output; 0 = rated / output
  amps overload_limit;        ///< greatest it can give at all, into a short circuit too; 0 = not stated
  std::int32_t outputs = 1;   ///< independent outputs; never joined
  watts least_load;
  double efficiency = 0.9;      ///< 0.05..1, at full load
  double power_factor = 0.9;    ///< 0.05..1, at full load
  volts mains_low, mains_high;  ///< r.m.s. range it accepts
  amps inrush_peak;             ///< 0 = not stated
  seconds inrush_duration;      ///< at half the peak; 0 = not stated
  amps leakage;                 ///< protective-conductor current; 0 = class II or not stated
  fitting mount = fitting::hardwired;
  bool limited_energy = false;  ///< its maker declares a limited-energy (class 2 / LPS) output
  derating_curve derating;      ///< ambients rising; before the first point its share holds
  square_millimetres least_terminal, greatest_terminal;  ///< output terminals; 0 and 0 = own connector
  amps output_connector;      ///< rating of its own output connector; 0 = terminals
  amps plug_fuse;             ///< fuse in its mains plug; 0 = none
  std::int32_t ingress = 20;  ///< IP code of IEC 60529
  money price;                ///< 0 = not known
};

/// Current that one output may give without derating: the stated limit, or rated power over voltage.
constexpr amps rated_output_current(const driver& d) noexcept {
  return d.output_limit.v > 0 ? d.output_limit : d.rated / d.output;
}

/// Refuses a driver whose figures make no sense (ranges: core/field.hpp; derating ambients rising,
/// shares not rising; a trim with both ends, around the output voltage).
constexpr fault check(const driver& d) noexcept {
  if (const fault f = refuse_nameless(d.code)) return f;
  // in the unit of the field; what is far beyond it stays as it is, so that nothing overflows
  const auto in_field = [](double v, double units) noexcept {
    return is_within(v, -1e6, 1e6) ? v * units : v;
  };
  if (const fault f = first_fault(
          refuse(field::output_voltage, d.output), refuse(field::trim_low, d.trim_low),
          refuse(field::trim_high, d.trim_high), refuse(field::rated_output, d.rated),
          refuse(field::output_current_limit, d.output_limit),
          refuse(field::overload_limit, d.overload_limit), refuse(field::output_count, d.outputs),
          refuse(field::least_load, d.least_load), refuse(field::efficiency, d.efficiency),
          refuse(field::power_factor, d.power_factor), refuse(field::mains_voltage, d.mains_low),
          refuse_outside(field::mains_voltage, d.mains_high.v, d.mains_low.v, 440),
          refuse(field::inrush_peak, d.inrush_peak),
          refuse(field::inrush_duration, in_field(d.inrush_duration.v, 1e6)),
          refuse(field::leakage, in_field(d.leakage.v, 1e3)), refuse(field::least_terminal, d.least_terminal),
          refuse_outside(field::greatest_terminal, d.greatest_terminal.v, d.least_terminal.v, 1000),
          refuse(field::terminal_current, d.output_connector.v == 0 ? 1.0 : d.output_connector.v),
          refuse(field::fuse_rating, d.plug_fuse.v == 0 ? 1.0 : d.plug_fuse.v),
          refuse(field::ingress, d.ingress), refuse(field::price, static_cast<double>(d.price.minor))))
    return f;
  if (d.overload_limit.v > 0 && d.overload_limit < rated_output_current(d))
    return contradiction(field::overload_limit, d.overload_limit.v, rated_output_current(d).v, 1e4);
  if ((d.trim_low.v > 0) != (d.trim_high.v > 0)) {
    const double lowest = range_of(field::output_voltage).least, highest = range_of(field::trim_high).most;
    if (d.trim_low.v > 0) return contradiction(field::trim_high, 0, d.output.v, highest);
    return contradiction(field::trim_low, 0, lowest, d.output.v);
  }
  if (d.trim_high.v > 0 && !(d.trim_low <= d.output && d.output <= d.trim_high))
    return contradiction(field::output_voltage, d.output.v, d.trim_low.v, d.trim_high.v);
  if (d.derating.empty()) return {fault_code::out_of_range, field::derating_point, 0, 1, 8, -1};
  for (std::size_t i = 0; i < d.derating.size(); ++i) {
    const derating_point& p = d.derating[i];
    if (const fault f =
            first_fault(refuse(field::ambient, p.ambient), refuse(field::derating_point, p.share)))
      return f;
    if (i == 0) continue;
    if (!(d.derating[i - 1].ambient < p.ambient))
      return contradiction(field::ambient, p.ambient.v, d.derating[i - 1].ambient.v, 120);
    if (!(p.share <= d.derating[i - 1].share))
      return contradiction(field::derating_point, p.share, 0, d.derating[i - 1].share);
  }
  return {};
}

}  // namespace tapewright
