// What part of the panel is looked at: zoom and middle. All panes share one
// view, so that shades are compared at the same place and size.

export const farthest = 24; // times the fitting size, ours

export class View {
  zoom = 1;      // 1 = the whole picture fits
  x = 0.5;       // the middle of what is seen, share of the picture
  y = 0.5;
  #watchers = new Set();
  #due = false;

  watch(fn) { this.#watchers.add(fn); return () => this.#watchers.delete(fn); }

  // set changes the view; panes follow on the next frame, all at once.
  set(zoom, x, y) {
    this.zoom = Math.min(farthest, Math.max(1, zoom));
    const half = 0.5 / this.zoom;
    this.x = Math.min(1 - half, Math.max(half, x));
    this.y = Math.min(1 - half, Math.max(half, y));
    if (this.#due) return;
    this.#due = true;
    requestAnimationFrame(() => {
      this.#due = false;
      for (const fn of this.#watchers) fn(this);
    });
  }

  fit() { this.set(1, 0.5, 0.5); }

  // by zooms by a factor and keeps the point at (x, y), shares of the picture,
  // where it is.
  by(factor, x = this.x, y = this.y) {
    const zoom = Math.min(farthest, Math.max(1, this.zoom * factor));
    const k = this.zoom / zoom;
    this.set(zoom, x + (this.x - x) * k, y + (this.y - y) * k);
  }

  pan(dx, dy) { this.set(this.zoom, this.x + dx, this.y + dy); }
}
