// SPDX-License-Identifier: BSL-1.0
// Volts over amps are ohms, not watts.
// expect: (conversion from .*unit::ohm>.* to non-scalar type .*unit::watt>|no viable conversion from 'quantity<unit::ohm>' to 'const quantity<unit::watt>')
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr watts load = 24_V * 2_A;
#else
constexpr watts load = 24_V / 2_A;
#endif
