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
