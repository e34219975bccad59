// SPDX-License-Identifier: BSL-1.0
// A length is neither more nor less than a voltage.
// expect: (no match for 'operator<'|invalid operands to binary expression) .*metres.* and .*volts
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr bool less = 4.6_m < 24_m;
#else
constexpr bool less = 4.6_m < 24_V;
#endif
