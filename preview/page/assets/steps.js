// The slip: the steps of the work, with what is known at each, like a slip of
// paper that lies beside the panel and gets filled in.

import { at, make } from './element.js';
import { say, percent, number, local } from './words.js';
import * as panel from './panel.js';
import * as palette from './palette.js';
import * as compare from './compare.js';
import { mass } from './job.js';

export const names = ['edges', 'gaps', 'shades', 'ranking', 'job', 'take'];
let here = '';
let table = {};

export const current = () => here;

// known says in a few words what a step has given so far.
function known(name) {
  const s = panel.state();
  const r = s?.report;
  if (!s) return '';
  switch (name) {
    case 'edges': return local(s.settings.size).replace(/\s*[x×]\s*/, ' × ').replace(/(\d)([a-z]+)$/, '$1 $2') || (s.settings.corners ? say('slip.corners.set') : r ? say(r.frame.shape === 'free' ? 'slip.outline.found' : 'slip.corners.found') : '');
    case 'gaps': return r ? say('slip.gaps', { tiles: number(r.tiles.count), share: percent(r.gaps.share) }) : '';
    case 'shades': return r ? palette.name(compare.front()) : '';
    case 'ranking': return r ? say(`aim.${s.settings.aim}.short`) : '';
    case 'job': return r?.job ? mass(r.job.powder_kg.buy ?? r.job.powder_kg.bench[1]) : '';
    case 'take': return s.zip_ready ? say('slip.zip') : '';
  }
  return '';
}

export function draw() {
  const rows = [...at('slip').children];
  names.forEach((name, i) => {
    const b = rows[i].firstChild;
    name === here ? b.setAttribute('aria-current', 'step') : b.removeAttribute('aria-current');
    b.querySelector('.known').textContent = known(name);
  });
}

function build() {
  at('slip').replaceChildren(...names.map((name, i) => make('li', {}, make('button', { type: 'button', dataset: { step: name }, on: { click: () => go(name, true) } },
    make('span', { class: 'no', 'aria-hidden': 'true', text: String(i + 1) }),
    make('span', { class: 'what' }, make('span', { class: 'long', text: say(`step.${name}`) }), make('span', { class: 'short', text: say(`step.${name}.short`) })),
    make('span', { class: 'known' })))));
}

// go turns to a step. moved says that a person asked for it: then the tray begins at its top.
export function go(name, moved = false) {
  if (!names.includes(name)) name = 'shades';
  if (here !== name) table[here]?.leave();
  const fresh = here !== name;
  here = name;
  document.body.dataset.step = name;
  sessionStorage.setItem('gapshade-step', name);
  for (const el of document.querySelectorAll('.step')) el.hidden = el.dataset.step !== name;
  const next = names[names.indexOf(name) + 1];
  at('step-next').hidden = !next;
  if (next) at('step-next').textContent = say('step.onward', { step: say(`step.${next}`) });
  if (fresh) table[name]?.enter();
  draw();
  if (moved) {
    at('tray').scrollTop = 0;
    at('live').textContent = say('step.now', { step: say(`step.${name}`) });
  }
}

// off leaves the bench.
export function off() {
  table[here]?.leave();
  here = '';
}

// start wires the slip. enter and leave of each step come in the table.
export function start(steps) {
  table = steps;
  build();
  at('step-next').addEventListener('click', () => { go(names[names.indexOf(here) + 1], true); at('tray').focus(); });
  panel.watch(() => { if (here) draw(); });
  return () => { build(); if (here) { go(here); draw(); } };
}
