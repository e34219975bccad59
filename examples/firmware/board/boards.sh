# SPDX-License-Identifier: BSL-1.0
# The four boards: how to compile for each, how to run, and how to count instructions. Sourced.
# shellcheck shell=bash

boards=(m0plus m3 m4 m7)
board_packages=(gcc-arm-none-eabi libstdc++-arm-none-eabi-dev libnewlib-dev qemu-system-arm)
board_folder=$(dirname "${BASH_SOURCE[0]}")

declare -A board_core=(
  [m0plus]='-mcpu=cortex-m0plus'
  [m3]='-mcpu=cortex-m3'
  [m4]='-mcpu=cortex-m4 -mfloat-abi=hard -mfpu=fpv4-sp-d16'
  [m7]='-mcpu=cortex-m7 -mfloat-abi=hard -mfpu=fpv5-d16')
declare -A board_machine=([m0plus]=microbit [m3]=mps2-an385 [m4]=netduinoplus2 [m7]=mps2-an500)
# what SysTick counts, in Hz
declare -A board_clock=([m0plus]=16000000 [m3]=25000000 [m4]=168000000 [m7]=25000000)

# BOARD: the flags for code; add -Os or -O2
board_flags() {
  echo "${board_core[$1]} -mthumb -ffreestanding -ffp-contract=off -Wno-psabi -ffunction-sections -fdata-sections"
}
board_cxx_flags() { echo "$(board_flags "$1") -std=c++20 -fno-exceptions -fno-rtti -fno-threadsafe-statics"; }

# BOARD OUTPUT OBJECT...: links with start-up and memory functions, against nothing but the compiler's own library
board_link() {
  local board=$1 output=$2
  shift 2
  local flags
  flags=$(board_flags "$board")
  # shellcheck disable=SC2086
  arm-none-eabi-gcc $flags -std=c99 -Os -c "$board_folder/start.c" -o "$output.start.o" &&
    arm-none-eabi-gcc $flags -std=c99 -Os -c "$board_folder/memory.c" -o "$output.memory.o" &&
    arm-none-eabi-gcc $flags -nostdlib -L"$board_folder" -T "$board_folder/$board.ld" -Wl,--gc-sections \
      -o "$output" "$output.start.o" "$output.memory.o" "$@" -lgcc
}

# BOARD PROGRAM [QEMU OPTION...]: its text on stdout, its exit code as status; at most a minute
board_run() {
  local board=$1 program=$2
  shift 2
  timeout 60 qemu-system-arm -M "${board_machine[$board]}" -nographic -monitor none -serial none \
    -semihosting-config enable=on,target=native -kernel "$program" "$@" 2>&1 </dev/null
}
