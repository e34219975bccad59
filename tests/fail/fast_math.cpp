// SPDX-License-Identifier: BSL-1.0
// Under -ffast-math a check for NaN may be removed, so the header refuses to be compiled.
// flags: -ffast-math
// expect: tapewright needs IEEE 754 arithmetic
#include "tapewright/core/scalar_math.hpp"
