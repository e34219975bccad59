// SPDX-License-Identifier: BSL-1.0
// node run_wasm.mjs MODULE: runs its print_bits, writes its text, ends with its answer.
import { readFileSync } from 'node:fs';

let memory;
const write = (at) => {
  const bytes = new Uint8Array(memory.buffer, at);
  process.stdout.write(Buffer.from(bytes.subarray(0, bytes.indexOf(0))));
};
const module = new WebAssembly.Module(readFileSync(process.argv[2]));
const instance = new WebAssembly.Instance(module, { host: { write } });
memory = instance.exports.memory;
process.exit(instance.exports.print_bits());
