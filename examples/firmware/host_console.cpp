// SPDX-License-Identifier: BSL-1.0
// Text out of the demo on a computer.
#include <cstdio>

#include "console.hpp"

void console::write(const char* text) noexcept { std::fputs(text, stdout); }
