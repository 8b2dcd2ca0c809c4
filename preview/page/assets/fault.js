// What went wrong, in words: what, why, what next. The server's own words come
// through sentences.js; those of the page from the catalogue.

import { at, make, engine } from './element.js';
import { say, has } from './words.js';

// Faults that the page words itself: by the status of the reply, and "no gaps" by
// its code, because here one can help with the hand instead of a flag. The same code
// about the second photo has its own words.
const ours = { 403: 'fault.secret', 413: 'fault.large' };
const noGaps = 6;

function keyOf(fault) {
  if (fault.code === noGaps && fault.field !== 'second') return 'fault.gaps';
  if (fault.field === 'grey') return 'fault.card'; // where it lies is seen on the picture
  if (fault.status === 403) return ours[403];
  return fault.what ? '' : ours[fault.status] ?? 'fault.other';
}

// A photo that can't be read is called by the name of its file, which is nobody's to
// change: exit codes 3 and 4.
const named = fault => [3, 4].includes(fault.code) && /\.\w+$/.test(fault.what);

// clauses are what the server says, each in its language.
export const clauses = texts => texts.filter(Boolean).flatMap((t, i) => [i ? ' ' : '', engine('span', t)]);

// show puts a fault into a place on the page and reads it out.
export function show(fault, place = 'fault') {
  const key = keyOf(fault);
  const part = (name, tag) => has(`${key}.${name}`) ? make(tag, { text: say(`${key}.${name}`) }) : fault[name] ? engine(tag, fault[name]) : null;
  if (key === 'fault.other') console.error(fault);
  at(place).replaceChildren(make('div', { class: 'fault', role: 'alert' },
    make('p', {}, named(fault) ? make('b', { text: fault.what }) : part('what', 'b')), part('why', 'p'), part('next', 'p'),
    make('button', { type: 'button', class: 'button', text: say('fault.close'), on: { click: () => clear(place) } })));
  at(place).scrollIntoView?.({ block: 'nearest' });
}

export const clear = (place = 'fault') => at(place).replaceChildren();
