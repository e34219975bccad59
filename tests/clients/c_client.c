/* SPDX-License-Identifier: BSL-1.0 */
/* The shared rows answered by the C library in plain C99. The calls are written by write_c_calls.py. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "tapewright.h"

#define MOST_FIGURES 16

static void number(double v) {
  uint64_t bits = 0x7ff8000000000000u; /* any NaN is written so */
  if (v == v) memcpy(&bits, &v, sizeof bits);
  printf(" %016llx", (unsigned long long)bits);
}
static void whole(int64_t v) { printf(" %016llx", (unsigned long long)v); }

static int call(const char* function, const double* a) {
#include "c_calls.inc"
  return 0;
}

int main(int argc, char** argv) {
  static char line[4096];
  FILE* rows = argc == 2 ? fopen(argv[1], "r") : 0;
  if (rows == 0) return fprintf(stderr, "usage: c_client cross_client.csv\n"), 2;
  while (fgets(line, sizeof line, rows) != 0) {
    double a[MOST_FIGURES] = {0};
    int figures = 0;
    char *id = strtok(line, ","), *function = strtok(0, ","), *at = strtok(0, ",");
    if (id[0] == '#' || strcmp(id, "id") == 0) continue;
    while (*at != 0 && figures < MOST_FIGURES) a[figures++] = strtod(at, &at);
    printf("%s", id);
    if (!call(function, a)) return fprintf(stderr, "no call of %s\n", function), 1;
    printf("\n");
  }
  return fclose(rows);
}
