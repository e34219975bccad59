// SPDX-License-Identifier: BSL-1.0
// Current-carrying capacity: IEC and NEC tables, and the factors for ambient, grouping and many cores.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/parts/cable.hpp"
#include "tapewright/rules/conductor_sizes.hpp"
#include "tapewright/rules/source.hpp"

namespace tapewright {

/// Which code's tables are used.
enum class code_family : std::int32_t { iec = 0, nec = 1 };

/// Reference methods of installation, IEC 60364-5-52 Table B.52.1, and the flexible cord.
enum class laying : std::int32_t {
  a1 = 0,             ///< single cores in conduit in a thermally insulating wall
  a2 = 1,             ///< cable in conduit in a thermally insulating wall
  b1 = 2,             ///< single cores in conduit or trunking on a wall
  b2 = 3,             ///< cable in conduit or trunking on a wall
  c = 4,              ///< cable clipped to a wall
  d1 = 5,             ///< cable in a duct in the ground; the ambient is that of the ground, base 20 degC
  e = 6,              ///< multicore cable in free air
  flexible_cord = 7,  ///< BS 7671 Table 4F3A
};

/// How circuits lie together, IEC 60364-5-52 Table B.52.17.
enum class arrangement : std::int32_t {
  bunched = 0,            ///< in air, on a surface, embedded or enclosed
  single_layer_wall = 1,  ///< on wall, floor or unperforated tray
  under_ceiling = 2,      ///< fixed directly under a wooden ceiling
  perforated_tray = 3,
  ladder = 4,  ///< ladder or cleats
};

constexpr std::string_view text_of(code_family f) noexcept {
  switch (f) {
    case code_family::iec: return "IEC";
    case code_family::nec: return "NEC";
  }
  return "";
}

constexpr std::string_view text_of(laying method) noexcept {
  switch (method) {
    case laying::a1: return "A1, single cores in conduit in an insulating wall";
    case laying::a2: return "A2, cable in conduit in an insulating wall";
    case laying::b1: return "B1, single cores in conduit or trunking on a wall";
    case laying::b2: return "B2, cable in conduit or trunking on a wall";
    case laying::c: return "C, cable on a wall";
    case laying::d1: return "D1, cable in a duct in the ground";
    case laying::e: return "E, cable in free air";
    case laying::flexible_cord: return "flexible cord";
  }
  return "";
}

constexpr std::string_view text_of(arrangement grouping) noexcept {
  switch (grouping) {
    case arrangement::bunched: return "bunched";
    case arrangement::single_layer_wall: return "single layer on wall, floor or unperforated tray";
    case arrangement::under_ceiling: return "single layer under a wooden ceiling";
    case arrangement::perforated_tray: return "single layer on a perforated tray";
    case arrangement::ladder: return "single layer on ladder or cleats";
  }
  return "";
}

/// What is asked. Everything must be in range, whether the code family looks at it or not.
struct ampacity_question {
  code_family family = code_family::iec;
  laying method = laying::b2;  ///< NEC: not looked at, see ampacity()
  conductor_size conductor;
  celsius conductor_limit{70};                  ///< highest temperature of the insulation; 40..200
  std::int32_t loaded_conductors = 2;           ///< that carry current in the one cable; 1..200
  celsius ambient{30};                          ///< of the air; of the ground for D1; -40..120
  std::int32_t circuits = 1;                    ///< cables laid together, this one included; 1..20
  arrangement grouping = arrangement::bunched;  ///< NEC: not looked at, all are counted as bundled
  amps maker_rating{};  ///< maker's own, at 30 degC in air, two cores loaded; 0 = the table's
};

/// allowed = base x ambient_factor x count_factor x grouping_factor, and where each comes from.
struct ampacity_answer {
  amps base = unset;                      ///< the table's or maker's figure
  double ambient_factor = not_a_number;   ///< 0 where the place is as hot as the insulation may get
  double grouping_factor = not_a_number;  ///< circuits laid together
  double count_factor = not_a_number;     ///< loaded cores in the one cable beyond the table's
  amps allowed = unset;                   ///< Iz
  source base_source = source::none, ambient_source = source::none, grouping_source = source::none;
  source count_source = source::none;   ///< none where the table's own number of cores is loaded
  square_millimetres row_area = unset;  ///< section of the row taken: that asked for, or the next below
  celsius column_limit = unset;         ///< conductor temperature of the column taken
};

// The published tables. Columns and rows are in the order of print; sections in mm2, currents in A.

inline constexpr std::size_t iec_section_count = 12;
inline constexpr double iec_sections_mm2[iec_section_count] = {1.5, 2.5, 4,  6,  10, 16,
                                                               25,  35,  50, 70, 95, 120};

/// One table of IEC 60364-5-52:2009, Annex B: copper, air 30 degC (D1: ground 20 degC). A row a method
/// from A1 to E.
using iec_table = double[7][iec_section_count];

/// PVC (70 degC), two loaded: Table B.52.2; method E: Table B.52.10.
inline constexpr iec_table iec_pvc_two_a = {
    {14.5, 19.5, 26, 34, 46, 61, 80, 99, 119, 151, 182, 210},
    {14, 18.5, 25, 32, 43, 57, 75, 92, 110, 139, 167, 192},
    {17.5, 24, 32, 41, 57, 76, 101, 125, 151, 192, 232, 269},
    {16.5, 23, 30, 38, 52, 69, 90, 111, 133, 168, 201, 232},
    {19.5, 27, 36, 46, 63, 85, 112, 138, 168, 213, 258, 299},
    {22, 29, 37, 46, 60, 78, 99, 119, 140, 173, 204, 231},
    {22, 30, 40, 51, 70, 94, 119, 148, 180, 232, 282, 328},
};

/// XLPE or EPR (90 degC), two loaded: Table B.52.3; method E: Table B.52.12.
inline constexpr iec_table iec_xlpe_two_a = {
    {19, 26, 35, 45, 61, 81, 106, 131, 158, 200, 241, 278},
    {18.5, 25, 33, 42, 57, 76, 99, 121, 145, 183, 220, 253},
    {23, 31, 42, 54, 75, 100, 133, 164, 198, 253, 306, 354},
    {22, 30, 40, 51, 69, 91, 119, 146, 175, 221, 265, 305},
    {24, 33, 45, 58, 80, 107, 138, 171, 209, 269, 328, 382},
    {25, 33, 43, 53, 71, 91, 116, 139, 164, 203, 239, 271},
    {26, 36, 49, 63, 86, 115, 149, 185, 225, 289, 352, 410},
};

/// PVC (70 degC), three loaded: Table B.52.4; method E: Table B.52.10.
inline constexpr iec_table iec_pvc_three_a = {
    {13.5, 18, 24, 31, 42, 56, 73, 89, 108, 136, 164, 188},
    {13, 17.5, 23, 29, 39, 52, 68, 83, 99, 125, 150, 172},
    {15.5, 21, 28, 36, 50, 68, 89, 110, 134, 171, 207, 239},
    {15, 20, 27, 34, 46, 62, 80, 99, 118, 149, 179, 206},
    {17.5, 24, 32, 41, 57, 76, 96, 119, 144, 184, 223, 259},
    {18, 24, 30, 38, 50, 64, 82, 98, 116, 143, 169, 192},
    {18.5, 25, 34, 43, 60, 80, 101, 126, 153, 196, 238, 276},
};

/// XLPE or EPR (90 degC), three loaded: Table B.52.5; method E: Table B.52.12.
inline constexpr iec_table iec_xlpe_three_a = {
    {17, 23, 31, 40, 54, 73, 95, 117, 141, 179, 216, 249},
    {16.5, 22, 30, 38, 51, 68, 89, 109, 130, 164, 197, 227},
    {20, 28, 37, 48, 66, 88, 117, 144, 175, 222, 269, 312},
    {19.5, 26, 35, 44, 60, 80, 105, 128, 154, 194, 233, 268},
    {22, 30, 40, 52, 71, 96, 119, 147, 179, 229, 278, 322},
    {21, 28, 36, 44, 58, 75, 96, 115, 135, 167, 197, 223},
    {23, 32, 42, 54, 75, 100, 127, 158, 192, 246, 298, 346},
};

/// One size of a cord; two_a for a two-core (direct current), three_a for three loaded cores.
struct cord_size {
  double area_mm2, two_a, three_a;
};

/// BS 7671 Table 4F3A: flexible cords in air at 30 degC, conductors at 60 degC. No three-core figure is
/// printed for 1.25 mm2: that of 1 mm2 stands there.
inline constexpr cord_size cord_sizes[] = {{0.5, 3, 3},   {0.75, 6, 6},  {1, 10, 10}, {1.25, 13, 10},
                                           {1.5, 16, 16}, {2.5, 25, 20}, {4, 32, 25}};

/// A factor that holds up to an ambient.
struct ambient_step {
  double up_to_c, factor;
};

/// BS 7671 Table 4F3A, note: cords with 90 degC insulation. Above the last step nothing is published.
inline constexpr ambient_step cord_90_steps[] = {{50, 1}, {55, 0.96}, {60, 0.83}, {65, 0.67}, {70, 0.47}};

/// IEC 60364-5-52 Table B.52.17: factor for up to so many circuits; a row an arrangement.
inline constexpr std::int32_t group_counts[] = {1, 2, 3, 4, 5, 6, 7, 8, 9, 12, 16, 20};
inline constexpr double group_factors[5][12] = {
    {1.00, 0.80, 0.70, 0.65, 0.60, 0.57, 0.54, 0.52, 0.50, 0.45, 0.41, 0.38},
    {1.00, 0.85, 0.79, 0.75, 0.73, 0.72, 0.72, 0.71, 0.70, 0.70, 0.70, 0.70},
    {0.95, 0.81, 0.72, 0.68, 0.66, 0.64, 0.63, 0.62, 0.61, 0.61, 0.61, 0.61},
    {1.00, 0.88, 0.82, 0.77, 0.75, 0.73, 0.73, 0.72, 0.72, 0.72, 0.72, 0.72},
    {1.00, 0.87, 0.82, 0.80, 0.80, 0.79, 0.79, 0.78, 0.78, 0.78, 0.78, 0.78},
};

/// One gauge of NEC Table 310.16, copper, by conductor temperature; 0 = no figure printed.
struct nec_size {
  std::int32_t gauge;
  double at_60_a, at_75_a, at_90_a;
};

/// NEC Table 310.16: not more than three conductors in raceway, cable or earth, ambient 30 degC.
inline constexpr nec_size nec_sizes[] = {
    {18, 0, 0, 14},     {16, 0, 0, 18},     {14, 15, 20, 25},    {12, 20, 25, 30},    {10, 30, 35, 40},
    {8, 40, 50, 55},    {6, 55, 65, 75},    {4, 70, 85, 95},     {3, 85, 100, 115},   {2, 95, 115, 130},
    {1, 110, 130, 145}, {0, 125, 150, 170}, {-1, 145, 175, 195}, {-2, 165, 200, 225}, {-3, 195, 230, 260},
};

/// One gauge of NEC Table 400.5(A)(1): two and three conductors that carry current.
struct nec_cord_size {
  std::int32_t gauge;
  double two_a, three_a;
};
inline constexpr nec_cord_size nec_cord_sizes[] = {{18, 10, 7}, {16, 13, 10}, {14, 18, 15}, {12, 25, 20}};

/// One range of NEC Table 310.15(B)(1), base 30 degC; 0 = the column has ended.
struct nec_ambient_step {
  double up_to_c, at_60, at_75, at_90;
};
inline constexpr nec_ambient_step nec_ambient_steps[] = {
    {10, 1.29, 1.20, 1.15}, {15, 1.22, 1.15, 1.12}, {20, 1.15, 1.11, 1.08}, {25, 1.08, 1.05, 1.04},
    {30, 1.00, 1.00, 1.00}, {35, 0.91, 0.94, 0.96}, {40, 0.82, 0.88, 0.91}, {45, 0.71, 0.82, 0.87},
    {50, 0.58, 0.75, 0.82}, {55, 0.41, 0.67, 0.76}, {60, 0, 0.58, 0.71},    {65, 0, 0.47, 0.65},
    {70, 0, 0.33, 0.58},    {75, 0, 0, 0.50},       {80, 0, 0, 0.41},       {85, 0, 0, 0.29},
};

/// One range of NEC Table 310.15(C)(1).
struct nec_count_step {
  std::int32_t up_to;
  double factor;
};
inline constexpr nec_count_step nec_count_steps[] = {{3, 1.00},  {6, 0.80},  {9, 0.70},
                                                     {20, 0.50}, {30, 0.45}, {40, 0.40}};
inline constexpr double nec_count_beyond = 0.35;  ///< 41 conductors and more

namespace detail {

constexpr double greatest_group = 20;     // where Table B.52.17 ends
constexpr double coldest_printed_c = 10;  // where Tables B.52.14 and B.52.15 begin: colder gives no more

/// sqrt((Tc - Ta) / (Tcolumn - Tbase)): the rule behind Tables B.52.14 and B.52.15. Tc is the column's
/// temperature, or the insulation's own limit where that is lower.
constexpr double ambient_factor(double limit_c, double column_c, double base_c, double ambient_c) noexcept {
  const double hottest = smaller(limit_c, column_c);
  if (ambient_c >= hottest) return 0;
  return square_root((hottest - larger(ambient_c, coldest_printed_c)) / (column_c - base_c));
}

constexpr double step_factor(std::span<const ambient_step> steps, double ambient_c) noexcept {
  for (const ambient_step& s : steps)
    if (ambient_c <= s.up_to_c) return s.factor;
  return 0;
}

/// A count between two printed ones takes the next larger. 1 <= circuits <= 20.
constexpr double group_factor(arrangement grouping, std::int32_t circuits) noexcept {
  std::size_t at = 0;
  while (group_counts[at] < circuits) ++at;
  return group_factors[static_cast<std::size_t>(grouping)][at];
}

constexpr double nec_count_factor(std::int32_t conductors) noexcept {
  for (const nec_count_step& s : nec_count_steps)
    if (conductors <= s.up_to) return s.factor;
  return nec_count_beyond;
}

constexpr double nec_ambient_factor(double column_c, double ambient_c) noexcept {
  for (const nec_ambient_step& s : nec_ambient_steps)
    if (ambient_c <= s.up_to_c) return column_c == 60 ? s.at_60 : column_c == 75 ? s.at_75 : s.at_90;
  return 0;
}

/// Base figure, its ambient factor, and the row and column they were taken from.
constexpr outcome<ampacity_answer> iec_base(const ampacity_question& q, double area_mm2) noexcept {
  const bool tabled = q.method != laying::flexible_cord && area_mm2 >= iec_sections_mm2[0];
  ampacity_answer a;
  if (tabled) {
    std::size_t row = 0;  // what is asked for is mostly thin
    while (row + 1 < iec_section_count && iec_sections_mm2[row + 1] <= area_mm2) ++row;
    const bool xlpe = q.conductor_limit.v >= 90, three = q.loaded_conductors > 2;
    const iec_table& table =
        xlpe ? (three ? iec_xlpe_three_a : iec_xlpe_two_a) : (three ? iec_pvc_three_a : iec_pvc_two_a);
    a.base = amps{table[static_cast<std::size_t>(q.method)][row]};
    a.base_source = q.method == laying::e
                        ? (xlpe ? source::iec_60364_5_52_b52_12 : source::iec_60364_5_52_b52_10)
                    : three ? (xlpe ? source::iec_60364_5_52_b52_5 : source::iec_60364_5_52_b52_4)
                            : (xlpe ? source::iec_60364_5_52_b52_3 : source::iec_60364_5_52_b52_2);
    a.row_area = square_millimetres{iec_sections_mm2[row]};
    a.column_limit = celsius{xlpe ? 90.0 : 70.0};
    const bool buried = q.method == laying::d1;
    a.ambient_factor =
        ambient_factor(q.conductor_limit.v, a.column_limit.v, buried ? 20.0 : 30.0, q.ambient.v);
    a.ambient_source = buried ? source::iec_60364_5_52_b52_15 : source::iec_60364_5_52_b52_14;
    return a;
  }
  const cord_size* row = nullptr;
  for (const cord_size& s : cord_sizes)
    if (s.area_mm2 <= area_mm2) row = &s;
  if (row == nullptr) return not_listed(field::area, area_mm2, cord_sizes[0].area_mm2, greatest_metric_mm2);
  a.base = amps{q.loaded_conductors > 2 ? row->three_a : row->two_a};
  a.base_source = a.ambient_source = source::bs_7671_4f3a;
  a.row_area = square_millimetres{row->area_mm2};
  a.column_limit = celsius{q.conductor_limit.v >= 90 ? 90.0 : 60.0};
  // the 60 degC cord has no factor above 1 in print
  a.ambient_factor = a.column_limit.v == 90
                         ? step_factor(cord_90_steps, q.ambient.v)
                         : ambient_factor(q.conductor_limit.v, 60, 30, larger(q.ambient.v, 30));
  return a;
}

constexpr outcome<ampacity_answer> nec_base(const ampacity_question& q, double area_mm2,
                                            bool three) noexcept {
  const double limit = q.conductor_limit.v;
  if (limit < 60) return not_listed(field::conductor_limit, limit, 60, 200);
  ampacity_answer a;
  const nec_size* row = nullptr;
  for (const nec_size& s : nec_sizes)
    if (gauge_area_mm2_of(s.gauge) <= area_mm2) row = &s;
  if (row == nullptr)
    return not_listed(field::area, area_mm2, gauge_area_mm2_of(nec_sizes[0].gauge),
                      gauge_area_mm2_of(thickest_gauge));
  a.column_limit = celsius{limit >= 90 ? 90.0 : limit >= 75 ? 75.0 : 60.0};
  a.base = amps{limit >= 90 ? row->at_90_a : limit >= 75 ? row->at_75_a : row->at_60_a};
  a.base_source = source::nec_310_16;
  if (a.base.v == 0) {  // 18 and 16 AWG below 90 degC: their figure is that of a cord
    for (const nec_cord_size& s : nec_cord_sizes)
      if (s.gauge == row->gauge) a.base = amps{three ? s.three_a : s.two_a};
    a.base_source = source::nec_400_5;
  }
  a.row_area = square_millimetres{gauge_area_mm2_of(row->gauge)};
  // the same cord figure serves 60 and 75 degC, so a cold place earns nothing: 75 must not fall below 60
  const double factor = nec_ambient_factor(a.column_limit.v, q.ambient.v);
  a.ambient_factor = a.base_source == source::nec_400_5 ? smaller(factor, 1) : factor;
  a.ambient_source = source::nec_310_15_b1;
  return a;
}

constexpr ampacity_answer makers_base(const ampacity_question& q, double area_mm2) noexcept {
  ampacity_answer a;
  a.base = q.maker_rating;
  a.base_source = source::maker_statement;
  a.row_area = square_millimetres{area_mm2};
  a.column_limit = q.conductor_limit;
  a.ambient_factor = ambient_factor(q.conductor_limit.v, q.conductor_limit.v, 30, q.ambient.v);
  a.ambient_source = q.family == code_family::nec ? source::nec_310_15_b1 : source::iec_60364_5_52_b52_14;
  return a;
}

constexpr fault check(const ampacity_question& q) noexcept {
  fault f = refuse(field::code_family, static_cast<double>(q.family));
  if (!f) f = refuse_outside(field::feeder_method, static_cast<double>(q.method), 0, 7);
  if (!f) f = refuse(field::grouping, static_cast<double>(q.grouping));
  if (!f) f = refuse(field::conductor_limit, q.conductor_limit);
  if (!f) f = refuse(field::loaded_conductors, q.loaded_conductors);
  if (!f && q.family == code_family::iec)
    f = refuse_outside(field::loaded_conductors, q.loaded_conductors, 1, 2 * greatest_group);
  if (!f) f = refuse(field::ambient, q.ambient);
  if (!f) f = refuse(field::circuits_grouped, q.circuits);
  if (!f) f = refuse(field::cable_rating, q.maker_rating);
  return f;
}

}  // namespace detail

/// The continuous current that each loaded conductor of a cable may carry, with every factor on the way.
///
/// @param q  see ampacity_question. `conductor`: a metric section of 0.01..1000 mm2 or a gauge -3..40.
/// @return   Every figure and its source. A place as hot as the insulation's limit is an answer: nothing
///           is allowed there. Faults: figures out of range; not_listed of area for a section below every
///           table (under 0.5 mm2 by IEC, under 18 AWG by NEC: ask for the maker's rating), and of
///           conductor_limit for NEC below 60 degC; out_of_range of loaded_conductors above 40 by IEC,
///           where Table B.52.17 ends.
/// Formula   Iz = base x ambient x count x grouping
/// IEC       base: the column for 90 degC from 90 upwards, else that for 70; an untabled section takes
///           the next smaller row. Under 1.5 mm2 the flexible cord's table serves every method; it is
///           the lower one. Ambient: sqrt((Tc - Ta) / (Tcolumn - T0)), T0 = 30 degC (D1: 20), with Tc the
///           lower of column and insulation limit, and Ta taken as 10 degC at least, where the printed
///           table begins; 90 degC cords by their printed steps. Two and three loaded cores have their
///           own tables; n > 3 start from three and count as ceil(n / 2) circuits, bunched, in the
///           manner of 523.5. A maker's rating is taken as that of two loaded cores in air.
/// NEC       Table 310.16 and its printed ambient steps; 18 and 16 AWG below 90 degC by the cord table,
///           with no factor above 1. The method and arrangement are not looked at: all conductors of all
///           circuits count together in Table 310.15(C)(1), told as count_factor, and grouping_factor is
///           1. The overcurrent device of small conductors is limited apart (overcurrent_ratings.hpp).
/// Accuracy  n > 3: with all n cores at the full current, the factors of DIN VDE 0298-4 for many-core
///           cables (from memory) allow up to 11 % less from 10 cores on. The feeder of a tape stays below
///           either: its common core alone carries the sum, and all cores together make no more heat
///           than two full ones.
/// Source    as told in the answer. Where a device's terminals allow less than the conductor (often
///           70 or 75 degC), ask with that temperature as the limit.
/// Example   1.5 mm2 PVC, method B2, two loaded, 40 degC, alone -> 16.5 A x 0.866 = 14.29 A
constexpr outcome<ampacity_answer> ampacity(const ampacity_question& q) noexcept {
  if (const fault f = detail::check(q)) return f;
  const bool by_gauge = q.conductor.system == conductor_system::awg;
  if (const fault f =
          by_gauge ? refuse(field::gauge, q.conductor.gauge) : refuse(field::area, q.conductor.area))
    return f;
  const double area_mm2 = by_gauge ? detail::gauge_area_mm2_of(q.conductor.gauge) : q.conductor.area.v;
  const bool rated = q.maker_rating.v > 0, nec = q.family == code_family::nec;
  const std::int32_t loaded = q.loaded_conductors;

  const outcome<ampacity_answer> base = rated ? outcome{detail::makers_base(q, area_mm2)}
                                        : nec ? detail::nec_base(q, area_mm2, loaded * q.circuits > 2)
                                              : detail::iec_base(q, area_mm2);
  if (!base) return base.why();
  ampacity_answer a = *base;
  if (nec) {
    const std::int32_t conductors = loaded * q.circuits;
    a.count_factor = detail::nec_count_factor(conductors);
    a.grouping_factor = 1;
    a.count_source = conductors > 3 ? source::nec_310_15_c1 : source::none;
    a.grouping_source = source::nec_310_15_c1;
  } else {
    const bool three_tabled = loaded == 3 && !rated;
    const std::int32_t pairs = three_tabled ? 1 : (loaded + 1) / 2;
    a.count_factor = detail::group_factor(arrangement::bunched, pairs);
    a.grouping_factor = detail::group_factor(q.grouping, q.circuits);
    a.count_source = pairs > 1 ? source::iec_60364_5_52_b52_17 : source::none;
    a.grouping_source = source::iec_60364_5_52_b52_17;
  }
  a.allowed = a.base * (a.ambient_factor * a.count_factor * a.grouping_factor);
  return a;
}

}  // namespace tapewright
