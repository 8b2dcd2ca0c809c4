// Checking the gaps: what was found laid over the photo, in figures, and the
// doubtful places one after another.

import { at, make } from './element.js';
import { say, number, percent } from './words.js';
import * as panel from './panel.js';
import * as stage from './stage.js';
import * as brush from './brush.js';
import * as palette from './palette.js';

let here = false;
let place = -1;
const layers = ['outlines', 'sure', 'gaps'];

// photo is what lies below: the bare layout, or the best shade as it comes out with
// these gaps.
function photo() {
  const best = at('show-grout').checked && panel.report()?.shades.find(s => s.rank === 1);
  if (!best) return { name: 'photo', caption: '', alt: say('gaps.alt') };
  return { name: `shade-${best.id}`, query: { key: best.lab.join() }, caption: '', alt: say('gaps.alt.grout', { name: palette.name(best.id) }) };
}

// overlays lays what is ticked over the photo; it resolves when all are seen.
function overlays() {
  const pane = stage.panes[0];
  if (!here || !pane) return Promise.resolve();
  const ready = Boolean(panel.report());
  return Promise.all(layers.map(l => pane.over(l, ready && at(`show-${l}`).checked ? l : null).catch(panel.complain)));
}

function facts() {
  const r = panel.report();
  const host = at('gap-facts');
  if (!r) { host.replaceChildren(); return; }
  const w = r.gaps.width_mm ?? r.gaps.width_px;
  const unit = r.gaps.width_mm ? 'mm' : 'px';
  const k = unit === 'px' ? panel.state().photo.width / r.frame.width : 1; // the report counts px of the working size
  const rows = [
    ['gaps.tiles', number(r.tiles.count)],
    ['gaps.share', percent(r.gaps.share)],
    ['gaps.width', say(`gaps.width.${unit}`, { mid: number(w.p50 * k, 1), low: number(w.p10 * k, 1), high: number(w.p90 * k, 1) })],
    ['gaps.sure', say('gaps.sure.value', { share: percent(r.gaps.confidence), word: say(r.gaps.confidence >= 0.8 ? 'gaps.sure.good' : r.gaps.confidence >= 0.5 ? 'gaps.sure.fair' : 'gaps.sure.poor') })],
    ['gaps.method', say(r.gaps.method === 'two photos' ? 'gaps.method.two' : 'gaps.method.one')],
  ];
  host.replaceChildren(...rows.map(([k, v]) => make('div', {}, make('dt', { text: say(k) }), make('dd', { text: v }))));
}

function doubt(by) {
  const low = panel.state().low ?? [];
  if (!low.length) { at('doubt-word').textContent = say('gaps.doubt.none'); return; }
  place = (place + by + low.length) % low.length;
  const d = low[place];
  const pane = stage.panes[0];
  // The place with as much round it again, so that one sees where it is.
  const zoom = Math.min(pane.frame[0] / (2 * d.w), pane.frame[1] / (2 * d.h), 10);
  stage.view.set(1, 0.5, 0.5);
  pane.look([d.x + d.w / 2, d.y + d.h / 2], zoom);
  at('show-sure').checked = true;
  overlays();
  at('doubt-word').textContent = say('gaps.doubt.at', { i: place + 1, all: low.length });
}

function doubtful(s) {
  const count = (s.low ?? []).length;
  for (const id of ['doubt-next', 'doubt-back']) at(id).disabled = !count;
  at('doubt-word').textContent = !s.report ? '' : count ? say('gaps.doubt.count', { n: count }) : say('gaps.doubt.none');
}

export const step = {
  enter() {
    here = true;
    stage.lay([photo()]);
    stage.hand(brush.tool);
    overlays();
    facts();
  },
  leave() {
    here = false;
    stage.hand(null);
    for (const l of layers) stage.panes[0]?.over(l, null);
  },
};

export function start() {
  const dress = brush.start(overlays);
  for (const l of layers) at(`show-${l}`).addEventListener('change', overlays);
  at('show-grout').addEventListener('change', () => stage.lay([photo()]));
  at('doubt-next').addEventListener('click', () => doubt(1));
  at('doubt-back').addEventListener('click', () => doubt(-1));
  stage.view.watch(() => { clearTimeout(start.rest); start.rest = setTimeout(overlays, 300); });
  panel.watch((s, before) => {
    if (!before) place = -1;
    if (JSON.stringify(s.low) !== JSON.stringify(before?.low) || Boolean(s.report) !== Boolean(before?.report)) { doubtful(s); }
    facts();
    if (here) stage.lay([photo()]);
    overlays();
  });
  return () => { dress(); facts(); if (panel.state()) doubtful(panel.state()); };
}
