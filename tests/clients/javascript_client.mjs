// SPDX-License-Identifier: BSL-1.0
// The shared rows answered through examples/javascript: javascript_client.mjs LIBRARY cross_client.csv
import { readFileSync } from 'node:fs';
import { rows_of } from '../../examples/javascript/bookshop.mjs';
import { open_library } from '../../examples/javascript/open.mjs';
import { answers_to } from './javascript_rows.mjs';

const [library, path] = process.argv.slice(2);
process.stdout.write(answers_to(await open_library(library), rows_of(readFileSync(path, 'utf8'))));
