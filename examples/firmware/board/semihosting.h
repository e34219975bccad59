/* SPDX-License-Identifier: BSL-1.0 */
/* Text and exit code of a board, through the debugger's semihosting calls (Arm's specification, "Semihosting for
 * AArch32 and AArch64"): QEMU writes the text to its stderr and ends with the code. */
#ifndef TAPEWRIGHT_EXAMPLE_SEMIHOSTING_H
#define TAPEWRIGHT_EXAMPLE_SEMIHOSTING_H

#include <stdint.h>

static inline int32_t board_call(int32_t operation, const void* argument) {
  register int32_t r0 __asm__("r0") = operation;
  register const void* r1 __asm__("r1") = argument;
  __asm__ volatile("bkpt 0xab" : "+r"(r0) : "r"(r1) : "memory");
  return r0;
}

/* SYS_WRITE0: a text that ends with a zero byte */
static inline void board_write(const char* text) { board_call(0x04, text); }

/* SYS_EXIT_EXTENDED, reason ADP_Stopped_ApplicationExit */
static inline void board_exit(int32_t code) {
  const uint32_t block[2] = {0x20026u, (uint32_t)code};
  board_call(0x20, block);
  for (;;) {}
}

#endif
