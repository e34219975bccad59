// SPDX-License-Identifier: BSL-1.0
// The shared library through koffi: the same Library as over WebAssembly, for Node. Memory that both sides see is one
// block of the C heap, so that structures lie there as they lie in a module's memory. koffi is handed in by the caller.
import { Library } from './tapewright.mjs';

const block_bytes = 64 * 1024 * 1024; // pages that are never touched cost nothing
const kinds = { double: 'double', int32_t: 'int32_t', uint32_t: 'uint32_t', int64_t: 'int64_t', tw_status: 'int32_t' };

export function from_native(koffi, path) {
  const loaded = koffi.load(path);
  const block = koffi.alloc('uint8_t', block_bytes);
  const base = Number(koffi.address(block));
  const memory = koffi.view(block, block_bytes);
  const kind = (type) => kinds[type] ?? 'uintptr_t';
  const call = {};
  return new Library({
    call,
    base,
    wide: (figure) => figure,
    from: 16,
    pointer: (view, at) => Number(view.getBigUint64(at, true)),
    buffer: () => memory,
    declare(name, returns, types) {
      call[name] = loaded.func(name, kind(returns), types.map(kind));
    },
    reach(end) {
      if (end > block_bytes) throw new RangeError(`a job for more than ${block_bytes} bytes`);
    },
    text_at: (address) => koffi.decode(BigInt(address), 'char', -1),
  });
}
