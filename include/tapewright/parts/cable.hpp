// SPDX-License-Identifier: BSL-1.0
// Cable as it is sold by length: cores, conductor, insulation, core colours, price.
#pragma once

#include <cstdint>
#include <string_view>

#include "tapewright/core/bounded.hpp"
#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"

namespace tapewright {

inline constexpr std::size_t max_cores = 12;

/// How a conductor size is written down. The stranding of a metric size decides its resistance.
enum class conductor_system : std::int32_t {
  metric_class_1 = 1,  ///< IEC 60228 solid
  metric_class_2 = 2,  ///< IEC 60228 stranded
  metric_class_5 = 5,  ///< IEC 60228 flexible
  awg = 10,            ///< ASTM B258
};

/// True for the systems that name a size by its nominal section.
constexpr bool is_metric(conductor_system s) noexcept {
  return s == conductor_system::metric_class_1 || s == conductor_system::metric_class_2 ||
         s == conductor_system::metric_class_5;
}

/// A conductor size: nominal mm2 for the metric systems, gauge number for AWG (4/0 is -3).
struct conductor_size {
  conductor_system system = conductor_system::metric_class_5;
  square_millimetres
      area;  ///< nominal; for AWG the exact area, filled in by awg_conductor (rules/conductor_sizes.hpp)
  std::int32_t gauge = 0;  ///< used when system == awg

  friend constexpr bool operator==(const conductor_size&, const conductor_size&) noexcept = default;
};

/// One cable of a catalogue.
struct cable {
  std::string_view code, name;
  std::int32_t cores = 2;
  conductor_size conductor;
  celsius conductor_limit;  ///< 70 PVC, 90 XLPE/EPR
  amps rating;              ///< maker's own rating at 30 degC; 0 = take the code's table
  bounded<std::string_view, max_cores> core_colours;  ///< IEC 60757 letters, core 1 first
  metres sale_quantum;
  metres stock;  ///< longest piece in stock; 0 = any length
  money price;   ///< of one sale quantum; 0 = not known
};

/// Refuses a cable whose figures make no sense (ranges: core/field.hpp; one colour a core, or none; a system of
/// conductor_system).
constexpr fault check(const cable& c) noexcept {
  if (const fault f = refuse_nameless(c.code)) return f;
  if (const fault f = first_fault(
          refuse_outside(field::core_count, c.cores, 1, static_cast<double>(max_cores)),
          refuse(field::conductor_limit, c.conductor_limit), refuse(field::cable_rating, c.rating),
          refuse(field::sale_quantum, c.sale_quantum), refuse(field::stock_length, c.stock),
          refuse(field::price, static_cast<double>(c.price.minor))))
    return f;
  if (!c.core_colours.empty() && c.core_colours.size() != static_cast<std::size_t>(c.cores))
    return contradiction(field::core_count, static_cast<double>(c.cores),
                         static_cast<double>(c.core_colours.size()),
                         static_cast<double>(c.core_colours.size()));
  if (c.conductor.system == conductor_system::awg) return refuse(field::gauge, c.conductor.gauge);
  if (is_metric(c.conductor.system)) return refuse(field::area, c.conductor.area);
  const field_range systems = range_of(field::conductor_system);
  return {fault_code::not_listed,
          field::conductor_system,
          static_cast<double>(c.conductor.system),
          systems.least,
          systems.most,
          -1};
}

}  // namespace tapewright
