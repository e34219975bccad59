// SPDX-License-Identifier: BSL-1.0
// Connectors and splices between tape, cable and devices.
#pragma once

#include <cstdint>
#include <string_view>

#include "tapewright/core/outcome.hpp"
#include "tapewright/core/quantity.hpp"

namespace tapewright {

/// What a connector joins.
enum class connector_use : std::int32_t {
  tape_to_cable = 0,   ///< at a feed point
  cable_to_cable = 1,  ///< a splice; `ways` cables meet
  tape_to_tape = 2,    ///< a link between two pieces of tape
  driver_plug = 3,     ///< mates with the output connector of a plug-in driver
};

/// One connector of a catalogue.
struct connector {
  std::string_view code, name;
  connector_use use = connector_use::tape_to_cable;
  std::int32_t poles = 2;
  std::int32_t ways = 2;  ///< cables that meet in it
  amps rated;             ///< per pole, at rating_ambient
  volts rated_voltage;
  celsius rating_ambient;              ///< ambient at which `rated` holds
  celsius upper_limit;                 ///< IEC 60512-5-2: nothing is left at this temperature
  square_millimetres least, greatest;  ///< conductors it takes; for tape_to_tape both may be 0
  ohms contact;                        ///< of one pole, both contacts
  money price;                         ///< 0 = not known
};

/// Refuses a connector whose figures make no sense (ranges: core/field.hpp; rating ambient below the
/// upper limit; least conductor not above the greatest).
constexpr fault check(const connector& c) noexcept {
  if (const fault f = refuse_nameless(c.code)) return f;
  if (const fault f = first_fault(
          refuse(field::poles, c.poles), refuse_outside(field::poles, c.ways, 1, 24),
          refuse(field::rated_current, c.rated), refuse(field::rated_voltage, c.rated_voltage),
          refuse(field::rating_ambient, c.rating_ambient), refuse(field::upper_limit, c.upper_limit),
          refuse(field::least_terminal, c.least),
          refuse_outside(field::greatest_terminal, c.greatest.v, c.least.v, 1000),
          refuse(field::resistance, c.contact), refuse(field::price, static_cast<double>(c.price.minor))))
    return f;
  if (!(c.rating_ambient < c.upper_limit))
    return contradiction(field::rating_ambient, c.rating_ambient.v, range_of(field::rating_ambient).least,
                         c.upper_limit.v);
  return {};
}

}  // namespace tapewright
