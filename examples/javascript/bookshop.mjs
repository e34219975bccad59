// SPDX-License-Identifier: BSL-1.0
// A folder of the order sheet's CSV files as JSON: the catalogue, and the job that stands beside it. Units change where
// the files have smaller ones (mohm, mA, us). The files are the project's own; the order sheet checks what people write.
import { names_of } from './words.mjs';

/** Rows of a CSV text (RFC 4180; lines that begin with # are comments) as objects by column. */
export function rows_of(text) {
  const rows = [];
  let row = [''];
  let quoted = false;
  const lines = text.replace(/^\uFEFF/, '').split('\n').filter((line) => !line.startsWith('#')).join('\n');
  for (let i = 0; i < lines.length; ++i) {
    const c = lines[i];
    if (quoted) {
      if (c !== '"') row[row.length - 1] += c;
      else if (lines[i + 1] === '"') row[row.length - 1] += lines[++i];
      else quoted = false;
    } else if (c === '"') quoted = true;
    else if (c === ',') row.push('');
    else if (c === '\n') {
      if (row.length > 1 || row[0] !== '') rows.push(row);
      row = [''];
    } else if (c !== '\r') row[row.length - 1] += c;
  }
  const [header, ...body] = rows;
  return body.map((cells) => Object.fromEntries(header.map((column, i) => [column, cells[i] ?? ''])));
}

const renamed = {
  common: 'polarity', ingress_ip: 'ingress', least_ingress_ip: 'ingress', features: 'feature', core_colours: 'core_colour',
  conductor_mm2: 'area_mm2', conductor_awg: 'awg',
};
const scaled = { switch_mohm: ['switch_ohm', 1e3], contact_mohm: ['contact_ohm', 1e3], leakage_ma: ['leakage_a', 1e3], inrush_us: ['inrush_s', 1e6] };
const listed = new Set(['features', 'core_colours']);

function row_of(cells, code) {
  const row = { code: cells[code] };
  for (const [column, cell] of Object.entries(cells)) {
    if (column === code || cell === '') continue;
    const name = renamed[column] ?? column;
    if (listed.has(column)) row[name] = cell.split(' ');
    else if (scaled[column]) row[scaled[column][0]] = Number(cell) / scaled[column][1];
    else if (column === 'derating_c_share') {
      const points = cell.split(' ').map((point) => point.split(':').map(Number));
      row.derating_c = points.map((p) => p[0]);
      row.derating_share = points.map((p) => p[1]);
    } else if (column === 'conductor_class') row.conductor_system = `class_${cell}`;
    else if (cell === 'yes' || cell === 'no') row[name] = cell === 'yes';
    else row[name] = cell !== '' && !Number.isNaN(Number(cell)) ? Number(cell) : cell;
  }
  return row;
}

/** read(name) gives the text of a file of the folder. */
export function catalogue_from(read) {
  const list = (file, code) => rows_of(read(`${file}.csv`)).map((cells) => row_of(cells, code));
  const channels = list('tape_channels', 'channel');
  const tapes = list('tapes', 'tape').map((tape) => ({
    ...tape,
    channel: channels.filter((c) => c.tape === tape.code).map(({ tape: _, law, ...c }) => ({ ...c, law: law === 'resistor' ? 'resistor_limited' : law })),
  }));
  const cables = list('cables', 'cable').map((cable) => ({ ...cable, conductor_system: cable.conductor_system ?? 'awg' }));
  const devices = list('overcurrent', 'device').map(({ rated_a, ...device }) => ({ ...device, fuse_a: rated_a }));
  return {
    tapes,
    cables,
    connectors: list('connectors', 'connector'),
    controllers: list('controllers', 'controller'),
    drivers: list('drivers', 'driver'),
    overcurrent_devices: devices,
  };
}

export function job_from(read) {
  const rules = Object.fromEntries(rows_of(read('rules.csv')).map(({ rule, value }) => [rule, Number(value)]));
  const { laying, breaker_family: family, ...plain } = rules;
  return {
    zones: rows_of(read('zones.csv')).map((cells) => row_of(cells, 'zone')),
    runs: rows_of(read('runs.csv')).map((cells) => row_of(cells, 'run')),
    rules: { ...plain, method: names_of('method')[laying], breaker_family: names_of('family')[family] },
  };
}
