// SPDX-License-Identifier: BSL-1.0
// JSON schemas of what is asked beside an order: other ways to build a job, what became different, what does not go together.
import { names_of } from '../javascript/words.mjs';
import { figure, finding, library, list, summary, text } from './members.mjs';

const yes_no = { type: 'boolean' };
const whole = { type: 'integer' };
const answer = (properties) => ({ type: 'object', required: Object.keys(properties), properties });

const side = {
  type: ['object', 'null'],
  description: 'null = nothing of it there',
  properties: {
    part_kind: text, code: text, quantity: whole, price_minor: { ...whole, description: 'net, of an order line' },
    length_m: { ...figure, description: 'ordered, or lit of a run' }, holds: { ...yes_no, description: 'whether all checks of the run hold' },
  },
};

const changes = list({
  kind: { enum: names_of('change') },
  run: { ...text, description: 'code of the run; null of an order line' },
  before: side,
  after: side,
});

export const changes_schema = answer({ library, before: summary, after: summary, changes });

export const alternatives_schema = answer({
  library,
  summary: { ...summary, description: 'of the order as it is' },
  alternatives: {
    ...list({
      kind: { enum: names_of('alternative') },
      text: { ...text, description: 'in which way it differs' },
      price_minor: { ...figure, description: 'net' },
      more_minor: { ...figure, description: 'than the order as it is' },
      every_price_known: yes_no,
      drivers: whole,
      plug_in: { ...whole, description: 'of the drivers' },
      soldered: { ...whole, description: 'tails soldered on' },
      thickest_mm2: { ...figure, description: 'conductor of any cable laid; 0 = none' },
      changes: { ...changes, description: 'against the order as it is' },
    }),
    description: 'cheapest first, up to one of each kind; none where the job does not fit',
  },
});

const demand = {
  kind: { enum: names_of('demand') },
  about: { ...text, description: 'code of the run or zone, name of the rule' },
  at: { type: 'string', description: 'JSON pointer to it in the request; a rule may stand there by its default alone' },
  asked: { description: 'what it says there' },
  unit: text,
  text: { ...text, description: 'its meaning' },
};

export const conflict_schema = answer({
  library,
  conflicting: { ...yes_no, description: 'false: the job fits, and nothing else is told' },
  smallest: { ...yes_no, description: 'one run and at most two other demands, and no run that fails has fewer' },
  plans: { ...whole, description: 'made on the way' },
  broken: { ...finding, type: ['object', 'null'], description: 'what fails where only these demands are made' },
  demands: { ...list(demand), description: 'that do not go together; without any one of them the rest would fit' },
  relaxations: {
    ...list({
      ...demand,
      to: { ...figure, description: 'nearest value that works; null = given up altogether' },
      price_minor: { ...figure, description: 'net, of the order of the runs in conflict, then' },
      every_price_known: yes_no,
      whole_job_fits: { ...yes_no, description: 'the rest of the job has no conflict of its own' },
    }),
    description: 'each of which would help, given up alone, cheapest first; none = another part is needed',
  },
});
