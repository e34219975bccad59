// SPDX-License-Identifier: BSL-1.0
// A thread that plans: a question about jobs and their catalogues in (by name, or as rows), JSON text of the answer or the
// problems out.
import { parentPort, workerData } from 'node:worker_threads';
import { open_library } from '../javascript/open.mjs';
import { order_of } from '../javascript/order.mjs';
import { JobRefused } from '../javascript/question.mjs';
import { alternatives_of, changes_of, conflict_of } from '../javascript/what_if.mjs';
import { catalogues } from './catalogues.mjs';

const tw = await open_library(workerData.library);
const [usual] = Object.keys(catalogues);
const apart = ({ catalogue = usual, ...job }) => ({ job, catalogue: typeof catalogue === 'string' ? catalogues[catalogue] : catalogue });
const of_one = (answer) => (body) => {
  const { job, catalogue } = apart(body);
  return answer(tw, job, catalogue);
};

const answers = {
  orders: of_one(order_of),
  alternatives: of_one(alternatives_of),
  changes: ({ before, after }) => changes_of(tw, apart(before), apart(after)),
  conflicts: of_one(conflict_of),
};

parentPort.on('message', ({ question, body }) => {
  try {
    parentPort.postMessage({ answer: JSON.stringify(answers[question](body)) }); // NaN, "there is none", becomes null
  } catch (error) {
    if (!(error instanceof JobRefused)) throw error;
    parentPort.postMessage({ problems: error.problems });
  }
});
