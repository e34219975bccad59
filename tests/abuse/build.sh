# SPDX-License-Identifier: BSL-1.0
# How the programs of tests/abuse are built, together with the sources of the C interface.
# shellcheck shell=bash

# COMPILER PROGRAM OPTION...: tests/abuse/PROGRAM.cpp as $step_dir/PROGRAM; the library is compiled once for the same options
abuse_built() {
  local compiler=$1 program=$2 key objects file
  shift 2
  key=$(printf '%s ' "$compiler" "$@" | cksum | cut -d ' ' -f 1)
  objects=$step_dir/objects-$key
  grep -v '^tw_guard' capi/symbols.txt | sed 's/.*/TW_CALLABLE(&)/' >"$step_dir/functions.inc"
  if [ ! -d "$objects" ]; then
    mkdir -p "$objects"
    printf '%s\n' capi/*.cpp | xargs -P "$jobs" -I{} sh -c '"$@" -c "{}" -o "$0/$(basename {}).o"' "$objects" "$compiler" \
      -std=c++20 -g -ffp-contract=off -Iinclude -I. -Icapi "$@" || return 1
  fi
  # the fuzzer's main comes with -fsanitize=fuzzer, at the link alone
  "$compiler" -std=c++20 -g -ffp-contract=off -Wall -Wextra -Werror "-I$step_dir" -Iinclude -I. -Icapi "${@/fuzzer-no-link/fuzzer}" \
    "tests/abuse/$program.cpp" "$objects"/*.o -pthread -o "$step_dir/$program"
}
