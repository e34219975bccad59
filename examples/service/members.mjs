// SPDX-License-Identifier: BSL-1.0
// What several answers of the service hold, as JSON schemas; null where there is no such figure.

export const figure = { type: ['number', 'null'] };
export const text = { type: ['string', 'null'] };
export const list = (properties) => ({ type: 'array', items: { type: 'object', properties } });

export const library = { type: 'object', properties: { version: { type: 'string' }, abi: { type: 'integer' } } };

export const summary = {
  type: 'object',
  required: ['fits', 'price_minor'],
  properties: {
    fits: { type: 'boolean', description: 'no rule is broken; where false, do not build it so' },
    every_price_known: { type: 'boolean' },
    price_minor: { ...figure, description: 'net, of all lines whose price is known' },
    discount_minor: figure, tax_minor: figure,
    gross_minor: { ...figure, description: 'what is paid: price - discount + tax, exactly' },
    price_at_least_minor: { ...figure, description: 'net; no order for this job that holds every rule costs less; 0 = not known' },
    proven: { type: 'boolean', description: 'it holds every rule, and no order that does costs less' },
    capacity_credit_minor: { ...figure, description: 'what the terms take off the price for capacity where an order is chosen; it is paid all the same. Where it is not 0, price_at_least_minor and proven speak of the price less it' },
    spare_drivers_w: { ...figure, description: 'what the drivers may carry beyond the load, headroom kept' },
    spare_controllers_a: { ...figure, description: 'what the controllers may carry beyond theirs' },
    spare_cables_a: { ...figure, description: 'what feeders and supply cables may carry beyond their currents' },
    load_w: figure, mains_a: figure, leakage_a: figure, breakers: figure, drivers_each: figure,
    yearly_kwh: figure, yearly_cost_minor: figure,
  },
};

export const finding = {
  type: 'object',
  properties: {
    severity: { enum: ['ok', 'note', 'strained', 'failed'] }, about: text, about_kind: text, text, number: figure, value: figure,
    limit: figure, unit: text, utilisation: figure, source: text, advice: text, stopped_by: text,
  },
};
