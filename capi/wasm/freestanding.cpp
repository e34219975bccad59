// SPDX-License-Identifier: BSL-1.0
// What libc++ asks of a C library at run time where there is none. Copying and setting are instructions of the machine.
#include <cstddef>

extern "C" {

void* memcpy(void* to, const void* from, std::size_t bytes) { return __builtin_memcpy(to, from, bytes); }
void* memmove(void* to, const void* from, std::size_t bytes) { return __builtin_memmove(to, from, bytes); }
void* memset(void* at, int value, std::size_t bytes) { return __builtin_memset(at, value, bytes); }

std::size_t strlen(const char* text) {
  std::size_t n = 0;
  while (text[n] != 0) ++n;
  return n;
}
}
