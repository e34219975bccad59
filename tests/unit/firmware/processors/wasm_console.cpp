// SPDX-License-Identifier: BSL-1.0
// Text out of a WebAssembly module, through the one function it imports.
#include "examples/firmware/console.hpp"

extern "C" [[clang::import_module("host"), clang::import_name("write")]] void host_write(const char* text);

void console::write(const char* text) noexcept { host_write(text); }
