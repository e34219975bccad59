// SPDX-License-Identifier: BSL-1.0
// What examples/service promises: service_test.mjs LIBRARY
import Ajv from '../../examples/service/node_modules/ajv/dist/ajv.js';
import assert from 'node:assert/strict';
import test from 'node:test';
import { bookshop_job, catalogues } from '../../examples/service/catalogues.mjs';
import { limits } from '../../examples/service/schema.mjs';
import { make_service } from '../../examples/service/service.mjs';
import { bent } from '../clients/bent_job.mjs';

const [library] = process.argv.slice(2);
const app = await make_service({ library });
test.after(() => app.close());

const json = { 'content-type': 'application/json' };
const post = (payload, headers = json) => app.inject({ method: 'POST', url: '/orders', payload, headers });
const spoilt = async (spoil) => {
  const job = bookshop_job();
  spoil(job);
  const reply = await post(JSON.stringify(job));
  return { status: reply.statusCode, ...reply.json() };
};

test('the bookshop gets its whole order', async () => {
  const reply = await post(JSON.stringify(bookshop_job()));
  assert.equal(reply.statusCode, 200);
  const order = reply.json();
  assert.equal(order.summary.fits, true);
  assert.equal(order.runs.length, 14);
  assert.equal(order.order.reduce((sum, line) => sum + line.total_minor, 0), order.summary.price_minor);
  assert.ok(order.notes.some((n) => /[Ii]solate/.test(n.text)));
  assert.ok(order.notes.some((n) => n.reader === 'electrician'));
});

test('the same catalogue in the request gives the same order', async () => {
  const named = await post(JSON.stringify(bookshop_job()));
  const own = await post(JSON.stringify({ ...bookshop_job(), catalogue: catalogues.bookshop }));
  assert.equal(own.statusCode, 200);
  assert.equal(own.body, named.body);
});

test('orders and refusals are what openapi.json says, and it tells units and ranges', async () => {
  const said = (await app.inject('/openapi.json')).json();
  const { measured_m } = said.components.schemas.job.properties.runs.items.properties;
  assert.deepEqual([measured_m.type, measured_m.minimum, measured_m.maximum], ['number', 0.001, 1000]);
  assert.match(measured_m.description, /; m$/);
  const ajv = new Ajv.default({ strictTypes: false, allowUnionTypes: true });
  const fits = ajv.compile(said.components.schemas.order);
  for (const job of [bookshop_job(), bent(bookshop_job())]) assert.ok(fits((await post(JSON.stringify(job))).json()), JSON.stringify(fits.errors));
  const asked = said.components.schemas.job.properties.runs.items.properties;
  assert.equal(asked.reach.description, 'near_end = cables reach the near end, ends = both ends, anywhere = every cut mark');
  assert.equal(said.components.schemas.job.properties.zones.items.properties.mount.description, 'any = any, plug_in = plug-in, hardwired = hardwired');
  assert.deepEqual([asked.stretch.maxItems, asked.stretch.items.required], [100, ['measured_m']]);
  const refused = ajv.compile(said.components.schemas.refusal);
  assert.ok(refused((await post('{}')).json()), JSON.stringify(refused.errors));
});

test('a figure out of its range: 422 with place, field, unit and range, all of them at once', async () => {
  const told = await spoilt((job) => {
    job.runs[2].measured_m = -1;
    job.runs[4].ambient_c = 400;
  });
  assert.equal(told.status, 422);
  assert.deepEqual(told.problems, [
    { at: '/runs/2/measured_m', field: 'measured_m', text: 'outside the allowed range', unit: 'm', given: -1, least: 0.001, most: 1000 },
    { at: '/runs/4/ambient_c', field: 'ambient_c', text: 'outside the allowed range', unit: 'degC', given: 400, least: -40, most: 120 },
  ]);
});

test('what only the library knows is told in the same words: shorter than one cut', async () => {
  const told = await spoilt((job) => (job.runs[2].measured_m = 0.04));
  assert.equal(told.status, 422);
  assert.deepEqual(told.problems, [
    { at: '/runs/2/measured_m', field: 'measured_m', unit: 'm', given: 0.04, least: 0.05, most: 1000, text: 'outside the allowed range' },
  ]);
});

const near = (a, b, by) => assert.ok(Math.abs(a - b) <= by, `${a} against ${b}`);
const sum = (rows, of) => rows.reduce((total, row) => total + of(row), 0);

test('corners, far ends, rings and sections: the whole order tells them', async () => {
  const reply = await post(JSON.stringify(bent(bookshop_job())));
  assert.equal(reply.statusCode, 200);
  const order = reply.json();
  assert.equal(order.summary.fits, true);
  const sections = (code) => order.runs.filter((run) => run.code === code);
  // both walls by hand, see bent_job.mjs; lengths are sums of a pitch with its last bit rounded
  const [corner] = sections('shelf-travel');
  assert.deepEqual(corner.stretches.map((s) => s.segments), [92, 99]);
  for (const [s, length, dark, dark_near] of [[0, 4.6, 0, 0], [1, 4.95, 0.05, 0.035]]) {
    near(corner.stretches[s].length_m, length, 1e-12);
    near(corner.stretches[s].dark_m, dark, 1e-12);
    near(corner.stretches[s].dark_near_m, dark_near, 1e-12);
  }
  assert.deepEqual([corner.stretches[0].link, corner.stretches[1].link], [null, 'link-2']);
  near(corner.length_m + corner.dark_m, 9.6, 1e-12);
  // both ends by cables of one length: the two feed points are each other's mirror image
  const [novels] = sections('shelf-novels');
  assert.equal(novels.arrangement, 'both_ends');
  assert.deepEqual(novels.feeds.map((f) => [f.about, f.at_m]), [['shelf-novels(1)', 0], ['shelf-novels(2)', 9]]);
  near(novels.feeds[0].least_v, novels.feeds[1].least_v, 1e-9);
  assert.equal(sections('cove-round')[0].arrangement, 'ring');
  const edge = sections('till-edge');
  assert.deepEqual(edge.map((run) => [run.about, run.section, run.sections]), [['till-edge.1', 1, 2], ['till-edge.2', 2, 2]]);
  near(sum(edge, (run) => run.length_m), 4, 1e-12);
  // every feed point is wired, measured, and fed by a cable that is cut; every piece of tape is cut
  for (const run of order.runs) {
    for (const feed of run.feeds) {
      assert.equal(order.connections.filter((c) => c.to.startsWith(`${feed.about}:`)).length, run.channels.length + 1, feed.about);
      assert.equal(order.readings.filter((r) => r.kind === 'feed_point' && r.about === feed.about && r.lit === 'all').length, 1, feed.about);
      if (feed.feeder) near(order.cutting.find((c) => c.about === feed.feeder).length_m, feed.feeder_m, 1e-12);
    }
    const pieces = run.stretches.length > 1 ? run.stretches.map((s) => s.about) : [run.about];
    for (const about of pieces) assert.equal(order.cutting.filter((c) => c.about === about).length, 1, about);
    near(sum(order.cutting.filter((c) => pieces.includes(c.about)), (c) => c.length_m), run.length_m, 1e-12);
  }
});

const ordered = async (change) => {
  const job = bookshop_job();
  change(job);
  const reply = await post(JSON.stringify(job));
  assert.equal(reply.statusCode, 200, reply.body);
  return reply.json();
};

test('capacity to spare, worth something: more of it, the price told apart from what it counts', async () => {
  const [plain, asked] = [await ordered(() => {}), await ordered((job) => (job.terms = { spare_driver_minor_per_100w: 4000, spare_cable_minor_per_a: 1 }))];
  const { price_minor, price_at_least_minor, capacity_credit_minor, spare_drivers_w, proven } = asked.summary;
  assert.equal(plain.summary.capacity_credit_minor, 0);
  assert.ok(spare_drivers_w > plain.summary.spare_drivers_w && price_minor > plain.summary.price_minor);
  assert.ok(asked.summary.spare_cables_a > 0 && asked.summary.spare_controllers_a > 0);
  assert.equal(price_minor, sum(asked.order, (line) => line.total_minor));
  assert.ok(proven && price_at_least_minor === price_minor - capacity_credit_minor);
});

test('discount, tax and fees: by hand, to the minor unit', async () => {
  const plain = await ordered(() => {});
  const asked = await ordered((job) => (job.terms = { discount_bp: 750, tax_bp: 1900, cut_fee_minor: 120 }));
  const pieces = asked.cutting.filter((c) => c.part_kind === 'tape').length;
  const cuts = asked.order.find((line) => line.code === 'cut_piece');
  assert.deepEqual([cuts.quantity, cuts.unit_price_minor, cuts.total_minor], [pieces, 120, 120 * pieces]);
  const { price_minor: net, discount_minor, tax_minor, gross_minor } = asked.summary;
  assert.equal(net, sum(asked.order, (line) => line.total_minor));
  assert.equal(net, plain.summary.price_minor + cuts.total_minor);
  const half_up = (parts) => Math.floor((parts + 5000) / 10000); // hundredths of a per cent, whole numbers throughout
  assert.equal(discount_minor, half_up(net * 750));
  assert.equal(tax_minor, half_up((net - discount_minor) * 1900));
  assert.equal(gross_minor, net - discount_minor + tax_minor);
  assert.deepEqual([plain.summary.discount_minor, plain.summary.tax_minor, plain.summary.gross_minor], [0, 0, plain.summary.price_minor]);
  assert.ok(plain.summary.price_at_least_minor > 0 && plain.summary.price_at_least_minor <= plain.summary.price_minor);
});

test('pieces of a stock length fit into it', async () => {
  const { cutting } = await ordered(() => {});
  const cut = cutting.filter((c) => c.stock !== null);
  assert.ok(cut.length > 0);
  const lengths = new Map();
  for (const c of cut) {
    const one = `${c.code} ${c.stock}`;
    const { taken = 0 } = lengths.get(one) ?? {};
    lengths.set(one, { taken: taken + c.length_m, stock_m: c.stock_m });
  }
  for (const [one, { taken, stock_m }] of lengths) assert.ok(taken <= stock_m + 1e-9, one);
});

test('parts that a job insists on, and parts that cannot be had', async () => {
  const plain = await ordered(() => {});
  const [run] = plain.runs.filter((r) => r.feeder_cable);
  const other = catalogues.bookshop.cables.find((c) => c.code !== run.feeder_cable && c.cores === catalogues.bookshop.cables.find((k) => k.code === run.feeder_cable).cores && c.area_mm2 > 2);
  const pinned = await ordered((job) => (job.runs.find((r) => r.code === run.code).feeder = other.code));
  assert.equal(pinned.runs.find((r) => r.code === run.code).feeder_cable, other.code);
  const zone_of = ({ zone }) => bookshop_job().zones.find((z) => z.code === zone);
  const stronger_than = (driver) => {
    const { rated_output_w, output_v } = catalogues.bookshop.drivers.find((d) => d.code === driver.code);
    return catalogues.bookshop.drivers.find((d) => d.mount === zone_of(driver).mount && d.output_v === output_v && d.rated_output_w > rated_output_w);
  };
  const driver = plain.drivers.find(stronger_than);
  const zone = zone_of(driver);
  const other_driver = stronger_than(driver);
  const driven = await ordered((job) => (job.zones.find((z) => z.code === zone.code).driver = other_driver.code));
  const drivers_of_it = driven.drivers.filter((d) => d.zone === zone.code);
  assert.ok(drivers_of_it.length > 0);
  assert.ok(drivers_of_it.every((d) => d.code === other_driver.code), JSON.stringify(driven.drivers));
  const without = await ordered((job) => (job.without = [run.feeder_cable]));
  assert.ok(plain.order.some((line) => line.code === run.feeder_cable));
  assert.ok(!without.order.some((line) => line.code === run.feeder_cable));
  assert.ok(without.summary.price_minor >= plain.summary.price_minor);
});

test('what is wrong in a catalogue is told at its own place, whatever cannot be had', async () => {
  const told = await spoilt((job) => {
    job.catalogue = structuredClone(catalogues.bookshop);
    job.without = [job.catalogue.drivers[0].code];
    job.catalogue.drivers[3].efficiency = 2;
  });
  assert.equal(told.status, 422);
  assert.equal(told.problems[0].at, '/catalogue/drivers/3/efficiency');
});

for (const [what, spoil, at] of [
  ['a driver that nobody sells', (j) => (j.zones[1].driver = 'gold'), '/zones/1/driver'],
  ['a controller that nobody sells', (j) => (j.zones[1].controller = 'gold'), '/zones/1/controller'],
  ['a cable that nobody sells', (j) => (j.runs[1].feeder = 'gold'), '/runs/1/feeder'],
  ['a pinned part that cannot be had', (j) => ((j.without = [catalogues.bookshop.cables[0].code]), (j.runs[1].feeder = j.without[0])), '/runs/1/feeder'],
  ['a part that nobody misses', (j) => (j.without = ['gold']), '/without/0'],
  ['a tape that cannot be had', (j) => (j.without = [j.runs[0].tape]), '/runs/0/tape'],
  ['more discount than all of it', (j) => (j.terms = { discount_bp: 10001 }), '/terms/discount_bp'],
  ['a tax below none', (j) => (j.terms = { tax_bp: -1 }), '/terms/tax_bp'],
  ['half a hundredth of a per cent', (j) => (j.terms = { tax_bp: 0.5 }), '/terms/tax_bp'],
  ['a rounding that is none', (j) => (j.terms = { rounding: 'up' }), '/terms/rounding'],
  ['capacity worth less than nothing', (j) => (j.terms = { spare_driver_minor_per_100w: -1 }), '/terms/spare_driver_minor_per_100w'],
  ['a search without an end', (j) => (j.terms = { search_steps: 1e15 }), '/terms/search_steps'],
]) {
  test(`422: ${what}`, async () => {
    const told = await spoilt(spoil);
    assert.equal(told.status, 422);
    assert.ok(told.problems.some((p) => p.at === at), JSON.stringify(told.problems));
  });
}

for (const [what, spoil, at] of [
  ['a gap wider than a link', (r) => (r.stretch[1].gap_m = 2), '/stretch/1/gap_m'],
  ['walls that do not add up', (r) => (r.measured_m = 9.7), '/measured_m'],
  ['a wall that is no length', (r) => (r.stretch[0].measured_m = 'long'), '/stretch/0/measured_m'],
  ['a wall without its length', (r) => (r.stretch[0] = {}), '/stretch/0/measured_m'],
  ['more walls than a run can have', (r) => (r.stretch = Array.from({ length: 101 }, () => ({ measured_m: 0.1 }))), '/stretch'],
  ['a far end that is out of reach', (r) => (r.to_far_end_m = 2000), '/to_far_end_m'],
  ['a reach that is none', (r) => (r.reach = 'nowhere'), '/reach'],
  ['an arrangement that is none', (r) => (r.arrangements = ['both_ends', 'star']), '/arrangements/1'],
  ['an arrangement twice', (r) => (r.arrangements = ['ring', 'ring']), '/arrangements'],
]) {
  test(`422: ${what}`, async () => {
    const place = bookshop_job().runs.findIndex((run) => run.code === 'shelf-travel');
    const told = await spoilt((job) => {
      Object.assign(job, bent(job));
      spoil(job.runs[place]);
    });
    assert.equal(told.status, 422);
    assert.ok(told.problems.some((p) => p.at === `/runs/${place}${at}`), JSON.stringify(told.problems));
  });
}

for (const [what, spoil, at] of [
  ['missing', (j) => delete j.runs[3].tape, '/runs/3/tape'],
  ['unknown name', (j) => (j.runs[3].colour = 1), '/runs/3/colour'],
  ['text for a number', (j) => (j.runs[3].measured_m = '4.6'), '/runs/3/measured_m'],
  ['null for a number', (j) => (j.runs[3].measured_m = null), '/runs/3/measured_m'],
  ['a word that is none', (j) => (j.zones[0].mount = 'glued'), '/zones/0/mount'],
  ['a tape that is not sold', (j) => (j.runs[3].tape = 'gold'), '/runs/3/tape'],
  ['a zone that is not there', (j) => (j.runs[3].zone = 'moon'), '/runs/3/zone'],
  ['a code twice', (j) => (j.runs[3].code = j.runs[0].code), '/runs/3/code'],
  ['no runs', (j) => (j.runs = []), '/runs'],
  ['too many runs', (j) => (j.runs = Array.from({ length: limits.runs + 1 }, (_, i) => ({ ...j.runs[0], code: `r${i}` }))), '/runs'],
  ['a catalogue that is not here', (j) => (j.catalogue = 'toyshop'), '/catalogue'],
  ['a rule out of range', (j) => (j.rules.headroom = 3), '/rules/headroom'],
]) {
  test(`422: ${what}`, async () => {
    const told = await spoilt(spoil);
    assert.equal(told.status, 422);
    assert.ok(told.problems.some((p) => p.at === at), JSON.stringify(told.problems));
  });
}

test('a design that breaks a rule is an order, not an error', async () => {
  const told = await spoilt((job) => (job.runs[2].measured_m = 60));
  assert.equal(told.status, 200);
  assert.equal(told.summary.fits, false);
  assert.ok(told.findings.some((f) => f.severity === 'failed'));
});

test('what is no job: 400, 413, 415, 404', async () => {
  assert.equal((await post('{')).statusCode, 400);
  assert.equal((await post(`{"zones": "${'x'.repeat(limits.body_bytes)}"}`)).statusCode, 413);
  assert.equal((await post('zones', { 'content-type': 'text/plain' })).statusCode, 415);
  assert.equal((await app.inject('/orders/1')).statusCode, 404);
  assert.equal((await app.inject('/catalogues/toyshop')).statusCode, 404);
  assert.equal((await app.inject('/catalogues/bookshop')).json().tapes.length, catalogues.bookshop.tapes.length);
});

test('two jobs at once do not meet', async () => {
  const one = (metres) => ({ ...bookshop_job(), runs: [{ ...bookshop_job().runs[2], measured_m: metres }], zones: bookshop_job().zones });
  const alone = [];
  for (const metres of [1, 2, 3, 4]) alone.push((await post(JSON.stringify(one(metres)))).body);
  const together = await Promise.all([1, 2, 3, 4].map((metres) => post(JSON.stringify(one(metres)))));
  assert.deepEqual(together.map((reply) => reply.body), alone);
});

test('a job that lasts too long is ended, and the service goes on; a full queue is told', async () => {
  const hasty = await make_service({ library, threads: 1, limit_ms: 1, queue: 2 });
  const replies = await Promise.all(Array.from({ length: 6 }, () => hasty.inject({ method: 'POST', url: '/orders', payload: bookshop_job() })));
  const told = replies.map((reply) => reply.statusCode);
  assert.ok(told.every((status) => status === 200 || status === 503), told.join(' '));
  assert.ok(replies.some((reply) => reply.statusCode === 503 && /1 ms/.test(reply.json().error)));
  assert.ok(replies.some((reply) => reply.statusCode === 503 && /wait/.test(reply.json().error)));
  await hasty.close();
});
