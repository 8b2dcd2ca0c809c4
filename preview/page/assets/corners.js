// The four corners of the panel: dragged, tapped into place, moved by keys or
// typed. All ways end in the same place: place(), then the server.

import { at, make, put } from './element.js';
import { say, number, read, local } from './words.js';
import { Loupe } from './loupe.js';
import * as panel from './panel.js';
import * as stage from './stage.js';

const names = ['tl', 'tr', 'br', 'bl'];
let quad = null;    // [[x, y] × 4], photo px, as shown
let held = -1;      // the corner in hand: next tap puts it down
let pane, loupe, lines, handles = [];
let later;

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

function draw() {
  if (!pane || !quad) return;
  const pts = quad.map(p => pane.on(p));
  lines.setAttribute('viewBox', `0 0 ${pane.field.clientWidth} ${pane.field.clientHeight}`);
  for (const l of lines.children) l.setAttribute('points', pts.map(p => p.join(',')).join(' '));
  lines.classList.toggle('crossed', crossed(quad));
  handles.forEach((h, i) => {
    h.style.transform = `translate(${pts[i][0] - 22}px,${pts[i][1] - 22}px)`;
    h.setAttribute('aria-label', say('edges.handle', { corner: say(`corner.${names[i]}`), x: number(quad[i][0], 1), y: number(quad[i][1], 1) }));
    h.setAttribute('aria-pressed', String(held === i));
  });
  fields();
}

function fields() {
  const inputs = at('corner-fields').querySelectorAll('input');
  quad?.forEach((p, i) => p.forEach((v, j) => put(inputs[i * 2 + j], local(String(Math.round(v * 10) / 10)))));
}

// place moves one corner; it stays inside the photo. sure sends it on.
function place(i, p, sure) {
  const { width, height } = panel.state().photo;
  quad[i] = [round(Math.min(width - 1, Math.max(0, p[0]))), round(Math.min(height - 1, Math.max(0, p[1])))];
  draw();
  clearTimeout(later);
  if (crossed(quad)) {
    word(say('edges.crossed'));
    return;
  }
  word('');
  // Keys come in runs; the search for gaps starts when the hand rests.
  if (sure) later = setTimeout(() => { panel.set({ corners: quad }); word(say('edges.sent')); }, sure === 'key' ? 900 : 250);
}

function grip(i) {
  let from = null;
  const h = make('button', { type: 'button', class: 'corner', on: {
    pointerdown: e => {
      e.stopPropagation();
      h.setPointerCapture(e.pointerId);
      from = { x: e.clientX, y: e.clientY, moved: false };
    },
    pointermove: e => {
      if (!from) return;
      if (!from.moved && Math.hypot(e.clientX - from.x, e.clientY - from.y) < 4) return;
      if (!from.moved) { from.moved = true; from.at = pane.at(from.x, from.y); from.was = [...quad[i]]; }
      // The corner keeps its distance to the finger, so it doesn't jump when gripped off-centre.
      const p = pane.at(e.clientX, e.clientY);
      place(i, [from.was[0] + p[0] - from.at[0], from.was[1] + p[1] - from.at[1]], false);
      loupe.show(quad[i]);
    },
    pointerup: () => {
      if (from?.moved) { place(i, quad[i], true); loupe.hide(); h.dataset.dragged = '1'; }
      from = null;
    },
    pointercancel: () => { from = null; loupe.hide(); },
    click: () => {
      if (h.dataset.dragged) { delete h.dataset.dragged; return; }
      held = held === i ? -1 : i;
      word(held < 0 ? '' : say('edges.tap', { corner: say(`corner.${names[i]}`) }));
      draw();
    },
    keydown: e => {
      const step = e.shiftKey ? 10 : 1;
      const by = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[e.key];
      if (e.key === 'Escape') { held = -1; draw(); }
      if (!by) return;
      e.preventDefault();
      place(i, [quad[i][0] + by[0], quad[i][1] + by[1]], 'key');
      loupe.show(quad[i]);
    },
    focus: () => loupe.show(quad[i]),
    blur: () => loupe.hide(),
  } });
  return h;
}

// tool is what the stage hands the picture to in this step.
export const tool = {
  on(p) {
    if (!p) return;
    pane = p;
    quad = (panel.state().corners ?? []).map(c => [...c]);
    if (quad.length !== 4) quad = corner(panel.state().photo);
    loupe = new Loupe(pane);
    lines = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
    lines.setAttribute('class', 'quad');
    lines.setAttribute('aria-hidden', 'true');
    for (const cls of ['under', 'upper']) {
      const line = document.createElementNS('http://www.w3.org/2000/svg', 'polygon');
      line.setAttribute('class', cls);
      lines.append(line);
    }
    handles = names.map((_, i) => grip(i));
    pane.field.append(lines, ...handles);
    pane.placed = draw;
    draw();
  },
  off() {
    loupe?.off();
    lines?.remove();
    for (const h of handles) h.remove();
    if (pane) pane.placed = null;
    handles = [];
    held = -1;
    pane = null;
  },
  // A tap beside the handles puts the corner in hand there; else the view has it.
  down: () => false,
  tap(p) {
    if (held < 0) return;
    place(held, p, true);
    handles[held].focus();
    held = -1;
    draw();
  },
};

const corner = ({ width: w, height: h }) => [[0, 0], [w - 1, 0], [w - 1, h - 1], [0, h - 1]];

export function start() {
  at('corner-fields').replaceChildren(...names.map((name, i) => make('tr', {},
    make('th', { scope: 'row', dataset: { word: `corner.${name}` }, text: say(`corner.${name}`) }),
    ...['x', 'y'].map((axis, j) => make('td', {}, make('input', { inputmode: 'decimal', autocomplete: 'off', dataset: { wordLabel: `corner.${name}.${axis}` },
      'aria-label': say(`corner.${name}.${axis}`), on: { change: e => {
        const v = read(e.target.value);
        e.target.setAttribute('aria-invalid', String(Number.isNaN(v)));
        if (Number.isNaN(v)) { word(say('wrong.number')); return; }
        const p = [...(quad?.[i] ?? [0, 0])];
        p[j] = v;
        place(i, p, true);
      } } }))))));
  at('corners-find').addEventListener('click', () => { held = -1; panel.set({ corners: null }); word(say('edges.finding')); });
  panel.watch((s, before) => {
    if (!s.corners || JSON.stringify(s.corners) === JSON.stringify(before?.corners)) return;
    quad = s.corners.map(c => [...c]);
    if (before && s.settings.corners === null) word(say('edges.found'));
    pane ? draw() : fields();
  });
  return () => word(''); // what was said in the other language
}
