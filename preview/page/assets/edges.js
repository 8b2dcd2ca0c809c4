// The first step: the photo with the corners of the panel and the ring on a grey card.
// One of them at a time may take what a hand does to the picture.

import { say } from './words.js';
import * as stage from './stage.js';
import * as corners from './corners.js';
import * as card from './card.js';

const tools = [corners.tool, card.tool];
const taker = () => tools.find(t => t.grabs);
let pane = null;

const tool = {
  get grabs() { return Boolean(taker()); },
  on(p) {
    if (!p) return;
    pane = p;
    for (const t of tools) t.on(p);
    pane.placed = () => { for (const t of tools) t.draw(); };
  },
  off() {
    if (pane) pane.placed = null;
    for (const t of tools) t.off();
    pane = null;
  },
  down(p) {
    const t = taker();
    t?.down(p);
    return Boolean(t);
  },
  move(p) { taker()?.move(p); },
  up(p) { taker()?.up(p); },
  cancel() { taker()?.cancel(); },
  hover(p) { taker()?.hover?.(p); },
  tap(p) { corners.tool.tap(p); },
};

// take lets all others go when one has something in hand.
function take(who) {
  if (who) for (const t of tools) if (t !== who) t.letGo();
  stage.grab();
}

export const step = {
  enter() {
    stage.lay([{ name: 'photo', caption: '', alt: say('edges.alt') }]);
    stage.hand(tool);
  },
  leave() { stage.hand(null); },
};

export function start() {
  const dressers = [corners.start(take), card.start(take)];
  return () => { for (const dress of dressers) dress(); };
}
