// SPDX-License-Identifier: BSL-1.0
// A bare number is not a length: the unit has to be named.
// expect: (conversion from .double. to non-scalar type|no viable conversion from 'double')
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr metres wall{4.6};
#else
constexpr metres wall = 4.6;
#endif
