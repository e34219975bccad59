// SPDX-License-Identifier: BSL-1.0
// One picture of a plan: what feeds what, with currents, and beside each run its volts and light.
#pragma once

#include <string>

#include "planned.hpp"

namespace order_sheet {

/// An SVG 1.1 document. One row a run, in the order of the connection schedule: driver, controller, run
/// as blocks with the currents of the cables between them, then the voltage across the lamps and their
/// light from the near end to the far end, all channels on. Designations are those of the lists.
std::string picture_of(const planned& p);

}  // namespace order_sheet
