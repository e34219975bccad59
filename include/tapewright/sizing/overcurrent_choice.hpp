// SPDX-License-Identifier: BSL-1.0
// The fuse or breaker of an extra-low-voltage output: whether one is needed, fits, and would open.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/parts/overcurrent_device.hpp"
#include "tapewright/rules/overcurrent_ratings.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/governing.hpp"

namespace tapewright {

/// What is asked of the protection of one cable.
struct overcurrent_duty {
  amps load{};             ///< Ib, steady; 0..10000
  amps ampacity{};         ///< Iz of the thinnest conductor behind it; 0..10000
  volts voltage{24};       ///< 0.1..120
  ohms fault_loop{};       ///< out and back to the far end, HOT: the least fault current counts; 0..1e6
  amps source_limit{};     ///< greatest current the driver can give, into a short circuit too; 0 = not
                           ///< known, taken as a stiff source
  double load_factor = 1;  ///< 1..2: 1.25 where the code counts continuous loads so (NEC 210.20(A))
  amps device_limit{};     ///< largest device the code allows on the conductor whatever its ampacity (NEC
                           ///< 240.4(D)); 0 = none; 0..400
};

/// How one device meets its duty, or why none is needed. `by` is the first yes-or-no limit broken,
/// else the limit used most.
struct overcurrent_check {
  bool source_protects = false;  ///< the source cannot give more than Iz: the cable needs no device
  amps fault_current =
      unset;  ///< at the far end: V / loop, at most the source's limit and 1e6 A. With a limit
              ///< not known it is that of a stiff source: ask the maker, a driver gives less
  double operating_factor = not_a_number;
  amps operating = unset;                       ///< I2 = factor x In
  double load_utilisation = not_a_number;       ///< factor x Ib / In
  double cable_utilisation = not_a_number;      ///< In / Iz
  double device_utilisation = not_a_number;     ///< In / the code's largest device; 0 without one
  double operating_utilisation = not_a_number;  ///< I2 / (1.45 Iz)
  double fault_utilisation = not_a_number;      ///< I2 / fault current: above 1 it never opens
  bool opens = false;                           ///< a short circuit at the far end operates it, in time
  bool voltage_fits = false;
  bool fits = false;
  governed by = governed::none;
  source rule_source = source::iec_60364_4_43;
};

namespace detail {
struct judged_overcurrent {
  overcurrent_check check;
  verdict judgement;
};

constexpr fault check(const overcurrent_duty& d) noexcept {
  return first_fault(
      refuse(field::current, d.load), refuse(field::ampacity, d.ampacity), refuse(field::voltage, d.voltage),
      refuse(field::resistance, d.fault_loop), refuse(field::current, d.source_limit),
      refuse_outside(field::fuse_factor, d.load_factor, 1, 2),
      refuse_outside(field::fuse_rating, d.device_limit.v, 0, range_of(field::fuse_rating).most));
}

/// Greatest short-circuit current the library tells: that of the field's own range.
constexpr amps greatest_fault{range_of(field::fault_current).most};

constexpr amps far_end_fault(const overcurrent_duty& d) noexcept {
  const amps stiff =
      d.voltage.v < d.fault_loop.v * greatest_fault.v ? d.voltage / d.fault_loop : greatest_fault;
  return d.source_limit.v > 0 && d.source_limit < stiff ? d.source_limit : stiff;
}

constexpr bool source_protects(const overcurrent_duty& d) noexcept {
  return d.source_limit.v > 0 && within(utilisation(d.source_limit, d.ampacity));
}

constexpr outcome<judged_overcurrent> judge(const overcurrent_device& o, const overcurrent_duty& d) noexcept {
  if (const fault f = first_fault(check(d), tapewright::check(o))) return f;
  const outcome<double> factor = operating_factor(o.family, o.rated);
  if (!factor) return factor.why();
  judged_overcurrent j;
  overcurrent_check& a = j.check;
  a.source_protects = source_protects(d);
  a.fault_current = far_end_fault(d);
  a.operating_factor = *factor;
  a.operating = *factor * o.rated;
  a.load_utilisation = utilisation(d.load_factor * d.load, o.rated);
  a.cable_utilisation = utilisation(o.rated, d.ampacity);
  a.device_utilisation = d.device_limit.v > 0 ? utilisation(o.rated, d.device_limit) : 0.0;
  a.operating_utilisation = utilisation(a.operating, greatest_operating_share * d.ampacity);
  a.fault_utilisation = utilisation(a.operating, a.fault_current);
  a.opens = within(a.fault_utilisation);
  a.voltage_fits = d.voltage <= o.rated_voltage;

  verdict& v = j.judgement;
  v.must(governed::rated_voltage, a.voltage_fits);
  v.use(governed::load_current, a.load_utilisation);
  v.use(governed::cable_protection, a.cable_utilisation);
  v.use(governed::code_maximum, a.device_utilisation);
  v.use(governed::operating_current, a.operating_utilisation);
  v.use(governed::fault_current, a.fault_utilisation);
  a.fits = v.fits;
  a.by = v.by;
  return j;
}
}  // namespace detail

/// Holds one device against the rules of overload and short-circuit protection.
///
/// @return  Every figure. A driver that limits its own current below the device's operating current
///          never opens it: `opens` is false and the answer does not fit, even where the rating suits
///          the cable. `source_protects` tells the case in which that does no harm.
///          Faults: figures out of range, a device that check(o) refuses.
/// Formula  k Ib <= In <= Iz;  In <= the code's largest device;  I2 <= 1.45 Iz;  I2 <= min(U / R_loop, I_source)
/// Source   IEC 60364-4-43 cl. 433.1 (overload) and cl. 436 (limitation by the source), from memory;
///          I2 by rules/overcurrent_ratings.hpp.
/// Accuracy I2 opens within the device's conventional time, not at once (IEC 60898-1: within an hour);
///          a driver that shuts itself down on overload does so before.
constexpr outcome<overcurrent_check> check_overcurrent(const overcurrent_device& o,
                                                       const overcurrent_duty& d) noexcept {
  const outcome<detail::judged_overcurrent> j = detail::judge(o, d);
  if (!j) return j.why();
  return j->check;
}

/// A device chosen from a list, or why none is needed or none fits.
struct overcurrent_choice {
  bool needed = true;                    ///< false: the source cannot overload the cable; nothing was chosen
  std::int32_t device = -1;              ///< place in the list; -1 = none needed, or none fits
  overcurrent_check check;               ///< of the chosen one, or of the nearest where none fits
  std::int32_t nearest = -1;             ///< where one is needed and none fits: the one that misses by least
  governed stopped_by = governed::none;  ///< what stops the nearest
  amps source_limit = unset, ampacity = unset;  ///< the two currents behind `needed`
  source needed_source = source::iec_60364_4_43;
};

/// Whether a cable needs a device, and the cheapest that fits; without prices, or among equals, the
/// one with the smallest rating; then by code. The order of the list does not matter.
///
/// @param banned  one entry a device, not 0 = leave it out; may be empty.
/// @return        Faults of check_overcurrent, told of the row.
/// Source         IEC 60364-4-43 cl. 436 (no device where the source limits), from memory.
constexpr outcome<overcurrent_choice> choose_overcurrent(const overcurrent_duty& d,
                                                         std::span<const overcurrent_device> devices,
                                                         std::span<const std::uint8_t> banned = {}) noexcept {
  if (const fault f = detail::check(d)) return f;
  overcurrent_choice choice;
  choice.source_limit = d.source_limit;
  choice.ampacity = d.ampacity;
  choice.needed = !detail::source_protects(d);
  if (!choice.needed) {
    choice.check.source_protects = true;
    choice.check.fault_current = detail::far_end_fault(d);
    return choice;
  }
  detail::standing best;
  std::int32_t first = -1;
  for (std::size_t i = 0; i < devices.size(); ++i) {
    if (detail::struck(banned, i)) continue;
    const outcome<detail::judged_overcurrent> j = detail::judge(devices[i], d);
    if (!j) return at_item(j.why(), i);
    const detail::standing one{j->judgement.fits,      j->judgement.broken, j->judgement.greatest,
                               devices[i].price.minor, devices[i].rated.v,  devices[i].code};
    if (first >= 0 && !detail::before(one, best)) continue;
    first = static_cast<std::int32_t>(i);
    best = one;
    choice.check = j->check;
  }
  (choice.check.fits ? choice.device : choice.nearest) = first;
  if (choice.nearest >= 0) choice.stopped_by = choice.check.by;
  return choice;
}

// 8 A at most into 15 A of cable: nothing to protect. 40 A: a 10 A breaker holds 6 A and the cable.
static_assert(!choose_overcurrent({.ampacity = amps{15}, .source_limit = amps{8}}, {})->needed);
static_assert(check_overcurrent({"C10", "", overcurrent_family::breaker_c, amps{10}, volts{60}, {}},
                                {.load = amps{6}, .ampacity = amps{15}, .source_limit = amps{40}})
                  ->fits);

}  // namespace tapewright
