/* SPDX-License-Identifier: BSL-1.0 */
/* Start-up of a Cortex-M board: vector table, memory, floating point unit, then main; a fault ends with 99. */
#include <stdint.h>

#include "semihosting.h"

extern uint32_t stack_top, data_begin, data_end, data_load, bss_begin, bss_end;
int main(void);

void reset(void) {
#if defined(__ARM_FP)
  *(volatile uint32_t*)0xE000ED88 |= 0xFu << 20; /* CPACR: coprocessors 10 and 11, before the first float */
  __asm__ volatile("dsb\n isb");
#endif
  const uint32_t* from = &data_load;
  for (uint32_t* to = &data_begin; to != &data_end;) *to++ = *from++;
  for (uint32_t* at = &bss_begin; at != &bss_end;) *at++ = 0;
  board_exit(main());
}

static void fault(void) { board_exit(99); }

__attribute__((section(".vectors"), used)) void* const vectors[16] = {
    &stack_top,
    (void*)reset,
    (void*)fault,
    (void*)fault,
    (void*)fault,
    (void*)fault,
    (void*)fault,
    0,
    0,
    0,
    0,
    (void*)fault,
    (void*)fault,
    0,
    (void*)fault,
    (void*)fault,
};
