// SPDX-License-Identifier: BSL-1.0
// Elements of the page, made without markup in strings: what people type is never read as HTML.

const svg_space = 'http://www.w3.org/2000/svg';

function filled(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    element.setAttribute(name, value === true ? '' : value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

export const html = (name, attributes = {}, ...children) => filled(document.createElement(name), attributes, children);
export const svg = (name, attributes = {}, ...children) => filled(document.createElementNS(svg_space, name), attributes, children);

let made = 0;
export const fresh_id = (stem) => `${stem}_${++made}`;

/** A figure with so many decimals, "–" where there is none. */
export const fixed = (figure, decimals) => (Number.isFinite(figure) ? figure.toFixed(decimals) : '–');
export const money = (minor) => (minor / 100).toFixed(2).replace(/\B(?=(\d{3})+(?!\d))/g, '\u202f');
export const percent = (share) => `${fixed(100 * share, 0)} %`;
export const counted = (count, one, many = `${one}s`) => `${count} ${count === 1 ? one : many}`;
