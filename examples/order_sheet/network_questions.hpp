// SPDX-License-Identifier: BSL-1.0
// What is asked of the network that a run hangs on: what moves its light, what it may do, what another cable would do.
#pragma once

#include <cstdint>
#include <string>

#include "planned.hpp"

namespace order_sheet {

/// Derivations about one run of a plan, out of everything on its driver output solved at once; empty where no
/// output serves it or its network has no answer.
std::string network_text(const planned& p, std::int32_t run);

}  // namespace order_sheet
