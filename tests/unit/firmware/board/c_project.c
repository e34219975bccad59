/* SPDX-License-Identifier: BSL-1.0 */
/* A firmware project in plain C99: this file, tapewright_guard.h and the archive; no C++ anywhere. */
#include "tapewright_guard.h"

/* three channels of 1 A, 2 A together at most */
static const tw_guard_settings settings = {
    3, {1000000, 1000000, 1000000}, {1000000, 1000000, 800000}, 2000000, 2000000, 10, 2, 0};

int main(void) {
  tw_guard_limits limits;
  tw_guard_state state;
  tw_guard_fault why;
  const uint16_t dim[3] = {20000, 20000, 20000}, bright[3] = {65535, 65535, 65535};
  uint16_t out[3];
  uint32_t sum;

  if (tw_guard_version() != TW_GUARD_VERSION) return 1;
  if (tw_guard_configure(&settings, &limits, &why) != TW_GUARD_OK) return 2;
  if (tw_guard(&limits, dim, out) != 0 || out[0] != 20000 || out[2] != 20000) return 3;
  if (!TW_GUARD_SCALED(tw_guard(&limits, bright, out))) return 4;
  sum = (uint32_t)out[0] + out[1] + out[2];
  /* 2 A of 1 A channels are 131070 steps; 0.1 % of that may be lost, and a step of each channel */
  if (sum > 131070 || sum < 131070 - 131 - 3) return 5;
  if (out[0] != out[1] || out[2] >= out[0]) return 6;
  tw_guard_begin(&state);
  if (!TW_GUARD_CLIPPED(tw_guard_frame(&limits, &state, bright, out))) return 7;
  if (tw_guard_limited_frames(&state) != 1) return 8;
  if (tw_guard_configure(0, &limits, &why) != TW_GUARD_NULL_POINTER || why.field != TW_GUARD_FIELD_POINTER)
    return 9;
  if (!TW_GUARD_MISUSED(tw_guard(&limits, bright, out))) return 10;
  return 0;
}
