// How the joint is drawn, beyond its colour: how deep it lies, its grain, and what
// shows through the tiles.

import { at, fill } from './element.js';
import { say, local } from './words.js';
import { short, withUnit } from './lengths.js';
import * as fields from './fields.js';
import * as panel from './panel.js';

const depths = ['usual', 'flush', 'own'];
const ticks = ['plain', 'clear'];
let owning = false; // a depth of one's own was chosen and is not typed yet

const depth = s => s.flush ? 'flush' : s.recess || owning ? 'own' : 'usual';

function show() {
  const s = panel.state()?.settings;
  if (!s) return;
  fill(at('joint-depth'), depths.map(d => [d, say(`joint.${d}`)]), depth(s));
  at('joint-own').hidden = depth(s) !== 'own';
  for (const t of ticks) at(`joint-${t}`).checked = s[t];
  at('set-grain_seed').disabled = s.plain;
}

function choose(d) {
  owning = d === 'own';
  if (owning && !panel.state().settings.flush) show();
  else panel.set({ flush: d === 'flush', recess: '' }); // the two say the same, so the server takes one of them
  if (!owning) return;
  at('joint-own').hidden = false;
  at('set-recess').focus();
}

export function start() {
  at('joint-depth').addEventListener('change', e => choose(e.target.value));
  for (const t of ticks) at(`joint-${t}`).addEventListener('change', e => panel.set({ [t]: e.target.checked }));
  fields.bind('recess', { read: t => withUnit(t, short()), write: local, also: () => ({ flush: false }) });
  fields.bind('grain_seed', { read: t => t === '' ? 0 : /^\d{1,9}$/.test(t) ? Number(t) : null, wrong: 'wrong.whole' });
  panel.watch((s, before) => { if (!before || s.settings.recess) owning = false; show(); });
  return show;
}
