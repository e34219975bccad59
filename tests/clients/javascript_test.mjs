// SPDX-License-Identifier: BSL-1.0
// What examples/javascript promises, on the libraries given: javascript_test.mjs LIBRARY... (node --test is not needed)
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import { fileURLToPath } from 'node:url';
import { catalogue_from, job_from, rows_of } from '../../examples/javascript/bookshop.mjs';
import { open_library } from '../../examples/javascript/open.mjs';
import { order_of } from '../../examples/javascript/order.mjs';
import { JobRefused } from '../../examples/javascript/question.mjs';
import { Refused } from '../../examples/javascript/tapewright.mjs';
import { pins } from '../../examples/javascript/job_members.mjs';
import { names_of, words } from '../../examples/javascript/words.mjs';
import { alternatives_of, changes_of, conflict_of } from '../../examples/javascript/what_if.mjs';
import { bent } from './bent_job.mjs';

const root = fileURLToPath(new URL('../../', import.meta.url));
const described = JSON.parse(readFileSync(`${root}capi/functions.json`, 'utf8'));
const shop = (file) => readFileSync(`${root}examples/order_sheet/bookshop/${file}`, 'utf8');
const job = () => job_from(shop);
const catalogue = () => catalogue_from(shop);

test('the words of JSON are the constants of the C interface', () => {
  const constants = Object.fromEntries(described.constants.map((c) => [c.name, c.value]));
  for (const [list, { prefix, ...numbers }] of Object.entries(words)) {
    if (prefix === '') continue; // told in the header in words
    for (const [word, number] of Object.entries(numbers)) assert.equal(number, constants[prefix + word.toUpperCase()], `${list} ${word}`);
  }
});

test('the numbers of pins are those of the C interface', () => {
  const constants = Object.fromEntries(described.constants.map((c) => [c.name, c.value]));
  for (const [kind, wishes] of Object.entries(pins))
    for (const [name, { pin }] of Object.entries(wishes)) assert.equal(pin, constants[`${kind.replace('tw', 'TW_PIN')}_${name}`.toUpperCase()], name);
});

test('CSV: quotes, commas in quotes, comments, CRLF, a mark at the start', () => {
  assert.deepEqual(rows_of('\uFEFF# no\r\na,b\r\n"x, ""y""",2\r\n\r\n,\r\n'), [{ a: 'x, "y"', b: '2' }, { a: '', b: '' }]);
});

for (const path of process.argv.slice(2)) {
  const tw = await open_library(path);
  const kind = path.endsWith('.wasm') ? 'wasm' : 'native';

  test(`${kind}: functions and structures are those of the JSON`, () => {
    assert.deepEqual(Object.keys(tw.functions), described.functions.map((f) => f.name));
    for (const s of described.structs) {
      const { size, members } = tw.structures[s.name];
      assert.equal(size, s.size);
      assert.deepEqual(members.map((m) => [m.name, m.offset, m.size]), s.members.map((m) => [m.name, m.offset, m.bytes]));
    }
  });

  test(`${kind}: figures, and a refusal that tells figure and range`, () => {
    assert.equal(tw.two_wire_drop(2.5, 0.021, 4), 2 * 2.5 * 0.021 * 4);
    assert.equal(tw.cut_length(4.63, 0.05).segments, 92);
    assert.throws(() => tw.two_wire_drop(2.5, 0.021, -4), (e) => {
      assert.ok(e instanceof Refused);
      assert.deepEqual([e.status, e.field, e.unit, e.given, e.least, e.most], [1, 'one_way_m', 'm', -4, 0, 10000]);
      return true;
    });
    assert.throws(() => tw.two_wire_drop(1, 2), TypeError);
    assert.throws(() => tw.within(() => tw.make('tw_run', { colour: 1 })), /has no colour/);
    assert.throws(() => tw.within(() => tw.make('tw_run', { code: 'x'.repeat(32) })), /31 bytes at most/);
  });

  test(`${kind}: nothing is left behind`, () => {
    const before = tw.top;
    order_of(tw, job(), catalogue());
    changes_of(tw, { job: job(), catalogue: catalogue() }, { job: bent(job()), catalogue: catalogue() });
    assert.throws(() => tw.two_wire_drop(NaN, 0, 0), Refused);
    assert.equal(tw.top, before);
  });

  test(`${kind}: the bookshop's order is whole`, () => {
    const order = order_of(tw, job(), catalogue(), { light: 1000 });
    assert.equal(order.summary.fits, true);
    const lines = order.order.reduce((sum, line) => sum + line.total_minor, 0);
    assert.equal(order.summary.price_minor, lines);
    for (const list of ['order', 'cutting', 'connections', 'findings', 'readings', 'notes', 'runs', 'hubs', 'drivers']) assert.ok(order[list].length > 0, list);
    assert.ok(order.findings.every((f) => f.text && f.about !== undefined));
    assert.ok(order.notes.every((n) => n.text));
    assert.ok(order.connections.every((c) => c.from && c.to));
  });

  test(`${kind}: the light along a run is what the plan says of it, however it is fed`, () => {
    // the plan's own network solved once more, lamp by lamp: evenness to the last digits of two solves
    for (const asked of [job(), bent(job())]) {
      for (const run of order_of(tw, asked, catalogue(), { light: 100000 }).runs) {
        const even = run.channels.map((_, c) => {
          const lights = run.light.map((place) => place.light[c]);
          return Math.min(...lights) / Math.max(...lights);
        });
        assert.ok(Math.abs(Math.min(...even) - run.least_evenness) <= 1e-9, run.about);
      }
    }
  });

  test(`${kind}: fed at both ends by cables of one length, light is its own mirror image`, () => {
    const { light } = order_of(tw, bent(job()), catalogue(), { light: 100000 }).runs.find((run) => run.code === 'shelf-novels');
    assert.ok(light.length > 1);
    // the same sums from either end, each rounded by 1e-16 of itself: a solve adds up far less than 1e-9
    light.forEach((place, k) => assert.ok(Math.abs(place.light[0] - light.at(-1 - k).light[0]) <= 1e-9, `place ${k}`));
  });

  test(`${kind}: problems are told at their place in the JSON`, () => {
    const refusal = (spoil) => {
      const [j, c] = [job(), catalogue()];
      spoil(j, c);
      try {
        order_of(tw, j, c);
      } catch (e) {
        assert.ok(e instanceof JobRefused, e.stack);
        return e.problems[0];
      }
      return assert.fail('not refused');
    };
    const long = refusal((j) => (j.runs[3].measured_m = 1001));
    assert.deepEqual(long, { at: '/runs/3/measured_m', field: 'measured_m', unit: 'm', given: 1001, least: 0.001, most: 1000, text: 'outside the allowed range' });
    assert.equal(refusal((_, c) => (c.drivers[3].efficiency = 2)).at, '/catalogue/drivers/3/efficiency');
    assert.equal(refusal((_, c) => (c.tapes[2].channel[1].load_w_per_m = -3)).at, '/catalogue/tapes/2/channel/1/load_w_per_m');
    assert.equal(refusal((j) => (j.runs[5].tape = 'none')).at, '/runs/5/tape');
    assert.equal(refusal((j) => (j.runs[5].code = j.runs[1].code)).at, '/runs/5/code');
    assert.equal(refusal((j) => (j.rules.headroom = -1)).at, '/rules/headroom');
  });
}

if (process.argv.length > 3) {
  const [first, ...others] = await Promise.all(process.argv.slice(2).map(open_library));
  test('the same order, letter by letter, whichever way the library is reached', () => {
    for (const asked of [job(), bent(job())]) {
      const order = JSON.stringify(order_of(first, asked, catalogue(), { light: 40 }));
      for (const other of others) assert.equal(JSON.stringify(order_of(other, asked, catalogue(), { light: 40 })), order);
    }
  });

  test('what is told beside it too', () => {
    const long = job();
    long.runs[2].measured_m = 7.4;
    const all = (tw) => JSON.stringify([
      alternatives_of(tw, bent(job()), catalogue()),
      changes_of(tw, { job: job(), catalogue: catalogue() }, { job: bent(job()), catalogue: catalogue() }),
      conflict_of(tw, long, catalogue()),
    ]);
    for (const other of others) assert.equal(all(other), all(first));
  });
}
