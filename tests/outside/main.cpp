// SPDX-License-Identifier: BSL-1.0
// The power of 4.6 m of a 21 W/m tape, in the types of the library: 96.6 W.
#include <tapewright/tapewright.hpp>

using namespace tapewright::literals;

int main(int argc, char**) {
  const tapewright::metres length{4.6 * argc};  // argc is 1: a figure the compiler cannot know
  return length * 21_W_per_m == 96.6_W ? 0 : 1;
}
