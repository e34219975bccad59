// SPDX-License-Identifier: BSL-1.0
// Malformed and extreme bodies against the service on loopback: abuse.mjs LIBRARY COUNT [SEED]. Every one is answered in
// time, none with 500, and the service plans as before when it is over.
import { request } from 'node:http';
import { bookshop_job, catalogues } from '../../examples/service/catalogues.mjs';
import { questions } from '../../examples/service/schema.mjs';
import { make_service } from '../../examples/service/service.mjs';
import { bent } from '../clients/bent_job.mjs';

const [library, count, seed = '20261127'] = process.argv.slice(2);
const answer_within_ms = 10_000;
const at_once = 8;

/** Numbers 0..1 from a seed (Mulberry32). */
function random_from(start) {
  let state = start >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
const random = random_from(Number(seed));
const below = (n) => Math.floor(random() * n);
const one_of = (list) => list[below(list.length)];

const odd_values = [
  () => null, () => true, () => '', () => -1, () => 0, () => -0, () => 1e308, () => 5e-324, () => 2 ** 53, () => -(2 ** 63), () => 0.1, () => 1000, () => 120,
  () => [], () => ({}), () => 'x'.repeat(below(5000)), () => '\u0000', () => '\ud83d\ude00'.repeat(16), () => '__proto__', () => 'NaN', () => [[[[]]]],
  () => Array(below(300)).fill(0), () => below(1e6), () => random() * 1e-6, () => -40,
];
const raw_values = ['1e999', '-1e999', 'NaN', 'Infinity', '01', '1.', '"\\ud800"', '{"__proto__": {"fits": true}}', '[' .repeat(2000), '0x10', "'x'", '1e-999'];

/** A small valid job, with its catalogue in it half of the time. */
function start() {
  const job = random() < 0.5 ? bookshop_job() : bent(bookshop_job());
  const zones = job.zones.slice(0, 1 + below(3));
  const runs = job.runs.filter((run) => zones.some((zone) => zone.code === run.zone)).slice(0, 1 + below(4));
  const own = random() < 0.5 ? { ...catalogues.bookshop, cables: catalogues.bookshop.cables.slice(0, 4), drivers: catalogues.bookshop.drivers.slice(0, 6) } : 'bookshop';
  const terms = { discount_bp: 500, tax_bp: 2000, rounding: 'each_line', cut_fee_minor: 100, search_steps: 1000 };
  return structuredClone({ catalogue: own, zones: [{ ...zones[0], driver: catalogues.bookshop.drivers[0].code }, ...zones.slice(1)], runs, rules: job.rules, terms,
    without: [catalogues.bookshop.drivers[1].code] });
}
/** Every place in a value: its holder and key. */
function places_in(value, found = []) {
  for (const key of Object.keys(value)) {
    found.push([value, key]);
    if (value[key] !== null && typeof value[key] === 'object') places_in(value[key], found);
  }
  return found;
}
function spoil(job) {
  const [holder, key] = one_of(places_in(job));
  const what = below(5);
  if (what === 0) delete holder[key];
  else if (what === 1) holder[`${key}${below(9)}`] = holder[key];
  else if (what === 2 && typeof holder[key] === 'number') holder[key] *= one_of([-1, 10, 100, 1e3, 1e6, 1e-3, 1e-6]);
  else if (what === 3 && Array.isArray(holder[key])) holder[key] = Array(below(250)).fill(holder[key][0] ?? 0);
  else holder[key] = one_of(odd_values)();
}
function body(route) {
  const asked = route === 'changes' ? { before: start(), after: start() } : start();
  for (let i = 1 + below(3); i > 0; --i) spoil(asked);
  let text = JSON.stringify(asked);
  const what = below(10);
  if (what === 0) text = text.slice(0, below(text.length));
  if (what === 1) text = text.replace(/:[^,{}[\]]+/g, (value) => (random() < 0.02 ? `:${one_of(raw_values)}` : value));
  const bytes = Buffer.from(text);
  if (what === 2) for (let i = below(20); i >= 0; --i) bytes[below(bytes.length)] = below(256);
  if (what === 3 && random() < 0.2) return Buffer.from(Array.from({ length: below(4000) }, () => below(256)));
  return bytes;
}

const app = await make_service({ library });
const { port } = new URL(await app.listen({ host: '127.0.0.1', port: 0 }));
const routes = Object.keys(questions);
const ask = (bytes, route = 'orders') =>
  new Promise((done, failed) => {
    const asked = request({ host: '127.0.0.1', port, path: `/${route}`, method: 'POST', headers: { 'content-type': 'application/json', 'content-length': bytes.length } }, (reply) => {
      const parts = [];
      reply.on('data', (part) => parts.push(part)).on('end', () => done({ status: reply.statusCode, text: Buffer.concat(parts).toString() }));
    });
    asked.setTimeout(answer_within_ms, () => asked.destroy(new Error(`no answer within ${answer_within_ms} ms`)));
    asked.on('error', failed).end(bytes);
  });

const good = Buffer.from(JSON.stringify(bookshop_job()));
const before = await ask(good);
const told = {};
let left = Number(count);
let slowest = 0;
const bad = [];
async function send() {
  while (left-- > 0) {
    const route = one_of(routes);
    const bytes = body(route);
    const began = performance.now();
    try {
      const { status, text } = await ask(bytes, route);
      told[status] = (told[status] ?? 0) + 1;
      JSON.parse(text);
      if (![200, 400, 413, 415, 422, 503].includes(status)) bad.push(`${route} ${status}: ${text.slice(0, 200)}: ${bytes.toString().slice(0, 500)}`);
    } catch (error) {
      bad.push(`${route} ${error.message}: ${bytes.toString().slice(0, 500)}`);
    }
    slowest = Math.max(slowest, performance.now() - began);
  }
}
await Promise.all(Array.from({ length: at_once }, send));
const after = await ask(good);
await app.close();
if (before.status !== 200 || after.text !== before.text) bad.push('the service does not plan as before');
console.log(`${count} bodies, seed ${seed}: answered ${Object.entries(told).map(([s, n]) => `${s} ${n} times`).join(', ')}; slowest ${slowest.toFixed(0)} ms`);
if (bad.length) {
  console.log(bad.slice(0, 5).join('\n'));
  process.exit(1);
}
