// SPDX-License-Identifier: BSL-1.0
// Amps times amps are no watts: the resistance is missing.
// expect: (no match for 'operator\*'|invalid operands to binary expression) .*amps.* and .*amps
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr watts loss = 2_A * (2_A * 0.1_ohm);
#else
constexpr watts loss = 2_A * 2_A;
#endif
