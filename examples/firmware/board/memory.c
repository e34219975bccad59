/* SPDX-License-Identifier: BSL-1.0 */
/* The three functions that compilers call for zeroed and copied memory. Bytewise: short, not fast. */
#include <stddef.h>

/* or the compiler would see a memset in the loop of memset, and call it */
#pragma GCC optimize("no-tree-loop-distribute-patterns")

void* memset(void* to, int value, size_t count) {
  unsigned char* at = to;
  while (count--) *at++ = (unsigned char)value;
  return to;
}

void* memcpy(void* to, const void* from, size_t count) {
  unsigned char* at = to;
  const unsigned char* source = from;
  while (count--) *at++ = *source++;
  return to;
}

void* memmove(void* to, const void* from, size_t count) {
  unsigned char* at = to;
  const unsigned char* source = from;
  if (at <= source || at >= source + count) return memcpy(to, from, count);
  while (count--) at[count] = source[count];
  return to;
}
