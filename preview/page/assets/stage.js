// The stage: one to six panes side by side under one view, and whose hands they
// are in. Each step of the work says what lies here.

import { at } from './element.js';
import { say, percent } from './words.js';
import { View } from './view.js';
import { Pane } from './pane.js';
import { hold } from './gestures.js';
import * as panel from './panel.js';

export const view = new View();
export const panes = [];
let tool = null;
let wanted = [];     // [{name, query, caption, alt}]
let failed = () => {};

// hand gives the first pane to a tool, or to nobody.
export function hand(next) {
  tool?.off?.();
  tool = next;
  grab();
  if (next) next.on?.(panes[0]);
}

// grab is told when the tool has begun or ceased to take what a finger does.
export function grab() {
  panes.forEach((p, i) => p.field.classList.toggle('tooled', i === 0 && Boolean(tool?.grabs)));
}

// lay shows pictures side by side. What is there already stays.
export function lay(items) {
  wanted = items;
  const host = at('panes');
  while (panes.length > Math.max(1, items.length)) panes.pop().done();
  while (panes.length < items.length) {
    const pane = new Pane(view, say('stage.pane'));
    hold(pane, view, () => pane === panes[0] ? tool : null);
    panes.push(pane);
    host.append(pane.el);
    if (panes.length === 1 && tool) tool.on?.(pane);
  }
  host.dataset.count = items.length;
  grab();
  shape();
  refresh();
}

// shape gives every pane the frame of the pictures, that of the upright photo.
function shape() {
  const s = panel.state();
  if (s) for (const p of panes) p.shape([s.photo.width, s.photo.height]);
}

// refresh asks again for what is laid: after a stroke, a setting, a zoom.
export function refresh() {
  const s = panel.state();
  if (!s || !s.report && s.task?.stage === 'reading') return; // there is no picture yet
  wanted.forEach((item, i) => {
    const pane = panes[i];
    pane.caption.textContent = item.caption ?? '';
    pane.caption.hidden = !item.caption;
    pane.base.alt = item.alt ?? item.caption ?? '';
    pane.field.setAttribute('aria-label', say('stage.pane.of', { what: item.alt ?? item.caption ?? '' }));
    pane.show(item.name, item.query).then(first => { if (first) pane.drawn?.(); }).catch(err => { if (err.status !== 404) failed(err); }); // 404: the panel or the shade went meanwhile
  });
}

// empty takes all panes away.
export function empty() {
  hand(null);
  while (panes.length) panes.pop().done();
  wanted = [];
  view.fit();
}

export function start(onFail) {
  failed = onFail;
  const told = () => {
    at('zoom-fit').textContent = percent(view.zoom);
    at('zoom-fit').setAttribute('aria-label', say('stage.fit', { z: percent(view.zoom) }));
    at('zoom-out').disabled = view.zoom <= 1;
  };
  at('zoom-in').addEventListener('click', () => view.by(1.5));
  at('zoom-out').addEventListener('click', () => view.by(1 / 1.5));
  at('zoom-fit').addEventListener('click', () => view.fit());
  // A sharper picture is fetched once the zoom rests.
  let rest;
  view.watch(() => {
    told();
    clearTimeout(rest);
    rest = setTimeout(refresh, 250);
  });
  told();
  panel.watch(shape);
  return told;
}
