// SPDX-License-Identifier: BSL-1.0
// Why a configuration is refused, in whole numbers: a fault without floating point.
#pragma once

#include <cstdint>

#include "tapewright/core/field.hpp"
#include "tapewright/core/outcome.hpp"

namespace tapewright {

/// A fault whose figures are whole numbers in the field's own unit: core/outcome.hpp's `fault` holds doubles,
/// and one of those brings a kilobyte of library to a processor without them. Same codes, same fields.
struct whole_fault {
  fault_code code = fault_code::none;
  tapewright::field field = tapewright::field::none;
  std::int32_t item = -1;  ///< channel or colour, from 0; -1 = none
  std::uint32_t given = 0, least = 0, most = 0;

  constexpr explicit operator bool() const noexcept { return code != fault_code::none; }
  friend constexpr bool operator==(const whole_fault&, const whole_fault&) noexcept = default;
};

/// Allowed range of a field in whole numbers, made at compile time from core/field.hpp.
template <field F>
inline constexpr std::uint32_t least_of = static_cast<std::uint32_t>(range_of(F).least);
template <field F>
inline constexpr std::uint32_t most_of = static_cast<std::uint32_t>(range_of(F).most);

/// Refuses a figure outside the range that core/field.hpp gives for it.
template <field F>
constexpr whole_fault refuse_whole(std::uint32_t given, std::int32_t item = -1) noexcept {
  if (given >= least_of<F> && given <= most_of<F>) return {};
  return {fault_code::out_of_range, F, item, given, least_of<F>, most_of<F>};
}

/// The same fault as the design headers tell it.
constexpr fault as_fault(const whole_fault& f) noexcept {
  return {f.code,
          f.field,
          static_cast<double>(f.given),
          static_cast<double>(f.least),
          static_cast<double>(f.most),
          f.item};
}

}  // namespace tapewright
