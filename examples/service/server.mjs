// SPDX-License-Identifier: BSL-1.0
// node server.mjs: TAPEWRIGHT_LIBRARY names the library (tapewright.wasm or libtapewright.so), PORT the port on loopback.
import { make_service } from './service.mjs';

const library = process.env.TAPEWRIGHT_LIBRARY ?? new URL('../../build/wasm/tapewright.wasm', import.meta.url).pathname;
const app = await make_service({ library, logger: { level: 'warn' } });
const address = await app.listen({ host: '127.0.0.1', port: Number(process.env.PORT ?? 8080) });
console.log(`orders are taken at ${address}/orders`);
for (const signal of ['SIGINT', 'SIGTERM']) process.once(signal, () => app.close());
