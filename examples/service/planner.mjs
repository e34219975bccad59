// SPDX-License-Identifier: BSL-1.0
// A thread that plans: a job and its catalogue in (by name, or as rows), JSON text of the order or the problems out.
import { parentPort, workerData } from 'node:worker_threads';
import { open_library } from '../javascript/open.mjs';
import { JobRefused, order_of } from '../javascript/order.mjs';
import { catalogues } from './catalogues.mjs';

const tw = await open_library(workerData.library);

parentPort.on('message', ({ job, catalogue }) => {
  try {
    const order = order_of(tw, job, typeof catalogue === 'string' ? catalogues[catalogue] : catalogue);
    parentPort.postMessage({ order: JSON.stringify(order) }); // NaN, "there is none", becomes null
  } catch (error) {
    if (!(error instanceof JobRefused)) throw error;
    parentPort.postMessage({ problems: error.problems });
  }
});
