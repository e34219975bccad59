// SPDX-License-Identifier: BSL-1.0
// JSON schemas of what comes in, made of the library's own description: members, units, ranges. Nothing is repeated here.
import { members_of, part_lists, pins } from '../javascript/job_members.mjs';
import { names_of } from '../javascript/words.mjs';
import { figure, finding, library, list, summary, text } from './members.mjs';
import { alternatives_schema, changes_schema, conflict_schema } from './what_if_schema.mjs';

// many_plans_steps: of the search of each plan where a question takes many of them
export const limits = { runs: 200, zones: 50, parts: 500, body_bytes: 1024 * 1024, problems: 20, many_plans_steps: 200_000 };

function schema_of_member(tw, m) {
  const said = { description: m.unit ? `${m.text}; ${m.unit}` : m.text };
  let one;
  if (m.type === 'text') {
    one = { type: 'string', minLength: m.required ? 1 : 0, maxLength: m.bytes, pattern: '^[^\\u0000-\\u001f]*$' };
  } else if (m.type === 'word') one = { enum: m.words };
  else if (m.type === 'words') return { type: 'array', items: { enum: m.words }, uniqueItems: true, ...said };
  else if (m.type === 'yes_no') one = { type: 'boolean' };
  else if (m.type === 'rows') one = schema_of_rows(tw, m.kind);
  else {
    one = { type: m.type === 'number' ? 'number' : 'integer' };
    if (m.least !== null) Object.assign(one, { minimum: m.least, maximum: m.most });
  }
  if (!m.many) return { ...one, ...said };
  return { type: 'array', items: one, maxItems: m.many, ...said };
}

function schema_of_rows(tw, kind) {
  const members = members_of(tw, kind);
  const properties = Object.fromEntries(members.map((m) => [m.name, schema_of_member(tw, m)]));
  for (const [name, { text: description }] of Object.entries(pins[kind] ?? {})) properties[name] = { type: 'string', minLength: 1, maxLength: 31, description };
  if (!['tw_rules', 'tw_terms', 'tw_tape_channel', 'tw_stretch'].includes(kind)) properties.name = { type: 'string', maxLength: 120, description: 'as people call it' };
  return { type: 'object', additionalProperties: false, required: members.filter((m) => m.required).map((m) => m.name), properties };
}

export function job_schema(tw, named) {
  const rows = (kind, most, least = 1) => ({ type: 'array', minItems: least, maxItems: most, items: schema_of_rows(tw, kind) });
  const lists = Object.entries(part_lists).map(([list, { kind }]) => [list, rows(kind, limits.parts, list === 'tapes' ? 1 : 0)]);
  return {
    type: 'object',
    additionalProperties: false,
    required: ['zones', 'runs'],
    properties: {
      catalogue: {
        description: `what can be bought: the name of a catalogue of this service (${named.join(', ')}), or the rows themselves`,
        default: named[0],
        if: { type: 'string' },
        then: { enum: named },
        else: { type: 'object', additionalProperties: false, required: ['tapes'], properties: Object.fromEntries(lists) },
      },
      zones: rows('tw_zone', limits.zones),
      runs: rows('tw_run', limits.runs),
      rules: schema_of_rows(tw, 'tw_rules'),
      terms: { ...schema_of_rows(tw, 'tw_terms'), description: 'discount, tax and fees in hundredths of a per cent and minor units; how far to search; what capacity to spare is worth' },
      without: { type: 'array', maxItems: limits.parts, items: { type: 'string', maxLength: 31 }, description: 'codes of parts that cannot be had' },
    },
  };
}

const joined = { joint: text, connector: text, feeder: text, feeder_cable: text, feeder_m: figure, feeder_ruled_by: text };

/** What an order holds; null where there is no such figure. */
export const order_schema = {
  type: 'object',
  required: ['library', 'summary', 'order', 'cutting', 'connections', 'findings', 'readings', 'notes', 'runs', 'hubs', 'drivers'],
  properties: {
    library,
    summary,
    order: list({ part_kind: text, code: text, name: text, quantity: figure, sale_quantum_m: figure, length_m: figure,
      price_known: { type: 'boolean' }, unit_price_minor: figure, total_minor: figure }),
    cutting: list({ about: text, for: text, part_kind: text, code: text, length_m: figure, segments: figure, dark_m: figure,
      dark_near_m: { ...figure, description: 'how much of it lies before its near end' },
      stock: { ...figure, description: 'which of the lengths bought it is cut from' }, stock_m: figure }),
    connections: list({ cable: text, code: text, core: figure, colour: text, from: text, to: text, area_mm2: figure, length_m: figure, current_a: figure }),
    findings: { type: 'array', items: finding },
    readings: list({ kind: text, about: text, lit: text, expected: figure, least: figure, most: figure, unit: text }),
    notes: list({ reader: { enum: ['everyone', 'electrician'] }, about: text, text, number: figure }),
    runs: list({
      about: text, code: text, name: text, zone: text, zone_name: text, tape: text, channels: { type: 'array', items: text }, hub: text,
      measured_m: figure, length_m: figure, dark_m: figure,
      section: { ...figure, description: 'from 1; a run that no controller or driver carries whole is made in sections' }, sections: figure,
      ...joined,
      arrangement: { enum: names_of('arrangements') },
      feeds: list({ about: text, at_m: { ...figure, description: 'metres of tape from its near end' }, ...joined, sized_a: { ...figure, description: 'current that its cable and joint were sized by' },
        least_v: figure, greatest_v: figure }),
      stretches: list({ about: text, link: { ...text, description: 'what joins it to the piece before; null = nothing' }, length_m: figure, segments: figure,
        dark_m: figure, dark_near_m: figure, gap_m: figure }),
      link_a: { ...figure, description: 'in the common of its busiest link' },
      solved: { type: 'boolean' }, current_a: figure, least_evenness: figure, lightness_step: figure, colour_shift: figure,
      feed_least_v: figure, feed_greatest_v: figure, end_least_v: figure, end_greatest_v: figure,
    }),
    hubs: list({ about: text, zone: text, controller: text, follows: text, output: text, splice: text, splices: figure, supply: text, supply_cable: text,
      supply_m: figure, total_a: figure, load_w: figure, input_v: figure }),
    drivers: list({ about: text, code: text, zone: text, load_w: figure, mains_a: figure,
      outputs: list({ about: text, number: figure, device: text, plug: text, load_w: figure, current_a: figure }) }),
  },
};

/** Why there is no order. */
export const refusal_schema = {
  type: 'object',
  required: ['error', 'problems'],
  properties: {
    error: { type: 'string' },
    problems: list({
      at: { type: 'string', description: 'JSON pointer into the request; empty where it is no single place' },
      field: text, unit: text, given: {}, least: figure, most: figure, text,
    }),
  },
};

const refers_to = (name) => ({ $ref: `#/components/schemas/${name}` });

/** What the service answers: route, what it takes, what it gives. */
export const questions = {
  orders: { summary: 'Plan a job', asks: 'job', gives: 'order', told: 'the order; see summary.fits' },
  alternatives: { summary: 'Other ways to build a job', asks: 'fitted_job', gives: 'alternatives', told: 'orders that fit and differ in kind from the cheapest, with what they change' },
  changes: { summary: 'What becomes different from one job to another', asks: 'two_jobs', gives: 'changes', told: 'line by line; a run is known by its code, a part by its kind and code' },
  conflicts: { summary: 'Why a job does not fit', asks: 'fitted_job', gives: 'conflict', told: 'the smallest set of demands that do not go together, and what would help' },
};

/** All that comes in and goes out, by name. */
function schemas_of(tw, named) {
  const { minimum, description } = job_schema(tw, named).properties.terms.properties.search_steps;
  const steps = { minimum, maximum: limits.many_plans_steps, description };
  return {
    job: job_schema(tw, named),
    fitted_job: {
      description: 'a job of which many plans are made: each may search less far',
      allOf: [refers_to('job'), { properties: { terms: { properties: { search_steps: steps } } } }],
    },
    two_jobs: { type: 'object', additionalProperties: false, required: ['before', 'after'], properties: { before: refers_to('job'), after: refers_to('job') } },
    order: order_schema,
    alternatives: alternatives_schema,
    changes: changes_schema,
    conflict: conflict_schema,
    refusal: refusal_schema,
  };
}

export function openapi_of(tw, named) {
  const json = (schema) => ({ 'application/json': { schema } });
  const refused = (description) => ({ description, content: json(refers_to('refusal')) });
  const posted = ({ summary, asks, gives, told }) => ({
    post: {
      summary,
      requestBody: { required: true, content: json(refers_to(asks)) },
      responses: {
        200: { description: told, content: json(refers_to(gives)) },
        400: refused('the body is not JSON'),
        413: refused(`the body is longer than ${limits.body_bytes} bytes`),
        415: refused('the body is not application/json'),
        422: refused(`the job makes no sense: up to ${limits.problems} problems, place and field, with unit and range where there are any`),
        503: refused('busy, or the job took too long'),
      },
    },
  });
  return {
    openapi: '3.1.0',
    info: {
      title: 'tapewright order service',
      version: tw.version,
      description:
        'A job in, an order out, and what one asks beside it. No state. Units stand last in every name. An order is a calculation, not an ' +
        'approval: local code, the makers\' instructions and licensed practice come first.',
    },
    paths: {
      ...Object.fromEntries(Object.entries(questions).map(([route, question]) => [`/${route}`, posted(question)])),
      '/catalogues/{name}': {
        get: {
          summary: 'A catalogue of this service (invented data)',
          parameters: [{ name: 'name', in: 'path', required: true, schema: { enum: named } }],
          responses: { 200: { description: 'its rows' }, 404: refused('no such catalogue') },
        },
      },
      '/openapi.json': { get: { summary: 'This description', responses: { 200: { description: 'OpenAPI 3.1' } } } },
    },
    components: { schemas: schemas_of(tw, named) },
  };
}
