// The panel that lies on the bench: its state as the server last told it, and
// the changes on their way. The server holds the truth; this module holds one
// long poll open and passes on whatever comes.

import { call, withPhoto } from './api.js';

let now = null;         // the State, or null with an empty bench
const looks = { photo: 0, drawn: 0, strokes: 0, light: 0 }; // each grows when pictures of it would look different
let poll = null;        // AbortController of the long poll
let waiting = null;     // settings said, not sent yet
let sending = null;     // promise of the PATCH on its way
let held = null;        // a State that came meanwhile, and doesn't know of it
let told = '';          // now, as text
const watchers = new Set();
const faults = new Set();

export const state = () => now;
export const report = () => now?.report ?? null;
// look changes with what a picture depends on: a card alone changes the photo, and
// light that is read anew changes shades alone.
export function look(name) {
  const { photo, drawn, strokes, light } = looks;
  if (name === 'photo') return photo;
  return /^(shade|merged)-/.test(name) ? `${drawn}.${strokes}.${light}` : `${drawn}.${strokes}`;
}

// watch calls back with (state, before) after every change; before is null for
// a panel just opened. onFault is told what went wrong with something asked for.
export const watch = fn => watchers.add(fn);
export const onFault = fn => faults.add(fn);

const path = rest => `/api/panels/${encodeURIComponent(now.id)}${rest}`;

// What a picture depends on, strokes apart. Aim, title, distances and most of the job change none;
// how thick the tiles are and of what decides how deep the joint's walls are, and so does an old joint.
const drawn = ['corners', 'size', 'bed', 'second_bed', 'gap', 'grey', 'shoulder', 'state', 'recess', 'flush', 'plain', 'clear', 'grain_seed'];
const pixels = s => JSON.stringify([drawn.map(k => s.settings[k]), s.settings.job.thickness, s.settings.job.material, s.settings.job.grouted, s.second, s.report === null,
  s.task?.kind === 'gaps']); // the old picture is shown while gaps are searched, and not after

// balance is what the photo's look depends on: a card counts once the gaps are found,
// and until then when it is taken off. A panel that never had one keeps its photo.
let carded = false;
function balance(s) {
  carded ||= Boolean(s.settings.grey);
  return carded && JSON.stringify([s.settings.grey, s.report === null, s.task?.kind === 'gaps']);
}

function take(next) {
  if (now && next.id === now.id && next.revision < now.revision) return;
  const before = now && now.id === next.id ? now : null;
  const text = JSON.stringify(next);
  if (before && text === told) return; // the poll brings what the answer to a change has brought
  told = text;
  now = next;
  if (!before) carded = false;
  if (!before || balance(next) !== balance(before)) looks.photo++;
  if (!before || pixels(before) !== pixels(next)) looks.drawn++;
  if (JSON.stringify(before?.strokes) !== JSON.stringify(next.strokes) || (before?.learning && !next.learning)) looks.strokes++;
  if (before?.rough && !next.rough) looks.light++;
  for (const fn of watchers) fn(now, before);
}

async function follow(id) {
  poll?.abort();
  const mine = poll = new AbortController();
  for (let after = 0; !mine.signal.aborted;) {
    try {
      const next = await call('GET', `/api/panels/${encodeURIComponent(id)}?after=${Math.max(after, now.revision)}&wait=20`, { signal: mine.signal });
      if (mine.signal.aborted) return;
      after = next.revision;
      // It would set a box back that a hand has just ticked.
      if (sending) held = next;
      else take(next);
    } catch (fault) {
      if (mine.signal.aborted) return;
      tell(fault);
      return;
    }
  }
}

function tell(fault) {
  if (fault?.name === 'AbortError') return;
  for (const fn of faults) fn(fault);
}

// open fetches a panel and follows it. It throws what the server says.
export async function open(id) {
  lay(await call('GET', `/api/panels/${encodeURIComponent(id)}`));
}

// lay puts a State on the bench, fresh from an upload.
export function lay(state) {
  leave();
  take(state);
  follow(state.id);
}

export function leave() {
  poll?.abort();
  poll = null;
  now = null;
  waiting = held = null;
}

export const add = async (file, signal) => lay(await call('POST', '/api/panels', { form: withPhoto(file), signal }));
export const addSample = async signal => lay(await call('POST', '/api/panels/sample', { signal }));
export const list = async () => (await call('GET', '/api/panels')).panels ?? [];
export const remove = id => call('DELETE', `/api/panels/${encodeURIComponent(id)}`);

// set changes settings. Changes made while one is on its way are sent together
// after it, so that a slider doesn't queue a hundred requests.
export function set(partial) {
  waiting = { ...waiting, ...partial };
  if (partial.job) waiting.job = { ...now.settings.job, ...waiting.job };
  sending ??= flush().finally(() => {
    sending = null;
    const next = held;
    held = null;
    if (next && next.id === now?.id && next.revision > now.revision) take(next);
  });
  return sending;
}

async function flush() {
  while (waiting && now) {
    const id = now.id;
    const body = waiting;
    waiting = null;
    try {
      const next = await call('PATCH', path('/settings'), { json: body });
      if (now?.id === id) take(next);
    } catch (fault) { tell(fault); }
  }
}

// ask posts something that answers with a State; null when it was refused.
async function ask(method, rest, options) {
  const id = now?.id;
  try {
    const next = await call(method, path(rest), options);
    if (now?.id === id) take(next);
    return next;
  } catch (fault) {
    tell(fault);
    return null;
  }
}

// Strokes go one after another: their order decides what lies on top.
let strokes = Promise.resolve();
const inTurn = act => (strokes = strokes.then(act, act));

export const stroke = s => inTurn(() => ask('POST', '/strokes', { json: s }));
export const undo = () => inTurn(() => ask('POST', '/undo'));
export const redo = () => inTurn(() => ask('POST', '/redo'));
export const cancel = () => ask('POST', '/cancel');
export const makeZip = () => ask('POST', '/zip');
export const second = file => ask('PUT', '/second', { form: withPhoto(file) });
export const secondOff = () => ask('DELETE', '/second');

// api is the address of something that belongs to the panel.
export const address = rest => path(rest);
export { tell as complain };
