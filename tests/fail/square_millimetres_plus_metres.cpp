// SPDX-License-Identifier: BSL-1.0
// A section and a length do not add.
// expect: (no match for .operator\+.|invalid operands to binary expression) .*square_millimetres.* and .*::metres
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr auto sum = 1.5_mm2 + 1.5_mm2;
#else
constexpr auto sum = 1.5_mm2 + 1.5_m;
#endif
