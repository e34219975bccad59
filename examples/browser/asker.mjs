// SPDX-License-Identifier: BSL-1.0
// A thread of the page for what takes many plans, so that nobody waits for it while typing: other ways to build a job that
// fits, what stands against one that does not.
import { from_wasm } from './tapewright.mjs';
import { alternatives_of, conflict_of } from './what_if.mjs';

const [tw, { catalogue }] = await Promise.all([fetch('tapewright.wasm').then(from_wasm), fetch('catalogue.json').then((parts) => parts.json())]);

self.onmessage = ({ data: { number, job, fits } }) => {
  try {
    const told = fits ? { ways: alternatives_of(tw, job, catalogue) } : { against: conflict_of(tw, job, catalogue) };
    self.postMessage({ number, told });
  } catch (error) {
    self.postMessage({ number, failed: error.message });
  }
};
self.postMessage('ready');
