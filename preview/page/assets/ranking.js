// The ranking as a table that can be sorted, the reasons, and the report's notes.

import { at, inSight, make, choices, engine } from './element.js';
import { say, has, number, percent, signed } from './words.js';
import * as panel from './panel.js';
import * as palette from './palette.js';

const aims = ['outline', 'balance', 'blend'];
// Columns: key, value to sort by, text, whether it is a figure.
const columns = [
  ['rank', s => s.rank, s => number(s.rank)],
  ['shade', s => palette.name(s.id), s => palette.name(s.id)],
  ['contrast', s => s.contrast.hyab.p50, s => contrast(s)],
  ['lightness', s => s.contrast.delta_l.p50, s => side(Math.round(s.contrast.delta_l.p50))],
  ['lost', s => s.merging_share, s => percent(s.merging_share)],
  ['pieces', s => s.merged.pieces ?? s.merged.groups, s => number(s.merged.pieces ?? s.merged.groups)],
  ['score', s => s.score, s => number(s.score)],
];
const side = dl => dl ? say(dl > 0 ? 'ranking.lighter' : 'ranking.darker', { dl: signed(dl) }) : say('ranking.even');
let by = 'rank';
let down = false;
let show = () => {};
let setAim = () => {};

// Words for HyAB between joint and tile: the limits of the report (preview/contrast).
const contrastWord = h => say(h < 5 ? 'contrast.melts' : h < 12 ? 'contrast.soft' : h <= 30 ? 'contrast.clear' : 'contrast.graphic');
const contrast = s => say('ranking.contrast.value', { word: contrastWord(s.contrast.hyab.p50), hyab: number(s.contrast.hyab.p50) });

// told is what a column says about a shade.
export const told = (key, s) => columns.find(([k]) => k === key)[2](s);

function sorted() {
  const value = columns.find(([k]) => k === by)[1];
  const list = [...palette.all()];
  list.sort((a, b) => { const [x, y] = [value(a), value(b)]; return (typeof x === 'string' ? x.localeCompare(y) : x - y) || a.rank - b.rank; });
  return down ? list.reverse() : list;
}

function heads() {
  at('ranking-heads').replaceChildren(...columns.map(([key]) => make('th', { role: 'columnheader', scope: 'col', class: key === 'shade' ? '' : 'n', 'aria-sort': by === key ? (down ? 'descending' : 'ascending') : null },
    make('button', { type: 'button', class: 'sort', dataset: { by: key }, title: say('ranking.sort', { what: say(`ranking.${key}`) }), on: { click: () => {
      down = by === key ? !down : false;
      by = key;
      draw();
      at('ranking-heads').querySelector(`[data-by="${key}"]`).focus();
    } } }, say(`ranking.${key}`), make('span', { class: 'arrow', 'aria-hidden': 'true', text: by === key ? (down ? '\u00a0▾' : '\u00a0▴') : '' })))));
}

const chip = s => make('span', { class: 'chip', style: { backgroundColor: palette.hex(s) } });
const ties = s => (s.ties ?? []).length ? say('ranking.ties', { ranks: s.ties.map(t => typeof t === 'number' ? number(t) : palette.find(t)?.rank ?? palette.name(t)).join(', ') }) : '';

function rows() {
  at('ranking-rows').replaceChildren(...sorted().map(s => make('tr', { role: 'row' }, ...columns.map(([key, , text]) => {
    if (key === 'shade') {
      return make('th', { role: 'rowheader', scope: 'row' }, make('button', { type: 'button', class: 'row-name', on: { click: () => show(s.id) } }, chip(s), make('span', { text: text(s) })),
        make('small', { text: [palette.lightness(s), ties(s)].filter(Boolean).join(' · ') }));
    }
    return make('td', { role: 'cell', class: 'n', dataset: { head: say(`ranking.${key}`) } }, text(s));
  }))));
}

function reasons() {
  at('reasons').replaceChildren(...palette.all().map(s => make('article', { class: 'reason' },
    make('h3', {}, chip(s), say('ranking.reason', { rank: s.rank, name: palette.name(s.id) })),
    engine('p', s.reason))));
}

// draw writes table, reasons and notes anew.
function draw() {
  const s = panel.state();
  const r = s?.report;
  if (!r) return;
  heads();
  rows();
  reasons();
  const notes = s.notes?.length ? s.notes : r.notes ?? [];
  at('notes').replaceChildren(...notes.map(n => has(`note.${n.code}`) ? make('li', { text: say(`note.${n.code}`) }) : engine('li', n.text)));
  at('notes-part').hidden = !notes.length;
}

// start wires the table; shown is called with the id of a shade to look at.
export function start(shown) {
  show = shown;
  const dress = () => {
    setAim = choices(at('aims'), 'aim', aims.map(a => [a, say(`aim.${a}`)]), panel.state()?.settings.aim ?? 'balance', v => panel.set({ aim: v }));
    draw();
  };
  dress();
  const soon = inSight(at('reasons'), draw);
  panel.watch((s, before) => {
    setAim(s.settings.aim);
    if (!before || s.report !== before.report) soon();
  });
  return dress;
}
