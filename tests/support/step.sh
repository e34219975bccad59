# SPDX-License-Identifier: BSL-1.0
# What every step of tests/run starts with: the project's root, counting, and the closing line.
#
#   . "$(dirname "$0")/../support/step.sh"     (one more .. from tests/steps/all)
#   need PACKAGE...            install what is missing
#   build_release COMPILER     the libraries as they are shipped, in build/release-COMPILER, once for all steps
#   check "what" COMMAND...    one case: passes when the command does; its output is shown if it fails
#   beside "what" COMMAND...   the same, but side by side, as many as there are processors;
#   verdicts                   waits for these and counts them in the order of asking
#   close_step                 the closing line, "NAME: N passed, M failed", and the exit status
# shellcheck shell=bash
set -u
cd "$(dirname "${BASH_SOURCE[0]}")/../.." || exit 1
step_name=$(basename "$0")
step_dir=$PWD/build/steps/$step_name
rm -rf "$step_dir"
mkdir -p "$step_dir" || exit 1
# shellcheck source=install.sh
. tests/support/install.sh

jobs=$(nproc)
passed=0
failed=0
compilers=(g++-12 clang++-14)
declare -A c_compiler=([g++-12]=gcc-12 [clang++-14]=clang-14)
warnings=(-Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wdouble-promotion -Werror)

pass() { passed=$((passed + 1)); }
fail() {
  failed=$((failed + 1))
  echo "FAILED: $*"
}
check() {
  local what=$1
  shift
  if "$@" >"$step_dir/check.log" 2>&1; then
    pass
  else
    fail "$what"
    tail -n 60 "$step_dir/check.log"
  fi
}
beside_whats=()
beside_pids=()
beside() {
  while [ "$(jobs -rp | wc -l)" -ge "$jobs" ]; do wait -n; done
  "${@:2}" >"$step_dir/beside-${#beside_pids[@]}.log" 2>&1 &
  beside_whats+=("$1")
  beside_pids+=($!)
}
verdicts() {
  local i
  for i in "${!beside_pids[@]}"; do
    if wait "${beside_pids[$i]}"; then
      pass
    else
      fail "${beside_whats[$i]}"
      tail -n 60 "$step_dir/beside-$i.log"
    fi
  done
  beside_whats=()
  beside_pids=()
}
close_step() {
  echo "$step_name: $passed passed, $failed failed"
  [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
  exit
}

# NAME COMMAND...: no other step runs a command under this name meanwhile (they may run side by side)
alone() { (flock 9 && "${@:2}" 9>&-) 9>"build/.$1.lock"; }

built_preset() { cmake --preset "$1" && cmake --build --preset "$1" -j "$jobs" "${@:2}"; }

# Configures and builds a preset; shows the log and gives up when that fails.
build_preset() {
  local preset=$1
  shift
  if ! alone "$preset" built_preset "$preset" "$@" >"$step_dir/build.log" 2>&1; then
    grep -nE 'error|Error|FAILED' "$step_dir/build.log" | head -n 40
    tail -n 40 "$step_dir/build.log"
    fail "the $preset build"
    close_step
  fi
}

# The headers and both C libraries as a user builds them; what one step built stands for the next.
build_release() { alone "release-$1" built_release "$1"; }
built_release() {
  cmake -S . -B "build/release-$1" -G Ninja -DCMAKE_CXX_COMPILER="$1" -DCMAKE_C_COMPILER="${c_compiler[$1]}" \
    -DCMAKE_BUILD_TYPE=Release -DTAPEWRIGHT_CAPI=ON -DTAPEWRIGHT_TESTS=OFF -DTAPEWRIGHT_BENCH=OFF -DTAPEWRIGHT_EXAMPLES=OFF &&
    cmake --build "build/release-$1" -j "$jobs"
}

# Builds a preset and runs its unit tests. Counts doctest's cases; a program that ended without
# its summary, or without a case, counts as one failure.
run_suite() {
  local preset=$1 log=build/$1/Testing/Temporary/LastTest.log programs
  build_preset "$preset"
  rm -f "$log"
  ctest --preset "$preset" -j "$jobs" >"$step_dir/ctest.log" 2>&1 </dev/null
  local status=$?
  [ $status -eq 0 ] || grep -vE '^ +[0-9]+/[0-9]+ Test +#.*Passed|^ +Start +[0-9]+' "$step_dir/ctest.log" | head -n 200
  programs=$(grep -c 'Test time = ' "$log")
  read -r cases_passed cases_failed summaries < <(
    sed -nE 's/^\[doctest\] test cases: +[0-9]+ \| +([0-9]+) passed \| +([0-9]+) failed.*/\1 \2/p' "$log" |
      awk '{p += $1; f += $2 + ($1 + $2 == 0)} END {print p + 0, f + 0, NR}')
  passed=$((passed + cases_passed))
  failed=$((failed + cases_failed))
  [ "$summaries" -eq "$programs" ] || fail "$((programs - summaries)) of $programs programs ended without a summary"
  [ $status -eq 0 ] || [ "$failed" -gt 0 ] || fail "ctest ended with status $status"
  echo "$preset: $cases_passed of $((cases_passed + cases_failed)) cases in $programs programs passed"
}

# The unit tests under GCC 12 with their lines counted from zero.
run_counted_suite() {
  find build/coverage -name '*.gcda' -delete 2>/dev/null
  run_suite coverage
}
