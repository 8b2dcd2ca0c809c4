// The brush: says "this is gap", "this is tile", "this is not the panel". A stroke
// is drawn here at once and stays until the picture with its effect has come.

import { at, make, choices } from './element.js';
import { say, number } from './words.js';
import * as panel from './panel.js';
import * as palette from './palette.js';
import * as stage from './stage.js';

// Red for gap and blue for tile, as in marks for the command; outside is striped dark.
const colours = { gap: 'rgba(200,0,40,.6)', tile: 'rgba(20,70,230,.6)', outside: 'rgba(20,20,20,.65)' };

let mark = 'look';
let radius = 0;           // photo px
let pane, canvas, ring;
let line = null;          // the stroke in hand
let sent = [];            // strokes whose effect is not seen yet
let cursor = null;        // the keyboard's place, photo px
let painting = false;     // Space holds the brush down
let changed = () => {};

export const resting = () => mark === 'look';

function paint() {
  if (!canvas) return;
  const ratio = devicePixelRatio || 1;
  const { clientWidth: w, clientHeight: h } = pane.field;
  if (canvas.width !== Math.round(w * ratio) || canvas.height !== Math.round(h * ratio)) {
    canvas.width = Math.round(w * ratio);
    canvas.height = Math.round(h * ratio);
  }
  const c = canvas.getContext('2d');
  c.setTransform(ratio, 0, 0, ratio, 0, 0);
  c.clearRect(0, 0, w, h);
  c.lineCap = c.lineJoin = 'round';
  for (const s of line ? [...sent, line] : sent) {
    c.strokeStyle = colours[s.mark];
    c.lineWidth = Math.max(2, 2 * s.radius * pane.scale);
    c.beginPath();
    s.points.forEach((p, i) => i ? c.lineTo(...pane.on(p)) : c.moveTo(...pane.on(p)));
    if (s.points.length === 1) c.lineTo(...pane.on(s.points[0]));
    c.stroke();
  }
  if (cursor && document.activeElement === pane.field && !resting()) {
    const [x, y] = pane.on(cursor);
    for (const [colour, width] of [['#fff', 4], ['#000', 1.5]]) {
      c.strokeStyle = colour;
      c.lineWidth = width;
      c.beginPath();
      c.arc(x, y, Math.max(3, radius * pane.scale), 0, 7);
      c.moveTo(x - 12, y); c.lineTo(x + 12, y);
      c.moveTo(x, y - 12); c.lineTo(x, y + 12);
      c.stroke();
    }
  }
}

let due = false;
function soon() {
  if (due) return;
  due = true;
  requestAnimationFrame(() => { due = false; paint(); });
}

function put(p) {
  const last = line.points.at(-1);
  // Points closer than a third of the brush say nothing new.
  if (last && Math.hypot(p[0] - last[0], p[1] - last[1]) < Math.max(0.5, radius / 3)) return;
  line.points.push(p.map(v => Math.round(v * 10) / 10));
  soon();
}

// end sends the stroke in hand.
function end() {
  if (!line) return;
  const s = line;
  line = null;
  sent.push(s);
  waiting();
  soon();
  panel.stroke(s).then(ok => ok ? changed() : null).finally(() => {
    sent = sent.filter(o => o !== s);
    waiting();
    soon();
  });
}

// waiting shows that the figures are older than the last stroke, or than what it teaches.
const waiting = () => at('gap-facts').setAttribute('aria-busy', String(sent.length > 0 || Boolean(panel.state()?.learning)));

function key(e) {
  if (resting()) return false;
  const far = (e.shiftKey ? 10 : 1) * Math.max(1, radius / 2);
  const by = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, -far], ArrowDown: [0, far] }[e.key];
  if (by) {
    const { width, height } = panel.state().photo;
    cursor = [Math.min(width - 1, Math.max(0, cursor[0] + by[0])), Math.min(height - 1, Math.max(0, cursor[1] + by[1]))];
    if (painting) put(cursor);
    keepInSight();
    soon();
    return true;
  }
  if (e.key === ' ' || e.key === 'Enter') {
    painting = !painting;
    if (painting) { line = { mark, radius, points: [] }; put(cursor); } else end();
    at('live').textContent = say(painting ? 'brush.down' : 'brush.up');
    return true;
  }
  if (e.key === 'Escape' && painting) { painting = false; line = null; soon(); return true; }
  if (e.key === '[') { size(radius / 1.3); return true; }
  if (e.key === ']') { size(radius * 1.3); return true; }
  return false;
}

function keepInSight() {
  const [x, y] = pane.on(cursor);
  const { clientWidth: w, clientHeight: h } = pane.field;
  if (x < 30 || y < 30 || x > w - 30 || y > h - 30) pane.look(cursor);
}

export const tool = {
  get grabs() { return !resting(); },
  on(p) {
    if (!p) return;
    pane = p;
    canvas = make('canvas', { class: 'strokes', 'aria-hidden': 'true' });
    ring = make('div', { class: 'ring', hidden: true });
    pane.field.append(canvas, ring);
    pane.placed = soon;
    pane.field.addEventListener('focus', soon);
    pane.field.addEventListener('blur', soon);
    pane.field.addEventListener('pointerleave', () => { ring.hidden = true; });
    const { width, height } = panel.state().photo;
    cursor ??= [width / 2, height / 2];
    if (!radius) size(Math.max(2, Math.round(Math.max(width, height) / 160)));
    paint();
  },
  off() {
    canvas?.remove();
    ring?.remove();
    if (pane) pane.placed = null;
    canvas = null;
    line = null;
    painting = false;
  },
  down(p, e) {
    if (resting()) return false;
    line = { mark, radius, points: [] };
    put(p);
    this.hover(p, e);
  },
  move(p, e) { if (line) { put(p); this.hover(p, e); } },
  up() { end(); },
  cancel() { line = null; soon(); },
  hover(p, e) {
    if (resting() || e.pointerType === 'touch') { ring.hidden = true; return; }
    const d = Math.max(6, 2 * radius * pane.scale);
    const [x, y] = pane.on(p);
    ring.hidden = false;
    Object.assign(ring.style, { width: `${d}px`, height: `${d}px`, transform: `translate(${x - d / 2}px,${y - d / 2}px)` });
  },
  key,
};

// size sets the radius, photo px; the slider is in tenths of its logarithm so
// that fine joints and whole tiles are both within a finger's reach.
function size(r) {
  radius = Math.min(400, Math.max(1, r));
  const slider = at('brush-size');
  slider.value = Math.round(20 * Math.log(radius) / Math.log(400) * 6);
  const px = number(2 * radius);
  const mm = panel.report()?.frame?.mm_per_px;
  const k = mm ? mm * panel.report().frame.width / panel.state().photo.width : 0; // the report counts px of the working size
  at('brush-size-word').textContent = k ? say('brush.size.mm', { px, mm: number(2 * radius * k, 1) }) : say('brush.size', { px });
  slider.setAttribute('aria-valuetext', at('brush-size-word').textContent);
  soon();
}

// start wires the tray. again is called when a stroke's effect is known.
export function start(again) {
  changed = again;
  const dress = () => {
    choices(at('brush-marks'), 'mark', ['look', ...palette.choicesOf('marks')].map(m => [m, say(`brush.${m}`)]), mark, m => {
      mark = m;
      if (ring) ring.hidden = true;
      stage.hand(tool);
    });
    if (radius) size(radius);
  };
  dress();
  at('brush-size').addEventListener('input', e => size(400 ** (e.target.value / 120)));
  at('brush-less').addEventListener('click', () => size(radius / 1.3));
  at('brush-more').addEventListener('click', () => size(radius * 1.3));
  at('undo').addEventListener('click', () => panel.undo().then(changed));
  at('redo').addEventListener('click', () => panel.redo().then(changed));
  panel.watch((s, before) => {
    waiting();
    // A button that goes dead hands the focus on, so that keys don't fall to the page.
    for (const [id, other] of [['undo', 'redo'], ['redo', 'undo']]) {
      if (!s.strokes[id] && document.activeElement === at(id)) (s.strokes[other] ? at(other) : pane?.field)?.focus();
    }
    for (const id of ['undo', 'redo']) at(id).disabled = !s.strokes[id];
    if (!before) { cursor = null; radius = 0; sent = []; }
  });
  return dress;
}
