/* SPDX-License-Identifier: BSL-1.0 */
/* 2.5 A through 4 m of two-core cable, 0.0210 ohm/m each core, out and back: 0.42 V. */
#include <tapewright.h>

int main(void) {
  double drop_v = 0;
  if (tw_two_wire_drop(2.5, 0.0210, 4.0, &drop_v, 0) != TW_OK) return 1;
  return drop_v > 0.42 - 1e-15 && drop_v < 0.42 + 1e-15 ? 0 : 2; /* three roundings */
}
