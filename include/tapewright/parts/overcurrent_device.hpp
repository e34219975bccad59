// SPDX-License-Identifier: BSL-1.0
// Fuses and miniature breakers for the extra-low-voltage outputs.
#pragma once

#include <cstdint>
#include <string_view>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"

namespace tapewright {

/// The family decides the conventional operating current (rules/overcurrent_ratings.hpp).
enum class overcurrent_family : std::int32_t {
  fuse_gg = 0,         ///< IEC 60269-1
  breaker_b = 1,       ///< IEC 60898-1, instantaneous band 3..5 In
  breaker_c = 2,       ///< IEC 60898-1, 5..10 In
  breaker_d = 3,       ///< IEC 60898-1, 10..20 In
  blade_fuse = 4,      ///< ISO 8820-3
  cartridge_fuse = 5,  ///< IEC 60127-2
};

/// One overcurrent device of a catalogue (with its holder).
struct overcurrent_device {
  std::string_view code, name;
  overcurrent_family family = overcurrent_family::blade_fuse;
  amps rated;
  volts rated_voltage;  ///< direct voltage it may interrupt
  money price;          ///< 0 = not known
};

/// Refuses a device whose figures make no sense (ranges: core/field.hpp).
constexpr fault check(const overcurrent_device& d) noexcept {
  if (const fault f = refuse_nameless(d.code)) return f;
  return first_fault(refuse(field::fuse_rating, d.rated), refuse(field::rated_voltage, d.rated_voltage),
                     refuse(field::price, static_cast<double>(d.price.minor)));
}

}  // namespace tapewright
