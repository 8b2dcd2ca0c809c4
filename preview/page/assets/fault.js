// What went wrong, in words: what, why, what next. The server's own words are
// English; those of the page come from the catalogue.

import { at, make } from './element.js';
import { say, has } from './words.js';

// Faults that the page words itself: by the status of the reply, and "no gaps" by
// its code, because here one can help with the hand instead of a flag.
const ours = { 403: 'fault.secret', 413: 'fault.large' };
const noGaps = 6;

function keyOf(fault) {
  if (fault.code === noGaps) return 'fault.gaps';
  if (fault.field === 'grey') return 'fault.card'; // where it lies is seen on the picture
  if (fault.status === 403) return ours[403];
  return fault.what ? '' : ours[fault.status] ?? 'fault.other';
}

// plain makes a sentence of the server's words. They name the command's flags:
// needless before a value in its own field, a word in quotes elsewhere.
export function plain(text) {
  const t = (text ?? '').replace(/^--[a-z-]+:? |(?<=such as )--[a-z-]+ /g, '').replace(/--([a-z-]+)/g, '“$1”').trim();
  if (/^\S+\.\w+(:|$)/.test(t)) return t; // begins with the name of a file, which is nobody's to change
  return t && t[0].toUpperCase() + t.slice(1) + (/[.!?]$/.test(t) ? '' : '.');
}

// show puts a fault into a place on the page and reads it out.
export function show(fault, place = 'fault') {
  const key = keyOf(fault);
  const [what, next] = key ? [say(`${key}.what`), say(`${key}.next`)] : [plain(fault.what), plain(fault.next)];
  const why = has(`${key}.why`) ? say(`${key}.why`) : plain(fault.why);
  if (key === 'fault.other') console.error(fault);
  at(place).replaceChildren(make('div', { class: 'fault', role: 'alert', lang: key ? null : 'en' },
    make('p', {}, make('b', { text: what })), why ? make('p', { lang: has(`${key}.why`) ? null : 'en', text: why }) : null, next ? make('p', { text: next }) : null,
    make('button', { type: 'button', class: 'button', lang: document.documentElement.lang, text: say('fault.close'), on: { click: () => clear(place) } })));
  at(place).scrollIntoView?.({ block: 'nearest' });
}

export const clear = (place = 'fault') => at(place).replaceChildren();
