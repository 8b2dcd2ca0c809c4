// The divider: left of it one picture, right of it the other. Dragged, tapped
// into place or moved by arrow keys.

import { make } from './element.js';
import { say, percent } from './words.js';

export class Divider {
  #share = 0.5; // of the field's width

  constructor(pane) {
    this.pane = pane;
    const drag = e => { if (e.buttons) this.move((e.clientX - pane.field.getBoundingClientRect().left) / pane.field.clientWidth); };
    this.el = make('div', { class: 'divider', role: 'slider', tabindex: '0', 'aria-label': say('compare.divider'), 'aria-valuemin': '0', 'aria-valuemax': '100', on: {
      pointerdown: e => { e.stopPropagation(); e.preventDefault(); this.el.setPointerCapture(e.pointerId); this.el.focus(); },
      pointermove: drag,
      keydown: e => {
        const by = { ArrowLeft: -0.02, ArrowRight: 0.02, ArrowDown: -0.02, ArrowUp: 0.02, PageDown: -0.1, PageUp: 0.1 }[e.key];
        const to = { Home: 0, End: 1 }[e.key] ?? (by ? this.#share + by * (e.shiftKey ? 5 : 1) : null);
        if (to === null) return;
        e.preventDefault();
        e.stopPropagation();
        this.move(to);
      },
    } }, make('span', { class: 'divider-grip', 'aria-hidden': 'true' }));
    // A tap on the picture brings the divider there.
    pane.tapped = e => this.move((e.clientX - pane.field.getBoundingClientRect().left) / pane.field.clientWidth);
    pane.field.append(this.el);
    pane.placed = () => this.place();
  }

  move(share) {
    this.#share = Math.min(1, Math.max(0, share));
    this.place();
  }

  place() {
    const { pane, el } = this;
    const x = this.#share * pane.field.clientWidth;
    el.style.transform = `translateX(${x - 22}px)`;
    el.setAttribute('aria-valuenow', Math.round(this.#share * 100));
    el.setAttribute('aria-valuetext', say('compare.divider.at', { share: percent(this.#share) }));
    const other = pane.layers.get('other');
    const cut = (x - pane.left) / (pane.frame[0] * pane.scale) * 100;
    if (other) other.style.clipPath = `inset(0 0 0 ${Math.min(100, Math.max(0, cut))}%)`;
  }

  off() {
    this.el.remove();
    const other = this.pane.layers.get('other');
    if (other) other.style.clipPath = '';
    this.pane.placed = this.pane.tapped = null;
  }
}
