// SPDX-License-Identifier: BSL-1.0
// The rules a plan must hold, each with its default and where the default comes from.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/core/text.hpp"
#include "tapewright/parts/overcurrent_device.hpp"
#include "tapewright/plan/search/price_sum.hpp"
#include "tapewright/rules/ampacity.hpp"
#include "tapewright/rules/contact_derating.hpp"
#include "tapewright/rules/extra_low_voltage.hpp"
#include "tapewright/rules/source.hpp"
#include "tapewright/sizing/driver_choice.hpp"
#include "tapewright/sizing/mains_side.hpp"
#include "tapewright/sizing/spare_worth.hpp"

namespace tapewright {

/// What is tried first where a feeder meets the tape.
enum class join_preference : std::int32_t {
  connector_first = 0,  ///< a connector of the catalogue; the soldered tail where none fits
  soldered_first = 1,   ///< the feeder is soldered on as the tape's tail, for the fee
};

/// Every rule of a plan. Change a member to override it; `rule_table` below tells each one's name,
/// range, meaning and source. Shares are of the nominal voltage or as their name says.
struct design_rules {
  double headroom = usual_headroom;            // of the LOAD: driver capacity >= load x (1 + headroom)
  double drop_to_feed = lighting_drop_public;  // driver output -> feed point
  double drop_to_lamp = elv_lighting_drop;     // driver output -> furthest lamp
  double least_evenness = 0.90;                // least over greatest channel current along a run
  double supply_tolerance = 0.02;              // driver output voltage, either way
  code_family family = code_family::iec;
  laying method = laying::b2;
  arrangement grouping = arrangement::bunched;
  std::int32_t circuits_grouped = 1;
  celsius cable_ambient{30};
  celsius driver_ambient{35};
  square_millimetres least_conductor = least_fixed_elv_section;
  double contact_factor = base_curve_factor;  // working curve over base curve of a connector
  double wiring_slack_m = 0.3;                // spare cable at each end
  join_preference join = join_preference::connector_first;
  money solder_fee{0};  // for a tail soldered on
  volts mains{230};
  amps breaker{16};
  overcurrent_family breaker_family = overcurrent_family::breaker_c;
  double breaker_share = usual_breaker_share;        // steady current over breaker rating
  amps residual_device{0.030};                       // rated residual current of the circuit's device
  double leakage_share = tapewright::leakage_share;  // of it that the drivers may leak together
  hours yearly_hours{2000};
  money tariff{0};               // minor units per kilowatt-hour
  money cut_fee{0};              // for a piece of tape cut to length; 0 = not charged
  std::int32_t discount_bp = 0;  // of the net price, in hundredths of a per cent
  std::int32_t tax_bp = 0;       // of what is left
  price_rounding rounding = price_rounding::total;
  std::int64_t search_steps = 200'000;  // of all searches together: a budget that no machine's speed changes
  spare_weights balanced{};             // what spare capacity is worth; nothing: the least price

  constexpr bool weighs_capacity() const noexcept { return balanced != spare_weights{}; }
  constexpr price_terms terms() const noexcept {
    return {.discount = {discount_bp, 10'000}, .tax = {tax_bp, 10'000}, .rounding = rounding};
  }
};

/// One rule as a host sees it: its name, the field that gives unit and range, its source, and how to
/// read and set it as a number (enumerations by their number, money in minor units). `set` takes what
/// lies in the range only; `set_rule` checks.
struct rule_facts {
  std::string_view name;
  tapewright::field range;
  double least, most;
  source from;
  std::string_view meaning;
  double (*get)(const design_rules&) noexcept;
  void (*set)(design_rules&, double) noexcept;
};

#define TAPEWRIGHT_RULE_NUMBER(MEMBER)                                          \
  [](const design_rules& r) noexcept { return static_cast<double>(r.MEMBER); }, \
      [](design_rules& r, double v) noexcept { r.MEMBER = static_cast<decltype(r.MEMBER)>(v); }
#define TAPEWRIGHT_RULE_QUANTITY(MEMBER)                     \
  [](const design_rules& r) noexcept { return r.MEMBER.v; }, \
      [](design_rules& r, double v) noexcept { r.MEMBER.v = v; }
#define TAPEWRIGHT_RULE_MONEY(MEMBER)                                                 \
  [](const design_rules& r) noexcept { return static_cast<double>(r.MEMBER.minor); }, \
      [](design_rules& r, double v) noexcept { r.MEMBER.minor = static_cast<long long>(v); }

inline constexpr rule_facts rule_table[] = {
    {"headroom", field::headroom, 0, 2, source::common_practice,
     "spare driver capacity as a share of the load", TAPEWRIGHT_RULE_NUMBER(headroom)},
    {"drop_to_feed", field::drop_limit, 0.001, 0.5, source::iec_60364_5_52_annex_g,
     "voltage drop from driver output to feed point, share of nominal", TAPEWRIGHT_RULE_NUMBER(drop_to_feed)},
    {"drop_to_lamp", field::drop_limit, 0.001, 0.5, source::iec_60364_7_715,
     "voltage drop from driver output to the furthest lamp, share of nominal",
     TAPEWRIGHT_RULE_NUMBER(drop_to_lamp)},
    {"least_evenness", field::least_evenness, 0, 1, source::design_rule,
     "least over greatest channel current along a run", TAPEWRIGHT_RULE_NUMBER(least_evenness)},
    {"supply_tolerance", field::supply_tolerance, 0, 0.2, source::design_rule,
     "tolerance of a driver's output voltage, either way, share of nominal",
     TAPEWRIGHT_RULE_NUMBER(supply_tolerance)},
    {"code_family", field::code_family, 0, 1, source::design_rule, "0 = IEC-based ampacity, 1 = NEC-based",
     TAPEWRIGHT_RULE_NUMBER(family)},
    {"laying", field::feeder_method, 0, 7, source::design_rule,
     "installation method: 0 A1, 1 A2, 2 B1, 3 B2, 4 C, 5 D1, 6 E, 7 flexible cord",
     TAPEWRIGHT_RULE_NUMBER(method)},
    {"grouping", field::feeder_method, 0, 4, source::design_rule,
     "0 bunched, 1 single layer on wall, 2 under ceiling, 3 perforated tray, 4 ladder",
     TAPEWRIGHT_RULE_NUMBER(grouping)},
    {"circuits_grouped", field::circuits_grouped, 1, 20, source::design_rule, "cables laid together",
     TAPEWRIGHT_RULE_NUMBER(circuits_grouped)},
    {"cable_ambient_c", field::ambient, -40, 120, source::iec_60364_5_52_b52_14, "air around the cables",
     TAPEWRIGHT_RULE_QUANTITY(cable_ambient)},
    {"driver_ambient_c", field::ambient, -40, 120, source::design_rule,
     "air around the drivers and controllers where a zone does not say",
     TAPEWRIGHT_RULE_QUANTITY(driver_ambient)},
    {"least_conductor_mm2", field::area, 0.01, 1000, source::iec_60364_7_715,
     "smallest conductor of the extra-low-voltage wiring", TAPEWRIGHT_RULE_QUANTITY(least_conductor)},
    {"contact_factor", field::share, 0.1, 1, source::iec_60512_5_2,
     "working current of a connector over its base curve", TAPEWRIGHT_RULE_NUMBER(contact_factor)},
    {"slack_m", field::slack, 0, 20, source::common_practice, "spare cable at each end",
     TAPEWRIGHT_RULE_NUMBER(wiring_slack_m)},
    {"join", field::feeder_method, 0, 1, source::design_rule, "0 = connector first, 1 = soldered tail first",
     TAPEWRIGHT_RULE_NUMBER(join)},
    {"solder_fee_minor", field::fee, 0, 1e12, source::maker_statement, "fee for a soldered tail",
     TAPEWRIGHT_RULE_MONEY(solder_fee)},
    {"mains_v", field::mains_voltage, 90, 440, source::design_rule, "mains voltage",
     TAPEWRIGHT_RULE_QUANTITY(mains)},
    {"breaker_a", field::breaker_rating, 0.5, 125, source::iec_60898_1,
     "rated current of the lighting circuit's breaker", TAPEWRIGHT_RULE_QUANTITY(breaker)},
    {"breaker_family", field::feeder_method, 1, 3, source::iec_60898_1, "1 = type B, 2 = type C, 3 = type D",
     TAPEWRIGHT_RULE_NUMBER(breaker_family)},
    {"breaker_share", field::share, 0.1, 1, source::common_practice, "steady current over breaker rating",
     TAPEWRIGHT_RULE_NUMBER(breaker_share)},
    {"residual_a", field::residual_rating, 0.001, 10, source::design_rule,
     "rated residual current of the circuit's residual current device",
     TAPEWRIGHT_RULE_QUANTITY(residual_device)},
    {"leakage_share", field::share, 0.01, 1, source::iec_60364_5_53,
     "share of it that the drivers may leak together", TAPEWRIGHT_RULE_NUMBER(leakage_share)},
    {"hours_per_year", field::hours_per_year, 0, 8784, source::design_rule, "hours of full light in a year",
     TAPEWRIGHT_RULE_QUANTITY(yearly_hours)},
    {"tariff_minor_per_kwh", field::tariff, 0, 1e6, source::design_rule, "price of a kilowatt-hour",
     TAPEWRIGHT_RULE_MONEY(tariff)},
    {"cut_fee_minor", field::fee, 0, 1e12, source::maker_statement,
     "fee for a piece of tape cut to length; 0 = not charged", TAPEWRIGHT_RULE_MONEY(cut_fee)},
    {"discount_bp", field::basis_points, 0, 10'000, source::design_rule,
     "discount on the net price, hundredths of a per cent", TAPEWRIGHT_RULE_NUMBER(discount_bp)},
    {"tax_bp", field::basis_points, 0, 100'000, source::design_rule,
     "tax on the price after discount, hundredths of a per cent", TAPEWRIGHT_RULE_NUMBER(tax_bp)},
    {"rounding", field::feeder_method, 0, 1, source::design_rule,
     "discount and tax rounded to a minor unit: 0 on each line, 1 on the total",
     TAPEWRIGHT_RULE_NUMBER(rounding)},
    {"search_steps", field::step_budget, 1, 1e9, source::design_rule,
     "steps that the searches for the cheapest order may take together",
     TAPEWRIGHT_RULE_NUMBER(search_steps)},
    {"spare_driver_minor_per_100w", field::spare_watts, 0, 1e9, source::design_rule,
     "what 100 W of driver capacity to spare is worth; 0 = nothing", TAPEWRIGHT_RULE_MONEY(balanced.driver)},
    {"spare_controller_minor_per_a", field::spare_amperes, 0, 1e9, source::design_rule,
     "what an ampere of a controller's total to spare is worth; 0 = nothing",
     TAPEWRIGHT_RULE_MONEY(balanced.controller)},
    {"spare_cable_minor_per_a", field::spare_amperes, 0, 1e9, source::design_rule,
     "what an ampere of a cable's ampacity to spare is worth; 0 = nothing",
     TAPEWRIGHT_RULE_MONEY(balanced.cable)},
};
#undef TAPEWRIGHT_RULE_NUMBER
#undef TAPEWRIGHT_RULE_QUANTITY
#undef TAPEWRIGHT_RULE_MONEY

/// True for the rules that hold a whole number: an enumeration, a count, an amount of money.
constexpr bool is_whole(const rule_facts& r) noexcept {
  return r.range == field::code_family || r.range == field::feeder_method ||
         r.range == field::circuits_grouped || r.range == field::fee || r.range == field::tariff ||
         r.range == field::step_budget || r.range == field::basis_points || r.range == field::spare_watts ||
         r.range == field::spare_amperes;
}

/// The rule of a name, or nullptr.
constexpr const rule_facts* rule_named(std::string_view name) noexcept {
  for (const rule_facts& r : rule_table)
    if (same_text(r.name, name)) return &r;
  return nullptr;
}

/// Sets one rule from a number, or refuses it and changes nothing: outside its range, not a number, or a
/// fraction where the rule holds a whole one.
constexpr fault set_rule(design_rules& rules, const rule_facts& r, double value) noexcept {
  if (const fault f = refuse_outside(r.range, value, r.least, r.most)) return f;
  if (is_whole(r) && floor_of(value) != value)
    return {fault_code::out_of_range, r.range, value, floor_of(value), ceil_of(value), -1};
  r.set(rules, value);
  return {};
}

/// Refuses rules that make no sense; `item` is the rule's place in rule_table.
constexpr fault check(const design_rules& rules) noexcept {
  for (std::size_t i = 0; i < sizeof rule_table / sizeof rule_table[0]; ++i) {
    const rule_facts& r = rule_table[i];
    if (const fault f = refuse_outside(r.range, r.get(rules), r.least, r.most)) return at_item(f, i);
  }
  return {};
}

}  // namespace tapewright
