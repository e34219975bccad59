// SPDX-License-Identifier: BSL-1.0
// The library in Node by the kind of its file: a shared library through koffi, or the WebAssembly module.
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { from_native } from './native.mjs';
import { from_wasm } from './tapewright.mjs';

export async function open_library(path) {
  if (path.endsWith('.wasm')) return from_wasm(await readFile(path));
  const koffi = createRequire(new URL('../service/', import.meta.url))('koffi'); // where it is installed
  return from_native(koffi, path);
}
