// SPDX-License-Identifier: BSL-1.0
// The pictures: light along a run, and how driver, controller and runs connect. Drawn for the width that there is.
import { fixed, fresh_id, percent, svg } from './elements.mjs';

const inks = { R: '#b3261e', G: '#2b7a3f', B: '#2456b8', CW: '#2f7f9f', WW: '#b86a00', W: '#8a5a00' };
const other_inks = ['#6a3d9a', '#00796b', '#8d5524', '#37474f', '#ad1457', '#4a7a1e'];
export const ink_of = (channel, place) => inks[channel] ?? other_inks[place % other_inks.length];

const extremes = (lights) => [Math.min(...lights), Math.max(...lights)];

/** Light of every channel against its nominal: a strip as bright as the tape with its corners, a curve a channel, and where
 * the tape is fed. */
export function light_picture(run) {
  const [width, height, left, right, top, bottom] = [320, 132, 40, 12, 30, 104];
  const all = run.light.flatMap((place) => place.light);
  const [least, most] = extremes(all);
  const low = Math.min(0.8, Math.floor(least * 10) / 10);
  const high = Math.max(1, Math.ceil(most * 20) / 20);
  const x = (metres) => left + ((width - left - right) * metres) / run.length_m;
  const y = (light) => bottom - ((bottom - top - 8) * (light - low)) / (high - low);
  const glow = fresh_id('glow');
  const title = fresh_id('title');
  const brightest = Math.max(...run.light.map((place) => place.light.reduce((sum, one) => sum + one, 0)));
  const stops = run.light.map((place) => {
    const share = place.light.reduce((sum, one) => sum + one, 0) / brightest;
    return svg('stop', { offset: percent_of(place.at_m, run.length_m), 'stop-color': '#ffd27a', 'stop-opacity': Math.max(0, 1 - (1 - share) * 4).toFixed(3) });
  });
  const parts = [
    svg('title', { id: title }, spoken(run)),
    svg('defs', {}, svg('linearGradient', { id: glow }, ...stops)),
    svg('rect', { x: left, y: 4, width: width - left - right, height: 16, rx: 3, fill: '#20303a' }),
    svg('rect', { x: left, y: 4, width: width - left - right, height: 16, rx: 3, fill: `url(#${glow})` }),
  ];
  const corners = run.stretches.slice(1).map((_, i) => run.stretches.slice(0, i + 1).reduce((sum, piece) => sum + piece.length_m, 0));
  for (const metres of corners) parts.push(svg('path', { class: 'corner', d: `M${x(metres).toFixed(1)} 2V${bottom}` }));
  for (const light of [low, (low + high) / 2, high]) {
    parts.push(svg('path', { class: 'rule', d: `M${left} ${y(light)}H${width - right}` }));
    parts.push(svg('text', { class: 'faint', x: left - 5, y: y(light) + 4, 'text-anchor': 'end' }, percent(light)));
  }
  run.channels.forEach((channel, c) => {
    const points = run.light.map((place) => `${x(place.at_m).toFixed(1)} ${y(place.light[c]).toFixed(1)}`);
    const dash = c === 0 ? null : `${8 - c} ${1 + c}`; // told apart without colour too
    parts.push(svg('path', { class: 'curve', stroke: ink_of(channel, c), 'stroke-dasharray': dash, d: `M${points.join('L')}` }));
    if (run.channels.length > 1) parts.push(svg('text', { x: left + 40 * c, y: height - 4, fill: ink_of(channel, c), class: 'strong' }, channel));
  });
  for (const metres of fed_at(run)) {
    const tip = x(metres).toFixed(1);
    parts.push(svg('path', { class: 'feed', d: `M${tip} ${bottom + 1}l-5 9h10z` }));
  }
  const whole = `${fixed(run.length_m, 2)} m`;
  if (run.channels.length === 1) parts.push(svg('text', { class: 'faint', x: left + 8, y: height - 4 }, fed_in_words(run)));
  parts.push(svg('text', { class: 'faint', x: width - right, y: height - 4, 'text-anchor': 'end' }, whole));
  return svg('svg', { viewBox: `0 0 ${width} ${height}`, role: 'img', 'aria-labelledby': title }, ...parts);
}

/** Metres of tape from the near end to each point that current comes in at; a ring has both ends. */
const fed_at = (run) => (run.arrangement === 'ring' ? [0, run.length_m] : run.feeds.map((feed) => feed.at_m));

const ways = { one_end: 'fed at its near end', far_end: 'fed at its far end', both_ends: 'fed at both ends', middle: 'fed in the middle', ring: 'a ring, closed at its feed' };
export const fed_in_words = (run) => ways[run.arrangement] ?? `fed at ${run.feeds.length} points`;

const percent_of = (part, whole) => `${((100 * part) / whole).toFixed(1)}%`;

/** What the picture shows, in words. */
export function spoken(run) {
  const told = run.channels.map((channel, c) => {
    const [least, most] = extremes(run.light.map((place) => place.light[c]));
    return `${channel} ${percent(most)} at its brightest, ${percent(least)} at its dimmest`;
  });
  const pieces = run.stretches.length > 1 ? ` in ${run.stretches.length} pieces` : '';
  return `Light along ${run.name || run.code}, ${fixed(run.length_m, 2)} m${pieces}, ${fed_in_words(run)}: ${told.join('; ')} of its nominal light.`;
}

/** One driver and all that it feeds: columns where there is room, a stair where there is not. */
export function wiring_picture(driver, order, width) {
  const narrow = width < 620;
  const outputs = driver.outputs.map((output) => ({
    ...output,
    hubs: order.hubs.filter((hub) => hub.output === output.about).map((hub) => ({ ...hub, runs: order.runs.filter((run) => run.hub === hub.about) })),
  }));
  const title = fresh_id('title');
  const parts = [svg('title', { id: title }, spoken_wiring(driver, outputs))];
  const box = (kind, x, y, w, lines) => {
    const h = 14 + 17 * lines.length;
    parts.push(svg('rect', { class: `box ${kind}`, x, y, width: w, height: h, rx: 5 }));
    lines.forEach((line, i) => parts.push(svg('text', { class: i ? 'faint' : 'strong', x: x + 9, y: y + 20 + 17 * i }, clipped(line, w - 16, i ? 6 : 7.1))));
    return h;
  };
  const wire = (d, label, x, y, anchor = 'start') => {
    parts.push(svg('path', { class: 'wire', d }));
    if (label) parts.push(svg('text', { class: 'faint', x, y, 'text-anchor': anchor }, label));
  };
  const feeder_of = (run) => {
    const laid = run.feeds.filter((feed) => feed.feeder);
    if (!laid.length) return 'its own tail';
    const cables = new Set(laid.map((feed) => feed.feeder_cable));
    return `${laid.map((feed) => feed.feeder).join('+')} ${[...cables].join(', ')}, ${laid.map((feed) => fixed(feed.feeder_m, 1)).join('+')} m`;
  };
  const supply_of = (hub) => (hub.supply ? `${hub.supply} ${hub.supply_cable ?? ''}, ${fixed(hub.supply_m, 1)} m` : '');
  const hub_lines = (hub) => [`${hub.about} ${hub.controller ?? (hub.splice ? 'splice' : 'terminals')}`, `${fixed(hub.total_a, 2)} A, ${fixed(hub.input_v, 2)} V`];
  const called = ({ about, name }) => (name && about.length + name.length < 24 ? `${about} ${name}` : about);
  const bent = (run) => (run.stretches.length > 1 ? `, ${run.stretches.length} pieces` : '');
  const run_lines = (run) => [called(run), run.tape, `${fixed(run.length_m, 2)} m${bent(run)}, ${fixed(run.current_a, 2)} A`,
    ...(run.arrangement === 'one_end' ? [] : [fed_in_words(run)])];
  const driver_lines = [`${driver.about} ${driver.code ?? 'no driver fits'}`, `${fixed(driver.load_w, 1)} W`, ...outputs.map((o) => `${outputs.length > 1 ? `${o.about}: ` : ''}${o.device ? `fuse ${o.device}` : 'no fuse: see “Checks”'}`)];

  let y = 2;
  if (narrow) {
    const step = 22;
    y += box('driver', 1, y, width - 2, driver_lines);
    let from_driver = y;
    for (const output of outputs) {
      for (const hub of output.hubs) {
        const hub_y = y + 26;
        wire(`M14 ${from_driver}V${hub_y + 15}H${step + 1}`, supply_of(hub), 22, hub_y - 8);
        from_driver = hub_y + 15;
        y = hub_y + box('', step, hub_y, width - step - 1, hub_lines(hub));
        let from_hub = y;
        for (const run of hub.runs) {
          const run_y = y + 26;
          wire(`M${step + 14} ${from_hub}V${run_y + 15}H${2 * step + 1}`, feeder_of(run), step + 22, run_y - 8);
          from_hub = run_y + 15;
          y = run_y + box('tape', 2 * step, run_y, width - 2 * step - 1, run_lines(run));
        }
      }
    }
  } else {
    const gap = Math.max(112, width * 0.17);
    const column = (width - 2 * gap - 2) / 3;
    const x_hub = column + gap;
    const x_run = 2 * (column + gap);
    const driver_y = y;
    let run_y = y;
    for (const output of outputs) {
      for (const hub of output.hubs) {
        const hub_y = run_y;
        const centre = hub_y + 24;
        const bend = column + gap * 0.16;
        wire(hub_y === driver_y ? `M${column + 1} ${centre}H${x_hub}` : `M${bend} ${driver_y + 24}V${centre}H${x_hub}`, '', 0, 0);
        const supply = supply_of(hub).split(', ').filter(Boolean);
        supply.forEach((line, i) => parts.push(svg('text', { class: 'faint', x: bend + 7, y: centre + (i ? 14 : -6) }, clipped(line, gap * 0.82, 6))));
        box('', x_hub, hub_y, column, hub_lines(hub));
        const turn = x_hub + column + gap * 0.16;
        for (const run of hub.runs) {
          const at = run_y + 24;
          wire(run_y === hub_y ? `M${x_hub + column} ${at}H${x_run}` : `M${turn} ${centre}V${at}H${x_run}`, '', 0, 0);
          feeder_of(run).split(', ').forEach((line, i) => parts.push(svg('text', { class: 'faint', x: turn + 7, y: at + (i ? 14 : -6) }, clipped(line, gap * 0.82, 6))));
          run_y += box('tape', x_run, run_y, column, run_lines(run)) + 12;
        }
        run_y = Math.max(run_y, hub_y + 60);
      }
    }
    y = Math.max(run_y - 10, driver_y + box('driver', 1, driver_y, column, driver_lines) + 2);
  }
  return svg('svg', { viewBox: `0 0 ${width} ${y + 2}`, role: 'img', 'aria-labelledby': title }, ...parts);
}

/** Text that fits, by the mean width of a letter. */
const clipped = (text, room, letter) => (text.length * letter <= room ? text : `${text.slice(0, Math.max(1, Math.floor(room / letter) - 1))}…`);

function spoken_wiring(driver, outputs) {
  const hubs = outputs.flatMap((output) => output.hubs);
  const told = hubs.map((hub) => {
    const cables = (run) => run.feeds.map((feed) => feed.feeder).filter(Boolean).join(' and ') || 'its own tail';
    const runs = hub.runs.map((run) => `${run.about} by ${cables(run)}`).join(', ');
    return `${hub.about}${hub.controller ? `, ${hub.controller},` : ''} ${hub.supply ? `by ${hub.supply} ` : ''}feeds ${runs}`;
  });
  return `${driver.about}, ${driver.code ?? 'no driver'}: ${told.join('; ')}.`;
}
