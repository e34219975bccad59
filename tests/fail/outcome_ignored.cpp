// SPDX-License-Identifier: BSL-1.0
// An answer that may be a fault is not thrown away unread.
// flags: -Werror=unused-result
// expect: ignoring return(ed)? value
#include "tapewright/core/outcome.hpp"

using namespace tapewright;

outcome<volts> drop();

#ifdef PUT_RIGHT
bool asked() { return drop().ok(); }
#else
void asked() { drop(); }
#endif
