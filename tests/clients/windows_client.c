/* SPDX-License-Identifier: BSL-1.0 */
/* The shared rows answered by tapewright.dll, loaded as a host loads it that knows nothing but names: by LoadLibrary
 * and GetProcAddress. windows_calls.inc holds the calls of the C client with LOADED around each name. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "tapewright.h"
/* after the interface, so that it is seen to need nothing of this */
#include <windows.h>

#define MOST_FIGURES 16
#define LOADED(name) ((__typeof__(&name))(uintptr_t)address_of(#name))

static HMODULE library;

static FARPROC address_of(const char* name) {
  FARPROC at = GetProcAddress(library, name);
  if (at == 0) {
    fprintf(stderr, "%s is not exported\n", name);
    exit(1);
  }
  return at;
}

static void number(double v) {
  uint64_t bits = 0x7ff8000000000000u; /* any NaN is written so */
  if (v == v) memcpy(&bits, &v, sizeof bits);
  printf(" %08lx%08lx", (unsigned long)(bits >> 32), (unsigned long)(bits & 0xffffffffu));
}
static void whole(int64_t v) {
  const uint64_t bits = (uint64_t)v;
  printf(" %08lx%08lx", (unsigned long)(bits >> 32), (unsigned long)(bits & 0xffffffffu));
}

static int call(const char* function, const double* a) {
#include "windows_calls.inc"
  return 0;
}

/* A figure as strtod reads it, and nan and inf, which the run-time of Windows may not know. */
static double figure(char** at) {
  static const char* const names[] = {"nan", "inf", "-inf"};
  const double values[] = {__builtin_nan(""), __builtin_inf(), -__builtin_inf()};
  size_t i;
  while (**at == ' ') ++*at;
  for (i = 0; i < 3; ++i)
    if (strncmp(*at, names[i], strlen(names[i])) == 0) {
      *at += strlen(names[i]);
      return values[i];
    }
  return strtod(*at, at);
}

int main(int argc, char** argv) {
  static char line[4096];
  FILE* rows = argc == 3 ? fopen(argv[2], "r") : 0;
  if (rows == 0) return fprintf(stderr, "usage: windows_client tapewright.dll cross_client.csv\n"), 2;
  library = LoadLibraryA(argv[1]);
  if (library == 0) return fprintf(stderr, "%s does not load\n", argv[1]), 1;
  fprintf(stderr, "tapewright %s, interface %d\n", LOADED(tw_version_text)(), (int)LOADED(tw_abi_version)());
  while (fgets(line, sizeof line, rows) != 0) {
    double a[MOST_FIGURES] = {0};
    int figures = 0;
    char *id = strtok(line, ","), *function = strtok(0, ","), *at = strtok(0, ",");
    if (id[0] == '#' || strcmp(id, "id") == 0) continue;
    while (*at != 0 && figures < MOST_FIGURES) a[figures++] = figure(&at);
    printf("%s", id);
    if (!call(function, a)) return fprintf(stderr, "no call of %s\n", function), 1;
    printf("\n");
  }
  fclose(rows);
  return FreeLibrary(library) ? 0 : 1;
}
