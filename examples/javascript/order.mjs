// SPDX-License-Identifier: BSL-1.0
// A job in JSON becomes an order in JSON: what a web back end and a page share. Nothing is calculated here.
import { plan_of, posed } from './question.mjs';
import { number_of, word_of } from './words.mjs';

const feed_point = number_of('reading', 'feed_point');

const code_of = (rows, place) => (place >= 0 ? rows[place].code : null);
const from_zero = (count, of) => Array.from({ length: count }, (_, place) => of(place));

/** The light of every channel along a run of the plan, near end first, at no more than `points` places of its tape. */
function light_along(tw, plan, place, tape, points) {
  return tw.within(() => {
    const wide = tw.engine.wide;
    const [loads_at, bytes_at] = [tw.room(8), tw.room(8)];
    tw.call('tw_plan_profile_room', plan, place, loads_at, bytes_at);
    const [loads, bytes] = [tw.whole_at(loads_at), tw.whole_at(bytes_at)];
    const [load_v, load_a] = [tw.room(8 * loads), tw.room(8 * loads)];
    tw.call('tw_plan_profile', plan, place, load_v, load_a, wide(loads), tw.room(bytes), wide(bytes));
    const [volts, amps] = [tw.doubles_at(load_v, loads), tw.doubles_at(load_a, loads)];
    const channels = tape.channel.length;
    const full_a = tape.channel.map(({ load_w_per_m }) => (load_w_per_m * tape.cut_pitch_m) / tape.nominal_v);
    const segments = loads / channels;
    const shown = Math.min(points, segments);
    return from_zero(shown, (i) => {
      const k = shown < 2 ? 0 : Math.round((i * (segments - 1)) / (shown - 1));
      return {
        at_m: (k + 0.5) * tape.cut_pitch_m,
        volts: from_zero(channels, (c) => volts[k * channels + c]),
        light: from_zero(channels, (c) => amps[k * channels + c] / full_a[c]),
      };
    });
  });
}

/**
 * Plans {zones, runs, rules, terms, without} from a catalogue {tapes, cables, ...}. options.light: how many places along each run are told.
 * Throws JobRefused for a question that makes no sense; a design that breaks a rule is an order with `fits` false.
 */
export const order_of = (tw, job, whole_catalogue, options = {}) => posed(tw, job, whole_catalogue, (question) => planned(tw, question, options));

function planned(tw, question, options) {
  const { job, runs, catalogue } = question;
  const plan = plan_of(tw, question);

  const read = (call, kind, place) => tw.read_from(call, kind, plan, place);
  const all = (count, call, kind) => from_zero(count, (place) => read(call, kind, place));
  const subject = (kind, place) => tw.text_from('tw_plan_subject_name', plan, kind, place);
  const terminal = (kind, owner, channel) => tw.text_from('tw_plan_terminal_name', plan, kind, owner, channel);
  const tape_common = 8; // TW_TERMINAL_TAPE_COMMON, and 9 for a channel
  const far_terminal = ({ to_kind, to_owner, to_channel, to_feed }) =>
    to_kind < tape_common ? terminal(to_kind, to_owner, to_channel)
      : tw.text_from('tw_plan_tape_terminal_name', plan, to_owner, to_feed, to_kind === tape_common ? -1 : to_channel);
  const list_of = { 1: 'tapes', 2: 'cables', 3: 'connectors', 4: 'controllers', 5: 'drivers', 6: 'overcurrent_devices' };
  const part_of = (kind, place) => (list_of[kind] && place >= 0 ? catalogue[list_of[kind]][place] : null);
  const cable_name = (number) => (number > 0 ? `W${number}` : null);
  const joined = (f) => ({
    joint: word_of('joint', f.join),
    connector: code_of(catalogue.connectors ?? [], f.connector),
    feeder: cable_name(f.feeder_number),
    feeder_cable: code_of(catalogue.cables ?? [], f.feeder_cable),
    feeder_m: f.cut_m,
    feeder_ruled_by: tw.text_of('limit_text', f.feeder_ruled_by),
  });

  const totals = tw.read_from('tw_plan_summary', 'tw_plan_totals', plan);
  const run_plans = all(totals.runs, 'tw_plan_run', 'tw_run_plan');
  const further_feeds = all(totals.feeds, 'tw_plan_feed', 'tw_feed_plan');
  const stretches = all(totals.stretches, 'tw_plan_stretch', 'tw_stretch_plan');
  const hubs = all(totals.hubs, 'tw_plan_hub', 'tw_hub_plan');
  const outputs = all(totals.outputs, 'tw_plan_output', 'tw_output_plan');
  const drivers = all(totals.drivers, 'tw_plan_driver', 'tw_driver_plan');
  const feed_name = (place, feed) => `${subject(2, place)}${run_plans[place].more_feeds > 0 ? `(${feed + 1})` : ''}`;
  const name_of_driver = from_zero(drivers.length, (place) => subject(4, place));
  const name_of_hub = from_zero(hubs.length, (place) => subject(3, place));
  const name_of_output = outputs.map((o) => (drivers[o.driver]?.outputs > 1 ? `${name_of_driver[o.driver]}.${o.number}` : name_of_driver[o.driver]));

  return {
    library: { version: tw.version, abi: tw.abi },
    summary: summary_of(tw, plan, totals),
    order: all(totals.order_lines, 'tw_plan_order_line', 'tw_order_line').map((l) => ({
      part_kind: word_of('part_kind', l.part_kind),
      code: l.part_kind === 7 ? word_of('service', l.service) : part_of(l.part_kind, l.part)?.code,
      name: part_of(l.part_kind, l.part)?.name ?? '',
      quantity: l.quantity,
      sale_quantum_m: part_of(l.part_kind, l.part)?.sale_quantum_m ?? null,
      length_m: l.length_m > 0 ? l.length_m : null,
      price_known: l.price_known === 1,
      unit_price_minor: l.unit_price_minor,
      total_minor: l.total_minor,
    })),
    cutting: all(totals.cut_pieces, 'tw_plan_cut_piece', 'tw_cut_piece').map((c, place, pieces) => ({
      about: c.number > 0 ? cable_name(c.number) : piece_name(run_plans, subject(c.subject_kind, c.subject), place, pieces),
      for: subject(c.subject_kind, c.subject),
      part_kind: word_of('part_kind', c.part_kind),
      code: part_of(c.part_kind, c.part)?.code,
      length_m: c.length_m,
      segments: c.segments,
      dark_m: c.dark_m,
      dark_near_m: c.dark_near_m,
      ...cut_from(read('tw_plan_cut_stock', 'tw_cut_stock', place)),
    })),
    connections: all(totals.connections, 'tw_plan_connection', 'tw_connection').map((c) => ({
      cable: cable_name(c.number),
      code: code_of(catalogue.cables ?? [], c.cable),
      core: c.core,
      colour: c.cable >= 0 ? (catalogue.cables[c.cable].core_colour?.[c.core - 1] ?? null) : null,
      from: terminal(c.from_kind, c.from_owner, c.from_channel),
      to: far_terminal(c),
      area_mm2: c.area_mm2,
      length_m: c.length_m,
      current_a: c.current_a,
    })),
    findings: all(totals.findings, 'tw_plan_finding', 'tw_finding').map((f) => finding_in_words(tw, f, subject(f.subject_kind, f.subject))),
    readings: all(totals.readings, 'tw_plan_reading', 'tw_reading').map((r) => ({
      kind: word_of('reading', r.kind),
      about: r.kind === feed_point ? feed_name(r.subject, r.feed) : subject(r.subject_kind, r.subject),
      lit: r.channel < 0 ? 'all' : channel_of(r, run_plans, hubs, runs, catalogue),
      expected: r.expected_v_or_a,
      least: r.least_v_or_a,
      most: r.most_v_or_a,
      unit: r.kind === 4 ? 'A' : 'V',
    })),
    notes: all(totals.notes, 'tw_plan_note', 'tw_note').map((n) => ({
      reader: word_of('reader', n.reader),
      about: n.subject_kind ? subject(n.subject_kind, n.subject) : '',
      text: tw.text_of('note_text', n.note),
      number: n.note,
    })),
    runs: run_plans.map((r, place) => {
      const figures = read('tw_plan_run_line', 'tw_line_figures', place);
      const tape = catalogue.tapes[runs[r.run].tape];
      const told = {
        about: subject(2, place),
        code: job.runs[r.run].code,
        name: job.runs[r.run].name ?? '',
        zone: job.runs[r.run].zone,
        zone_name: job.zones.find((zone) => zone.code === job.runs[r.run].zone).name ?? '',
        tape: tape.code,
        channels: tape.channel.map((c) => c.code),
        hub: name_of_hub[r.hub] ?? null,
        measured_m: job.runs[r.run].measured_m,
        length_m: r.length_m,
        dark_m: r.dark_m,
        section: r.section + 1,
        sections: r.sections,
        ...joined(r),
        arrangement: word_of('arrangements', r.arrangement),
        feeds: [r, ...further_feeds.slice(r.feeds_from, r.feeds_from + r.more_feeds)].map((f, k) => ({
          about: feed_name(place, k),
          at_m: f.at * tape.cut_pitch_m,
          ...joined(f),
          sized_a: f.feed_a,
          least_v: f.feed_least_v,
          greatest_v: f.feed_greatest_v,
        })),
        stretches: stretches.slice(r.stretches_from, r.stretches_from + r.stretches).map((s, k) => ({
          about: `${subject(2, place)}/${k + 1}`,
          link: s.linked === 1 ? (code_of(catalogue.connectors ?? [], s.connector) ?? 'soldered_link') : null,
          length_m: s.length_m,
          segments: s.segments,
          dark_m: s.dark_m,
          dark_near_m: s.dark_near_m,
          gap_m: s.gap_m,
        })),
        link_a: r.link_a,
        solved: r.solved === 1,
        current_a: figures.total_a,
        least_evenness: figures.least_evenness,
        lightness_step: figures.lightness_step,
        colour_shift: figures.colour_shift,
        feed_least_v: r.feed_least_v,
        feed_greatest_v: r.feed_greatest_v,
        end_least_v: r.end_least_v,
        end_greatest_v: r.end_greatest_v,
      };
      if (options.light) told.light = told.solved ? light_along(tw, plan, place, tape, options.light) : [];
      return told;
    }),
    hubs: hubs.map((h, place) => ({
      about: name_of_hub[place],
      zone: job.zones[h.zone].code,
      controller: code_of(catalogue.controllers ?? [], h.controller),
      follows: h.follows >= 0 ? name_of_hub[h.follows] : null,
      output: name_of_output[h.output] ?? null,
      splice: code_of(catalogue.connectors ?? [], h.splice),
      splices: h.splices,
      supply: cable_name(h.supply_number),
      supply_cable: code_of(catalogue.cables ?? [], h.supply_cable),
      supply_m: h.cut_m,
      total_a: h.total_a,
      load_w: h.load_w,
      input_v: h.input_v,
    })),
    drivers: drivers.map((d, place) => ({
      about: name_of_driver[place],
      code: code_of(catalogue.drivers ?? [], d.driver),
      zone: job.zones[d.zone]?.code ?? null,
      load_w: d.load_w,
      mains_a: d.mains_a,
      outputs: outputs.flatMap((o, i) =>
        o.driver === place
          ? [{ about: name_of_output[i], number: o.number, device: code_of(catalogue.overcurrent_devices ?? [], o.device),
              plug: code_of(catalogue.connectors ?? [], o.plug), load_w: o.load_w, current_a: o.current_a }]
          : [],
      ),
    })),
  };
}

/** A check of the library in JSON: what it is about is named by the caller. */
export const finding_in_words = (tw, f, about) => ({
  severity: word_of('severity', f.severity),
  about,
  about_kind: word_of('subject_kind', f.subject_kind),
  text: tw.text_of('finding_text', f.finding),
  number: f.finding,
  value: f.value,
  limit: f.limit,
  unit: tw.text_of('finding_unit', f.finding),
  utilisation: f.utilisation,
  source: [tw.text_of('source_text', f.source), tw.text_of('source_place', f.source)].filter(Boolean).join(', '),
  advice: f.advice ? tw.text_of('advice_text', f.advice) : '',
  stopped_by: f.stopped_by ? tw.text_of('limit_text', f.stopped_by) : '',
});

/** What a plan comes to. */
export function summary_of(tw, plan, totals = tw.read_from('tw_plan_summary', 'tw_plan_totals', plan)) {
  const quote = tw.read_from('tw_plan_quote', 'tw_quote', plan);
  return {
    fits: totals.fits === 1,
    every_price_known: totals.every_price_known === 1,
    price_minor: totals.price_minor,
    discount_minor: quote.discount_minor,
    tax_minor: quote.tax_minor,
    gross_minor: quote.gross_minor,
    price_at_least_minor: quote.price_at_least_minor,
    proven: quote.proven === 1,
    capacity_credit_minor: quote.capacity_credit_minor,
    spare_drivers_w: quote.spare_drivers_w,
    spare_controllers_a: quote.spare_controllers_a,
    spare_cables_a: quote.spare_cables_a,
    load_w: totals.load_w,
    mains_a: totals.mains_a,
    leakage_a: totals.leakage_a,
    breakers: totals.breakers,
    drivers_each: totals.drivers_each,
    yearly_kwh: totals.yearly_kwh,
    yearly_cost_minor: totals.yearly_cost_minor,
  };
}

/** Which of the lengths bought a piece is cut from, and how long that one is. */
const cut_from = ({ stock, stock_m }) => (stock > 0 ? { stock, stock_m } : { stock: null, stock_m: null });

/** A cut piece of tape by the run's name, with its place behind a stroke where the run has several. */
function piece_name(run_plans, run, place, pieces) {
  const { subject } = pieces[place];
  if (run_plans[subject].stretches < 2) return run;
  let number = 1;
  while (pieces[place - number]?.number === 0 && pieces[place - number].subject === subject) ++number;
  return `${run}/${number}`;
}

/** Code of the channel that a reading is taken on alone. */
function channel_of(reading, run_plans, hubs, runs, catalogue) {
  let run = reading.subject_kind === 2 ? run_plans[reading.subject] : undefined;
  if (reading.subject_kind === 3) run = run_plans.find((r) => r.hub === reading.subject);
  const tape = run && catalogue.tapes[runs[run.run].tape];
  return tape?.channel[reading.channel]?.code ?? String(reading.channel + 1);
}
