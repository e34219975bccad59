# SPDX-License-Identifier: BSL-1.0
# How the compiled C interface is read: shared by capi/record_abi and the test steps.
# shellcheck shell=bash

# FOLDER: the C library, with the debug information that layouts are read from.
build_with_layout() {
  cmake -S . -B "$1" -G Ninja -DCMAKE_C_COMPILER=gcc-12 -DCMAKE_CXX_COMPILER=g++-12 -DCMAKE_BUILD_TYPE=None \
    -DCMAKE_CXX_FLAGS="-O1 -g -ffile-prefix-map=$PWD=." -DTAPEWRIGHT_CAPI=ON -DTAPEWRIGHT_TESTS=OFF -DTAPEWRIGHT_BENCH=OFF -DTAPEWRIGHT_EXAMPLES=OFF &&
    cmake --build "$1" --target tapewright_c
}
# LIBRARY: the functions it shows, without their version.
exported() { nm -D --defined-only --format=posix "$1" | awk '$2 == "T" {sub(/@.*/, "", $1); print $1}' | LC_ALL=C sort; }
# LIBRARY FILE: its functions and their types as libabigail writes them; what tapewright.h does not show, such as
# the inside of a plan, is left out, and so are the paths of this machine.
write_abi() {
  abidw --exported-interfaces-only --header-file capi/tapewright.h --drop-private-types \
    --no-corpus-path --no-comp-dir-path --no-show-locs --out-file "$2" "$1"
}
# FOLDER FILE: the interface for programs that bind it, as JSON.
write_functions() {
  mkdir -p "$1" &&
    g++-12 -std=c++20 -O1 -Iinclude -I. -Icapi capi/describe/functions_json.cpp -o "$1/functions_json" &&
    "$1/functions_json" capi/tapewright.h >"$2"
}
# FOLDER FILE: questions with their answers, which every client of the interface must give bit by bit.
write_rows() {
  mkdir -p "$1" &&
    g++-12 -std=c++20 -O1 -ffp-contract=off -DTAPEWRIGHT_REFERENCE_DIR='"tests/reference"' -Iinclude -I. -Icapi -c \
      tests/clients/write_rows.cpp -o "$1/write_rows.o" &&
    g++-12 "$1/write_rows.o" -L build/abi/capi -ltapewright -Wl,-rpath,"$PWD/build/abi/capi" -o "$1/write_rows" &&
    "$1/write_rows" >"$2"
}
