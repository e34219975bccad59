// SPDX-License-Identifier: BSL-1.0
// Two temperatures do not add; a temperature and a difference do.
// expect: (no match for 'operator\+'|invalid operands to binary expression) .*celsius.* and .*celsius
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr auto hot = 20_degC + 25_K;
#else
constexpr auto hot = 20_degC + 25_degC;
#endif
