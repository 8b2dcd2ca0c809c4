// Hands on a picture: wheel, drag, two fingers and keys move and zoom the view;
// a tool (brush, corners) may take what one finger, pen or button does.

// hold listens on a pane. tool() gives null, or {down, move, up, cancel, key}
// that get (point in photo px, event); down returns false to let the view have it.
export function hold(pane, view, tool = () => null) {
  const fingers = new Map();
  let mode = null; // 'tool', 'pan' or 'pinch'
  let pinch = null;
  let moved = 0;
  const field = pane.field;

  const pair = () => {
    const [a, b] = [...fingers.values()];
    return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, d: Math.hypot(a.x - b.x, a.y - b.y) || 1 };
  };
  const pan = (dx, dy) => view.pan(-dx / (pane.frame[0] * pane.scale), -dy / (pane.frame[1] * pane.scale));

  field.addEventListener('pointerdown', e => {
    if (e.target.closest('button, [role=slider]')) return;
    fingers.set(e.pointerId, { x: e.clientX, y: e.clientY });
    field.setPointerCapture?.(e.pointerId);
    if (fingers.size === 2) {
      if (mode === 'tool') tool()?.cancel?.();
      mode = 'pinch';
      pinch = pair();
    } else if (fingers.size === 1) {
      moved = 0;
      const t = e.button === 0 ? tool() : null;
      mode = t && t.down(pane.at(e.clientX, e.clientY), e) !== false ? 'tool' : 'pan';
      if (mode === 'tool') e.preventDefault();
    }
  });

  field.addEventListener('pointermove', e => {
    const f = fingers.get(e.pointerId);
    if (!f) {
      tool()?.hover?.(pane.at(e.clientX, e.clientY), e);
      return;
    }
    const [dx, dy] = [e.clientX - f.x, e.clientY - f.y];
    f.x = e.clientX;
    f.y = e.clientY;
    moved += Math.abs(dx) + Math.abs(dy);
    if (mode === 'tool') {
      // A fast pen sends several places per frame; all of them count.
      const all = e.getCoalescedEvents?.() ?? [];
      for (const c of all.length ? all : [e]) tool()?.move?.(pane.at(c.clientX, c.clientY), c);
    } else if (mode === 'pan') pan(dx, dy);
    else if (mode === 'pinch' && fingers.size === 2) {
      const next = pair();
      pan(next.x - pinch.x, next.y - pinch.y);
      view.by(next.d / pinch.d, ...pane.shares(next.x, next.y));
      pinch = next;
    }
  });

  // A tap that no tool takes brings its place to the middle, for who can't drag.
  const tapped = e => {
    if (tool()?.tap) tool().tap(pane.at(e.clientX, e.clientY), e);
    else if (pane.tapped) pane.tapped(e);
    else if (view.zoom > 1) pane.look(pane.at(e.clientX, e.clientY));
  };

  const end = e => {
    if (!fingers.delete(e.pointerId)) return;
    if (mode === 'tool') e.type === 'pointercancel' ? tool()?.cancel?.() : tool()?.up?.(pane.at(e.clientX, e.clientY), e);
    else if (mode === 'pan' && moved < 5 && e.type === 'pointerup') tapped(e);
    mode = fingers.size ? 'pan' : null;
  };
  field.addEventListener('pointerup', end);
  field.addEventListener('pointercancel', end);

  field.addEventListener('wheel', e => {
    e.preventDefault();
    const lines = e.deltaMode === 1 ? 16 : 1;
    view.by(Math.exp(-e.deltaY * lines * (e.ctrlKey ? 0.01 : 0.0016)), ...pane.shares(e.clientX, e.clientY));
  }, { passive: false });

  field.addEventListener('keydown', e => {
    if (e.target !== field || e.altKey || e.ctrlKey || e.metaKey) return;
    if (tool()?.key?.(e)) { e.preventDefault(); return; }
    const far = 0.12 / view.zoom;
    const act = {
      ArrowLeft: () => view.pan(-far, 0), ArrowRight: () => view.pan(far, 0), ArrowUp: () => view.pan(0, -far), ArrowDown: () => view.pan(0, far),
      '+': () => view.by(1.5), '=': () => view.by(1.5), '-': () => view.by(1 / 1.5), '0': () => view.fit(), Home: () => view.fit(),
    }[e.key];
    if (!act) return;
    e.preventDefault();
    act();
  });
}
