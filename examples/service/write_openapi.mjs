// SPDX-License-Identifier: BSL-1.0
// The description of the service as the service itself gives it, without starting it: node write_openapi.mjs LIBRARY
import { open_library } from '../javascript/open.mjs';
import { catalogues } from './catalogues.mjs';
import { openapi_of } from './schema.mjs';

console.log(JSON.stringify(openapi_of(await open_library(process.argv[2]), Object.keys(catalogues)), null, 1));
