// SPDX-License-Identifier: BSL-1.0
// Cable sizes: voltage drop, current-carrying capacity, terminals and code minimum, and which governs.
#pragma once

#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <span>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/core/text.hpp"
#include "tapewright/parts/cable.hpp"
#include "tapewright/parts/tape.hpp"
#include "tapewright/rules/ampacity.hpp"
#include "tapewright/rules/conductor_sizes.hpp"
#include "tapewright/rules/copper.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/governing.hpp"
#include "tapewright/sizing/run_length.hpp"
#include "tapewright/sizing/spare_worth.hpp"
#include "tapewright/sizing/tape_load.hpp"

namespace tapewright {

namespace formula {
constexpr volts two_wire_drop(amps current, ohms_per_metre r, metres one_way) noexcept {
  return 2 * (current * (r * one_way));
}
constexpr volts feeder_drop(amps common, amps own, ohms_per_metre r, metres one_way) noexcept {
  return (common + own) * (r * one_way);
}
constexpr square_millimetres least_area(amps current, metres one_way, volts allowed,
                                        ohm_square_millimetres_per_metre resistivity) noexcept {
  return square_millimetres{2 * resistivity.v * current.v * one_way.v / allowed.v};
}
}  // namespace formula

/// Voltage lost out and back in a two-conductor feeder with one load at its end.
///
/// @param current  A; 0..10000.
/// @param r        ohm/m of ONE conductor at working temperature; 0..1000.
/// @param one_way  m from supply to load; 0..10000. The return leg is added here.
/// Formula  dU = 2 I r L
/// Source   closed form: Ohm's law over the loop.
/// Example  2.5 A, 0.0210 ohm/m, 4 m -> 0.42 V
constexpr outcome<volts> two_wire_drop(amps current, ohms_per_metre r, metres one_way) noexcept {
  if (const fault f = first_fault(refuse(field::current, current), refuse(field::resistance_per_metre, r),
                                  refuse(field::one_way, one_way)))
    return f;
  return formula::two_wire_drop(current, r, one_way);
}

/// Voltage lost by one channel of a cable whose common core carries all channels.
///
/// @param common   A in the common core; 0..10000.
/// @param own      A in the channel's own core; 0..10000.
/// @param r        ohm/m of ONE core at working temperature; 0..1000.
/// @param one_way  m; 0..10000. Both cores are counted here.
/// Formula  dU = (I_common + I_own) r L
/// Source   closed form: Ohm's law over the loop.
/// Example  6 A together, 2 A of its own, 0.01 ohm/m, 5 m -> 0.4 V
constexpr outcome<volts> feeder_drop(amps common, amps own, ohms_per_metre r, metres one_way) noexcept {
  if (const fault f = first_fault(refuse(field::current, common), refuse(field::current, own),
                                  refuse(field::resistance_per_metre, r), refuse(field::one_way, one_way)))
    return f;
  return formula::feeder_drop(common, own, r, one_way);
}

/// The smallest copper section that keeps a two-conductor feeder within a drop.
///
/// @param current      A; 0..10000.
/// @param one_way      m; 0..10000. The return leg is added here.
/// @param allowed      V; 0.0001..120.
/// @param resistivity  ohm mm2/m at working temperature; 0.01..0.1 (copper at 20 degC: 1/58).
/// @return             an exact area, not a size that is made; 0 for no current or no length.
/// Formula  S = 2 rho I L / dU
/// Source   closed form, as IEC 60364-5-52:2009 Annex G with b = 2 and direct current.
/// Example  20 A over 5 m with 1.3793 V allowed at 20 degC -> 2.5 mm2
constexpr outcome<square_millimetres> least_area(amps current, metres one_way, volts allowed,
                                                 ohm_square_millimetres_per_metre resistivity) noexcept {
  if (const fault f = first_fault(refuse(field::current, current), refuse(field::one_way, one_way),
                                  refuse_outside(field::voltage, allowed.v, 1e-4, 120),
                                  refuse(field::resistivity, resistivity)))
    return f;
  return formula::least_area(current, one_way, allowed, resistivity);
}

/// What is asked of one feeder: a common core and one core a channel. A two-core supply cable is a
/// feeder of one channel.
struct feeder_question {
  metres one_way{};                               ///< route length; 0..10000
  bounded<amps, max_channels> channel_current{};  ///< each at its own full load; 1..6 of them
  amps common{};                                  ///< current of the common core; 0 = the sum of the channels
  volts nominal{24};                              ///< the drop is a share of this; 3..60
  double drop_limit = 0.03;                       ///< allowed drop as a share of nominal; 0..0.5
  celsius ambient{30};                            ///< air around the cable
  celsius copper{70};  ///< working temperature for the resistance. The insulation's limit is
                       ///< the safe choice: no conductor that is well used gets warmer
  code_family family = code_family::iec;
  laying method = laying::b2;
  arrangement grouping = arrangement::bunched;
  std::int32_t circuits = 1;                                 ///< cables laid together, this one included
  square_millimetres least_terminal{}, greatest_terminal{};  ///< of the narrower end; 0 and 0 = not looked at
  square_millimetres least_area{};                           ///< smallest section the code allows; 0 = none
  amps
      device_ampacity{};  ///< what the overcurrent device ahead asks the cable to carry; 0..10000, 0 = nothing
  ohms greatest_core{};   ///< of one core, copper as above, over which a short circuit at its far end still
                          ///< operates that device; 0..1e6, 0 = not looked at
  money ampere_worth{};   ///< what an ampere of ampacity is worth where a cable is chosen; 0..1e9
};

/// How one cable answers the question. `by` is the first yes-or-no limit broken, else the limit of
/// drop and ampacity that is used more.
struct feeder_check {
  conductor_size conductor;       ///< with its area filled in, gauge sizes too
  std::int32_t cores_needed = 0;  ///< channels + 1
  std::int32_t loaded_cores = 0;  ///< those that carry current at full light
  amps common_current = unset;
  ohms_per_metre resistance = unset;  ///< of one core, at the working temperature asked for
  ohms core_resistance = unset;       ///< of one core over the one-way length
  volts drop[max_channels] = {unset, unset, unset, unset, unset, unset};  ///< common and own core
  volts worst_drop = unset;
  std::int32_t worst_channel = -1;
  double drop_share = not_a_number;  ///< worst drop over nominal
  watts loss = unset;                ///< heat of all cores
  double heat_share = not_a_number;  ///< that heat over the heat of two cores that both carry the
                                     ///< common current; never above 1, which is what makes a table
                                     ///< for two loaded conductors the safe one to start from
  ampacity_answer ampacity;          ///< unset where ampacity_known is false
  bool ampacity_known = false;       ///< false: no published figure for this size, place or method
  fault no_ampacity;                 ///< why not
  celsius expected_copper = unset;   ///< temperature the busiest core settles at, by the square law
  double drop_utilisation = not_a_number, ampacity_utilisation = not_a_number;
  bool cores_fit = false, terminal_fits = false, area_fits = false, piece_fits = false;
  bool fits = false;
  governed by = governed::none;
  double utilisation = not_a_number;  ///< the greater of drop and ampacity
  source resistance_source = source::none, drop_source = source::none;
};

namespace detail {

constexpr fault check(const feeder_question& q) noexcept {
  return first_fault(
      refuse(field::one_way, q.one_way), refuse(field::nominal_voltage, q.nominal),
      refuse(field::drop_limit, q.drop_limit), refuse(field::ambient, q.ambient),
      refuse(field::temperature, q.copper), refuse(field::circuits_grouped, q.circuits),
      refuse(field::least_terminal, q.least_terminal),
      refuse_outside(field::greatest_terminal, q.greatest_terminal.v, q.least_terminal.v, 1000),
      refuse(field::least_terminal, q.least_area), refuse(field::ampacity, q.device_ampacity),
      refuse(field::resistance, q.greatest_core),
      refuse(field::spare_amperes, static_cast<double>(q.ampere_worth.minor)));
}

/// What a misfit verdict of one cable ranks by.
struct judged_feeder {
  feeder_check check;
  verdict judgement;
};

/// Of a question that check(q) accepts, with its common current.
constexpr outcome<judged_feeder> judge(const feeder_question& q, amps common, const cable& k) noexcept {
  if (const fault f = tapewright::check(k)) return f;
  const outcome<conductor_size> conductor = listed(k.conductor);
  if (!conductor) return conductor.why();
  const outcome<ohms_per_metre> r = resistance_at(*conductor, q.copper);
  if (!r) return r.why();

  judged_feeder j;
  feeder_check& a = j.check;
  a.conductor = *conductor;
  a.common_current = common;
  a.resistance = *r;
  a.core_resistance = *r * q.one_way;
  a.resistance_source = source_of(*conductor);
  a.drop_source = source::closed_form;

  const std::size_t channels = q.channel_current.size();
  a.cores_needed = static_cast<std::int32_t>(channels) + 1;
  a.loaded_cores = common.v > 0 ? 1 : 0;
  a.worst_drop = volts{};
  a.worst_channel = 0;
  double squares = common.v * common.v;
  for (std::size_t c = 0; c < channels; ++c) {
    const amps own = q.channel_current[c];
    if (own.v > 0) ++a.loaded_cores;
    a.drop[c] = own.v > 0 ? (common + own) * a.core_resistance : volts{};
    squares += own.v * own.v;
    if (!(a.drop[c] > a.worst_drop)) continue;
    a.worst_drop = a.drop[c];
    a.worst_channel = static_cast<std::int32_t>(c);
  }
  a.drop_share = a.worst_drop / q.nominal;
  a.drop_utilisation = utilisation(a.drop_share, q.drop_limit);
  a.loss = watts{squares * a.core_resistance.v};
  a.heat_share = common.v > 0 ? squares / (2 * common.v * common.v) : 0.0;

  const outcome<ampacity_answer> iz =
      ampacity({q.family, q.method, *conductor, k.conductor_limit, a.loaded_cores > 0 ? a.loaded_cores : 2,
                q.ambient, q.circuits, q.grouping, k.rating});
  if (!iz && iz.why().code == fault_code::out_of_range) return iz.why();
  a.ampacity_known = iz.ok();
  a.no_ampacity = iz.why();
  if (iz) a.ampacity = *iz;
  a.ampacity_utilisation = iz ? utilisation(common, iz->allowed) : boundless_utilisation;
  // rise ~ current squared; at the allowed current the conductor is at its limit (IEC 60287 model).
  // Grouping is thereby counted as extra heat, which is what it is.
  if (iz && iz->allowed.v > 0)
    a.expected_copper =
        q.ambient + (k.conductor_limit - q.ambient) * (a.ampacity_utilisation * a.ampacity_utilisation);

  a.cores_fit = k.cores >= a.cores_needed;
  a.terminal_fits = takes(q.least_terminal, q.greatest_terminal, conductor->area);
  a.area_fits = q.least_area.v <= conductor->area.v * (1 + rounding_share);
  a.piece_fits = k.stock.v == 0 || q.one_way.v <= k.stock.v * (1 + rounding_share);

  verdict& v = j.judgement;
  v.must(governed::cores, a.cores_fit);
  v.must(governed::code_minimum, a.area_fits);
  v.must(governed::terminal, a.terminal_fits);
  v.must(governed::stock, a.piece_fits);
  v.must(governed::ampacity_unknown, a.ampacity_known);
  v.use(governed::drop, a.drop_utilisation);
  if (a.ampacity_known) v.use(governed::ampacity, a.ampacity_utilisation);
  if (a.ampacity_known && q.device_ampacity.v > 0)
    v.use(governed::cable_protection, utilisation(q.device_ampacity, iz->allowed));
  if (q.greatest_core.v > 0) v.use(governed::fault_current, utilisation(a.core_resistance, q.greatest_core));
  a.fits = v.fits;
  a.by = v.by;
  a.utilisation = larger(a.drop_utilisation, a.ampacity_known ? a.ampacity_utilisation : 0);
  return j;
}

constexpr outcome<judged_feeder> judge(const feeder_question& q, const cable& k) noexcept {
  const outcome<amps> common = common_current(q.channel_current, q.common);
  if (const fault f = first_fault(check(q), common.why())) return f;
  return judge(q, *common, k);
}

}  // namespace detail

/// Holds one cable against a feeder question.
///
/// @return  Every figure on the way. A cable without a published or stated current is an answer that
///          does not fit (governed::ampacity_unknown), not a fault. Faults: figures out of range,
///          a conductor size that no table lists, a common current that contradicts the channels.
/// Formula  dU_c = r L (I_common + I_c);  I_common <= I_z (the common core is the busiest)
/// Source   drop: closed form; resistance and ampacity: as told in the answer.
constexpr outcome<feeder_check> check_feeder(const feeder_question& q, const cable& k) noexcept {
  const outcome<detail::judged_feeder> j = detail::judge(q, k);
  if (!j) return j.why();
  return j->check;
}

/// The ampacity of a cable as weights count it; none where it is not known.
constexpr valued_capacity valued_ampacity(const feeder_check& c) noexcept {
  return valued(c.ampacity_known ? c.ampacity.allowed : amps{});
}

/// What an ampere is worth where one of some cables is chosen: q.ampere_worth, limited by those that fit.
constexpr money ampere_worth(const feeder_question& q, std::span<const cable> cables,
                             std::span<const std::uint8_t> banned = {}) noexcept {
  money worth = q.ampere_worth;
  for (std::size_t i = 0; i < cables.size() && worth.minor > 0; ++i) {
    if (detail::struck(banned, i)) continue;
    const outcome<feeder_check> check = check_feeder(q, cables[i]);
    const outcome<std::int64_t> units = sale_units(q.one_way, cables[i].sale_quantum);
    if (check.ok() && check->fits && units.ok())
      worth = limited(worth, cables[i].price * *units, valued_ampacity(*check));
  }
  return worth;
}

/// A cable chosen from a list, or why none could be.
struct feeder_choice {
  std::int32_t cable = -1;       ///< place in the list; -1 = none fits
  feeder_check check;            ///< of the chosen cable, or of the nearest one where none fits
  governed by = governed::none;  ///< chosen: what ruled out the next thinner with cores enough (price
                                 ///< where it would fit and costs more; none where there is no thinner);
                                 ///< none chosen: what stops the nearest
  std::int32_t thinner = -1;     ///< that next thinner cable
  std::int32_t nearest = -1;     ///< where none fits: the one that misses by least; -1 = empty list
  money cost;                    ///< of the chosen cable for the length, nothing taken off; 0 = not known
  money credit;                  ///< what its ampacity is worth
  std::int64_t units = 0;        ///< sale quanta of it
};

/// The cheapest cable that fits, its price for the length less what its ampacity is worth (q.ampere_worth); without
/// prices, or among equals, the thinnest; then by code.
/// The order of the list does not matter, but for rows that are the same in all of these.
///
/// @param banned  one entry a cable, not 0 = leave it out; may be empty.
/// @return        Faults of check_feeder, told of the row (`item`). A gauge or section that no table
///                lists is a fault of its row as well.
/// Source         common practice, no source: of what fits, the cheapest.
constexpr outcome<feeder_choice> choose_feeder(const feeder_question& q, std::span<const cable> cables,
                                               std::span<const std::uint8_t> banned = {}) noexcept {
  const outcome<amps> common = detail::common_current(q.channel_current, q.common);
  if (const fault f = first_fault(detail::check(q), common.why())) return f;
  feeder_choice choice;
  const money each = ampere_worth(q, cables, banned);
  detail::standing best;
  std::int32_t first = -1;
  for (std::size_t i = 0; i < cables.size(); ++i) {
    if (detail::struck(banned, i)) continue;
    const outcome<detail::judged_feeder> j = detail::judge(q, *common, cables[i]);
    if (!j) return at_item(j.why(), i);
    const outcome<std::int64_t> units = sale_units(q.one_way, cables[i].sale_quantum);
    const money price = cables[i].price * *units;
    const money credit = credit_of(worth_of(each, valued_ampacity(j->check)), price);
    const detail::standing one{j->judgement.fits,      j->judgement.broken,       j->judgement.greatest,
                               (price - credit).minor, j->check.conductor.area.v, cables[i].code};
    if (first >= 0 && !detail::before(one, best)) continue;
    first = static_cast<std::int32_t>(i);
    best = one;
    choice.check = j->check;
    choice.cost = price;
    choice.credit = credit;
    choice.units = *units;
  }
  if (first < 0) return choice;
  choice.by = choice.check.by;
  if (!choice.check.fits) {
    choice.nearest = first;
    choice.cost = choice.credit = {};
    choice.units = 0;
    return choice;
  }
  choice.cable = first;
  choice.by = governed::none;
  double thinner_area = 0;
  for (std::size_t i = 0; i < cables.size(); ++i) {
    if (detail::struck(banned, i) || cables[i].cores < choice.check.cores_needed) continue;
    const double area = listed(cables[i].conductor)->area.v;  // it was judged above
    if (area >= choice.check.conductor.area.v || area < thinner_area) continue;
    if (area == thinner_area &&
        !text_before(cables[i].code, cables[static_cast<std::size_t>(choice.thinner)].code))
      continue;
    thinner_area = area;
    choice.thinner = static_cast<std::int32_t>(i);
  }
  if (choice.thinner < 0) return choice;
  const outcome<detail::judged_feeder> j = detail::judge(q, cables[static_cast<std::size_t>(choice.thinner)]);
  choice.by = j->check.fits ? governed::price : j->check.by;
  return choice;
}

/// The longest route over which a cable keeps the drop, its current aside: the inverse of
/// check_feeder's drop. `q.one_way` is not read but must be in range.
///
/// @return  m; at most 10000 (the greatest length the library takes), which is also the answer for no
///          current. Check the ampacity by check_feeder: length does not change it.
/// Formula  L = drop limit x nominal / (r x max_c(I_common + I_c))
/// Source   closed form.
constexpr outcome<metres> longest_feeder(const feeder_question& q, const cable& k) noexcept {
  feeder_question metre = q;
  metre.one_way = metres{1};
  if (const fault f = refuse(field::one_way, q.one_way)) return f;
  const outcome<feeder_check> a = check_feeder(metre, k);
  if (!a) return a.why();
  const double longest = range_of(field::one_way).most;
  const double allowed_v = q.drop_limit * q.nominal.v;
  return a->worst_drop.v * longest <= allowed_v ? metres{longest} : metres{allowed_v / a->worst_drop.v};
}

// Six cores for five channels: the common carries 6 A, the drop counts its core and the channel's own.
static_assert([] {
  feeder_question q;
  q.one_way = metres{5};
  for (const double a : {1.0, 1.0, 1.0, 1.0, 2.0}) q.channel_current.push(amps{a});
  cable k;
  k.code = "6G2.5";
  k.cores = 6;
  k.conductor = {conductor_system::metric_class_5, square_millimetres{2.5}, 0};
  k.conductor_limit = celsius{70};
  k.sale_quantum = metres{1};
  const feeder_check a = *check_feeder(q, k);
  return a.fits && a.by == governed::drop && a.cores_needed == 6 && a.common_current == amps{6} &&
         a.worst_channel == 4 && a.worst_drop == (amps{6} + amps{2}) * a.core_resistance;
}());
static_assert(*two_wire_drop(amps{0}, ohms_per_metre{0.021}, metres{4}) == volts{0});
static_assert(!two_wire_drop(amps{-1}, ohms_per_metre{0.021}, metres{4}));
static_assert(*least_area(amps{29}, metres{10}, volts{1}, ohm_square_millimetres_per_metre{0.02}) ==
              square_millimetres{2 * 0.02 * 29.0 * 10.0});

}  // namespace tapewright
