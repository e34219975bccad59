// SPDX-License-Identifier: BSL-1.0
// What stands beside an order: what changed since another one, other ways to build it, what stands against it.
import { counted, fixed, html, money } from './elements.mjs';
import { rule_fields } from './fields.mjs';
import { long, number, section, table, text } from './tables.mjs';

const signed = (minor) => `${minor > 0 ? '+' : minor < 0 ? '−' : ''}${money(Math.abs(minor))}`;
const named = (row) => row.name || row.code;

// ---- what changed ------------------------------------------------------------------------------------------

const change_words = {
  run_added: 'new run', run_removed: 'run is gone', run_length: 'tape lit', run_tape: 'tape', run_feeder: 'cable that feeds it', run_joint: 'joint at the tape',
  run_controller: 'controller', run_driver: 'driver', run_verdict: 'verdict',
};
const work = { soldered_tail: 'tails soldered', soldered_link: 'bridges soldered', cut_piece: 'pieces cut' };
const part_name = (side) => work[side.code] ?? side.code;

/** One side of a change: how much of a part, which part, how long, or whether the checks hold. */
function side_in_words(kind, side) {
  if (side?.holds !== undefined) return side.holds ? 'holds' : 'FAILED';
  if (!side) return 'none';
  if (kind === 'order_line') return side.length_m ? `${fixed(side.length_m, side.length_m % 1 ? 2 : 0)} m` : String(side.quantity);
  return side.length_m === undefined ? part_name(side) : `${fixed(side.length_m, 3)} m`;
}

function changes_table(caption, changes, name_of_run, foot) {
  const price = (c) => signed((c.after?.price_minor ?? 0) - (c.before?.price_minor ?? 0));
  return table(caption, [
    long('Of', (c) => (c.run === null ? part_name(c.before ?? c.after) : `${name_of_run(c.run)}: ${change_words[c.kind]}`)),
    text('Before', (c) => side_in_words(c.kind, c.before)), text('Now', (c) => side_in_words(c.kind, c.after)),
    number('Price', (c) => (c.run === null ? price(c) : '')),
  ], changes, foot);
}

/** What is different from the order that `since` names; nothing where nothing is. */
export function changed(told) {
  if (!told || told.changes.length === 0) return null;
  const names = new Map([...told.was.runs, ...told.is.runs].map((run) => [run.code, named(run)]));
  const [was, is] = [told.before.price_minor, told.after.price_minor];
  return section('changed', 'What changed', changes_table(`Since ${told.since}`, told.changes, (code) => names.get(code),
    [['Parts before', money(was)], ['Parts now', money(is)], ['Difference', signed(is - was)]]));
}

export const changes_in_short = (told) =>
  told?.changes.length > 0 ? `Since ${told.since}, ${counted(told.changes.length, 'thing')} changed: ${signed(told.after.price_minor - told.before.price_minor)}. ` : '';

// ---- other ways --------------------------------------------------------------------------------------------

const way_words = { fewer_drivers: 'Fewer drivers', thinner_cable: 'Thinner cable', plug_in: 'Plugged-in drivers', hardwired: 'Hardwired drivers', soldered_tails: 'Soldered tails', connectors: 'Connectors' };

/** Why one might want it, beside the order as it is. */
function reason(way, order) {
  const wired = way.drivers - way.plug_in;
  switch (way.kind) {
    case 'fewer_drivers': return `${counted(way.drivers, 'driver')} to place and to wire instead of ${order.drivers.length}`;
    case 'thinner_cable': return `no conductor above ${way.thickest_mm2} mm²: it bends and hides more easily`;
    case 'plug_in': return `${way.plug_in} of ${counted(way.drivers, 'driver')} plugged in, without an electrician`;
    case 'hardwired': return `${wired} of ${counted(way.drivers, 'driver')} wired in for good, no sockets taken`;
    case 'soldered_tails': return `${counted(way.soldered, 'tail')} soldered: no contacts that age`;
    case 'connectors': return `plugged instead of soldered: ${way.soldered ? `${counted(way.soldered, 'tail')} still soldered` : 'no soldering on site'}`;
    default: return way.text;
  }
}

/** The next best orders, once they are known. */
export function other_ways(ways, order) {
  const told = (...content) => section('ways', 'Other ways to build it', ...content);
  if (!ways) return told(html('p', {}, 'They are being looked for …'));
  const { alternatives } = ways;
  if (alternatives.length === 0) return told(html('p', {}, 'None that fits and differs in kind: fewer drivers, thinner cable, drivers plugged in or hardwired, tapes soldered or plugged.'));
  const name_of_run = (code) => named(order.runs.find((run) => run.code === code));
  return told(
    table('Orders that fit too, cheapest first', [
      text('Way', (w) => way_words[w.kind]), long('Why one might want it', (w) => reason(w, order)),
      number('Parts', (w) => `${w.every_price_known ? '' : '≥ '}${money(w.price_minor)}`), number('More', (w) => signed(w.more_minor)),
    ], alternatives),
    ...alternatives.map((w) => html('details', {}, html('summary', {}, `What it changes: ${way_words[w.kind].toLowerCase()}`),
      changes_table(`${way_words[w.kind]} instead of the order as it is`, w.changes, name_of_run))));
}

// ---- what stands against it --------------------------------------------------------------------------------

const wish_words = {
  mount: (v) => `driver ${v === 'plug_in' ? 'plugged in' : 'hardwired'}`, limited_energy: () => 'limited-energy drivers', ingress: (v) => `IP${v}`,
  features: (v) => `a controller with ${v.join(', ').replaceAll('_', ' ')}`, driver: (v) => `driver must be ${v}`, controller: (v) => `controller must be ${v}`,
  feeder: (v) => `its cable must be ${v}`,
};

/** What a demand is of, and what it says there. */
function asked(d, job, value = d.asked) {
  if (d.kind === 'rule') {
    const [, label, unit, scale] = rule_fields.find(([name]) => name === d.about) ?? [d.about, d.text, d.unit, 1];
    return { of: label, what: `${Number((value * scale).toPrecision(6))} ${unit}`.trim() };
  }
  const [, list, place] = d.at.split('/');
  const of = named(job[list][place]);
  return { of, what: d.kind === 'run' ? `${fixed(value, 3)} m of wall` : wish_words[d.kind](value) };
}
const in_one = ({ of, what }) => `${of}: ${what}`;

/**
 * The value to give way to, as it is typed: rounded away from what was asked, so that it still helps. Lengths to whole
 * millimetres, shares to a hundredth of a per cent.
 */
export function eased({ asked: from, to, kind, unit }) {
  const steps = kind === 'run' || unit === 'm' ? 1000 : 10_000;
  const whole = Math.abs(to * steps - Math.round(to * steps)) < 1e-6 ? Math.round : to < from ? Math.floor : Math.ceil;
  return whole(to * steps) / steps;
}

/** Why the job does not fit, once it is known. `give_way(relaxation)` puts one into the job; can_give_way tells where it can. */
export function stands_against(conflict, job, { can_give_way, give_way }) {
  const told = (...content) => section('against', 'What stands against it', ...content);
  if (!conflict) return told(html('p', {}, 'The reasons are being looked for …'));
  const { broken, demands, relaxations } = conflict;
  const figure = (v) => `${Number(v.toPrecision(4))} ${broken.unit}`.trim();
  const button = (r) => {
    const made = html('button', { type: 'button', 'aria-label': `Give way: ${in_one(asked(r, job))} becomes ${becomes(r, job)}` }, 'Give way');
    made.addEventListener('click', () => give_way(r));
    return made;
  };
  const price = (r) => `${r.every_price_known ? '' : '≥ '}${money(r.price_minor)}`;
  const helps = (r) => html('li', {},
    html('p', {}, html('strong', {}, `${asked(r, job).of}: ${becomes(r, job)}`), ` instead of ${asked(r, job).what}`),
    html('p', { class: 'small' }, `${r.whole_job_fits ? 'All of the job fits then' : 'Something else stands against the job too'}; what is named above costs ${price(r)} then.`),
    can_give_way(r) && button(r));
  return told(
    html('p', {}, demands.length > 1 ? 'These do not go together; without any one of them the rest would fit:' : 'No part of this catalogue suits what is asked here, whatever else is given up:'),
    html('ul', {}, ...demands.map((d) => html('li', {}, in_one(asked(d, job))))),
    broken && html('p', {}, `What fails then: ${broken.text}`, Number.isFinite(broken.value) && Number.isFinite(broken.limit) && broken.value !== broken.limit && `, ${figure(broken.value)} against ${figure(broken.limit)}`, '.',
      broken.advice && ` What may help: ${broken.advice}.`),
    ...(relaxations.length > 0
      ? [html('h4', {}, 'What would help, each of them alone, cheapest first'), html('ul', { class: 'help' }, ...relaxations.map(helps))]
      : [html('p', {}, 'Nothing that is asked for helps if it is given up alone: another part is needed, or a run in shorter parts.')]));
}
const becomes = (r, job) => (r.to === null ? 'no such wish' : asked(r, job, eased(r)).what);

/** Both answers in a line for those who do not see the sheet. */
export function in_short({ changes, ways, against }, job) {
  const others = ways?.alternatives.length > 0 ? `${counted(ways.alternatives.length, 'other way')} to build it, from ${signed(ways.alternatives[0].more_minor)}. ` : '';
  const reasons = against?.conflicting ? `What stands against it: ${against.demands.map((d) => in_one(asked(d, job))).join('; ')}. ` : '';
  return `${changes_in_short(changes)}${others}${reasons}`.trim();
}
