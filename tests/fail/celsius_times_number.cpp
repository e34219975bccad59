// SPDX-License-Identifier: BSL-1.0
// Twice a temperature on the Celsius scale means nothing.
// expect: (no match for 'operator\*'|invalid operands to binary expression) .*celsius.* and .*double
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr auto twice = 20_K * 2.0;
#else
constexpr auto twice = 20_degC * 2.0;
#endif
