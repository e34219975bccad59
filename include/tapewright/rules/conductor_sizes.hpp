// SPDX-License-Identifier: BSL-1.0
// Conductor sizes: metric by IEC 60228, gauges by ASTM B258, and the resistance of each.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"
#include "tapewright/core/scalar_math.hpp"
#include "tapewright/parts/cable.hpp"
#include "tapewright/rules/copper.hpp"
#include "tapewright/rules/source.hpp"

namespace tapewright {

/// One metric size: greatest resistance of one plain copper conductor at 20 degC.
struct metric_size {
  double area_mm2, rigid_ohm_per_km, flexible_ohm_per_km;  ///< classes 1 and 2; class 5
};

/// IEC 60228:2004 Tables 1, 2 and 3, plain copper, 0.5 to 120 mm2, sizes rising.
inline constexpr metric_size metric_sizes[] = {
    {0.5, 36.0, 39.0},  {0.75, 24.5, 26.0}, {1, 18.1, 19.5},    {1.5, 12.1, 13.3},  {2.5, 7.41, 7.98},
    {4, 4.61, 4.95},    {6, 3.08, 3.30},    {10, 1.83, 1.91},   {16, 1.15, 1.21},   {25, 0.727, 0.780},
    {35, 0.524, 0.554}, {50, 0.387, 0.386}, {70, 0.268, 0.272}, {95, 0.193, 0.206}, {120, 0.153, 0.161},
};

/// A flexible size below the IEC 60228 range.
struct small_flexible_size {
  double area_mm2, flexible_ohm_per_km;
};

/// DIN VDE 0295 practice, plain copper, sizes rising. The 0.22 row is the resistance of a section
/// smaller than its name; like all rows it is a greatest value.
inline constexpr small_flexible_size small_flexible_sizes[] = {
    {0.05, 380}, {0.11, 170}, {0.12, 150}, {0.14, 134}, {0.22, 96}, {0.34, 53},
};

inline constexpr std::int32_t thickest_gauge = -3, thinnest_gauge = 40;  ///< 4/0 and 40

namespace detail {

constexpr double circle = 3.14159265358979323846;

// Section of gauge n: a series of 39 equal ratios from 0.127 mm (36) to 11.684 mm (4/0, n = -3).
constexpr double gauge_area_mm2(std::int32_t n) noexcept {
  const double diameter_mm = 0.127 * power(92, (36 - n) / 39.0);
  return circle / 4 * (diameter_mm * diameter_mm);
}

inline constexpr auto gauge_areas_mm2 = [] {
  std::array<double, thinnest_gauge - thickest_gauge + 1> areas{};
  for (std::int32_t n = thickest_gauge; n <= thinnest_gauge; ++n)
    areas[static_cast<std::size_t>(n - thickest_gauge)] = gauge_area_mm2(n);
  return areas;
}();

// The same from the table: n within its range.
constexpr double gauge_area_mm2_of(std::int32_t n) noexcept {
  return gauge_areas_mm2[static_cast<std::size_t>(n - thickest_gauge)];
}

constexpr fault not_listed(field f, double given, double least, double most) noexcept {
  return {fault_code::not_listed, f, given, least, most, -1};
}

constexpr double least_metric_mm2 = metric_sizes[0].area_mm2;
constexpr double greatest_metric_mm2 =
    metric_sizes[sizeof metric_sizes / sizeof metric_sizes[0] - 1].area_mm2;

// Greatest resistance of a metric size at 20 degC, ohm/km; 0 where no table lists it.
constexpr double metric_ohm_per_km(conductor_system system, double area_mm2) noexcept {
  const bool flexible = system == conductor_system::metric_class_5;
  for (const metric_size& row : metric_sizes)
    if (row.area_mm2 == area_mm2) return flexible ? row.flexible_ohm_per_km : row.rigid_ohm_per_km;
  for (const small_flexible_size& row : small_flexible_sizes)
    if (flexible && row.area_mm2 == area_mm2) return row.flexible_ohm_per_km;
  return 0;
}

}  // namespace detail

/// A metric size that the tables list.
///
/// @param system  metric_class_1, _2 or _5.
/// @param area    nominal section, mm2, exactly as listed: 0.5..120 (IEC 60228); class 5 also 0.05,
///                0.11, 0.12, 0.14, 0.22 and 0.34 (DIN VDE 0295 practice).
/// @return        Faults: not_listed of conductor_system for AWG or an unknown number; out_of_range of
///                area; not_listed of area for a size that the tables do not have.
constexpr outcome<conductor_size> metric_conductor(conductor_system system,
                                                   square_millimetres area) noexcept {
  if (!is_metric(system))
    return detail::not_listed(field::conductor_system, static_cast<double>(system), 1, 5);
  if (const fault f = refuse(field::area, area)) return f;
  if (detail::metric_ohm_per_km(system, area.v) > 0) return conductor_size{system, area, 0};
  const bool flexible = system == conductor_system::metric_class_5;
  return detail::not_listed(field::area, area.v,
                            flexible ? small_flexible_sizes[0].area_mm2 : detail::least_metric_mm2,
                            detail::greatest_metric_mm2);
}

/// An American wire gauge with its exact section.
///
/// @param gauge  -3 (4/0) .. 40; 0 is 1/0.
/// @return       area of a solid round wire. Faults: out_of_range of gauge.
/// Formula  d = 0.127 mm x 92^((36 - n) / 39);  S = pi d^2 / 4
/// Source   ASTM B258-02, diameters not rounded.
/// Example  14 -> 1.6277 mm, 2.0809 mm2
constexpr outcome<conductor_size> awg_conductor(int gauge) noexcept {
  if (const fault f = refuse(field::gauge, gauge)) return f;
  return conductor_size{conductor_system::awg, square_millimetres{detail::gauge_area_mm2_of(gauge)}, gauge};
}

/// The same size with its section filled in, or why no table has it.
constexpr outcome<conductor_size> listed(const conductor_size& c) noexcept {
  return c.system == conductor_system::awg ? awg_conductor(c.gauge) : metric_conductor(c.system, c.area);
}

/// Diameter of a solid wire of a gauge in millimetres; faults as awg_conductor.
constexpr outcome<double> awg_diameter_mm(int gauge) noexcept {
  if (const fault f = refuse(field::gauge, gauge)) return f;
  return 0.127 * power(92, (36 - gauge) / 39.0);
}

/// The source of a size's resistance; none for a size that no table lists.
constexpr source source_of(const conductor_size& c) noexcept {
  if (!listed(c)) return source::none;
  if (c.system == conductor_system::awg) return source::astm_b258;
  return c.area.v < detail::least_metric_mm2 ? source::small_flexible : source::iec_60228;
}

/// Resistance of ONE conductor at 20 degC, ohm/m, plain copper.
///
/// @return  Metric: the greatest that the standard allows. Gauge: that of a solid wire of exact diameter;
///          a stranded conductor has about 2 % more (NEC Chapter 9 Table 8: 3.14 against 3.07 ohm/kft for
///          14 AWG). Faults: those of listed().
/// Formula  gauge: r = rho20 / S
/// Source   IEC 60228:2004, DIN VDE 0295 practice, or ASTM B258-02 with IEC 60028, as source_of tells.
/// Example  1.5 mm2 class 5 -> 0.0133 ohm/m
constexpr outcome<ohms_per_metre> resistance_at_20(const conductor_size& c) noexcept {
  const outcome<conductor_size> size = listed(c);
  if (!size) return size.why();
  if (c.system == conductor_system::awg) return rho_20 / size->area;
  return ohms_per_metre{detail::metric_ohm_per_km(c.system, c.area.v) / 1000};
}

/// Resistance of ONE conductor at a temperature, ohm/m.
///
/// @param t  conductor temperature, degC; -60..200.
/// @return   Faults: those of resistance_at_20 and out_of_range of temperature.
/// Formula  r = r20 (1 + alpha20 (T - 20)), IEC 60028.
constexpr outcome<ohms_per_metre> resistance_at(const conductor_size& c, celsius t) noexcept {
  const outcome<ohms_per_metre> at_20 = resistance_at_20(c);
  return at_20 ? resistance_at(*at_20, t) : at_20;
}

static_assert(*resistance_at_20({conductor_system::metric_class_5, square_millimetres{1.5}, 0}) ==
              ohms_per_metre{13.3 / 1000});
static_assert(!metric_conductor(conductor_system::metric_class_1, square_millimetres{0.22}));

}  // namespace tapewright
