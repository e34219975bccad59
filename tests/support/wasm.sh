# SPDX-License-Identifier: BSL-1.0
# make_wasm OUT [OPTION...]: the WebAssembly module, compiled anew when a source of it is newer. What was compiled for it stays
# in OUT.objects.
# shellcheck shell=bash

make_wasm() { alone wasm made_wasm "$@"; }
made_wasm() {
  local out=$1
  [ -e "$out" ] && [ -z "$(find include capi -newer "$out" -type f -print -quit)" ] && return 0
  shift
  rm -rf "$out.objects"
  mkdir -p "$(dirname "$out")"
  capi/wasm/make_module "$out" --objects "$out.objects" "$@"
}
wasm_packages=(clang-14 lld-14 wasi-libc libc++-14-dev-wasm32 libc++abi-14-dev-wasm32)
