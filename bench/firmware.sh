#!/usr/bin/env bash
# SPDX-License-Identifier: BSL-1.0
# Counts instructions, flash and stack of the firmware part on the M0+ and the M4 in QEMU, prints one table and writes
# FIGURES (default build/bench/firmware.csv). Status 1 when a bound of bench/firmware_bounds.csv does not hold.
#
#   bench/firmware.sh [FIGURES]
set -eu
cd "$(dirname "$0")/.."
. tests/support/install.sh
. examples/firmware/board/boards.sh
need "${board_packages[@]}"

figures=${1:-build/bench/firmware.csv}
out=build/bench/firmware
rm -rf "$out"
mkdir -p "$out" "$(dirname "$figures")"
shift_of_icount=7 # an instruction lasts 2^7 ns

compile() { # BOARD SOURCE
  local board=$1 source=$2 extra=()
  [ "$board" = m0plus ] && extra=(-fno-jump-tables)
  # shellcheck disable=SC2046
  arm-none-eabi-g++ $(board_cxx_flags "$board") -Os "${extra[@]}" -Wall -Wextra -I. -Iinclude -Icapi -c "$source" \
    -o "$out/$board.$(basename "$source" .cpp).o"
}
flash_of() { arm-none-eabi-size "$1" | awk 'NR == 2 {print $1 + $2}'; }
# BOARD FUNCTION OBJECT...: what a program grows by when it holds the function and all that this needs
code_of() {
  local board=$1 function=$2
  shift 2
  board_link "$board" "$out/$board.size.elf" "$out/$board.nothing.o" "$@" "-Wl,-u,$function" || exit 1
  echo $(($(flash_of "$out/$board.size.elf") - $(flash_of "$out/$board.nothing.elf")))
}

echo 'int main() { return 0; }' >"$out/nothing.cpp"
for board in m0plus m4; do
  o=$out/$board
  # shellcheck disable=SC2086
  capi/firmware/make_archive "$o.guard.a" ${board_core[$board]} -Os
  for source in bench/firmware/*.cpp examples/firmware/board/console.cpp "$out/nothing.cpp"; do
    compile "$board" "$source"
  done
  board_link "$board" "$o.nothing.elf" "$o.nothing.o"
  board_link "$board" "$o.counts.elf" "$o".{counts,window_guard,window_frame,pixels,console}.o "$o.guard.a"
  board_link "$board" "$o.stack.elf" "$o".{stack,scalar_sizing,run_sizing,solved_run,console}.o
  # ticks to instructions: the clock over 2^shift ns; the call of the empty function, all but one, is taken off
  board_run "$board" "$o.counts.elf" -icount "shift=$shift_of_icount" |
    awk -v hz="${board_clock[$board]}" -v shift=$shift_of_icount '
      {n = $2 * 1e9 / hz / 2 ^ shift}
      $1 == "empty" {call = n - 1}
      {printf "%s %d\n", $1, n - call + 0.5}' >"$o.counts.txt"
  board_run "$board" "$o.stack.elf" >"$o.stack.txt"
  count() { awk -v name="$1" '$1 == name {print $2; found = 1} END {exit !found}' "$o.counts.txt"; }
  most() { printf '%s\n' "$@" | sort -n | tail -n 1; }
  stack() { awk -v name="$1" '$1 == name {print $2; found = 1} END {exit !found}' "$o.stack.txt"; }
  {
    echo "guard of 5 channels within limits,instructions,$(count guard-within)"
    echo "guard of 5 channels limiting,instructions,$(most "$(count guard-limiting)" "$(count guard-limiting-barely)")"
    echo "guard of 5 channels limiting and a channel at its own limit,instructions,$(count guard-limiting-and-clipping)"
    echo "guard in C of 5 channels within limits,instructions,$(count c-guard-within)"
    echo "guard in C of 5 channels limiting,instructions,$(most "$(count c-guard-limiting)" "$(count c-guard-limiting-barely)")"
    echo "guard in C of 5 channels limiting and a channel at its own limit,instructions,$(count c-guard-limiting-and-clipping)"
    echo "guard code with limits made at compile time,bytes of flash,$(code_of $board guard_of_window "$o.window_guard.o")"
    echo "guard code in C with limits made at run time,bytes of flash,$(code_of $board tw_guard "$o.guard.a")"
    echo "whole frame of 5 channels within limits,instructions,$(count frame-within)"
    echo "whole frame of 5 channels limiting,instructions,$(most "$(count frame-limiting-and-clipping)" "$(count frame-limiting-barely)")"
    echo "whole frame code with limits made at compile time,bytes of flash,$(code_of $board frame_of_window "$o.window_frame.o")"
    echo "configuring a guard,instructions,$(count configure)"
    echo "pixel of 3 bytes added to a sum,instructions,$(awk '/^pixels-100 /{a = $2} /^pixels-1100 /{print ($2 - a) / 1000}' "$o.counts.txt")"
    echo "scalar sizing: drop gauge driver connector fuse,bytes of flash,$(code_of $board size_scalars "$o.scalar_sizing.o")"
    echo "scalar sizing: drop gauge driver connector fuse,bytes of stack,$(stack scalar-sizing)"
    echo "one run checked whole,bytes of flash,$(code_of $board size_run "$o.run_sizing.o")"
    echo "one run checked whole,bytes of stack,$(stack run-checked)"
    echo "one run of 5 channels and 100 segments solved,bytes of flash,$(code_of $board solve_run "$o.solved_run.o")"
    echo "one run of 5 channels and 100 segments solved,bytes of stack,$(stack run-solved-100)"
    echo "stack of 1000 segments over that of 10,bytes of stack,$(($(stack run-solved-1000) - $(stack run-solved-10)))"
  } >"$o.figures.csv"
done

echo "GCC $(arm-none-eabi-gcc -dumpversion) for Arm, -Os; instructions counted in QEMU, which models no cycles"
python3 - "$figures" "$out" bench/firmware_bounds.csv <<'EOF'
import csv, sys

figures, out, bounds = sys.argv[1:]
measured = {}
for board in ("m0plus", "m4"):
    with open(f"{out}/{board}.figures.csv", encoding="utf-8", newline="") as file:
        for case, unit, figure in csv.reader(file):
            measured[case, unit, board] = float(figure)
rows, broken = [], 0
with open(bounds, encoding="utf-8", newline="") as file:
    for row in csv.DictReader(line for line in file if not line.startswith("#")):
        for board in ("m0plus", "m4"):
            figure, bound = measured.pop((row["case"], row["unit"], board), None), row[board]
            holds = figure is not None and (not bound or figure <= float(bound))
            broken += not holds
            rows.append([row["case"], board, f"{figure:g}" if figure is not None else "not measured", row["unit"], bound,
                         ("yes" if holds else "NO") if bound or figure is None else ""])
for (case, unit, board), figure in measured.items():  # measured, but nobody wrote a row for it
    rows.append([case, board, f"{figure:g}", unit, "", "NO ROW"])
    broken += 1
heads = ["case", "core", "figure", "unit", "bound", "holds"]
widths = [max(len(r[i]) for r in rows + [heads]) for i in range(6)]
for r in [heads] + rows:
    print("  ".join(c.rjust(w) if i in (2, 4) else c.ljust(w) for i, (c, w) in enumerate(zip(r, widths))).rstrip())
with open(figures, "w", encoding="utf-8", newline="") as file:
    csv.writer(file).writerows([heads] + rows)
sys.exit(1 if broken else 0)
EOF
