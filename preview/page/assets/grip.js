// A handle on the picture: dragged by mouse, pen or finger, walked by the arrow
// keys (1 px, with Shift 10), or pressed.

import { make } from './element.js';

const slack = 4; // CSS px a hand may shake before a press becomes a drag, ours
const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

// grip makes one. pane() is what it lies on; where() its place, photo px; move(p, how)
// puts it elsewhere, how being 'drag', 'drop' or 'key'; press() is told of a press, and
// key(e) of other keys, true when it took one. loupe() shows the place, null for none.
export function grip(className, { pane, where, move, press, key, loupe }) {
  let from = null;
  const h = make('button', { type: 'button', class: className, on: {
    pointerdown: e => {
      e.stopPropagation();
      h.setPointerCapture(e.pointerId);
      from = { x: e.clientX, y: e.clientY, moved: false };
    },
    pointermove: e => {
      if (!from) return;
      if (!from.moved && Math.hypot(e.clientX - from.x, e.clientY - from.y) < slack) return;
      if (!from.moved) Object.assign(from, { moved: true, at: pane().at(from.x, from.y), was: [...where()] });
      // It keeps its distance to the finger, so it doesn't jump when gripped off-centre.
      const p = pane().at(e.clientX, e.clientY);
      move([from.was[0] + p[0] - from.at[0], from.was[1] + p[1] - from.at[1]], 'drag');
      loupe()?.show(where());
    },
    pointerup: () => {
      if (from?.moved) { move(where(), 'drop'); loupe()?.hide(); h.dataset.dragged = '1'; }
      from = null;
    },
    pointercancel: () => { from = null; loupe()?.hide(); },
    click: () => {
      if (h.dataset.dragged) delete h.dataset.dragged;
      else press();
    },
    keydown: e => {
      const way = ways[e.key];
      if (!way) { if (key(e)) e.preventDefault(); return; }
      e.preventDefault();
      const step = e.shiftKey ? 10 : 1;
      move([where()[0] + step * way[0], where()[1] + step * way[1]], 'key');
      loupe()?.show(where());
    },
    focus: () => loupe()?.show(where()),
    blur: () => loupe()?.hide(),
  } });
  return h;
}
