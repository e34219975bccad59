// SPDX-License-Identifier: BSL-1.0
// Sections and tables of the sheet.
import { html } from './elements.mjs';

/** A table that a screen reader can walk: caption, column headings, a heading for every row. */
export function table(caption, columns, rows, foot) {
  const align = (column) => (column.number ? 'number' : column.long ? 'long' : undefined);
  const cell = (column, row, i) => html(i === 0 ? 'th' : 'td', { class: align(column), scope: i === 0 ? 'row' : undefined }, column.of(row));
  const made = html(
    'table', {},
    html('caption', {}, caption),
    html('thead', {}, html('tr', {}, ...columns.map((c) => html('th', { scope: 'col', class: align(c) }, c.title)))),
    html('tbody', {}, ...rows.map((row) => html('tr', {}, ...columns.map((c, i) => cell(c, row, i))))),
    foot && html('tfoot', {}, ...foot.map(([name, figure]) => html('tr', {}, html('th', { scope: 'row', colspan: columns.length - 1 }, name), html('td', { class: 'number' }, figure)))),
  );
  // wider than a phone: it scrolls by itself, and can be reached by keyboard to do so
  return html('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': caption }, made);
}
export const text = (title, of) => ({ title, of: (row) => of(row) ?? '' });
export const long = (title, of) => ({ ...text(title, of), long: true });
export const number = (title, of) => ({ title, of, number: true });

export function section(id, title, ...content) {
  return html('section', { 'aria-labelledby': `${id}_heading` }, html('h3', { id: `${id}_heading`, tabindex: -1 }, title), ...content);
}
