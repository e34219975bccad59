// SPDX-License-Identifier: BSL-1.0
// The page: what people type becomes a job, the job an order, the order a sheet. Everything happens in this browser.
import { eased, in_short } from './beside.mjs';
import { fixed, fresh_id, html } from './elements.mjs';
import { dark_ends, feeds, reaches, rule_fields, term_fields } from './fields.mjs';
import { order_of } from './order.mjs';
import { JobRefused } from './question.mjs';
import { show_sheet, verdict_of } from './sheet.mjs';
import { from_wasm } from './tapewright.mjs';
import { changes_of } from './what_if.mjs';

const at = (id) => document.getElementById(id);
const shown_places = 48; // of the light along a run
const wait_ms = 180;
const paper_width = 690; // pictures are drawn anew for paper

let tw, catalogue, example, defaults, default_terms;
let last = null; // the order that is shown, until a figure changes
let last_asked = ''; // what it answers
let beside = {}; // what is known beside it: its job, changes, other ways, what stands against it
let kept = null; // the job that was printed, kept or opened last, and what is said of that: changes are told against it

const as_number = (text) => (/^\s*[-+]?(\d+([.,]\d*)?|[.,]\d+)\s*$/.test(text) ? Number(text.replace(',', '.')) : NaN);
const as_text = (figure) => (Number.isFinite(figure) ? String(Number(figure.toPrecision(12))) : '');

/** A figure to type: label with unit, its range from the library, what is wrong with it beneath. */
function figure_field(name, label, unit, value, scale = 1, structure = 'tw_run') {
  const member = tw.structures[structure].members.find((m) => m.name === name);
  const id = fresh_id(name);
  const [least, most] = [member.least * scale, member.most * scale].map((x) => Number(x.toPrecision(6)));
  const input = html('input', { id, type: 'text', inputmode: 'decimal', 'data-member': name, 'data-least': least, 'data-most': most, 'data-scale': scale, 'data-whole': member.type === 'double' ? undefined : 'yes', 'aria-describedby': `${id}_wrong`, required: true });
  input.value = as_text(typeof value === 'number' ? value * scale : NaN);
  const wrong = html('p', { id: `${id}_wrong`, class: 'wrong' });
  return html('div', {}, html('label', { for: id }, `${label}, ${unit.replace('degC', '°C')}`), input, wrong);
}

/** A part of the catalogue that must be used, or whichever fits. What a file names and nobody sells stays, to be told. */
function part_field(name, label, list, value) {
  const codes = catalogue[list].map((part) => [part.code, part.name ? `${part.code}, ${part.name}` : part.code]);
  const asked = typeof value === 'string' && value !== '' && !codes.some(([code]) => code === value) ? [[value.slice(0, 31), value.slice(0, 31)]] : [];
  return choice_field(name, label, [['', 'whichever fits'], ...codes, ...asked], value ?? '');
}
const part_wishes = new Set(['driver', 'controller', 'feeder']);

function text_field(name, label, value, most = 60) {
  const id = fresh_id(name);
  const input = html('input', { id, type: 'text', 'data-member': name, maxlength: most, 'aria-describedby': `${id}_wrong` });
  input.value = String(value ?? '').slice(0, most);
  return html('div', {}, html('label', { for: id }, label), input, html('p', { id: `${id}_wrong`, class: 'wrong' }));
}

function choice_field(name, label, choices, value) {
  const id = fresh_id(name);
  const select = html('select', { id, 'data-member': name }, ...choices.map(([key, text]) => html('option', { value: key }, text)));
  select.value = value;
  return html('div', {}, html('label', { for: id }, label), select);
}

function tick_field(name, label, value) {
  const id = fresh_id(name);
  const input = html('input', { id, type: 'checkbox', 'data-member': name });
  input.checked = value;
  return html('label', { class: 'tick', for: id }, input, label);
}

const tape_choices = () => catalogue.tapes.map((tape) => {
  const watts = tape.channel.reduce((sum, c) => sum + c.load_w_per_m, 0);
  return [tape.code, `${tape.name}, ${tape.nominal_v} V, ${fixed(watts, 1)} W/m`];
});

/** A corner, and the wall after it. */
function corner_element(wall, left) {
  const remove = html('button', { type: 'button', class: 'plain remove_corner' }, 'Remove');
  const made = html('div', { class: 'corner', role: 'group' },
    html('div', { class: 'run_head' }, html('h4', {}, 'Corner'), remove),
    html('div', { class: 'fields' },
      figure_field('measured_m', 'Wall after it', 'm', wall.measured_m, 1, 'tw_stretch'),
      figure_field('gap_m', 'Dark at the link', 'mm', wall.gap_m ?? 0, 1000, 'tw_stretch')));
  remove.addEventListener('click', () => {
    made.remove();
    left();
    changed();
  });
  return made;
}

/** What is seen depends on how far cables reach: what is hidden is not asked. */
function show_reach(run) {
  const { value } = run.querySelector('[data-member="reach"]');
  run.querySelector('.far').hidden = value === 'near_end';
  run.querySelector('.between').hidden = value !== 'anywhere';
}

/** The ways of feeding that a run may have: one of them or all; a file may name several. */
function feed_choices(asked) {
  const words = (Array.isArray(asked) ? asked : []).filter((word) => feeds.some(([known]) => known === word));
  const say = (word) => feeds.find(([known]) => known === word)[1];
  const several = words.length > 1 ? [[words.join(' '), words.map(say).join(' or ')]] : [];
  return { choices: [['', 'cheapest place'], ...feeds, ...several], value: words.join(' ') };
}

const classed = (element, name) => {
  element.classList.add(name);
  return element;
};

function run_element(run) {
  const [first, ...walls] = Array.isArray(run.stretch) && run.stretch.length ? run.stretch.map((wall) => wall ?? {}) : [{ measured_m: run.measured_m }];
  const fed = feed_choices(run.arrangements);
  const remove = html('button', { type: 'button', class: 'plain remove_run' }, 'Remove');
  const heading = html('h3', { class: 'run_title' }, 'Run');
  const add_corner = html('button', { type: 'button', class: 'add_corner' }, 'Add a corner');
  const corners = html('div', { class: 'corners' }, ...walls.map((wall) => corner_element(wall, () => add_corner.focus())));
  const made = html('div', { class: 'run', role: 'group', 'data-code': String(run.code ?? '').slice(0, 15) },
    html('div', { class: 'run_head' }, heading, remove),
    html('div', { class: 'fields' },
      html('div', { class: 'two' }, text_field('name', 'Where?', run.name)),
      figure_field('measured_m', 'Wall length', 'm', first.measured_m),
      html('div', { class: 'wide' }, choice_field('tape', 'Tape', tape_choices(), run.tape ?? catalogue.tapes[0].code)),
      figure_field('from_controller_m', 'Cable to it', 'm', run.from_controller_m ?? 2),
      figure_field('ambient_c', 'Air at the tape', 'degC', run.ambient_c ?? 25),
      figure_field('cable_ambient_c', 'Air at its cable', 'degC', run.cable_ambient_c ?? 30)),
    corners,
    html('p', {}, add_corner),
    html('details', { class: 'feeding' },
      html('summary', {}, 'Feeding and dark ends'),
      html('div', { class: 'fields' },
        choice_field('reach', 'Cables reach', reaches, run.reach ?? 'near_end'),
        choice_field('arrangements', 'Feed it at', fed.choices, fed.value),
        choice_field('dark', 'What stays dark lies', dark_ends, run.dark ?? 'far_end'),
        classed(figure_field('to_far_end_m', 'Cable to its far end', 'm', run.to_far_end_m), 'far'),
        classed(figure_field('between_extra_m', 'More for a feed between', 'm', run.between_extra_m ?? 0), 'between'),
        classed(part_field('feeder', 'Its cable must be', 'cables', run.feeder), 'wide'),
        classed(tick_field('closes', 'Far end comes back to the near end', run.closes === true), 'wide'))));
  made.querySelector('.feeding').open = fed.value !== '' || (run.reach ?? 'near_end') !== 'near_end' || run.closes === true || Boolean(run.feeder);
  show_reach(made);
  made.querySelector('[data-member="reach"]').addEventListener('change', () => show_reach(made));
  add_corner.addEventListener('click', () => {
    const corner = corner_element({}, () => add_corner.focus());
    corners.append(corner);
    corner.querySelector('input').focus();
    changed();
  });
  remove.addEventListener('click', () => {
    const zone = made.closest('.zone');
    made.remove();
    zone.querySelector('.add_run').focus();
    changed();
  });
  return made;
}

function zone_element(zone, runs) {
  const add = html('button', { type: 'button', class: 'add_run' }, 'Add a run');
  const remove = html('button', { type: 'button', class: 'plain remove_zone' }, 'Remove this zone');
  const body = html('div', { class: 'runs' }, ...runs.map(run_element));
  const made = html('fieldset', { class: 'zone' },
    html('legend', {}, 'Zone'),
    html('div', { class: 'fields' },
      html('div', { class: 'two' }, text_field('name', 'Zone', zone.name)),
      text_field('driver_place', 'Driver stands', String(zone.driver_place ?? '').replaceAll('_', ' '), 28),
      figure_field('from_driver_m', 'Cable to driver', 'm', zone.from_driver_m ?? 1, 1, 'tw_zone'),
      figure_field('driver_ambient_c', 'Air at the driver', 'degC', zone.driver_ambient_c ?? 30, 1, 'tw_zone'),
      choice_field('mount', 'Driver is', [['any', 'either'], ['plug_in', 'plugged in'], ['hardwired', 'hardwired']], zone.mount ?? 'any'),
      choice_field('ingress', 'Wet?', [[0, 'dry room'], [44, 'splashes'], [65, 'outdoors'], [67, 'under water']], nearest_ingress(zone.ingress ?? 0)),
      tick_field('wants_controller', 'Dimmed', zone.wants_controller ?? true)),
    html('details', { class: 'insists' },
      html('summary', {}, 'Parts to insist on'),
      html('div', { class: 'fields' },
        classed(part_field('driver', 'Driver must be', 'drivers', zone.driver), 'wide'),
        classed(part_field('controller', 'Controller must be', 'controllers', zone.controller), 'wide'))),
    body,
    html('p', {}, add, ' ', remove));
  made.querySelector('.insists').open = Boolean(zone.driver || zone.controller);
  const words = Array.isArray(zone.feature) ? zone.feature.filter((word) => typeof word === 'string') : [];
  made.kept = { feature: words, limited_energy: zone.limited_energy === true };
  add.addEventListener('click', () => {
    const run = run_element({});
    body.append(run);
    run.querySelector('input').focus();
    changed();
  });
  remove.addEventListener('click', () => {
    made.remove();
    at('add_zone').focus();
    changed();
  });
  return made;
}
const nearest_ingress = (asked) => [67, 65, 44, 0].find((choice) => asked >= choice);

/** Rules and terms of the job that is shown, those too that have no field: these stay as they came. */
let unshown = {};
const told_in = (list, otherwise) => (list !== null && typeof list === 'object' && !Array.isArray(list) ? list : otherwise);

function show_job(job) {
  unshown = { rules: told_in(job.rules, example.rules), terms: told_in(job.terms, {}) };
  const zones = job.zones.map((zone) => zone_element(zone, job.runs.filter((run) => run.zone === zone.code)));
  at('zones').replaceChildren(...zones);
  const figures = (fields, told, preset, structure) =>
    fields.map(([name, label, unit, scale]) => figure_field(name, label, unit, told?.[name] ?? preset[name], scale, structure));
  const without = Array.isArray(job.without) ? job.without.join(' ') : '';
  at('rule_fields').replaceChildren(...figures(rule_fields, job.rules, defaults, 'tw_rules'));
  at('term_fields').replaceChildren(...figures(term_fields, job.terms, default_terms, 'tw_terms'), classed(text_field('without', 'Parts that cannot be had, by their codes', without, 400), 'wide'));
  rename();
  plan();
}

/** Headings and names for the reader follow what is typed. */
function rename() {
  document.querySelectorAll('.zone').forEach((zone, z) => {
    const name = zone.querySelector('[data-member="name"]').value.trim() || `Zone ${z + 1}`;
    zone.querySelector('legend').textContent = name;
    zone.querySelector('.add_run').setAttribute('aria-label', `Add a run to ${name}`);
    zone.querySelector('.remove_zone').setAttribute('aria-label', `Remove ${name}`);
    zone.querySelectorAll('.run').forEach((run, r) => {
      const called = run.querySelector('[data-member="name"]').value.trim() || `Run ${r + 1}`;
      run.querySelector('h3').textContent = called;
      run.setAttribute('aria-label', `${called}, ${name}`);
      run.querySelector('.remove_run').setAttribute('aria-label', `Remove ${called}`);
      run.querySelector('.add_corner').setAttribute('aria-label', `Add a corner to ${called}`);
      run.querySelectorAll('.corner').forEach((corner, c) => {
        corner.querySelector('h4').textContent = `Corner ${c + 1}`;
        corner.setAttribute('aria-label', `Corner ${c + 1} of ${called}`);
        corner.querySelector('button').setAttribute('aria-label', `Remove corner ${c + 1} of ${called}`);
      });
    });
  });
}

/** Reads a figure, tells at its place what is wrong. An empty figure that was never touched is only missing. */
function read_figure(input, problems) {
  let value = as_number(input.value);
  const [least, most, scale] = [input.dataset.least, input.dataset.most, input.dataset.scale].map(Number);
  const untouched = input.value.trim() === '' && !input.dataset.touched;
  let wrong = '';
  if (Number.isNaN(value)) wrong = input.value.trim() === '' ? 'A figure is needed here.' : 'This is not a number.';
  else if (value < least || value > most) wrong = `From ${least} to ${most}, please.`;
  value /= scale;
  if (!wrong && input.dataset.whole) {
    if (Math.abs(value - Math.round(value)) > 1e-6) wrong = 'Two decimals at most, please.';
    value = Math.round(value);
  }
  tell(input, untouched ? '' : wrong);
  if (wrong) problems.push({ input, wrong, untouched });
  return value;
}

function tell(input, wrong) {
  const place = at(`${input.id}_wrong`);
  if (place.textContent !== wrong) place.textContent = wrong;
  if (wrong) input.closest('details')?.setAttribute('open', '');
  if (wrong) input.setAttribute('aria-invalid', 'true');
  else input.removeAttribute('aria-invalid');
}

function members(element, problems) {
  const read = {};
  for (const input of element.querySelectorAll('[data-member]')) {
    if (input.closest('[hidden]')) continue;
    const name = input.dataset.member;
    if (input.type === 'checkbox') read[name] = input.checked;
    else if (input.dataset.least !== undefined) read[name] = read_figure(input, problems);
    else if (name === 'ingress') read[name] = Number(input.value);
    else if (part_wishes.has(name)) read[name] = input.value || undefined;
    else if (name === 'without') {
      tell(input, ''); // what is wrong with it only the plan finds out
      read[name] = input.value.split(/[\s,;]+/).filter(Boolean);
    } else if (name === 'arrangements') read[name] = input.value.split(' ').filter(Boolean);
    else read[name] = input.value.trim();
  }
  return read;
}

/** A run with its walls: one of them is its measured length, several are its stretches and add up to it. */
function read_run(run, problems, at_run, inputs) {
  const corners = [...run.querySelectorAll('.corner')];
  const read = {};
  for (const part of run.querySelectorAll(':scope > .fields, :scope > .feeding')) {
    part.querySelectorAll('[data-member]').forEach((input) => inputs.set(`${at_run}/${input.dataset.member}`, input));
    Object.assign(read, members(part, problems));
  }
  if (!corners.length) return read;
  inputs.set(`${at_run}/stretch/0/measured_m`, inputs.get(`${at_run}/measured_m`));
  const after = corners.map((corner, c) => {
    corner.querySelectorAll('[data-member]').forEach((input) => inputs.set(`${at_run}/stretch/${c + 1}/${input.dataset.member}`, input));
    return members(corner, problems);
  });
  const stretch = [{ measured_m: read.measured_m }, ...after];
  return { ...read, measured_m: stretch.reduce((sum, wall) => sum + wall.measured_m, 0), stretch };
}

/** The job as it stands, and what is wrong with it. `inputs` finds the field of a problem that the library tells. */
function read_job() {
  const problems = [];
  const inputs = new Map();
  const { without, ...terms } = members(at('term_fields'), problems);
  const rules = { ...unshown.rules, ...members(at('rule_fields'), problems) };
  const job = { zones: [], runs: [], rules, terms: { ...unshown.terms, ...terms }, without };
  for (const list of ['rule', 'term']) at(`${list}_fields`).querySelectorAll('[data-member]').forEach((input) => inputs.set(`/${list}s/${input.dataset.member}`, input));
  const codes = new Set();
  document.querySelectorAll('.zone').forEach((element, z) => {
    if (!element.querySelector('.run')) return; // part of the job once it has a run
    const own = { ...members(element.querySelector('.fields'), problems), ...members(element.querySelector('.insists'), problems) };
    const code = `zone ${z + 1}`;
    element.querySelectorAll(':scope > .fields [data-member], :scope > .insists [data-member]').forEach((input) => inputs.set(`/zones/${job.zones.length}/${input.dataset.member}`, input));
    job.zones.push({ code, ...element.kept, ...own, driver_place: own.driver_place || code });
    for (const run of element.querySelectorAll('.run')) {
      const told = read_run(run, problems, `/runs/${job.runs.length}`, inputs);
      let name = run.dataset.code;
      for (let n = job.runs.length + 1; !name || codes.has(name); ++n) name = `R${n}`;
      codes.add(name);
      run.dataset.code = name;
      job.runs.push({ code: name, zone: code, ...told });
    }
  });
  return { job, problems, inputs };
}

function say(kind, text) {
  const place = at('verdict');
  place.className = `verdict ${kind}`;
  if (place.textContent !== text) place.textContent = text;
  // on a phone the order is far below what is typed; where it is in sight already the bar is not needed
  at('peek').className = `peek ${kind}`;
  at('peek').firstElementChild.textContent = text.split(/[.:] /)[0];
}

function show_nothing(kind, text) {
  last = null;
  beside = {};
  at('beside').textContent = '';
  at('sheet').hidden = true;
  at('sheet').replaceChildren();
  say(kind, text);
}

function plan() {
  const { job, problems, inputs } = read_job();
  if (job.runs.length === 0) return show_nothing('waiting', 'Add a run: measure a wall, choose its tape. The order appears here.');
  if (problems.length) {
    const open = problems.filter((p) => !p.untouched);
    const first = (open[0] ?? problems[0]).input;
    const of = first.closest('.corner')?.getAttribute('aria-label') ?? first.closest('.run, .zone')?.querySelector('h3, legend').textContent
      ?? (first.closest('#terms') ? 'Price and stock' : 'Rules');
    const where = `${of}: ${first.labels[0].textContent}`;
    return show_nothing(open.length ? 'bad' : 'waiting', open.length ? `✕ ${where}. ${open[0].wrong}` : `Still to be typed: ${where}.`);
  }
  const asked = JSON.stringify([job, at('job_name').value]);
  if (last && asked === last_asked) return undefined; // what is shown stays, and so does the focus in it
  try {
    last = order_of(tw, job, catalogue, { light: shown_places });
    last_asked = asked;
    beside = { job, changes: changes_since_kept(job), asking: asker !== null, ...giving_way(inputs) };
  } catch (error) {
    if (!(error instanceof JobRefused)) {
      console.error(error);
      return show_nothing('bad', '✕ The calculation failed. Nothing on this page is an order.');
    }
    const [p] = error.problems;
    let input = inputs.get(p.at);
    const scale = Number(input?.dataset.scale ?? 1); // a field says what it takes in its own unit, which its label names
    const range = Number.isFinite(p.least) ? ` From ${as_text(p.least * scale)} to ${as_text(p.most * scale)}${input ? '' : ` ${p.unit}`}.` : '';
    if (p.field === 'without') input = at('term_fields').querySelector('[data-member="without"]');
    if (input && at(`${input.id}_wrong`)) tell(input, `${p.text[0].toUpperCase()}${p.text.slice(1)}.${range}`);
    return show_nothing('bad', `✕ ${input ? `${input.labels[0].textContent}: ` : ''}${p.text}${input && p.field !== 'without' ? '' : ` (${p.field} ${p.given ?? ''})`}.${range}`);
  }
  const { kind, text } = verdict_of(last);
  show(picture_width());
  tell_beside();
  ask_more();
  return say(kind, text);
}

// ---- what stands beside the order --------------------------------------------------------------------------

/** For those who do not see the sheet: what came to it. */
function tell_beside() {
  const text = in_short(beside, beside.job);
  if (at('beside').textContent !== text) at('beside').textContent = text;
}

/** From now on changes are told against the order that is shown. */
function remember(since) {
  if (!last) return;
  kept = { since, job: beside.job };
  beside.changes = null;
}
function forget() {
  kept = null;
  last_asked = '';
}
function changes_since_kept(job) {
  if (!kept || JSON.stringify(kept.job) === JSON.stringify(job)) return null;
  const told = changes_of(tw, { job: kept.job, catalogue }, { job, catalogue });
  return { ...told, since: kept.since, was: kept.job, is: job };
}

/** How a relaxation is put into the field that asks for it: what is wished for no longer is emptied or left open. */
function giving_way(inputs) {
  const field = ({ at: place, to }) => {
    const input = inputs.get(place);
    return input && (to !== null) === (input.dataset.least !== undefined) ? input : null;
  };
  return {
    can_give_way: (relaxation) => field(relaxation) !== null,
    give_way(relaxation) {
      const input = field(relaxation);
      if (relaxation.to !== null) input.value = as_text(eased(relaxation) * Number(input.dataset.scale));
      else input.value = [...input.options].find(({ value }) => ['', 'any', '0'].includes(value)).value;
      input.closest('details')?.setAttribute('open', '');
      input.focus();
      changed();
    },
  };
}

let asker = null; // the thread that looks for more, once it has started
let asked_number = 0;
let at_work = false;

/** Asks for what takes many plans. Who is at work is not disturbed: the newest job follows. */
function ask_more() {
  asked_number += 1;
  if (!asker || at_work) return;
  at_work = true;
  asker.postMessage({ number: asked_number, job: beside.job, fits: last.summary.fits });
}
function more_is_known({ data: { number, told } }) {
  at_work = false;
  if (!last) return;
  if (number !== asked_number) return ask_more();
  Object.assign(beside, told ?? { asking: false });
  show(picture_width());
  tell_beside();
}

/** Without that thread the page is an order all the same. */
function start_asker() {
  return new Promise((done) => {
    const thread = new Worker('asker.mjs', { type: 'module' });
    thread.onerror = () => {
      asker = null;
      done();
    };
    thread.onmessage = () => {
      asker = thread;
      thread.onmessage = more_is_known;
      done();
    };
  });
}

const picture_width = () => Math.max(280, Math.min(900, at('result').clientWidth - 28));

const unfolded = new Map(); // details of the sheet, also those that are not in it just now
function show(width, paper = false) {
  at('sheet').hidden = false;
  const reachable = () => [...at('sheet').querySelectorAll('a, button, summary, [tabindex="0"]')];
  const name_of = (e) => e.getAttribute('aria-label') ?? e.textContent;
  const focused = reachable().find((e) => e === document.activeElement);
  const called = (d) => d.firstElementChild.textContent.replace(/\d+/g, ''); // however many checks hold
  at('sheet').querySelectorAll('details').forEach((d) => unfolded.set(called(d), d.open));
  show_sheet(at('sheet'), last, beside, at('job_name').value.trim(), width, paper);
  at('sheet').querySelectorAll('details').forEach((d) => (d.open = unfolded.get(called(d)) ?? false));
  if (focused) reachable().find((e) => name_of(e) === name_of(focused))?.focus({ preventScroll: true });
}

let waiting;
function changed() {
  clearTimeout(waiting);
  rename();
  waiting = setTimeout(plan, wait_ms);
}

/** Whatever waits is done first: paper never shows an older job. */
function before_print() {
  from_print = document.activeElement?.id === 'print'; // paper has no such button
  clearTimeout(waiting);
  plan();
  if (last) show(paper_width, true);
}

/** The job as a file that this page opens again; its `job` has the form that the web service takes. */
function keep() {
  const { job } = read_job();
  const file = { name: at('job_name').value.trim(), job };
  const url = URL.createObjectURL(new Blob([JSON.stringify(file, null, 1)], { type: 'application/json' }));
  const link = html('a', { href: url, download: `${file.name.replace(/[^\p{L}\p{N}]+/gu, '-') || 'job'}.json` });
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
  clearTimeout(waiting);
  plan();
  remember('it was kept as a file');
  if (last) show(picture_width());
  tell_beside();
}

/** Takes only what a job has; whatever is wrong in it is told at its field, as if it had been typed. */
async function open_file(file) {
  let opened;
  try {
    opened = JSON.parse(await file.text());
    if (![opened.job.zones, opened.job.runs].every((rows) => Array.isArray(rows) && rows.every((row) => row !== null && typeof row === 'object'))) throw new TypeError('no job');
  } catch {
    return say('bad', `✕ ${file.name} holds no job that this page knows. What was typed is still there.`);
  }
  at('job_name').value = String(opened.name ?? '').slice(0, 80);
  forget();
  show_job(opened.job);
  return remember('the file was opened');
}

let from_print = false;
function after_print() {
  if (!last) return;
  remember('it was printed');
  tell_beside();
  show(picture_width());
  if (from_print) at('print').focus({ preventScroll: true });
}

const empty_job = () => ({ zones: [{ code: 'first' }], runs: [{ zone: 'first' }] });

async function start() {
  try {
    const [wasm, parts] = await Promise.all([fetch('tapewright.wasm'), fetch('catalogue.json')]);
    tw = await from_wasm(wasm);
    ({ catalogue, job: example } = await parts.json());
    defaults = tw.read_from('tw_rules_default', 'tw_rules');
    default_terms = tw.read_from('tw_terms_default', 'tw_terms');
    await start_asker();
  } catch (error) {
    console.error(error);
    return say('bad', '✕ The calculation could not be fetched: no order can be made. Load the page again.');
  }
  at('job').addEventListener('input', changed);
  at('job').addEventListener('submit', (event) => event.preventDefault());
  at('job').addEventListener('focusout', ({ target }) => {
    if (target.dataset?.least === undefined) return;
    target.dataset.touched = 'yes';
    changed();
  });
  at('example').addEventListener('click', () => {
    at('job_name').value = 'A bookshop that does not exist';
    forget();
    show_job(example);
  });
  at('empty').addEventListener('click', () => {
    at('job_name').value = '';
    forget();
    show_job(empty_job());
    at('job_name').focus();
  });
  at('keep').addEventListener('click', keep);
  at('open').addEventListener('change', async ({ target }) => {
    const [file] = target.files;
    target.value = '';
    if (file) await open_file(file);
  });
  at('add_zone').addEventListener('click', () => {
    const zone = zone_element({}, []);
    at('zones').append(zone);
    zone.querySelector('input').focus();
    changed();
  });
  new IntersectionObserver(([{ isIntersecting, boundingClientRect }]) => {
    at('peek').hidden = isIntersecting || boundingClientRect.top < 0;
  }).observe(at('verdict'));
  let width = picture_width();
  window.addEventListener('resize', () => {
    if (!last || picture_width() === width) return;
    width = picture_width();
    show(width);
  });
  window.addEventListener('beforeprint', before_print);
  window.addEventListener('afterprint', after_print);
  show_job(empty_job());
  document.documentElement.dataset.ready = 'yes';
  return undefined;
}

start();
