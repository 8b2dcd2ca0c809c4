// The edge of the panel. Its four corners are dragged, tapped into place one by one or as
// two opposite ones, moved by keys or typed; all ways end in send(). An outline that was
// found without four corners, and openings, are only shown.

import { at, make, put } from './element.js';
import { say, number, read, local } from './words.js';
import { Loupe } from './loupe.js';
import { grip } from './grip.js';
import * as panel from './panel.js';

const names = ['tl', 'tr', 'br', 'bl'];
let quad = null;    // [[x, y] × 4], photo px, as shown; null for an outline without corners
let rings = [];     // such an outline, and openings, as they were found
let held = -1;      // the corner in hand: next tap puts it down
let pane, loupe, lines, handles = [];
let later;
let taken = () => {};

const word = text => { at('edges-word').textContent = text; };
const round = v => Math.round(v * 10) / 10;

// crossed tells a bow-tie or a dent: going round, every turn must be the same way.
export function crossed(q) {
  const turns = q.map((p, i) => {
    const [a, b] = [q[(i + 1) % 4], q[(i + 2) % 4]];
    return (a[0] - p[0]) * (b[1] - a[1]) - (a[1] - p[1]) * (b[0] - a[0]);
  });
  return !turns.every(t => t > 0);
}

// path is a closed outline as it lies on the screen.
const path = ring => `M${ring.map(p => pane.on(p).join(',')).join('L')}Z`;

function draw() {
  if (!pane) return;
  const pts = quad?.map(p => pane.on(p));
  lines.setAttribute('viewBox', `0 0 ${pane.field.clientWidth} ${pane.field.clientHeight}`);
  for (const l of lines.children) l.setAttribute('d', [...(quad ? [quad] : []), ...rings].map(path).join(''));
  lines.classList.toggle('crossed', Boolean(quad) && crossed(quad));
  handles.forEach((h, i) => {
    h.hidden = !quad;
    if (!quad) return;
    h.style.transform = `translate(${pts[i][0] - 22}px,${pts[i][1] - 22}px)`;
    h.setAttribute('aria-label', say('edges.handle', { corner: say(`corner.${names[i]}`), x: number(quad[i][0], 1), y: number(quad[i][1], 1) }));
    h.setAttribute('aria-pressed', String(held === i));
  });
  fields();
}

function fields() {
  const inputs = at('corner-fields').querySelectorAll('input');
  inputs.forEach((input, k) => put(input, quad ? local(String(round(quad[k >> 1][k % 2]))) : ''));
}

// clamp keeps a place inside the photo.
const clamp = (v, size) => round(Math.min(size - 1, Math.max(0, v)));

// send tells the server where the corners lie, once the hand has rested. They say where
// the grout ends, so nothing else may say it.
function send(rest) {
  clearTimeout(later);
  later = setTimeout(() => { panel.set({ corners: quad, shoulder: '' }); word(say('edges.sent')); }, rest);
}

// place moves one corner; it is sent on unless a hand still drags it.
function place(i, p, how) {
  const { width, height } = panel.state().photo;
  quad ??= box(rings[0]);
  rings = [];
  quad[i] = [clamp(p[0], width), clamp(p[1], height)];
  draw();
  clearTimeout(later);
  if (crossed(quad)) {
    word(say('edges.crossed'));
    return;
  }
  word('');
  // Keys come in runs; the search for gaps starts when the hand rests.
  if (how !== 'drag') send(how === 'key' ? 900 : 250);
}

// handle is the grip of one corner.
function handle(i) {
  return grip('corner', {
    pane: () => pane, loupe: () => loupe, where: () => quad[i],
    move: (p, how) => place(i, p, how),
    press: () => {
      if (opposite) span(false);
      held = held === i ? -1 : i;
      if (held >= 0) taken(tool);
      word(held < 0 ? '' : say('edges.tap', { corner: say(`corner.${names[i]}`) }));
      draw();
    },
    key: e => { if (e.key === 'Escape') { held = -1; draw(); } return false; },
  });
}

// The outline by two opposite corners: a tap on each, or one line from one to the
// other. opposite is null, or holds the first of them once it was tapped.
let opposite = null;
const least = 32; // px, as the server wants

function rectangle([x, y], [u, v]) {
  const { width, height } = panel.state().photo;
  const [l, r] = [x, u].map(c => clamp(c, width)).sort((a, b) => a - b);
  const [t, b] = [y, v].map(c => clamp(c, height)).sort((a, b) => a - b);
  return [[l, t], [r, t], [r, b], [l, b]];
}

function span(on) {
  opposite = on ? {} : null;
  at('corners-two').setAttribute('aria-pressed', String(on));
  if (on) { held = -1; taken(tool); word(say('edges.two.first')); }
  else if (pane) { reset(); draw(); }
}

// stretch shows the outline as it would be, and takes it when it is wide enough.
function stretch(p, done) {
  const next = rectangle(opposite.from, p);
  if (next[2][0] - next[0][0] < least || next[2][1] - next[0][1] < least) return;
  quad = next;
  rings = [];
  if (done) {
    opposite = null;
    at('corners-two').setAttribute('aria-pressed', 'false');
    taken(null);
    send(0);
  }
  draw();
}

const whole = ({ width: w, height: h }) => [[0, 0], [w - 1, 0], [w - 1, h - 1], [0, h - 1]];

// box is the four-sided outline round another, along the photo's sides.
function box(ring) {
  const [xs, ys] = [0, 1].map(k => ring.map(p => p[k]));
  const [l, r, t, b] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  return [[l, t], [r, t], [r, b], [l, b]];
}

// reset takes the edge as it is known.
function reset() {
  const s = panel.state();
  rings = s.settings.corners ? [] : s.rings;
  quad = s.corners ? s.corners.map(c => [...c]) : rings.length ? null : whole(s.photo);
  if (!quad) held = -1;
}

// tell says why there is no corner to move.
const tell = () => word(quad || !rings.length ? '' : say('edges.free'));

// tool is what the first step puts on the picture.
export const tool = {
  get grabs() { return opposite !== null; },
  on(p) {
    pane = p;
    reset();
    loupe = new Loupe(pane);
    lines = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
    lines.setAttribute('class', 'quad');
    lines.setAttribute('aria-hidden', 'true');
    for (const cls of ['under', 'upper']) {
      const line = document.createElementNS('http://www.w3.org/2000/svg', 'path');
      line.setAttribute('class', cls);
      lines.append(line);
    }
    handles = names.map((_, i) => handle(i));
    pane.field.append(lines, ...handles);
    draw();
  },
  off() {
    loupe?.off();
    lines?.remove();
    for (const h of handles) h.remove();
    handles = [];
    pane = null;
    this.letGo();
  },
  draw,
  // letGo is told that something else is in hand.
  letGo() {
    held = -1;
    if (opposite) { span(false); tell(); }
    draw();
  },
  down(p) { opposite.from ??= p; },
  move(p) { stretch(p, false); },
  hover(p) { if (opposite?.from) stretch(p, false); },
  up(p) {
    stretch(p, true);
    if (opposite) word(say('edges.two.second'));
  },
  cancel() { opposite = {}; reset(); draw(); },
  // A tap beside the handles puts the corner in hand there; else the view has it.
  tap(p) {
    if (held < 0) return;
    place(held, p, 'drop');
    handles[held].focus();
    held = -1;
    draw();
  },
};

// start wires the tray; take is told who has something in hand.
export function start(take) {
  taken = take;
  at('corner-fields').replaceChildren(...names.map((name, i) => make('tr', {},
    make('th', { scope: 'row', dataset: { word: `corner.${name}` }, text: say(`corner.${name}`) }),
    ...['x', 'y'].map((axis, j) => make('td', {}, make('input', { inputmode: 'decimal', autocomplete: 'off', dataset: { wordLabel: `corner.${name}.${axis}` },
      'aria-label': say(`corner.${name}.${axis}`), on: { change: e => {
        const v = read(e.target.value);
        e.target.setAttribute('aria-invalid', String(Number.isNaN(v)));
        if (Number.isNaN(v)) { word(say('wrong.number')); return; }
        const p = [...(quad ?? (rings.length ? box(rings[0]) : null))?.[i] ?? [0, 0]];
        p[j] = v;
        place(i, p, 'drop');
      } } }))))));
  at('corners-two').addEventListener('click', () => { if (opposite) { span(false); taken(null); tell(); } else span(true); });
  at('corners-find').addEventListener('click', () => { held = -1; panel.set({ corners: null }); word(say('edges.finding')); });
  panel.watch((s, before) => {
    if (!s.task && at('edges-word').textContent === say('edges.sent')) word(''); // the gaps are found again
    const edge = of => JSON.stringify([of?.corners, of?.rings]);
    if (!s.corners && !s.rings.length || edge(s) === edge(before)) return;
    if (!opposite) {
      reset();
      if (!quad) tell();
      else if (before && s.settings.corners === null) word(say('edges.found'));
    }
    pane ? draw() : fields();
  });
  return tell; // what was said in the other language goes
}
