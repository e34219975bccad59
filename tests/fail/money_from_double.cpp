// SPDX-License-Identifier: BSL-1.0
// Money is counted in whole minor units, not measured.
// expect: (narrowing conversion of .*from .double.|type 'double' cannot be narrowed)
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr money price{1999};
#else
constexpr money price{19.99};
#endif
