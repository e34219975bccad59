// SPDX-License-Identifier: BSL-1.0
// An answer that may be a fault is not a figure until somebody asks for its value.
// expect-gcc: could not convert 'drop\(\)' from 'tapewright::outcome<.*' to 'tapewright::volts'
// expect-clang: no viable conversion from returned value of type 'outcome<tapewright::volts>'
#include "tapewright/core/outcome.hpp"

using namespace tapewright;

outcome<volts> drop();

#ifdef PUT_RIGHT
volts figure() { return drop().value(); }
#else
volts figure() { return drop(); }
#endif
