// SPDX-License-Identifier: BSL-1.0
// A temperature is not a temperature difference.
// expect: (conversion from .*celsius.* to non-scalar type .*kelvin|no viable conversion from 'tapewright::celsius')
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr kelvins rise = 45_degC - 20_degC;
#else
constexpr kelvins rise = 25_degC;
#endif
