// The ring on a grey card: tapped or drawn on the picture, dragged, walked by keys or
// typed. What lies in it is made grey, in place() and then on the server.

import { at, make, put } from './element.js';
import { say, number, read, local } from './words.js';
import { Loupe } from './loupe.js';
import { grip } from './grip.js';
import * as panel from './panel.js';
import { view } from './stage.js';

const keys = ['x', 'y', 'r'];
const finger = 44; // CSS px, the least thing to press
let ring = null;   // [x, y, r], photo px, as shown; null without a card
let held = false;  // the next tap puts it down
let drawn = null;  // where a ring that is being drawn began
let pane, loupe, handle;
let later;
let taken = () => {};

const word = text => { at('card-word').textContent = text; };
const round = v => Math.round(v * 10) / 10;
const photo = () => panel.state().photo;
const said = () => panel.state().settings.grey.split(',').map(Number);
const usual = () => Math.max(photo().width, photo().height) / 40; // a card of a hand's size beside a panel, ours

// The least radius gives the server enough px at working size (28, see light.ReadCard).
const least = () => 4 * photo().width / photo().working[0];

// reset shows the ring as it is kept.
function reset() {
  ring = panel.state().settings.grey ? said() : null;
  tray();
  draw();
}

// tray writes what is known of the ring beside the picture.
function tray() {
  keys.forEach((k, i) => put(at(`card-${k}`), ring ? local(String(round(ring[i]))) : ''));
  at('card-mark').setAttribute('aria-pressed', String(held));
  at('card-size').hidden = !ring;
  at('card-off').hidden = !panel.state().settings.grey;
  const [x, y, r] = (ring ?? []).map(v => String(Math.round(v)));
  word(held ? say('card.tap') : ring ? say('card.at', { x, y, r }) : '');
}

function draw() {
  if (!pane) return;
  handle.hidden = !ring;
  if (!ring) return;
  const [x, y] = pane.on(ring);
  const d = 2 * ring[2] * pane.scale;
  const side = Math.max(finger, d);
  Object.assign(handle.style, { width: `${side}px`, height: `${side}px`, transform: `translate(${x - side / 2}px,${y - side / 2}px)` });
  handle.style.setProperty('--ring', `${d}px`);
  handle.setAttribute('aria-label', say('card.handle', { x: number(ring[0], 1), y: number(ring[1], 1), r: number(ring[2], 1) }));
}

// place puts the ring somewhere; it stays inside the photo, and is sent on unless a
// hand still moves it.
function place([x, y, r], how) {
  const { width, height } = photo();
  r = Math.min(Math.max(r, least()), (Math.min(width, height) - 1) / 2);
  const inside = (v, size) => Math.min(size - 1 - r, Math.max(r, v));
  ring = [inside(x, width), inside(y, height), r].map(round);
  tray();
  draw();
  clearTimeout(later);
  if (how !== 'drag') later = setTimeout(() => panel.set({ grey: ring.join() }), how === 'key' ? 900 : 250);
}

const grow = k => place([ring[0], ring[1], ring[2] * k], 'key');

function key(e) {
  if (e.key === '+' || e.key === '=') grow(1.1);
  else if (e.key === '-') grow(1 / 1.1);
  else if (e.key === 'Delete') takeOff();
  else if (e.key === 'Escape') { hold(false); reset(); }
  else return false;
  return true;
}

function takeOff() {
  clearTimeout(later);
  hold(false);
  panel.set({ grey: '' });
  at('card-mark').focus();
}

// hold takes the ring in hand or lets it go. A new one waits in the middle of what is
// seen, for keys; nothing is sent before it was moved.
function hold(on) {
  held = on;
  drawn = null;
  if (on) {
    taken(tool);
    const { width, height } = photo();
    ring ??= [view.x * width, view.y * height, usual() / view.zoom].map(round);
  } else taken(null);
  tray();
  draw();
  if (on) handle.focus({ preventScroll: true });
}

// tool is what the first step puts on the picture.
export const tool = {
  get grabs() { return held; },
  on(p) {
    pane = p;
    loupe = new Loupe(pane);
    handle = grip('card-ring', {
      pane: () => pane, loupe: () => loupe, key,
      where: () => ring,
      move: (to, how) => { held = false; taken(null); place([to[0], to[1], ring[2]], how); },
      press: () => { const lies = held; hold(!held); if (lies) place(ring, 'drop'); },
    });
    pane.field.append(handle);
    reset();
  },
  off() {
    loupe?.off();
    handle?.remove();
    held = false;
    pane = null;
  },
  draw,
  letGo() {
    if (!held) return;
    held = false;
    reset();
  },
  down(p) { drawn = p; },
  move(p) { this.widen(p, 'drag'); },
  up(p) {
    const [x, y] = drawn;
    held = false;
    taken(null);
    if (!this.widen(p, 'drop')) place([x, y, ring[2]], 'drop');
    drawn = null;
    handle.focus({ preventScroll: true });
    loupe.show(ring);
  },
  // widen draws the ring from its middle outwards; a tap draws none.
  widen([x, y], how) {
    const r = Math.hypot(x - drawn[0], y - drawn[1]);
    if (r * pane.scale < 6) return false;
    place([...drawn, r], how);
    return true;
  },
  cancel() { drawn = null; },
};

// typed takes the numbers once a place is there; a radius left out is the usual one.
function typed(field) {
  const v = keys.map(k => read(at(`card-${k}`).value));
  const bad = Number.isNaN(read(field.value)) && field.value.trim() !== '';
  field.setAttribute('aria-invalid', String(bad));
  at('card-wrong').textContent = bad ? say('wrong.number') : '';
  if (!bad && !Number.isNaN(v[0]) && !Number.isNaN(v[1])) place([v[0], v[1], Number.isNaN(v[2]) ? usual() : v[2]], 'drop');
}

export function start(take) {
  taken = take;
  at('card-mark').addEventListener('click', () => { hold(!held); if (!held) reset(); });
  at('card-off').addEventListener('click', takeOff);
  at('card-less').addEventListener('click', () => grow(1 / 1.25));
  at('card-more').addEventListener('click', () => grow(1.25));
  for (const k of keys) at(`card-${k}`).addEventListener('change', e => typed(e.target));
  panel.watch((s, before) => {
    if (!before) held = false;
    if (!before || s.settings.grey !== before.settings.grey) reset();
  });
  return () => { if (panel.state()) { tray(); draw(); } };
}
