// SPDX-License-Identifier: BSL-1.0
// A temperature difference is not a temperature.
// expect: (conversion from .*kelvin.* to non-scalar type .*celsius|no viable conversion from 'tapewright::kelvins')
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr celsius ambient = 25_degC;
#else
constexpr celsius ambient = 25_K;
#endif
