// SPDX-License-Identifier: BSL-1.0
// The catalogues that a job may name. One stands in the project, and it is invented.
import { readFileSync } from 'node:fs';
import { catalogue_from, job_from } from '../javascript/bookshop.mjs';

const read = (file) => readFileSync(new URL(`../order_sheet/bookshop/${file}`, import.meta.url), 'utf8');

export const catalogues = { bookshop: catalogue_from(read) };
export const bookshop_job = () => ({ catalogue: 'bookshop', ...job_from(read) });

