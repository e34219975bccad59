// SPDX-License-Identifier: BSL-1.0
// The bookshop's job over loopback, and beside it what the library alone takes: load.mjs REQUESTS AT_ONCE LIBRARY...
// Figures only, no verdict: they are a machine's, on a day.
import { Agent, request } from 'node:http';
import { order_of } from '../../examples/javascript/order.mjs';
import { open_library } from '../../examples/javascript/open.mjs';
import { bookshop_job, catalogues } from '../../examples/service/catalogues.mjs';
import { make_service } from '../../examples/service/service.mjs';

const [requests, at_once, ...libraries] = process.argv.slice(2);
const sorted = (times) => Float64Array.from(times).sort();
const share = (times, part) => times[Math.min(times.length - 1, Math.floor(times.length * part))];
const body = Buffer.from(JSON.stringify(bookshop_job()));

/** Processor time of a repeat in ms, so that what else the machine does counts less. */
function processor_ms(repeats, what) {
  const began = process.cpuUsage();
  for (let i = 0; i < repeats; ++i) what(i);
  const { user, system } = process.cpuUsage(began);
  return (user + system) / 1000 / repeats;
}

async function over_loopback(library) {
  const app = await make_service({ library });
  const { port } = new URL(await app.listen({ host: '127.0.0.1', port: 0 }));
  const agent = new Agent({ keepAlive: true, maxSockets: Number(at_once) });
  const ask = () =>
    new Promise((done, failed) => {
      const headers = { 'content-type': 'application/json', 'content-length': body.length };
      request({ agent, port, host: '127.0.0.1', path: '/orders', method: 'POST', headers }, (reply) => {
        reply.resume().on('end', () => (reply.statusCode === 200 ? done() : failed(new Error(`status ${reply.statusCode}`))));
      }).on('error', failed).end(body);
    });
  for (let i = 0; i < 20; ++i) await ask(); // planners and compilers are warm
  let left = Number(requests);
  const times = [];
  const began = performance.now();
  await Promise.all(Array.from({ length: Number(at_once) }, async () => {
    while (left-- > 0) {
      const sent = performance.now();
      await ask();
      times.push(performance.now() - sent);
    }
  }));
  const seconds = (performance.now() - began) / 1000;
  agent.destroy();
  await app.close();
  return { per_second: times.length / seconds, times: sorted(times) };
}

const row = (...cells) => console.log(cells.map((cell, i) => String(cell).padEnd(i ? 13 : 24)).join(''));
row('library', 'a call, ns', 'plan, ms', 'order, ms', 'requests/s', 'p50, ms', 'p99, ms');
for (const library of libraries) {
  const tw = await open_library(library);
  const made = tw.engine.call.tw_plan_make;
  const { catalogue: name, ...job } = bookshop_job();
  const order = () => order_of(tw, job, catalogues[name]);
  processor_ms(30, order); // compilers are warm
  const whole = processor_ms(100, order);
  let plans = 0;
  tw.engine.call = { ...tw.engine.call, tw_plan_make: (...passed) => {
    let status;
    plans = processor_ms(10, () => (status = made(...passed)));
    return status;
  } };
  let planning = 0;
  for (let i = 0; i < 10; ++i, planning += plans / 10) order();
  const entry = tw.engine.call.tw_two_wire_drop;
  const out = tw.room(8);
  const call_ms = processor_ms(200_000, (i) => entry(2.5, 0.021, i % 100, out, 0));
  const { per_second, times } = await over_loopback(library);
  row(library.split('/').pop(), (call_ms * 1e6).toFixed(0), planning.toFixed(2), whole.toFixed(2),
    per_second.toFixed(0), share(times, 0.5).toFixed(1), share(times, 0.99).toFixed(1));
}
console.log(`${requests} requests of the bookshop's job, ${at_once} at once, on loopback; a call: tw_two_wire_drop; plan: tw_plan_make alone; order: with all of it read; these three in processor time`);
