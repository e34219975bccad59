// SPDX-License-Identifier: BSL-1.0
// Whether a driver carries its load where it hangs, and the cheapest one that does.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/parts/driver.hpp"
#include "tapewright/rules/extra_low_voltage.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/governing.hpp"

namespace tapewright {

// Headroom is a share of the LOAD, a loading limit a share of the CAPACITY. A tenth of headroom is a
// loading limit of 1/1.1 = 0.909, not of 0.9.

/// Headroom where a job says nothing else. Source: common practice, no source.
inline constexpr double usual_headroom = 0.10;

namespace formula {
constexpr watts least_capacity(watts load, double headroom) noexcept { return load * (1 + headroom); }
}  // namespace formula

/// Capacity that a load with headroom asks for. load 0..1e6 W, headroom 0..2.
/// Formula  capacity = load (1 + headroom).  Source: closed form.
constexpr outcome<watts> least_capacity(watts load, double headroom) noexcept {
  if (const fault f = first_fault(refuse(field::power, load), refuse(field::headroom, headroom))) return f;
  return formula::least_capacity(load, headroom);
}

/// Load that a capacity allows with headroom kept. capacity 0..1e6 W, headroom 0..2.
/// Formula  load = capacity / (1 + headroom).  Source: closed form.
constexpr outcome<watts> greatest_load(watts capacity, double headroom) noexcept {
  if (const fault f = first_fault(refuse(field::power, capacity), refuse(field::headroom, headroom)))
    return f;
  return capacity / (1 + headroom);
}

/// The loading limit that says the same as a headroom. headroom 0..2.
/// Formula  limit = 1 / (1 + headroom).  Source: closed form.  Example: 0.25 -> 0.8
constexpr outcome<double> loading_limit_of_headroom(double headroom) noexcept {
  if (const fault f = refuse(field::headroom, headroom)) return f;
  return 1 / (1 + headroom);
}

/// The headroom that says the same as a loading limit. limit 0.1..1.
/// Formula  headroom = 1 / limit - 1.  Source: closed form.  Example: 0.8 -> 0.25
constexpr outcome<double> headroom_of_loading_limit(double limit) noexcept {
  if (const fault f = refuse(field::loading_limit, limit)) return f;
  return 1 / limit - 1;
}

/// Share of the rated output that is left at an ambient.
///
/// @param curve    1..8 points, ambients rising, shares 0..1.5 not rising.
/// @param ambient  -40..120 degC.
/// @return         the first point's share up to the first point; straight lines between points; 0
///                 above the last point, where the maker states nothing: the driver may not be used.
/// Source   maker's statement; straight lines between its points are common practice, no source.
/// Example  full to 50 degC, then 2.5 % a kelvin to 70 degC: 75 % at 60 degC
constexpr outcome<double> derated_share(const derating_curve& curve, celsius ambient) noexcept {
  if (const fault f =
          first_fault(refuse_outside(field::derating_point, static_cast<double>(curve.size()), 1, 8),
                      refuse(field::ambient, ambient)))
    return f;
  for (std::size_t i = 0; i < curve.size(); ++i) {
    if (const fault f = first_fault(refuse(field::ambient, curve[i].ambient),
                                    refuse(field::derating_point, curve[i].share)))
      return at_item(f, i);
    if (i == 0) continue;
    const derating_point& last = curve[i - 1];
    if (!(last.ambient < curve[i].ambient))
      return at_item(contradiction(field::ambient, curve[i].ambient.v, last.ambient.v, 120), i);
    if (!(curve[i].share <= last.share))
      return at_item(contradiction(field::derating_point, curve[i].share, 0, last.share), i);
  }
  if (ambient <= curve[0].ambient) return curve[0].share;
  for (std::size_t i = 1; i < curve.size(); ++i) {
    const derating_point &a = curve[i - 1], &b = curve[i];
    if (ambient > b.ambient) continue;
    if (ambient == b.ambient) return b.share;
    const double share = a.share + (b.share - a.share) * ((ambient - a.ambient) / (b.ambient - a.ambient));
    return larger(b.share, share);  // rounding must not fall below the segment's own end
  }
  return 0.0;
}

/// What is asked of one output of a driver.
struct driver_duty {
  watts load{};                      ///< 0.001..1e6, cable losses included where they are to be counted
  amps current{};                    ///< 0..10000; 0 = load / nominal
  double headroom = usual_headroom;  ///< 0..2, a share of the load
  celsius ambient{35};               ///< air around the driver
  volts nominal{24};                 ///< voltage the lighting side is made for
  bool as_delivered = false;         ///< true: nobody will set the trim, the output itself must be nominal
  volts mains{230};                  ///< r.m.s.
  bool limited_energy = false;       ///< wants a limited-energy (class 2) output
  bool any_mount = true;             ///< false: only `mount` will do
  fitting mount = fitting::hardwired;
  std::int32_t ingress = 20;       ///< least IP code, both digits
  square_millimetres conductor{};  ///< to be clamped to the output; 0 = not decided yet
};

/// How one output meets its duty. `by` is the first yes-or-no limit broken, else the limit used most.
struct driver_check {
  double share = not_a_number;        ///< of the rated output left at the ambient
  watts capacity = unset;             ///< of one output: derated power, or derated current x nominal if less
  amps current_limit = unset;         ///< derated output current
  amps current = unset;               ///< asked for
  watts needed = unset;               ///< load x (1 + headroom)
  double utilisation = not_a_number;  ///< needed / capacity
  double current_utilisation = not_a_number;    ///< current / current_limit, no headroom on it
  double connector_utilisation = not_a_number;  ///< current / own output connector; 0 without one
  double headroom_left = not_a_number;  ///< capacity / load - 1: a share of the LOAD; -1 = nothing left
  double loading = not_a_number;        ///< load / capacity: a share of the CAPACITY
  bool ambient_fits = false;            ///< not above the last point of the derating curve
  bool voltage_fits = false;            ///< output is nominal, or the trim may be set and reaches it
  bool mains_fits = false, mount_fits = false, ingress_fits = false, terminal_fits = false;
  bool connector_fits = false, least_load_met = false;
  bool limited_energy_fits = false;         ///< wanted: declared, and its rating within the class
  bool limited_energy_claim_holds = false;  ///< declares the class and its rating is within it
  amps class_current = unset;               ///< the class's greatest rated current at this output voltage
  amps class_nameplate = unset;             ///< what is held against class_current, A
  amps class_most_current = unset;          ///< the most it may give at all, where that is stated
  volt_amps class_power = unset;            ///< and its greatest rated volt-amperes
  bool fits = false;
  governed by = governed::none;
  source derating_source = source::maker_statement, headroom_source = source::common_practice,
         class_source = source::none;
};

/// True when an IP code of IEC 60529 is at least as high in both digits (54 against 44, not against 45).
constexpr bool ingress_at_least(std::int32_t code, std::int32_t wanted) noexcept {
  return code / 10 >= wanted / 10 && code % 10 >= wanted % 10;
}

namespace detail {
struct judged_driver {
  driver_check check;
  verdict judgement;
};

constexpr fault check(const driver_duty& d) noexcept {
  return first_fault(refuse_outside(field::power, d.load.v, 0.001, 1e6), refuse(field::current, d.current),
                     refuse(field::headroom, d.headroom), refuse(field::ambient, d.ambient),
                     refuse(field::nominal_voltage, d.nominal), refuse(field::mains_voltage, d.mains),
                     refuse(field::ingress, d.ingress), refuse(field::least_terminal, d.conductor));
}

constexpr outcome<judged_driver> judge(const driver& s, const driver_duty& d) noexcept {
  if (const fault f = first_fault(check(d), tapewright::check(s))) return f;
  const outcome<double> share = derated_share(s.derating, d.ambient);
  if (!share) return share.why();

  judged_driver j;
  driver_check& a = j.check;
  a.share = *share;
  a.current_limit = *share * rated_output_current(s);
  a.capacity = watts{smaller((*share * s.rated).v, (a.current_limit * d.nominal).v)};
  a.current = d.current.v > 0 ? d.current : d.load / d.nominal;
  a.needed = d.load * (1 + d.headroom);
  a.utilisation = utilisation(a.needed, a.capacity);
  a.current_utilisation = utilisation(a.current, a.current_limit);
  a.connector_utilisation = s.output_connector.v > 0 ? utilisation(a.current, s.output_connector) : 0.0;
  a.headroom_left = a.capacity / d.load - 1;
  a.loading = utilisation(d.load, a.capacity);

  a.ambient_fits = d.ambient <= s.derating[s.derating.size() - 1].ambient;
  const double off_nominal = absolute((s.output - d.nominal).v);
  const bool trim_reaches = s.trim_low <= d.nominal && d.nominal <= s.trim_high;
  a.voltage_fits = off_nominal <= rounding_share * d.nominal.v || (!d.as_delivered && trim_reaches);
  a.mains_fits = s.mains_low <= d.mains && d.mains <= s.mains_high;
  a.mount_fits = d.any_mount || s.mount == d.mount;
  a.ingress_fits = ingress_at_least(s.ingress, d.ingress);
  a.terminal_fits = d.conductor.v == 0 || takes(s.least_terminal, s.greatest_terminal, d.conductor);
  a.connector_fits = within(a.connector_utilisation);
  a.least_load_met = d.load.v * (1 + rounding_share) >= s.least_load.v;

  // The class asks for the greatest voltage the output can have, so a trim counts at its upper end.
  const volts highest{larger(s.output.v, s.trim_high.v)};
  a.class_nameplate = amps{larger((s.rated / s.output).v, s.output_limit.v)};
  const outcome<limited_energy_limit> in_class = class2_limit(highest);
  if (in_class) {
    a.class_current = in_class->nameplate;
    a.class_power = in_class->rated_power;
    a.class_source = in_class->from;
    a.class_most_current = in_class->most_current;
    a.limited_energy_claim_holds =
        s.limited_energy && within(utilisation(a.class_nameplate, a.class_current)) &&
        within(utilisation(s.rated.v, a.class_power.v)) &&
        within(utilisation(s.overload_limit, a.class_most_current));  // 0 where not stated
  }
  a.limited_energy_fits = !d.limited_energy || a.limited_energy_claim_holds;

  verdict& v = j.judgement;
  v.must(governed::output_voltage, a.voltage_fits);
  v.must(governed::mains_voltage, a.mains_fits);
  v.must(governed::mount, a.mount_fits);
  v.must(governed::ingress, a.ingress_fits);
  v.must(governed::limited_energy, a.limited_energy_fits);
  v.must(governed::ambient, a.ambient_fits);
  v.must(governed::terminal, a.terminal_fits);
  v.must(governed::least_load, a.least_load_met);
  v.use(governed::capacity, a.utilisation);
  v.use(governed::output_current, a.current_utilisation);
  v.use(governed::own_connector, a.connector_utilisation);
  a.fits = v.fits;
  a.by = v.by;
  return j;
}
}  // namespace detail

/// Holds one output of a driver against a duty.
///
/// @return  Faults: figures out of range, or a driver that check(s) refuses. A place hotter than its
///          derating curve is an answer that does not fit, with nothing left of its output.
/// Formula  capacity = share(ambient) x min(rated, limit x nominal);  load (1 + headroom) <= capacity
/// Source   derating: maker's statement; headroom: common practice, no source; class: as told.
/// Safety   one output feeds its own loads; outputs are never joined.
constexpr outcome<driver_check> check_driver(const driver& s, const driver_duty& d) noexcept {
  const outcome<detail::judged_driver> j = detail::judge(s, d);
  if (!j) return j.why();
  return j->check;
}

/// A driver chosen from a list, or what stops the nearest.
struct driver_choice {
  std::int32_t driver = -1;              ///< place in the list; -1 = none fits
  driver_check check;                    ///< of the chosen one, or of the nearest where none fits
  std::int32_t nearest = -1;             ///< where none fits: the one that misses by least; -1 = empty list
  governed stopped_by = governed::none;  ///< what stops the nearest
};

/// The cheapest driver one output of which fits; without prices, or among equals, the one with the
/// least capacity at this ambient; then by code. The order of the list does not matter.
///
/// @param banned  one entry a driver, not 0 = leave it out; may be empty.
/// @return        Faults of check_driver, told of the row.
/// Source         common practice, no source: of what fits, the cheapest.
constexpr outcome<driver_choice> choose_driver(const driver_duty& d, std::span<const driver> drivers,
                                               std::span<const std::uint8_t> banned = {}) noexcept {
  if (const fault f = detail::check(d)) return f;
  driver_choice choice;
  detail::standing best;
  std::int32_t first = -1;
  for (std::size_t i = 0; i < drivers.size(); ++i) {
    if (detail::struck(banned, i)) continue;
    const outcome<detail::judged_driver> j = detail::judge(drivers[i], d);
    if (!j) return at_item(j.why(), i);
    const detail::standing one{j->judgement.fits,      j->judgement.broken, j->judgement.greatest,
                               drivers[i].price.minor, j->check.capacity.v, drivers[i].code};
    if (first >= 0 && !detail::before(one, best)) continue;
    first = static_cast<std::int32_t>(i);
    best = one;
    choice.check = j->check;
  }
  (choice.check.fits ? choice.driver : choice.nearest) = first;
  if (choice.nearest >= 0) choice.stopped_by = choice.check.by;
  return choice;
}

static_assert([] {
  derating_curve curve;  // full to 50 degC, then 2.5 % a kelvin to 70 degC
  curve.push({celsius{50}, 1.0});
  curve.push({celsius{70}, 0.5});
  return *derated_share(curve, celsius{60}) == 0.75 && *derated_share(curve, celsius{71}) == 0;
}());
static_assert(*loading_limit_of_headroom(0.25) == 0.8 && *headroom_of_loading_limit(0.8) == 0.25);
static_assert(ingress_at_least(67, 65) && ingress_at_least(54, 44) && !ingress_at_least(54, 45));

}  // namespace tapewright
