// SPDX-License-Identifier: BSL-1.0
// A length does not turn into a bare number by itself.
// expect: (cannot convert .*metres.* to .const double.|no viable conversion from 'tapewright::metres')
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr double wall = (4.6_m).v;
#else
constexpr double wall = 4.6_m;
#endif
