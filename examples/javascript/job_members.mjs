// SPDX-License-Identifier: BSL-1.0
// What the JSON of a job and of a catalogue holds, member by member: the structures of the C interface with words for
// numbers, true and false, lists instead of counts. The schema is made of this, and so is what the library is given.
import { names_of, number_of, word_of } from './words.mjs';

export const part_lists = {
  tapes: { kind: 'tw_tape', member: 'tape' },
  cables: { kind: 'tw_cable', member: 'cable' },
  connectors: { kind: 'tw_connector', member: 'connector' },
  controllers: { kind: 'tw_controller', member: 'controller' },
  drivers: { kind: 'tw_driver', member: 'driver' },
  overcurrent_devices: { kind: 'tw_overcurrent_device', member: 'overcurrent_device' },
};

const counted = { channels: 'channel', features: 'feature', colours: 'core_colour', derating_points: 'derating_c', stretches: 'stretch' };
const enumerated = new Set(['law', 'polarity', 'mount', 'use', 'family', 'conductor_system', 'code_family', 'method', 'grouping', 'breaker_family', 'join', 'reach', 'dark', 'rounding']);
const several = new Set(['arrangements']); // words, a bit each; none = all
const yes_no = new Set(['wants_controller', 'limited_energy', 'is_repeater', 'enforces_all_on_limit', 'closes']);
const references = { tw_run: { zone: 'code of a zone of this job', tape: 'code of a tape of the catalogue' } };

/** Parts that a zone or a run insists on: the member of JSON that names one, the list it stands in, the number of the pin. */
export const pins = {
  tw_zone: { driver: { list: 'drivers', pin: 0, text: 'code of the only driver that may supply it' },
    controller: { list: 'controllers', pin: 1, text: 'code of the only controller that may lead it' } },
  tw_run: { feeder: { list: 'cables', pin: 2, text: 'code of the only cable that may feed it' } },
};
const named_by_codes = new Set(['pins', 'pin']);

// What a person measures has no default; everything else has: 0, which stands for "not stated" or is refused.
const asked = {
  tw_zone: ['code', 'from_driver_m', 'driver_ambient_c'],
  tw_run: ['code', 'zone', 'tape', 'measured_m', 'from_controller_m', 'ambient_c', 'cable_ambient_c'],
  tw_stretch: ['measured_m'],
  tw_rules: [],
  tw_terms: [],
  tw_tape_channel: ['code', 'load_w_per_m'],
};

const unit_of = (name) => name.match(/_(m|v|a|w|mm2|ohm|c|s|hz|minor|w_per_m|ohm_per_m)$/)?.[1] ?? '';

/** "0 = far, 1 = near" or "1, 2, 3 = breaker B, C, D" with the words of JSON for the numbers. */
const in_words = (list, text) => text.replace(/-?\b\d+(?:, \d+)* = /g,
  (numbers) => `${numbers.slice(0, -3).split(', ').map((one) => word_of(list, Number(one))).join(', ')} = `);

/** Members of a structure as JSON has them. `least` and `most` are of the field; null where it does not rule the member. */
export function members_of(tw, kind) {
  const { members } = tw.structures[kind];
  const has = (name) => members.some((m) => m.name === name);
  const required = asked[kind] ?? ['code'];
  const told = [];
  for (const m of members) {
    if (['struct_size', 'reserved', 'spare'].includes(m.name) || named_by_codes.has(m.name)) continue;
    if (counted[m.name] && has(counted[m.name])) continue; // the length of that list
    const field = tw.fields[m.field] ?? tw.fields[0];
    const ruled = Number.isFinite(m.least) && Number.isFinite(m.most) && unit_of(m.name) === unit_of(field.name);
    const member = { name: m.name, text: field.text, unit: field.unit, field: field.name, required: required.includes(m.name) };
    // 0 may stand for "not stated": whether it may here is for the library to say
    const zero_is_told = member.required || kind === 'tw_rules' || kind === 'tw_terms';
    member.least = ruled ? (zero_is_told ? m.least : Math.min(0, m.least)) : null;
    member.most = ruled ? m.most : null;
    member.many = 0;
    if (references[kind]?.[m.name]) Object.assign(member, { type: 'text', bytes: 31, text: references[kind][m.name], least: null, most: null });
    else if (m.text_bytes) Object.assign(member, { type: 'text', bytes: m.text_bytes - 1, many: m.size > m.text_bytes ? m.size / m.text_bytes : 0 });
    else if (enumerated.has(m.name)) Object.assign(member, { type: 'word', words: names_of(m.name), text: in_words(m.name, field.text) });
    else if (several.has(m.name)) Object.assign(member, { type: 'words', words: names_of(m.name), text: 'those that may be used; empty = all' });
    else if (yes_no.has(m.name)) member.type = 'yes_no';
    else if (m.type in tw.structures) Object.assign(member, { type: 'rows', kind: m.type, many: m.count });
    else if (m.type.startsWith('const ')) {
      const [count] = Object.entries(counted).find(([, list]) => list === m.name) ?? [];
      if (!has(count)) continue;
      Object.assign(member, { type: 'rows', kind: m.type.slice(6, -2), elsewhere: true, many: members.find((one) => one.name === count).most });
    }
    else Object.assign(member, { type: m.type === 'double' ? 'number' : 'whole', many: m.count > 1 ? m.count : 0 });
    told.push(member);
  }
  return told;
}

/** A row of JSON as the members of its structure; lists that it points at live as long as `within` lasts. */
export function as_structure(tw, kind, row) {
  const made = {};
  for (const m of (tw.job_members ??= {})[kind] ??= members_of(tw, kind)) {
    const value = row[m.name];
    if (value === undefined) continue;
    if (m.type === 'word') made[m.name] = number_of(m.name, value);
    else if (m.type === 'yes_no') made[m.name] = value ? 1 : 0;
    else if (m.type === 'words') made[m.name] = value.reduce((bits, word) => bits | (1 << number_of(m.name, word)), 0);
    else if (m.type === 'rows') {
      const rows = value.map((one) => as_structure(tw, m.kind, one));
      made[m.name] = m.elsewhere ? tw.make(m.kind, rows) : rows;
    }
    else made[m.name] = value;
  }
  for (const [count, list] of Object.entries(counted)) {
    const known = tw.structures[kind].members.some((m) => m.name === count) && tw.structures[kind].members.some((m) => m.name === list);
    if (known) made[count] = row[list]?.length ?? 0;
  }
  if (kind === 'tw_controller') made.channels = row.channels;
  if (kind === 'tw_zone' && row.mount === undefined) made.mount = number_of('mount', 'any');
  return made;
}
