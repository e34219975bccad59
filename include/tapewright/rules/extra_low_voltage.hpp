// SPDX-License-Identifier: BSL-1.0
// Extra-low voltage: its ceilings, bathroom zones, sections and drops, and the Class 2 limits.
#pragma once

#include <cstdint>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/rules/source.hpp"

namespace tapewright {

/// Where extra-low voltage ends: direct voltage with at most 10 % ripple, and alternating, r.m.s.
/// Source: IEC 61140. Product standards draw the line lower (60 V DC in several).
inline constexpr volts elv_direct_voltage{120};
inline constexpr volts elv_alternating_voltage{50};

/// SELV or PELV below this direct voltage needs no basic protection: in dry places, and elsewhere.
/// Source: IEC 60364-4-41 cl. 414.4.5; the 30 V from memory.
inline constexpr volts bare_dry_voltage{60};
inline constexpr volts bare_wet_voltage{30};

/// The highest ripple-free direct voltage in a bathroom zone.
struct zone_ceiling {
  volts direct = unset;
  source from = source::none;
};

/// The voltage ceiling of a bathroom zone.
///
/// @param zone  0 (in the tub or shower basin), 1 (above it) or 2 (next to it).
/// @return      0: 30 V; 1: 60 V; 2: no special ceiling, that of extra-low voltage holds. The source of
///              the voltage stands outside the zones. Faults: out_of_range of bath_zone.
/// Source   IEC 60364-7-701:2006, direct voltages from memory; zone 2: IEC 61140.
constexpr outcome<zone_ceiling> bathroom_ceiling(std::int32_t zone) noexcept {
  if (const fault f = refuse(field::bath_zone, zone)) return f;
  if (zone == 0) return zone_ceiling{volts{30}, source::iec_60364_7_701};
  if (zone == 1) return zone_ceiling{volts{60}, source::iec_60364_7_701};
  return zone_ceiling{elv_direct_voltage, source::iec_61140};
}

/// How an extra-low-voltage lighting conductor is laid, IEC 60364-7-715.
enum class elv_wiring : std::int32_t {
  fixed = 0,
  flexible = 1,   ///< flexible cable
  suspended = 2,  ///< suspended flexible cable or conductors that carry the luminaires
};

/// The smallest copper section of fixed extra-low-voltage lighting wiring. Source as least_elv_section.
inline constexpr square_millimetres least_fixed_elv_section{1.5};

/// The smallest copper section of extra-low-voltage lighting wiring.
///
/// @param one_way  length, m; 0..10000.
/// @return         fixed 1.5 mm2; flexible 1 mm2 up to 3 m, else 1.5; suspended 4 mm2.
///                 Faults: out_of_range of feeder_method or one_way.
/// Source   IEC 60364-7-715:2011 cl. 715.524, from memory.
constexpr outcome<square_millimetres> least_elv_section(elv_wiring wiring, metres one_way) noexcept {
  if (const fault f = first_fault(refuse_outside(field::feeder_method, static_cast<double>(wiring), 0, 2),
                                  refuse(field::one_way, one_way)))
    return f;
  if (wiring == elv_wiring::suspended) return square_millimetres{4};
  return wiring == elv_wiring::flexible && one_way.v <= 3 ? square_millimetres{1} : least_fixed_elv_section;
}

/// Greatest drop from the converter to the furthest luminaire, share of nominal.
/// Source: IEC 60364-7-715:2011 cl. 715.525, from memory.
inline constexpr double elv_lighting_drop = 0.05;

/// Recommended drops from the origin of an installation, share of nominal: lighting and other uses, from
/// the public network and from an own supply. Source: IEC 60364-5-52:2009 Table G.52.1; 8 % from memory.
inline constexpr double lighting_drop_public = 0.03, other_drop_public = 0.05;
inline constexpr double lighting_drop_own = 0.06, other_drop_own = 0.08;

/// Recommended drops of a branch circuit, and of feeder and branch together. Source: NEC 210.19(A) and 215.2
/// informational notes.
inline constexpr double nec_branch_drop = 0.03, nec_total_drop = 0.05;

/// What a Class 2 source of direct current may give.
struct limited_energy_limit {
  amps nameplate = unset;         ///< greatest rated current
  volt_amps rated_power = unset;  ///< greatest rated power
  amps most_current = unset;      ///< it can give at all, after a minute
  source from = source::none;
};

/// Above this direct voltage there is no Class 2 power source. Source: scope of UL 1310.
inline constexpr volts class2_direct_voltage{60};
/// The same where wet contact is likely. Source: NEC Chapter 9 Table 11, note 4.
inline constexpr volts class2_wet_direct_voltage{30};

/// The limits of an inherently limited Class 2 source.
///
/// @param highest  greatest output voltage, V direct; 0.1..60.
/// @return         up to 20 V: 5 A, 5 A x V, 8 A in all; up to 30 V: 100 VA / V, 100 VA, 8 A in all;
///                 up to 60 V: 100 VA / V, 100 VA, 150 VA / V in all. Faults: out_of_range of voltage.
/// Source   NEC Chapter 9 Table 11(B), from memory (its alternating twin 11(A) was looked up in part).
/// Example  24 V -> 4.167 A, 100 VA
constexpr outcome<limited_energy_limit> class2_limit(volts highest) noexcept {
  if (const fault f =
          refuse_outside(field::voltage, highest.v, range_of(field::voltage).least, class2_direct_voltage.v))
    return f;
  const double v = highest.v;
  limited_energy_limit limit;
  limit.nameplate = amps{v <= 20 ? 5.0 : 100 / v};
  limit.rated_power = volt_amps{v <= 20 ? 5 * v : 100.0};
  limit.most_current = amps{v <= 30 ? 8.0 : 150 / v};
  limit.from = source::nec_chapter_9_table_11;
  return limit;
}

static_assert(class2_limit(volts{12})->nameplate == amps{5});
static_assert(!class2_limit(volts{60.1}));

}  // namespace tapewright
