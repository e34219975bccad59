// SPDX-License-Identifier: BSL-1.0
// A length and a voltage do not add.
// expect: (no match for 'operator\+'|invalid operands to binary expression) .*metres.* and .*volts
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr auto sum = 1.0_m + 1.0_m;
#else
constexpr auto sum = 1.0_m + 1.0_V;
#endif
