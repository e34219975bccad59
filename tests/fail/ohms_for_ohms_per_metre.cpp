// SPDX-License-Identifier: BSL-1.0
// A resistance is not a resistance per metre.
// expect: (conversion from .*unit::ohm>.* to non-scalar type .*unit::ohm_per_metre>|no viable conversion from 'quantity<unit::ohm>' to 'const quantity<unit::ohm_per_metre>')
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr ohms_per_metre trace = 0.1_ohm / 2_m;
#else
constexpr ohms_per_metre trace = 0.1_ohm;
#endif
