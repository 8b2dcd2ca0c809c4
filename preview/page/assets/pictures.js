// Pictures of the panel, fetched with the secret and kept for a while, so that
// going back to a shade shows it at once.

import { send } from './api.js';
import * as panel from './panel.js';

const most = 256e6; // bytes kept, ours: six shades in a few looks, at the width of a screen
const cache = new Map(); // id → { look, coming, size }, longest unused first
let held = 0;            // bytes in it

// widths asked for, px: few steps, so that a small zoom reuses what is there.
const steps = [480, 720, 960, 1200, 1600, 2400, 4000];
export const step = px => steps.find(s => s >= px) ?? steps.at(-1);

// blob gives the bytes of a picture. query: wide, state, distance, vision; also
// key, what else it depends on (the colour of an own shade).
export function blob(name, { key = '', ...query } = {}) {
  const s = panel.state();
  const full = new URLSearchParams({ ...query, rev: s.revision });
  const id = [s.id, name, key, new URLSearchParams(query)].join('|');
  const look = panel.look(name);
  let one = cache.get(id);
  drop(id);
  if (one?.look !== look) { // an older look of it is of no use any more
    one = { look, size: 0, coming: send('GET', panel.address(`/pictures/${encodeURIComponent(name)}?${full}`)).then(r => r.blob()) };
    one.coming.then(b => weigh(id, one, b.size), () => { if (cache.get(id) === one) cache.delete(id); });
  }
  cache.set(id, one);
  held += one.size;
  return one.coming;
}

function drop(id) {
  held -= cache.get(id)?.size ?? 0;
  cache.delete(id);
}

// weigh notes the size of what has come, and lets go of what was not used for longest.
function weigh(id, one, size) {
  if (cache.get(id) !== one) return;
  one.size = size;
  held += size;
  for (const old of cache.keys()) {
    if (held <= most || old === id) break;
    drop(old);
  }
}

export const forget = () => { cache.clear(); held = 0; };

// show puts a picture into an img and frees the one that was there. The last
// call for an img wins, whichever answer comes first. It gives false when it
// was overtaken.
const turns = new WeakMap();
const seen = new WeakMap(); // what each img shows, so that nothing is decoded twice
export async function show(img, name, query) {
  const turn = {};
  turns.set(img, turn);
  const bytes = await blob(name, query);
  if (turns.get(img) !== turn) return false;
  if (seen.get(img) === bytes) return true;
  seen.set(img, bytes);
  const url = URL.createObjectURL(bytes);
  const old = img.dataset.url;
  img.src = url;
  Object.assign(img.dataset, { url, shows: name });
  await new Promise(done => { img.onload = img.onerror = done; if (img.complete) done(); }); // decode() would do it twice: at its size and at the screen's
  if (old) URL.revokeObjectURL(old);
  return true;
}

// clear empties an img and frees its picture.
export function clear(img) {
  turns.delete(img);
  seen.delete(img);
  if (img.dataset.url) URL.revokeObjectURL(img.dataset.url);
  img.removeAttribute('src');
  delete img.dataset.url;
  delete img.dataset.shows;
}
