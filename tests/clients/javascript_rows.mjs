// SPDX-License-Identifier: BSL-1.0
// Answers to the shared rows, in Node and in a browser alike: ID STATUS WORD WORD...

const figure_of = (text) => (text === 'nan' ? NaN : text.endsWith('inf') ? Number(text.replace('inf', 'Infinity')) : Number(text));

export function answers_to(tw, rows) {
  return rows
    .map((row) => {
      const { status, words } = tw.bits_of(row.function, row.arguments.split(' ').map(figure_of));
      return `${[row.id, status, ...words].join(' ')}\n`;
    })
    .join('');
}
