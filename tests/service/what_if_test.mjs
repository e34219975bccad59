// SPDX-License-Identifier: BSL-1.0
// What examples/service says beside an order, held to the C++ headers: what_if_test.mjs LIBRARY ORACLE
import Ajv from '../../examples/service/node_modules/ajv/dist/ajv.js';
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import test from 'node:test';
import { fileURLToPath } from 'node:url';
import { bookshop_job, catalogues } from '../../examples/service/catalogues.mjs';
import { limits, questions } from '../../examples/service/schema.mjs';
import { make_service } from '../../examples/service/service.mjs';
import { number_of } from '../../examples/javascript/words.mjs';

const [library, oracle] = process.argv.slice(2);
const app = await make_service({ library });
test.after(() => app.close());
const described = (await app.inject('/openapi.json')).json();

const folder = fileURLToPath(new URL('../../examples/order_sheet/bookshop', import.meta.url));
const by_cpp = (...figures) => JSON.parse(execFileSync(oracle, [folder, ...figures], { encoding: 'utf8' }));
const post = (route, payload) => app.inject({ method: 'POST', url: `/${route}`, payload: JSON.stringify(payload), headers: { 'content-type': 'application/json' } });

/** An answer, which is what openapi.json says of the route. */
const ajv = new Ajv.default({ strictTypes: false, allowUnionTypes: true });
const fitting = Object.fromEntries(Object.entries(questions).map(([route, { gives }]) => [route, ajv.compile(described.components.schemas[gives])]));
async function answered(route, payload) {
  const reply = await post(route, payload);
  assert.equal(reply.statusCode, 200, reply.body);
  const told = reply.json();
  assert.ok(fitting[route](told), JSON.stringify(fitting[route].errors));
  return told;
}
async function refused(route, payload) {
  const reply = await post(route, payload);
  assert.equal(reply.statusCode, 422, reply.body);
  return reply.json().problems;
}

/** The bookshop with other figures, named as the oracle takes them. */
function bookshop_with(...figures) {
  const job = bookshop_job();
  for (const [name, value] of figures.map((text) => text.split('='))) {
    const run = job.runs.find(({ code }) => code === name);
    if (run) run.measured_m = Number(value);
    else job.rules[name] = Number(value);
  }
  return job;
}
const place_in = (job, list, code) => job[list].findIndex((row) => row.code === code);

test('other ways to build the bookshop: those of C++, cheapest first', async () => {
  const told = await answered('alternatives', bookshop_job());
  const rows = told.alternatives.map((a) => [number_of('alternative', a.kind), a.price_minor, a.drivers, a.plug_in, a.soldered, a.thickest_mm2]);
  assert.ok(rows.length > 1);
  assert.deepEqual(rows, by_cpp().alternatives);
  assert.deepEqual(told.summary, (await answered('orders', bookshop_job())).summary);
  for (const a of told.alternatives) {
    // the price is that of the order as it is, and of the lines that change
    const lines = a.changes.filter((c) => c.kind === 'order_line');
    assert.equal(lines.reduce((more, c) => more + (c.after?.price_minor ?? 0) - (c.before?.price_minor ?? 0), 0), a.more_minor, a.kind);
    assert.equal(a.price_minor - told.summary.price_minor, a.more_minor);
  }
  const [thinner] = told.alternatives;
  assert.deepEqual([thinner.kind, thinner.text], ['thinner_cable', 'thinner cable']);
  // a cable of a list that is shorter than the catalogue is named by its own code
  assert.ok(thinner.changes.some((c) => c.kind === 'run_feeder' && catalogues.bookshop.cables.some((k) => k.code === c.after.code && k.area_mm2 <= thinner.thickest_mm2)));
});

for (const figures of [['shelf-travel=5.4'], ['shelf-travel=7.2', 'least_evenness=0.99'], ['till-edge=0.9', 'headroom=0.5', 'drop_to_lamp=0.04']]) {
  test(`what changes with ${figures.join(', ')}: line by line as C++ says`, async () => {
    const after = bookshop_with(...figures);
    const told = await answered('changes', { before: bookshop_job(), after });
    const rows = by_cpp(...figures).changes;
    assert.ok(rows.length > 0);
    assert.equal(told.changes.length, rows.length);
    const lit = (length_m) => (length_m > 0 ? length_m : null);
    told.changes.forEach((c, i) => {
      const [kind, run, code_before, code_after, quantity_before, quantity_after, price_before, price_after, length_before, length_after] = rows[i];
      assert.deepEqual([number_of('change', c.kind), c.run], [kind, run]);
      if (c.kind === 'order_line') {
        const side = (s) => [s?.code ?? '', s?.quantity ?? 0, s?.price_minor ?? 0, s?.length_m ?? null];
        assert.deepEqual(side(c.before), [code_before, quantity_before, price_before, lit(length_before)]);
        assert.deepEqual(side(c.after), [code_after, quantity_after, price_after, lit(length_after)]);
      } else if (c.kind === 'run_verdict') assert.deepEqual([c.before.holds, c.after.holds], [quantity_before === 1, quantity_after === 1]);
      else if (c.kind === 'run_length') assert.deepEqual([c.before.length_m, c.after.length_m], [length_before, length_after]);
      else assert.deepEqual([c.before?.code ?? '', c.after?.code ?? ''], [code_before, code_after]);
    });
    assert.deepEqual(told.before, (await answered('orders', bookshop_job())).summary);
    assert.deepEqual(told.after, (await answered('orders', after)).summary);
  });
}

test('runs that come and go, and a catalogue of its own on either side', async () => {
  const [before, after] = [bookshop_job(), bookshop_job()];
  const [gone] = after.runs.splice(4, 1);
  after.runs.push({ ...after.runs[2], code: 'shelf-new' });
  after.catalogue = structuredClone(catalogues.bookshop);
  for (const tape of after.catalogue.tapes) tape.price_minor += 1;
  const { changes } = await answered('changes', { before, after });
  const of = (kind) => changes.filter((c) => c.kind === kind);
  assert.deepEqual(of('run_removed').map((c) => [c.run, c.after]), [[gone.code, null]]);
  assert.deepEqual(of('run_added').map((c) => [c.run, c.before]), [['shelf-new', null]]);
  const tapes = of('order_line').filter((c) => (c.before ?? c.after).part_kind === 'tape');
  assert.equal(tapes.length, new Set(before.runs.map((run) => run.tape)).size);
  assert.deepEqual((await answered('changes', { before, after: before })).changes, []);
});

for (const figures of [[], ['least_evenness=0.99'], ['shelf-travel=7.4'], ['drop_to_lamp=0.03'], ['shelf-travel=12']]) {
  test(`what does not go together with ${figures.join(', ') || 'nothing changed'}: as C++ says`, async () => {
    const job = bookshop_with(...figures);
    const told = await answered('conflicts', job);
    const [conflicting, smallest, plans, broken, demands, relaxations] = by_cpp(...figures).conflict;
    assert.equal(told.conflicting, figures.length > 0);
    assert.deepEqual([told.conflicting, told.smallest, told.plans], [conflicting === 1, smallest === 1, plans]);
    assert.deepEqual(told.broken && [told.broken.number, told.broken.value, told.broken.limit], conflicting ? broken : null);
    const asked = (d) => [number_of('demand', d.kind), d.kind === 'run' ? place_in(job, 'runs', d.about) : null, d.asked];
    const by = ([kind, place, value]) => [kind, kind === 0 ? place : null, value];
    assert.deepEqual(told.demands.map(asked), demands.map(by));
    assert.deepEqual(told.relaxations.map((r) => [...asked(r), r.to, r.price_minor, r.whole_job_fits]),
      relaxations.map(([kind, place, from, to, price, all]) => [...by([kind, place, from]), to, price, all === 1]));
    // each demand stands where it says, in the request itself
    for (const d of told.demands) assert.equal(d.at.split('/').slice(1).reduce((at, key) => at[key], job), d.asked, d.at);
  });
}

test('a relaxation that is taken helps: the job fits at its value, and does not at a thousandth of the way before', async () => {
  const job = bookshop_with('shelf-travel=7.4');
  const { relaxations: [first] } = await answered('conflicts', job);
  assert.deepEqual([first.at, first.whole_job_fits], ['/rules/least_evenness', true]);
  const fits = async (least_evenness) => (await answered('orders', { ...job, rules: { ...job.rules, least_evenness } })).summary.fits;
  assert.equal(await fits(first.to), true);
  assert.equal(await fits(first.to + 0.001 * first.asked), false);
});

for (const [what, spoil, at, asked] of [
  ['a driver that is too weak', (j) => (j.zones[1].driver = 'plug-24-36'), '/zones/1/driver', 'plug-24-36'],
  ['a cable that is too thin', (j) => (j.runs[1].feeder = 'flex-2x1.5'), '/runs/1/feeder', 'flex-2x1.5'],
  ['a plug-in driver for too long a window', (j) => (j.zones[0].mount = 'plug_in'), '/zones/0/mount', 'plug_in'],
  ['a word that no controller carries', (j) => (j.zones[1].feature = ['dmx']), '/zones/1/feature', ['dmx']],
  ['a tape that stands no water', (j) => (j.zones[1].ingress = 67), '/zones/1/ingress', 67],
]) {
  test(`a wish in the way: ${what}`, async () => {
    const job = bookshop_job();
    spoil(job);
    const told = await answered('conflicts', job);
    assert.deepEqual(told.demands.find((d) => d.at === at)?.asked, asked, JSON.stringify(told.demands));
    const [first] = told.relaxations.filter((r) => r.at === at);
    assert.deepEqual([first.to, first.whole_job_fits], [null, true]);
    assert.ok(first.text.length > 0);
    // given up, the job fits
    const [, list, place, member] = at.split('/');
    const member_given_up = structuredClone(job);
    delete member_given_up[list][place][member];
    assert.equal((await answered('orders', member_given_up)).summary.fits, true);
  });
}

test('a job that does not fit has no other ways', async () => {
  const told = await answered('alternatives', bookshop_with('shelf-travel=12'));
  assert.equal(told.summary.fits, false);
  assert.deepEqual(told.alternatives, []);
});

for (const [what, route, payload, problem] of [
  ['a job is missing', 'changes', { before: bookshop_job() }, { at: '/after', field: 'after', text: 'is missing' }],
  ['a length below none', 'changes', { before: bookshop_with('shelf-travel=-1'), after: bookshop_job() },
    { at: '/before/runs/2/measured_m', field: 'measured_m', text: 'outside the allowed range', unit: 'm', given: -1, least: 0.001, most: 1000 }],
  ['shorter than one cut', 'changes', { before: bookshop_job(), after: bookshop_with('shelf-travel=0.04') },
    { at: '/after/runs/2/measured_m', field: 'measured_m', text: 'outside the allowed range', unit: 'm', given: 0.04, least: 0.05, most: 1000 }],
  ['a rule out of range', 'conflicts', bookshop_with('headroom=3'), { at: '/rules/headroom', field: 'headroom', text: 'outside the allowed range', given: 3, least: 0, most: 2 }],
  ['shorter than one cut', 'alternatives', bookshop_with('shelf-travel=0.04'),
    { at: '/runs/2/measured_m', field: 'measured_m', text: 'outside the allowed range', unit: 'm', given: 0.04, least: 0.05, most: 1000 }],
  ...['alternatives', 'conflicts'].flatMap((route) => [0, limits.many_plans_steps + 1].map((search_steps) => [
    `${search_steps} steps a plan`, route, { ...bookshop_job(), terms: { search_steps } },
    { at: '/terms/search_steps', field: 'search_steps', text: 'outside the allowed range', given: search_steps, least: 1, most: limits.many_plans_steps },
  ])),
  ['a list', 'conflicts', [], { at: '', field: '', text: 'must be object' }],
]) {
  test(`422 of /${route}: ${what}`, async () => assert.deepEqual(await refused(route, payload), [problem]));
}

test('codes that nobody knows are told of both jobs at their places', async () => {
  const job = bookshop_job();
  job.runs[3].tape = 'gold';
  assert.deepEqual((await refused('changes', { before: bookshop_job(), after: job })).map((p) => p.at), ['/after/runs/3/tape']);
  assert.deepEqual((await refused('changes', { before: job, after: bookshop_job() })).map((p) => p.at), ['/before/runs/3/tape']);
});

test('the same question has the same answer, whatever was asked before: no state', async () => {
  const all = async () => [
    (await post('alternatives', bookshop_job())).body,
    (await post('changes', { before: bookshop_job(), after: bookshop_with('shelf-travel=5.4') })).body,
    (await post('conflicts', bookshop_with('shelf-travel=7.4'))).body,
    (await post('orders', bookshop_job())).body,
  ];
  const first = await all();
  await post('conflicts', bookshop_with('least_evenness=0.99'));
  await post('changes', { before: bookshop_with('shelf-travel=12'), after: bookshop_job() });
  assert.deepEqual(await all(), first);
  assert.deepEqual(await Promise.all([all(), all()]), [first, first]);
});

test('limits hold for every question: 400, 413, 404, and no longer than allowed', async () => {
  for (const route of Object.keys(questions)) {
    const headers = { 'content-type': 'application/json' };
    assert.equal((await app.inject({ method: 'POST', url: `/${route}`, payload: '{', headers })).statusCode, 400);
    assert.equal((await app.inject({ method: 'POST', url: `/${route}`, payload: `"${'x'.repeat(limits.body_bytes)}"`, headers })).statusCode, 413);
    assert.equal((await app.inject(`/${route}`)).statusCode, 404);
    assert.ok(described.paths[`/${route}`].post);
  }
  const hasty = await make_service({ library, threads: 1, limit_ms: 1 });
  const payload = bookshop_with('drop_to_lamp=0.03');
  assert.equal((await hasty.inject({ method: 'POST', url: '/conflicts', payload })).statusCode, 503);
  await hasty.close();
});
