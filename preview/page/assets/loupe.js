// The loupe: the place under a corner, four times as large, away from the finger.

import { make } from './element.js';

const side = 132;   // CSS px
const times = 4;

export class Loupe {
  constructor(pane) {
    this.pane = pane;
    this.el = make('canvas', { class: 'loupe', width: side * 2, height: side * 2, 'aria-hidden': 'true', hidden: true });
    pane.field.append(this.el);
  }

  // show draws the surroundings of a place in photo px.
  show(p) {
    const { pane, el } = this;
    const img = pane.base;
    if (!img.naturalWidth) return;
    const [fx, fy] = p;
    const k = img.naturalWidth / pane.frame[0];
    const span = side / (pane.scale * times) * k;
    const [x, y] = pane.on(p);
    el.hidden = false;
    el.classList.toggle('right', x < pane.field.clientWidth / 2 && y > pane.field.clientHeight / 2);
    const c = el.getContext('2d');
    c.fillStyle = '#777';
    c.fillRect(0, 0, el.width, el.height);
    c.drawImage(img, (fx + 0.5) * k - span / 2, (fy + 0.5) * k - span / 2, span, span, 0, 0, el.width, el.height);
    // Dark beside light, so that the cross is seen on any tile.
    for (const [colour, width] of [['#fff', 6], ['#000', 2]]) {
      c.strokeStyle = colour;
      c.lineWidth = width;
      c.beginPath();
      c.moveTo(side, side - 40); c.lineTo(side, side + 40);
      c.moveTo(side - 40, side); c.lineTo(side + 40, side);
      c.stroke();
    }
  }

  hide() { this.el.hidden = true; }
  off() { this.el.remove(); }
}
