// SPDX-License-Identifier: BSL-1.0
// A bare number does not pass for a length in a call.
// expect: (could not convert .* from .double.|no matching function for call to 'half_of')
#include "tapewright/core/quantity.hpp"

using namespace tapewright;
using namespace tapewright::literals;

#ifdef PUT_RIGHT
constexpr metres half_of(metres whole) noexcept { return whole / 2; }
constexpr metres half = half_of(4.6_m);
#else
constexpr metres half_of(metres whole) noexcept { return whole / 2; }
constexpr metres half = half_of(4.6);
#endif
