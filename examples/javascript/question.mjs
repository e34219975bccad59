// SPDX-License-Identifier: BSL-1.0
// A job in JSON becomes a question to the library, and what is wrong with it is told at its place in the JSON.
import { Refused } from './tapewright.mjs';
import { as_structure, part_lists, pins } from './job_members.mjs';

/** The job was refused: `problems` tell where in the JSON, which figure, what is allowed. */
export class JobRefused extends Error {
  constructor(problems) {
    super(problems.map((p) => `${p.at}: ${p.text}`).join('; '));
    this.problems = problems;
  }
}

/** Places by code; refuses a code that stands twice. */
function places(rows, at, problems) {
  const found = new Map();
  rows.forEach((row, i) => {
    if (found.has(row.code)) problems.push({ at: `${at}/${i}/code`, field: 'code', given: row.code, text: 'stands twice' });
    found.set(row.code, i);
  });
  return found;
}

/** Where in the JSON the figure stands that the library refused. */
function place_of(tw, why, lists) {
  for (const { at, kind, rows, places_of } of lists) {
    const members = tw.structures[kind].members.filter((m) => m.field === why.number && m.name !== 'struct_size');
    const candidates = [...(why.item >= 0 ? [why.item] : []), ...rows.keys()]; // the row told may be of another list
    for (const i of candidates) {
      for (const m of members) {
        const value = rows[i]?.[m.name] ?? (m.type.includes('int') || m.type === 'double' ? 0 : undefined);
        if (value === why.given) return `${at.replace('*', places_of?.[i] ?? i)}/${m.name}`;
      }
    }
  }
  return '';
}

/** Problems in the words of the service: at, field, unit, given, least, most, text. */
function problem_of(tw, refused, lists) {
  const { field, unit, given, least, most, text } = refused;
  return { at: place_of(tw, refused, lists), field, unit, given, least, most, text };
}

/** The catalogue without the parts that cannot be had, and where each that is left stands in the one that came in. */
function in_stock(whole, without, problems) {
  const lists = Object.keys(part_lists).map((list) => [list, whole[list] ?? []]);
  without.forEach((code, i) => {
    if (!lists.some(([, rows]) => rows.some((row) => row.code === code)))
      problems.push({ at: `/without/${i}`, field: 'without', given: code, text: 'no part has this code' });
  });
  const kept = lists.map(([list, rows]) => [list, [...rows.keys()].filter((place) => !without.includes(rows[place].code))]);
  return {
    catalogue: Object.fromEntries(kept.map(([list, places_kept]) => [list, places_kept.map((place) => whole[list][place])])),
    places_of: Object.fromEntries(kept),
  };
}

/** The parts that the job insists on, as rows of the C interface. */
function pinned(job, catalogue, problems) {
  const rows = [];
  for (const [list, kind] of [['zones', 'tw_zone'], ['runs', 'tw_run']]) {
    job[list].forEach((asker, place) => {
      for (const [name, { list: parts, pin }] of Object.entries(pins[kind])) {
        if (asker[name] === undefined) continue;
        const part = catalogue[parts].findIndex((row) => row.code === asker[name]);
        if (part < 0) problems.push({ at: `/${list}/${place}/${name}`, field: name, given: asker[name], text: `no ${name === 'feeder' ? 'cable' : name} that can be had has this code` });
        else rows.push({ pin, place, part });
      }
    });
  }
  return rows;
}

/**
 * What `answer` makes of {zones, runs, rules, terms, without} and a catalogue {tapes, cables, ...}, once both lie in the library's
 * memory: it is given the rows, and the addresses `at` that a function of plans begins with. All of it lives as long as that
 * call. Throws JobRefused where the question makes no sense; `before` stands before every place that it tells.
 */
export function posed(tw, job, whole_catalogue, answer, before = '') {
  const refused = (problems) => new JobRefused(problems.map((p) => ({ ...p, at: before + p.at })));
  return tw.within(() => {
    const problems = [];
    const { catalogue, places_of } = in_stock(whole_catalogue, job.without ?? [], problems);
    const insists = pinned(job, catalogue, problems);
    const zone_at = places(job.zones, '/zones', problems);
    const tape_at = places(catalogue.tapes, '/catalogue/tapes', problems);
    places(job.runs, '/runs', problems);
    job.runs.forEach((run, i) => {
      for (const [name, known] of [['zone', zone_at], ['tape', tape_at]])
        if (!known.has(run[name])) problems.push({ at: `/runs/${i}/${name}`, field: name, given: run[name], text: `no ${name === 'tape' ? 'tape that can be had' : name} has this code` });
    });
    if (problems.length) throw refused(problems);

    const rows = Object.fromEntries(
      Object.entries(part_lists).map(([list, { kind }]) => [list, (catalogue[list] ?? []).map((row) => as_structure(tw, kind, row))]),
    );
    const zones = job.zones.map((row) => as_structure(tw, 'tw_zone', row));
    const runs = job.runs.map((row) => ({ ...as_structure(tw, 'tw_run', row), zone: zone_at.get(row.zone), tape: tape_at.get(row.tape) }));
    const terms = { ...tw.read_from('tw_terms_default', 'tw_terms'), ...as_structure(tw, 'tw_terms', job.terms ?? {}) };
    const rules = { ...tw.read_from('tw_rules_default', 'tw_rules'), ...as_structure(tw, 'tw_rules', job.rules ?? {}) };
    const lists = [
      { at: '/runs/*', kind: 'tw_run', rows: runs },
      ...job.runs.map((run, i) => ({ at: `/runs/${i}/stretch/*`, kind: 'tw_stretch', rows: run.stretch ?? [] })),
      { at: '/zones/*', kind: 'tw_zone', rows: zones },
      { at: '/rules', kind: 'tw_rules', rows: [rules] },
      { at: '/terms', kind: 'tw_terms', rows: [terms] },
      ...Object.entries(part_lists).map(([list, { kind }]) => ({ at: `/catalogue/${list}/*`, kind, rows: rows[list], places_of: places_of[list] })),
      ...rows.tapes.map((tape, i) => ({ at: `/catalogue/tapes/${places_of.tapes[i]}/channel/*`, kind: 'tw_tape_channel', rows: tape.channel ?? [] })),
    ];
    try {
      return answer({ job, runs, catalogue, at: addresses(tw, { zones, runs, rules, terms, insists, rows }) });
    } catch (error) {
      if (error instanceof Refused) throw refused([problem_of(tw, error, lists)]);
      if (error instanceof RangeError) throw refused([{ at: '', field: '', text: error.message }]);
      throw error;
    }
  });
}

/** Job, catalogue and terms as structures, one after the other. */
function addresses(tw, { zones, runs, rules, terms, insists, rows }) {
  const parts = {};
  for (const [list, { kind, member }] of Object.entries(part_lists)) {
    parts[list] = rows[list].length;
    parts[member] = rows[list].length ? tw.make(kind, rows[list]) : 0;
  }
  return [
    tw.make('tw_job', {
      zones: zones.length, runs: runs.length, zone: tw.make('tw_zone', zones), run: tw.make('tw_run', runs), rules: tw.make('tw_rules', rules),
    }),
    tw.make('tw_catalogue', parts),
    tw.make('tw_terms', { ...terms, pins: insists.length, pin: insists.length ? tw.make('tw_pin', insists) : 0 }),
  ];
}

/** A block as large as the library asks for with `wanted`, and its size: what stands before the results of ..._make. */
export function block_for(tw, wanted, ...asked) {
  const out = tw.room(8);
  tw.call(wanted, ...asked, out);
  const bytes = tw.whole_at(out);
  return [tw.room(bytes), tw.engine.wide(bytes)];
}

/** The plan that answers a question. */
export function plan_of(tw, { at }) {
  const out = tw.room(8);
  tw.call('tw_plan_make_by', ...at, ...block_for(tw, 'tw_plan_bytes_by', ...at), out);
  return tw.pointer_at(out);
}
