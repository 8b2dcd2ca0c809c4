// One picture on the bench: a base (photo or shade) and what lies over it, moved
// and enlarged by the shared view. Positions are px of the upright photo, whatever
// size the pictures come in; pixel centres lie at whole numbers.

import { make } from './element.js';
import * as pictures from './pictures.js';

export class Pane {
  #view; #off; #resized;
  frame = [1, 1];   // px of the photo
  fitScale = 1;     // screen px per photo px at zoom 1

  constructor(view, label) {
    this.#view = view;
    this.base = make('img', { class: 'base', alt: '', draggable: 'false' });
    this.sheet = make('div', { class: 'sheet' }, this.base);
    this.field = make('div', { class: 'field-of-view', tabindex: '0', role: 'group', 'aria-label': label }, this.sheet);
    this.caption = make('figcaption', { class: 'caption' });
    this.el = make('figure', { class: 'pane' }, this.field, this.caption);
    this.layers = new Map();
    this.#off = view.watch(() => this.place());
    this.#resized = new ResizeObserver(() => this.place());
    this.#resized.observe(this.field);
  }

  // done takes the pane off and frees its pictures.
  done() {
    this.#off();
    this.#resized.disconnect();
    pictures.clear(this.base);
    for (const img of this.layers.values()) pictures.clear(img);
    this.el.remove();
  }

  get scale() { return this.fitScale * this.#view.zoom; }

  // shape says how large the photo is, px.
  shape(frame) {
    this.frame = frame;
    this.place();
  }

  place() {
    const { clientWidth: w, clientHeight: h } = this.field;
    if (!w || !h) return;
    const [fw, fh] = this.frame;
    this.fitScale = Math.min(w / fw, h / fh);
    const s = this.scale;
    // Along a side that fits, the picture stays in the middle.
    const offset = (size, full, middle) => size * s <= full ? (full - size * s) / 2 : Math.min(0, Math.max(full - size * s, full / 2 - middle * size * s));
    this.left = offset(fw, w, this.#view.x);
    this.top = offset(fh, h, this.#view.y);
    Object.assign(this.sheet.style, { width: `${fw * this.fitScale}px`, height: `${fh * this.fitScale}px`,
      transform: `translate(${this.left}px,${this.top}px) scale(${this.#view.zoom})` });
    this.field.classList.toggle('moved', this.#view.zoom > 1);
    this.placed?.(this); // what lies on the pane moves along
  }

  // wide is the width worth asking for, px.
  get wide() {
    return pictures.step(Math.min(this.frame[0], this.frame[0] * this.fitScale * Math.min(this.#view.zoom, 4) * (devicePixelRatio || 1)));
  }

  show(name, query = {}) { return pictures.show(this.base, name, { wide: this.wide, ...query }); }

  // over lays a picture with transparency on top, or takes it off (name null).
  over(layer, name, query = {}) {
    let img = this.layers.get(layer);
    if (!name) {
      if (img) { pictures.clear(img); img.remove(); this.layers.delete(layer); }
      return Promise.resolve(false);
    }
    if (!img) {
      img = make('img', { class: `over-${layer}`, alt: '', draggable: 'false' });
      this.layers.set(layer, img);
      this.sheet.append(img);
    }
    return pictures.show(img, name, { wide: this.wide, ...query });
  }

  // at turns a place on the screen into photo px.
  at(clientX, clientY) {
    const box = this.field.getBoundingClientRect();
    return [(clientX - box.left - this.left) / this.scale - 0.5, (clientY - box.top - this.top) / this.scale - 0.5];
  }

  // on turns photo px into px of the field.
  on([x, y]) {
    return [(x + 0.5) * this.scale + this.left, (y + 0.5) * this.scale + this.top];
  }

  // shares gives a place on the screen as shares of the picture.
  shares(clientX, clientY) {
    const box = this.field.getBoundingClientRect();
    return [(clientX - box.left - this.left) / (this.frame[0] * this.scale), (clientY - box.top - this.top) / (this.frame[1] * this.scale)];
  }

  // look brings a photo place to the middle at no less than the zoom.
  look([x, y], zoom = this.#view.zoom) {
    this.#view.set(Math.max(zoom, this.#view.zoom), (x + 0.5) / this.frame[0], (y + 0.5) / this.frame[1]);
  }
}
