// SPDX-License-Identifier: BSL-1.0
// Whether a connector carries its current at its place, and the cheapest one that does.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/parts/connector.hpp"
#include "tapewright/rules/contact_derating.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/governing.hpp"

namespace tapewright {

/// What is asked of one connector.
struct connector_duty {
  std::int32_t poles = 2;                   ///< conductors to join; 1..24
  amps pole_current{};                      ///< of the busiest pole: the common's; 0..10000
  volts voltage{24};                        ///< 0.1..120
  celsius ambient{25};                      ///< -40..120
  square_millimetres conductor{};           ///< to be clamped; 0 = none (tape to tape), not looked at
  double curve_factor = base_curve_factor;  ///< 0.1..1; 1 on a figure that is derated already
  std::int32_t ways = 2;                    ///< cables that meet; 2..24
};

/// How a connector meets its duty. `by` is the first yes-or-no limit broken, else the current.
struct connector_check {
  amps allowed = unset;  ///< per pole at this ambient; 0 at and above the upper limit
  double utilisation = not_a_number;
  bool poles_fit = false, ways_fit = false, voltage_fits = false, conductor_fits = false;
  bool ambient_fits = false;  ///< below the upper limiting temperature
  bool fits = false;
  governed by = governed::none;
  source from = source::none;  ///< of the derating with temperature
};

namespace detail {
struct judged_connector {
  connector_check check;
  verdict judgement;
};

constexpr fault check(const connector_duty& d) noexcept {
  return first_fault(refuse(field::poles, d.poles), refuse(field::current, d.pole_current),
                     refuse(field::voltage, d.voltage), refuse(field::ambient, d.ambient),
                     refuse(field::least_terminal, d.conductor),
                     refuse_outside(field::share, d.curve_factor, 0.1, 1),
                     refuse_outside(field::poles, d.ways, 2, 24));
}

constexpr outcome<judged_connector> judge(const connector& c, const connector_duty& d) noexcept {
  if (const fault f = first_fault(check(d), tapewright::check(c))) return f;
  judged_connector j;
  connector_check& a = j.check;
  const outcome<amps> allowed =
      contact_current(c.rated, c.rating_ambient, c.upper_limit, d.ambient, d.curve_factor);
  if (!allowed) return allowed.why();
  a.allowed = *allowed;
  a.ambient_fits = d.ambient < c.upper_limit;
  a.from = source::iec_60512_5_2;
  a.utilisation = utilisation(d.pole_current, a.allowed);
  a.poles_fit = c.poles >= d.poles;
  a.ways_fit = c.ways >= d.ways;
  a.voltage_fits = d.voltage <= c.rated_voltage;
  a.conductor_fits = d.conductor.v == 0 || takes(c.least, c.greatest, d.conductor);

  verdict& v = j.judgement;
  v.must(governed::poles, a.poles_fit);
  v.must(governed::ways, a.ways_fit);
  v.must(governed::rated_voltage, a.voltage_fits);
  v.must(governed::terminal, a.conductor_fits);
  v.must(governed::ambient, a.ambient_fits);
  v.use(governed::contact_current, a.utilisation);
  a.fits = v.fits;
  a.by = v.by;
  return j;
}
}  // namespace detail

/// Holds a connector's limits against a duty.
///
/// @return  Faults: figures out of range, or a connector that check(c) refuses. A place hotter than
///          the connector bears is an answer that does not fit.
/// Formula  allowed = factor x rated x sqrt((T_limit - T_ambient) / (T_limit - T_rating))
/// Source   IEC 60512-5-2 test 5b and the square law of heating (rules/contact_derating.hpp).
constexpr outcome<connector_check> check_connector(const connector& c, const connector_duty& d) noexcept {
  const outcome<detail::judged_connector> j = detail::judge(c, d);
  if (!j) return j.why();
  return j->check;
}

/// A connector chosen from a list, or why none could be.
struct connector_choice {
  std::int32_t connector = -1;  ///< place in the list; -1 = none fits
  connector_check check;        ///< of the chosen one, or of the nearest where none fits
  std::int32_t nearest = -1;    ///< where none fits: the one that misses by least; -1 = none of this use
};

/// The cheapest connector of a use that fits; then the one with the fewest poles; then by code.
/// The order of the list does not matter.
///
/// @param banned  one entry a connector, not 0 = leave it out; may be empty.
/// @return        Faults of check_connector, told of the row.
/// Source         common practice, no source: of what fits, the cheapest.
constexpr outcome<connector_choice> choose_connector(const connector_duty& d, connector_use use,
                                                     std::span<const connector> connectors,
                                                     std::span<const std::uint8_t> banned = {}) noexcept {
  if (const fault f = detail::check(d)) return f;
  connector_choice choice;
  detail::standing best;
  std::int32_t first = -1;
  for (std::size_t i = 0; i < connectors.size(); ++i) {
    const connector& c = connectors[i];
    if (c.use != use || detail::struck(banned, i)) continue;
    const outcome<detail::judged_connector> j = detail::judge(c, d);
    if (!j) return at_item(j.why(), i);
    const detail::standing one{j->judgement.fits, j->judgement.broken,          j->judgement.greatest,
                               c.price.minor,     static_cast<double>(c.poles), c.code};
    if (first >= 0 && !detail::before(one, best)) continue;
    first = static_cast<std::int32_t>(i);
    best = one;
    choice.check = j->check;
  }
  (choice.check.fits ? choice.connector : choice.nearest) = first;
  return choice;
}

}  // namespace tapewright
