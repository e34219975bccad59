// SPDX-License-Identifier: BSL-1.0
// Prints the words of the test vectors: on a board and on the host alike. Ends with 3 where C and C++ differ.
#include "vectors.hpp"

#include "examples/firmware/console.hpp"

int main() {
  using console::write;
  const tapewright::test::vector_words words = tapewright::test::make_vectors(tapewright::test::board_sets);
  const auto line = [](const char* what, const tapewright::test::fold& f) {
    write(what);
    console::write_hex(f.hash);
    write("\n");
  };
  line("limits  ", words.limits);
  line("frames  ", words.frames);
  line("states  ", words.states);
  line("pixels  ", words.pixels);
  line("phases  ", words.phases);
  line("startup ", words.startup);
  return words.c_agrees ? 0 : 3;
}
