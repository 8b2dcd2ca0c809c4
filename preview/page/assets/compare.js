// Looking at shades: one, several side by side, a divider between two, or two in
// turn. The bare layout is always one key away.

import { at, make, engine, choices, fill } from './element.js';
import { say, number, percent } from './words.js';
import * as panel from './panel.js';
import * as stage from './stage.js';
import * as palette from './palette.js';
import { Divider } from './divider.js';
import { distances as distancesOf, feet, from, listed } from './lengths.js';
import * as fields from './fields.js';

const most = 6;
const blinkMs = 1200; // under one change a second: far from the three that can harm (WCAG 2.3.1)
const kept = 'gapshade-comparison';
const ways = ['one', 'side', 'divide', 'blink'];

let way = 'one';
let chosen = [];       // ids, 'bare' for the bare layout; the first is in front
let picked = false;    // a person chose; else the best shade is followed
let bare = false;
const look = { distance: '', vision: 'normal', merged: false }; // the state is a setting: the server draws it
let divider = null;
let timer = 0, turn = 0;
let here = false;      // the step is open
let changed = () => {}; // told when another shade is in front

export const front = () => chosen.find(id => id !== 'bare') ?? palette.all()[0]?.id;

// choose puts a shade in front, from the sticks or from the ranking.
export function choose(id) {
  picked = true;
  if (way === 'one') chosen = [id];
  else if (way === 'side') {
    if (chosen.includes(id)) { if (chosen.length > 1) chosen = chosen.filter(o => o !== id); }
    else if (chosen.length < most) chosen = [...chosen, id];
    else { tell(say('compare.full', { most })); return; }
  } else if (chosen[0] !== id) chosen = [id, chosen[0] ?? 'bare'];
  lay();
}

// only shows one shade alone, whatever the way was.
export function only(id) {
  picked = true;
  chosen = [id];
  if (way !== 'one') setWay('one');
  lay();
}

function tell(text) { at('shown-word').textContent = text; }

function item(id) {
  const q = look.vision === 'normal' ? {} : { vision: look.vision };
  if (look.distance) q.distance = look.distance;
  if (id === 'bare' || bare) return { id: 'bare', name: 'photo', query: q, caption: say('compare.bare'), alt: say('compare.bare.alt') };
  const s = palette.find(id);
  const { state } = panel.state().settings;
  const seen = [say(`look.${state}`), look.distance && from(Number(look.distance)), look.vision !== 'normal' && say(`vision.${look.vision}`)].filter(Boolean).join(', ');
  return { id, name: `shade-${id}`, query: { ...q, key: s?.lab.join() },
    caption: say('compare.caption', { name: palette.name(id), rank: s?.rank ?? '–', l: number(s?.lab[0] ?? 0), seen }) + (look.merged && s ? ' · ' + say('compare.lost', { share: percent(s.merging_share) }) : ''),
    alt: say('compare.alt', { name: palette.name(id), seen }) };
}

// pair is what the divider and blink work on.
function pair() {
  const [a = front() ?? 'bare', b] = chosen;
  return [a, b ?? (a === 'bare' ? palette.all()[0]?.id ?? 'bare' : 'bare')];
}

// lay puts on the stage what is chosen.
export function lay() {
  if (!here || !panel.state()) return;
  const ready = Boolean(panel.report());
  chosen = chosen.filter(id => id === 'bare' || palette.find(id));
  if (!chosen.length) { chosen = [palette.all()[0]?.id ?? 'bare']; picked = false; }
  const ids = !ready ? ['bare'] : way === 'side' ? chosen : way === 'one' ? chosen.slice(0, 1) : pair();
  clearInterval(timer);
  if (way !== 'divide' || !ready) { divider?.off(); divider = null; stage.panes[0]?.over('other', null); }
  if (way === 'blink' && ready) {
    stage.lay([item(ids[turn % 2])]);
    if (at('blink-run').getAttribute('aria-pressed') === 'true') timer = setInterval(() => swap(false), blinkMs);
  } else if (way === 'divide' && ready) {
    const [a, b] = ids.map(item);
    stage.lay([{ ...a, caption: say('compare.divided', { left: a.caption, right: b.caption }), alt: say('compare.divided', { left: a.alt, right: b.alt }) }]);
    stage.panes[0].over('other', b.name, b.query).catch(panel.complain);
    divider ??= new Divider(stage.panes[0]);
    divider.place();
  } else stage.lay(ids.map(item));
  merged(ready, ids);
  sticks();
  reason(ready);
  changed();
  if (ready) remember();
}

// remember keeps the comparison for a reload of this tab.
const remember = () => sessionStorage.setItem(kept, JSON.stringify({ id: panel.state().id, way, chosen, picked, look }));

function recall(s) {
  const said = JSON.parse(sessionStorage.getItem(kept) ?? 'null');
  if (said?.id !== s.id) return false;
  ({ way, chosen, picked } = said);
  Object.assign(look, said.look);
  at('blink-row').hidden = way !== 'blink';
  dress();
  return true;
}

// reason tells why the shade in front stands where it does.
function reason(ready) {
  const s = ready && way === 'one' ? palette.find(chosen[0]) : null;
  at('shown-reason').replaceChildren(...(s ? [make('h2', { text: say('compare.why') }), engine('p', s.reason, { class: 'small' })] : []));
}

function merged(ready, ids) {
  stage.panes.forEach((pane, i) => {
    const id = way === 'blink' ? ids[turn % 2] : ids[i];
    const on = ready && look.merged && !bare && id && id !== 'bare';
    pane.over('merged', on ? `merged-${id}` : null, { key: palette.find(id)?.lab.join() }).catch(panel.complain);
  });
}

// swap shows the other of two; only what a hand asked for is read out.
function swap(told) {
  turn++;
  lay();
  if (told) tell(stage.panes[0].caption.textContent);
}

// stick is a shade as a stick of dry grout. One that lies there stays itself: it may be
// under a finger.
function stick(lies, id, hex, name, small, dress) {
  const b = lies.get(id) ?? make('button', { type: 'button', class: 'stick', dataset: { stick: id }, on: { click: () => choose(id) } },
    make('span', { class: hex ? 'grout' : 'grout none' }), make('span', { class: 'stick-name' }), make('span', { class: 'stick-small' }));
  if (hex) b.children[0].style.backgroundColor = hex;
  [b.children[1].textContent, b.children[2].textContent] = [name, small];
  b.disabled = dress.disabled;
  b.setAttribute('aria-pressed', String(dress.pressed));
  return b;
}

// sticks are all of them along the bench, best first.
function sticks() {
  const host = at('sticks');
  const ready = Boolean(panel.report());
  const shown = way === 'divide' || way === 'blink' ? pair() : chosen;
  const focus = document.activeElement?.dataset?.stick;
  const lies = new Map([...host.children].map(b => [b.dataset.stick, b]));
  const one = (id, ...rest) => stick(lies, id, ...rest, { disabled: !ready, pressed: ready && shown.includes(id) });
  const all = [one('bare', '', say('compare.bare'), say('sticks.before')),
    ...palette.all().map(s => one(s.id, palette.hex(s), palette.name(s.id), s.rank ? say('sticks.rank', { rank: s.rank, l: number(s.lab[0]) }) : ''))];
  const along = host.scrollLeft;
  if (all.length !== host.children.length || all.some((b, i) => b !== host.children[i])) host.replaceChildren(...all);
  host.scrollLeft = along;
  if (focus && document.activeElement?.dataset?.stick !== focus) host.querySelector(`[data-stick="${CSS.escape(focus)}"]`)?.focus({ preventScroll: true });
  const removable = chosen.length === 1 && chosen[0] !== 'bare' && palette.own(chosen[0]);
  at('shade-off').hidden = !removable;
}

// setBare shows the layout without grout while on.
export function setBare(on) {
  bare = on;
  at('bare').setAttribute('aria-pressed', String(on));
  lay();
}
export const toggleBare = () => setBare(!bare);

function setWay(next) {
  way = next;
  bare = false;
  at('bare').setAttribute('aria-pressed', 'false');
  if (way === 'one') chosen = chosen.slice(0, 1);
  if (way === 'side' && chosen.length === 1) chosen = [...new Set(['bare', ...chosen, ...palette.all().map(s => s.id)])].slice(0, 4);
  if (way !== 'side') chosen = chosen.slice(0, 2);
  at('blink-row').hidden = way !== 'blink';
  at('compare-help').textContent = say(`compare.${way}.help`, { most });
  dressWays(way);
  // Who asked for less motion swaps by hand.
  if (way === 'blink') at('blink-run').setAttribute('aria-pressed', String(!matchMedia('(prefers-reduced-motion: reduce)').matches));
}

let dressWays = () => {};

function dress() {
  dressWays = choices(at('compare-ways'), 'way', ways.map(w => [w, say(`compare.${w}`)]), way, v => { setWay(v); lay(); });
  at('compare-help').textContent = say(`compare.${way}.help`, { most });
  fill(at('look-state'), ['cured', 'damp', 'enhanced'].map(v => [v, say(`look.${v}.long`)]), panel.state()?.settings.state);
  fill(at('look-vision'), ['normal', 'protan', 'deutan', 'tritan'].map(v => [v, say(`vision.${v}.long`)]), look.vision);
  at('look-merged').checked = look.merged;
  distances();
  sticks();
}

function distances() {
  const s = panel.state();
  const known = (panel.report()?.shades?.[0]?.at ?? []).map(a => a.distance_m);
  fill(at('look-distance'), [['', say('look.here')], ...known.map(m => [String(m), from(m)])], look.distance);
  at('look-distance').disabled = !known.length;
  at('set-distances').disabled = !s?.settings.size;
  at('look-distance-help').hidden = !s || Boolean(s.settings.size);
  at('set-distances-help').hidden = !s?.settings.size;
  at('set-distances-help').textContent = say('look.distances.help', { example: listed(feet() ? '2ft,6ft' : '0.6m,2m'), usual: listed('0.5m,2m,5m') });
  if (known.length && !known.map(String).includes(look.distance)) look.distance = at('look-distance').value = '';
}

export const step = {
  enter() { here = true; at('compare-help').textContent = say(`compare.${way}.help`, { most }); lay(); },
  leave() {
    here = false;
    clearInterval(timer);
    divider?.off();
    divider = null;
    setBareQuietly();
    for (const p of stage.panes) { p.over('merged', null); p.over('other', null); }
  },
};

function setBareQuietly() { bare = false; at('bare').setAttribute('aria-pressed', 'false'); }

// start wires the step; told is called when what is looked at has changed.
export function start(told) {
  changed = told;
  dress();
  at('bare').addEventListener('click', toggleBare);
  at('blink-run').addEventListener('click', e => {
    e.target.setAttribute('aria-pressed', String(e.target.getAttribute('aria-pressed') !== 'true'));
    lay();
  });
  at('blink-swap').addEventListener('click', () => swap(true));
  fields.bind('distances', { read: distancesOf, write: listed });
  at('look-state').addEventListener('change', e => panel.set({ state: e.target.value }));
  for (const key of ['distance', 'vision']) at(`look-${key}`).addEventListener('change', e => { look[key] = e.target.value; lay(); });
  at('look-merged').addEventListener('change', e => { look.merged = e.target.checked; lay(); });
  at('shade-off').addEventListener('click', () => panel.set({ shades: palette.asked().filter(s => s.id !== chosen[0]) }));
  panel.watch((s, before) => {
    if (!before && !recall(s)) { chosen = []; picked = false; turn = 0; }
    if (!picked && way === 'one' && s.report) chosen = [palette.all()[0].id]; // several were chosen by choosing the way
    at('look-state').value = s.settings.state;
    distances();
    if (here) lay(); else sticks();
  });
  return dress;
}
