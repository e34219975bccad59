// SPDX-License-Identifier: BSL-1.0
// The order as a page shows it and as paper shows it: the same elements, cautions first on paper.
import { changed, other_ways, stands_against } from './beside.mjs';
import { counted, fixed, html, money, percent, svg } from './elements.mjs';
import { fed_in_words, light_picture, wiring_picture } from './pictures.mjs';
import { long, number, section, table, text } from './tables.mjs';

const severity_words = { failed: 'FAILED', strained: 'strained', note: 'note', ok: 'holds' };
const marks = { failed: '✕', strained: '!', note: 'i', ok: '✓' };

/** What is told about the whole in one line, and how it is to be taken. */
export function verdict_of(order) {
  const count = (severity) => order.findings.filter((f) => f.severity === severity).length;
  const [failed, strained] = [count('failed'), count('strained')];
  const { every_price_known, price_minor, gross_minor } = order.summary;
  const price = `${every_price_known ? '' : 'at least '}${money(price_minor)}${gross_minor === price_minor ? '' : `, ${money(gross_minor)} to pay`}`;
  if (!order.summary.fits) return { kind: 'bad', text: `✕ Do not build it so: ${counted(failed, 'check')} failed. The reasons are under “Checks”.` };
  if (strained) return { kind: 'strained', text: `✓ It can be built, ${price}. ${counted(strained, 'wish', 'wishes')} of a maker or of the job ${strained === 1 ? 'is' : 'are'} not met: see “Checks”.` };
  return { kind: 'good', text: `✓ It can be built: every rule holds. ${price}.` };
}

function figures(order) {
  const { summary, runs } = order;
  const tape = runs.reduce((sum, run) => sum + run.length_m, 0);
  const told = [
    ['Parts', `${summary.every_price_known ? '' : '≥ '}${money(summary.price_minor)}`],
    ...(summary.gross_minor === summary.price_minor ? [] : [['To pay', `${summary.every_price_known ? '' : '≥ '}${money(summary.gross_minor)}`]]),
    ['Tape lit', `${fixed(tape, 2)} m`],
    ['Load', `${fixed(summary.load_w, 0)} W`],
    ...(summary.capacity_credit_minor === 0 ? [] : [['Drivers to spare', `${fixed(summary.spare_drivers_w, 0)} W`]]),
    ['From the mains', `${fixed(summary.mains_a, 2)} A`],
    ['Circuits', `${summary.breakers}`],
  ];
  return html('dl', { class: 'figures' }, ...told.map(([name, figure]) => html('div', {}, html('dt', {}, name), html('dd', {}, figure))));
}

function lights(order) {
  const shown = order.runs.map((run) =>
    html('li', {},
      html('h4', {}, run.name || run.code, ' ', html('span', {}, run.about === (run.name || run.code) ? run.tape : `${run.about}, ${run.tape}`)),
      run.light?.length
        ? html('figure', {}, light_picture(run), html('figcaption', {}, `Evenness ${percent(run.least_evenness)}, lightness step ${fixed(run.lightness_step, 1)}` +
            (run.channels.length > 1 ? `, colour shift ${fixed(100 * run.colour_shift, 1)} %` : '') +
            `. ${fixed(run.current_a, 2)} A, ${fed_in_words(run)}; ${run.dark_m >= 0.0005 ? `${fixed(1000 * run.dark_m, 0)} mm of wall stay dark` : 'lit from end to end'}.`))
        : html('p', { class: 'failed' }, 'No steady light: the wiring cannot deliver what the tape asks for.'),
    ),
  );
  return section('light', 'Light along each run', html('ul', { class: 'lights' }, ...shown));
}

function wiring(order, width) {
  const shown = order.drivers.map((driver) => html('li', {}, html('figure', {}, wiring_picture(driver, order, width))));
  return section('wiring', 'Wiring', html('ul', { class: 'wiring' }, ...shown));
}

const kinds = { tape: 'tape', cable: 'cable', connector: 'connector', controller: 'controller', driver: 'driver', overcurrent_device: 'fuse', service: 'work' };
const services = { soldered_tail: 'Tail soldered to a tape', soldered_link: 'Bridge soldered between two pieces', cut_piece: 'Piece of tape cut to length' };

function order_list(order) {
  const quantity = (l) => (l.sale_quantum_m && l.length_m ? `${fixed(l.length_m, l.length_m % 1 ? 2 : 0)} m` : String(l.quantity));
  return section('order', 'Parts to order', table(
    'Every part, as it is sold', [
      text('Part', (l) => l.code), long('What it is', (l) => l.name || services[l.code] || kinds[l.part_kind]),
      number('Amount', quantity), number('Each', (l) => (l.price_known ? money(l.unit_price_minor) : 'ask')),
      number('Together', (l) => (l.price_known ? money(l.total_minor) : 'ask')),
    ], order.order, to_pay(order.summary)));
}

/** From the sum of the lines to what is paid. */
function to_pay({ every_price_known, price_minor, discount_minor, tax_minor, gross_minor }) {
  const at_least = every_price_known ? '' : 'at least ';
  const together = ['Together', `${at_least}${money(price_minor)}`];
  if (discount_minor === 0 && tax_minor === 0) return [together];
  return [together, ['Discount', `−${money(discount_minor)}`], ['Tax', money(tax_minor)], ['To pay', `${at_least}${money(gross_minor)}`]];
}

function use_bar(utilisation) {
  if (!Number.isFinite(utilisation)) return '–';
  const share = Math.min(1.25, Math.max(0, utilisation)) / 1.25;
  const ink = utilisation > 1 ? '#a3231f' : utilisation > 0.9 ? '#c07a00' : '#1b6b3a';
  const bar = svg('svg', { class: 'use', viewBox: '0 0 100 10', preserveAspectRatio: 'none', 'aria-hidden': 'true' },
    svg('rect', { width: 100, height: 10, fill: '#ece7da' }), svg('rect', { width: (100 * share).toFixed(1), height: 10, fill: ink }),
    svg('rect', { x: 79.5, width: 1, height: 10, fill: '#1d2a31' }));
  return html('span', { class: 'whole' }, bar, percent(utilisation));
}

/** Checks that read the same, but for what they are of, on one line. */
function together(findings) {
  const lines = new Map();
  for (const f of findings) {
    const same = JSON.stringify([f.number, f.severity, f.value?.toPrecision(4), f.limit?.toPrecision(4), f.advice, f.stopped_by]);
    lines.set(same, [...(lines.get(same) ?? []), f]);
  }
  return [...lines.values()].map((line) => ({ ...line[0], about: line.map((f) => f.about || 'the job').join(', ') }));
}

function checks_table(caption, findings) {
  const value = (figure, unit) => (Number.isFinite(figure) ? `${Number(figure.toPrecision(4))} ${unit}` : '');
  const help = (f) => [f.stopped_by && `stopped by: ${f.stopped_by}`, f.advice].filter(Boolean).join('; ');
  return table(caption, [
    long('Of', (f) => f.about), long('Check', (f) => f.text),
    text('Verdict', (f) => html('span', { class: `${f.severity} whole` }, `${marks[f.severity]} ${severity_words[f.severity]}`)),
    number('Is', (f) => value(f.value, f.unit)), number('Limit', (f) => value(f.limit, f.unit)), text('Of the limit', (f) => use_bar(f.utilisation)),
    ...(findings.some(help) ? [long('What would help', help)] : []),
  ], together(findings));
}

// what is either so or not, and cannot be nearer to its limit: dark remainder, protection against water, smallest conductor
const all_or_nothing = new Set([1, 4, 15]);

function checks(order, paper) {
  const open = order.findings.filter((f) => f.severity === 'failed' || f.severity === 'strained');
  const near = order.findings.filter((f) => !open.includes(f) && f.utilisation >= 0.75 && !all_or_nothing.has(f.number));
  const quiet = order.findings.filter((f) => !open.includes(f) && !near.includes(f));
  const rest = `${counted(quiet.length, 'more check')} ${quiet.length === 1 ? 'holds' : 'hold'}`;
  return section('checks', 'Checks',
    open.length ? html('div', { class: 'after' }, checks_table('Not met', open)) : html('p', { class: 'ok' }, '✓ Nothing is broken and nothing is strained.'),
    near.length > 0 && checks_table('Holds, with three quarters of its limit used or more', near),
    quiet.length > 0 && (paper ? html('p', {}, `${rest}.`) : html('details', {}, html('summary', {}, rest), checks_table('Holds', quiet))));
}

function cutting(order) {
  const piece_of = new Map(order.runs.flatMap((run) => run.stretches.map((piece) => [piece.about, piece])));
  const link_of = (c) => {
    const link = piece_of.get(c.about)?.link;
    return link ? (services[link] ?? link) : '';
  };
  const stock = (c) => (c.stock ? html('span', { class: 'whole' }, `${c.stock} (${fixed(c.stock_m, 2)} m)`) : '');
  const tape = (c) => c.part_kind === 'tape';
  const dark = (c) => `${fixed(1000 * c.dark_near_m, 0)} + ${fixed(1000 * (c.dark_m - c.dark_near_m), 0)} mm`;
  return section('cutting', 'Cutting list', table('Pieces to cut, tape and cable', [
    text('Piece', (c) => c.about), text('From', (c) => c.code), text('For', (c) => (tape(c) ? '' : c.for)),
    number('Length', (c) => `${fixed(c.length_m, 3)} m`), ...(order.cutting.some((c) => c.stock) ? [text('Of length', stock)] : []),
    number('Cuts of tape', (c) => (c.segments > 0 ? c.segments : '')), number('Dark, near + far end', (c) => (tape(c) ? dark(c) : '')),
    ...(order.cutting.some(link_of) ? [long('Linked at the near end by', link_of)] : []),
  ], order.cutting));
}

function connections(order) {
  return section('connections', 'Connections', table('Terminal to terminal, core by core; colours by IEC 60757', [
    text('Cable', (c) => c.cable ?? 'bridge'), text('Type', (c) => c.code ?? ''), text('Core', (c) => (c.cable ? `${c.core} ${c.colour ?? ''}` : '')), text('From', (c) => c.from),
    text('To', (c) => c.to), number('mm²', (c) => Number(c.area_mm2.toFixed(2))), number('A', (c) => fixed(c.current_a, 2)),
  ], order.connections));
}

const reading_words = { driver_output: 'at the driver', hub_input: 'into', feed_point: 'at the feed of', far_end: 'at the far end of', channel_current: 'current of' };

function readings(order) {
  const on = (r) => (r.lit === 'all' ? 'everything' : `${r.lit} alone`);
  return section('readings', 'What a meter should show', table('At nominal supply, and the band for the supply that is allowed', [
    text('Where', (r) => `${reading_words[r.kind]} ${r.about}`), text('Lit', on), number('Expect', (r) => `${fixed(r.expected, 2)} ${r.unit}`),
    number('Least', (r) => fixed(r.least, 2)), number('Most', (r) => fixed(r.most, 2)), text('Measured', () => ''),
  ], order.readings.filter((r) => Number.isFinite(r.expected))));
}

/** Notes for one reader; those with the same text are told once, with all they are about. */
function notes(order, reader, kind) {
  const told = new Map();
  for (const n of order.notes.filter((one) => one.reader === reader)) told.set(n.text, [...(told.get(n.text) ?? []), n.about].filter(Boolean));
  return html('ul', { class: kind }, ...[...told].map(([what, about]) => html('li', {}, about.length > 0 && html('strong', {}, `${about.join(', ')}: `), what)));
}

const each = (told) => [...new Set(told)].join(', ');

function measured(order) {
  return section('measured', 'What was measured', table('Walls and routes, as typed', [
    text('Run', (r) => r.about), long('Name', (r) => r.name), text('Zone', (r) => r.zone_name || r.zone), text('Tape', (r) => r.tape), number('Wall', (r) => `${fixed(r.measured_m, 3)} m`),
    number('Tape', (r) => `${fixed(r.length_m, 3)} m`), long('Joined by', (r) => each(r.feeds.map((f) => f.connector ?? f.joint.replaceAll('_', ' ')))),
    long('Feeder', (r) => each(r.feeds.map((f) => [f.feeder, f.feeder_cable].filter(Boolean).join(' ')))),
  ], order.runs));
}

const parts = [['changed', 'What changed'], ['against', 'Against it'], ['light', 'Light'], ['wiring', 'Wiring'], ['cautions', 'Cautions'], ['order', 'Parts'], ['ways', 'Other ways'], ['checks', 'Checks'], ['cutting', 'Cutting'], ['connections', 'Connections'], ['readings', 'Readings']];

/**
 * The whole sheet into an element. `beside`: what is known beside the order, as beside.mjs shows it. `width` is what there is
 * for pictures; on paper the cautions stand first, and other ways are left out: a fitter builds this one.
 */
export function show_sheet(into, order, beside, job_name, width, paper = false) {
  const print = html('button', { type: 'button', class: 'main', id: 'print' }, 'Print the fitter’s sheet');
  print.addEventListener('click', () => window.print());
  const cautions = section('cautions', 'Before anything is touched', notes(order, 'everyone', 'caution'),
    html('h4', { class: 'gap' }, 'For the electrician'), notes(order, 'electrician', 'tasks'));
  const signed = ['Fitted, date', 'Measured and handed over, date', 'Electrician, date'];
  const { fits } = order.summary;
  const content = [
    changed(beside.changes),
    !fits && (!paper || beside.against) && stands_against(beside.against, beside.job, beside),
    lights(order),
    wiring(order, width),
    !paper && cautions,
    order_list(order),
    fits && !paper && beside.asking && other_ways(beside.ways, order),
    checks(order, paper),
    measured(order),
    cutting(order),
    connections(order),
    readings(order),
  ].filter(Boolean);
  const shown = parts.filter(([id]) => content.some((one) => one.getAttribute('aria-labelledby') === `${id}_heading`));
  const jump = html('ul', { class: 'jump' }, ...shown.map(([id, name]) => html('li', {}, html('a', { href: `#${id}_heading` }, name))));
  const head = paper
    ? [html('h1', {}, job_name || 'Order sheet'), html('p', {}, `Fitter’s sheet, planned with tapewright ${order.library.version}. Parts and prices are invented.`), figures(order), cautions]
    : [figures(order), html('nav', { 'aria-label': 'Parts of the sheet' }, jump), html('p', {}, print)];
  const foot = paper ? [html('div', { class: 'signed' }, ...signed.map((line) => html('p', {}, line)))] : [];
  into.replaceChildren(...head, ...content, ...foot);
}
