// SPDX-License-Identifier: BSL-1.0
// Text out of a board, through semihosting.
#include "../console.hpp"

#include "semihosting.h"

void console::write(const char* text) noexcept { board_write(text); }
