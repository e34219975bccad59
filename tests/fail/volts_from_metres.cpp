// SPDX-License-Identifier: BSL-1.0
// A length is no voltage, though both are numbers.
// expect: (conversion from .*unit::metre>.* to non-scalar type .*unit::volt>|no viable conversion from 'quantity<unit::metre>' to 'const quantity<unit::volt>')
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr volts supply = 24.0_V;
#else
constexpr volts supply = 24.0_m;
#endif
