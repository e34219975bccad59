// SPDX-License-Identifier: BSL-1.0
// What one asks beside an order, in JSON as in order.mjs: other ways to build the job, what became different from one job to
// another, and why a job does not fit. Nothing is calculated here.
import { pins } from './job_members.mjs';
import { finding_in_words, summary_of } from './order.mjs';
import { block_for, plan_of, posed } from './question.mjs';
import { word_of } from './words.mjs';

const from_zero = (count, of) => Array.from({ length: count }, (_, place) => of(place));
const library_of = (tw) => ({ version: tw.version, abi: tw.abi });

/** The list that `make` finds: its handle, and how many rows it has. */
function found_by(tw, make, wanted, ...asked) {
  const [handle, count] = [tw.room(8), tw.room(8)];
  tw.call(make, ...asked, ...block_for(tw, wanted, ...asked), handle, count);
  return { handle: tw.pointer_at(handle), count: tw.number_at(count) };
}

// ---- what became different ---------------------------------------------------------------------------------

/** One side of a change in words; null where that side has nothing of it. */
function side_of(tw, { plan }, kind, c, when) {
  const [quantity, length_m, price_minor] = [c[`quantity_${when}`], c[`length_${when}_m`], c[`price_${when}_minor`]];
  if (kind === 'run_verdict') return { holds: quantity === 1 };
  if (kind === 'run_added' || kind === 'run_removed' || kind === 'run_length') return length_m > 0 ? { length_m } : null;
  const part_kind = word_of('part_kind', c[`kind_${when}`]);
  if (part_kind === 'service') return { part_kind, code: word_of('service', c.service), quantity, length_m: null, price_minor };
  const place = c[`part_${when}`];
  if (part_kind === 'none' || place < 0) return null;
  const part = { part_kind, code: tw.text_from('tw_plan_part_code', plan, c[`kind_${when}`], place) };
  return kind === 'order_line' ? { ...part, quantity, length_m: length_m > 0 ? length_m : null, price_minor } : part;
}

/** What is different from one {plan, job} to another, line by line. */
function differences(tw, before, after) {
  const { handle, count } = found_by(tw, 'tw_changes_make', 'tw_changes_bytes', before.plan, after.plan);
  return from_zero(count, (place) => {
    const c = tw.read_from('tw_changes_row', 'tw_plan_change', handle, place);
    const kind = word_of('change', c.kind);
    const { runs } = (kind === 'run_removed' ? before : after).job;
    return {
      kind,
      run: runs[c.run]?.code ?? null,
      before: side_of(tw, before, kind, c, 'before'),
      after: side_of(tw, after, kind, c, 'after'),
    };
  });
}

/** What became different from a job to another, each {job, catalogue}: summaries of both, then line by line. */
export function changes_of(tw, before, after) {
  return posed(tw, before.job, before.catalogue, (was) => posed(tw, after.job, after.catalogue, (is) => {
    const [first, second] = [was, is].map((question) => ({ plan: plan_of(tw, question), job: question.job }));
    return {
      library: library_of(tw),
      before: summary_of(tw, first.plan),
      after: summary_of(tw, second.plan),
      changes: differences(tw, first, second),
    };
  }, '/after'), '/before');
}

// ---- the next best orders ----------------------------------------------------------------------------------

/** Other ways to build a job, cheapest first, and what each changes against the order as it is. None where the job does not fit. */
export function alternatives_of(tw, job, catalogue) {
  return posed(tw, job, catalogue, (question) => {
    const plan = plan_of(tw, question);
    const summary = summary_of(tw, plan);
    const { handle, count } = found_by(tw, 'tw_alternatives_make', 'tw_alternatives_bytes', ...question.at);
    const shown = tw.room(8);
    return {
      library: library_of(tw),
      summary,
      alternatives: from_zero(count, (place) => {
        const a = tw.read_from('tw_alternatives_row', 'tw_alternative', handle, place);
        tw.call('tw_alternatives_plan', handle, place, shown);
        return {
          kind: word_of('alternative', a.kind),
          text: tw.text_of('alternative_text', a.kind),
          price_minor: a.price_minor,
          more_minor: a.price_minor - summary.price_minor,
          every_price_known: a.every_price_known === 1,
          drivers: a.drivers,
          plug_in: a.plug_in,
          soldered: a.soldered,
          thickest_mm2: a.thickest_mm2,
          changes: differences(tw, { plan, job }, { plan: tw.pointer_at(shown), job }),
        };
      }),
    };
  });
}

// ---- why it cannot be done as asked ------------------------------------------------------------------------

/** Where in the job a demand stands, besides a rule: the list, and the member of its row. */
const standing = {
  run: ['runs', 'measured_m'],
  mount: ['zones', 'mount'],
  limited_energy: ['zones', 'limited_energy'],
  ingress: ['zones', 'ingress'],
  features: ['zones', 'feature'],
  driver: ['zones', 'driver'],
  controller: ['zones', 'controller'],
  feeder: ['runs', 'feeder'],
};

const field_of = (tw, kind, name) => tw.fields[tw.structures[kind].members.find((m) => m.name === name)?.field] ?? tw.fields[0];

/** One thing that is asked for: where it stands in the job, and what it says there. */
function demand_in_words(tw, job, { kind: number, place, value }) {
  const kind = word_of('demand', number);
  if (kind === 'rule') {
    const name = tw.rule_name(place);
    return { kind, about: name, at: `/rules/${name}`, asked: value, unit: field_of(tw, 'tw_rules', name).unit, text: tw.text_of('rule_text', place) };
  }
  const [list, member] = standing[kind];
  const of = list === 'runs' ? 'tw_run' : 'tw_zone';
  const { unit, text } = pins[of][member] ? { unit: '', text: pins[of][member].text } : field_of(tw, of, member);
  return { kind, about: job[list][place].code, at: `/${list}/${place}/${member}`, asked: job[list][place][member], unit, text };
}

/** The smallest set of runs, rules and wishes that do not go together, and what would help, cheapest first. */
export function conflict_of(tw, job, catalogue) {
  return posed(tw, job, catalogue, ({ at }) => {
    const out = tw.room(8);
    tw.call('tw_conflict_make', ...at, ...block_for(tw, 'tw_conflict_bytes', ...at), out);
    const conflict = tw.pointer_at(out);
    const facts = tw.read_from('tw_conflict_summary', 'tw_conflict_facts', conflict);
    const broken = facts.conflicting ? tw.read_from('tw_conflict_finding', 'tw_finding', conflict) : { finding: 0 };
    const about = { run: job.runs, zone: job.zones }[word_of('subject_kind', broken.subject_kind)];
    return {
      library: library_of(tw),
      conflicting: facts.conflicting === 1,
      smallest: facts.smallest === 1,
      plans: facts.plans,
      broken: broken.finding ? finding_in_words(tw, broken, about?.[broken.subject].code ?? '') : null,
      demands: from_zero(facts.demands, (place) => demand_in_words(tw, job, tw.read_from('tw_conflict_demand', 'tw_demand', conflict, place))),
      relaxations: from_zero(facts.relaxations, (place) => {
        const r = tw.read_from('tw_conflict_relaxation', 'tw_relaxation', conflict, place);
        return {
          ...demand_in_words(tw, job, { ...r, value: r.from }),
          to: Number.isNaN(r.to) ? null : r.to,
          price_minor: r.price_minor,
          every_price_known: r.every_price_known === 1,
          whole_job_fits: r.whole_job_fits === 1,
        };
      }),
    };
  });
}
