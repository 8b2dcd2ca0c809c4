// What the program says in sentences of its own (reasons, notes, faults, cautions), in
// the person's language. The program speaks English; words/sentences.de.json gives
// German for each of its patterns, as they stand in the Go source: "%d of %d tiles …" →
// "{1} von {2} Steinen …". %d, %f and %g stand for a figure, %q for something typed, %s,
// %v and %w for words: {1} says them in German in turn, {1!} leaves them as they are,
// because they are a name. What has no German stays English and is marked so.

import { current, has, say } from './words.js';

let patterns = [];       // { pieces, verbs, stays, german }, the longest text first
const known = new Map(); // text → German or null

// load fetches the table where it is needed.
export async function load() {
  use(current() === 'de' ? await (await fetch('/assets/words/sentences.de.json')).json() : {});
}

// use takes a table of patterns; an empty one for English.
export function use(table) {
  known.clear();
  patterns = Object.entries(table).map(([english, german]) => pattern(english, german));
  const weight = p => p.pieces.join('').length;
  patterns.sort((a, b) => weight(b) - weight(a));
}

function pattern(english, german) {
  const p = { pieces: [''], verbs: [], stays: [], german };
  for (const [part, verb] of english.matchAll(/%(?:\.\d+)?([dfgqsvw])|%%|[^]/g)) {
    if (verb) {
      p.verbs.push(verb);
      p.stays.push(german.includes(`{${p.verbs.length}!}`));
      p.pieces.push('');
    } else p.pieces[p.pieces.length - 1] += part === '%%' ? '%' : part;
  }
  return p;
}

const figure = /^(?:[-−+]?\d[\d.]*(?:e[-+]\d+)?|NaN|[-+]?Inf)$/;
const typed = /^"((?:[^"\\]|\\.)*)"$/;
// Figures with units, such as 4 3/4 oz or 0.55 kg/m², or a unit alone.
const measure = /^(?:(?:[-−]?\d[\d.]*(?:\/\d+)?|%|°[CF]|(?:mm|cm|m|in|ft)²?|kg(?:\/m²)?|g|lb(?:\/ft²)?|oz|fl|US|qt|mL|L|min|px)(?: |$))*$/;
const shades = /^[a-z0-9-]+(?:(?:, | and )[a-z0-9-]+)*$/;

const figures = text => text.replace(/(\d)\.(?=\d)/g, '$1,').replace(/-(?=\d)/g, '−').replace(/ in$/, ' Zoll');

// names are files, or shades as they are called elsewhere on the page.
const names = text => !shades.test(text) ? text
  : text.replace(' and ', ' und ').replace(/[a-z0-9-]+(?=,| und|$)/g, id => has(`shade.${id}`) ? `„${say(`shade.${id}`)}“` : id);

// german is a text in German, or null when a part of it has none.
export function german(text) {
  if (known.has(text)) return known.get(text);
  known.set(text, null);
  const [, before, core] = text.match(/^(\s*)([^]*)$/);
  const inner = core.match(typed)?.[1];
  const said = measure.test(core) ? figures(core) : inner !== undefined ? `„${inner}“` : closed(core) ?? parted(core);
  known.set(text, said === null ? null : before + said);
  return known.get(text);
}

// closed is a whole sentence, with its full stop or closing bracket.
const closed = text => whole(text) ?? (/[.)]$/.test(text) && whole(text.slice(0, -1)) ? whole(text.slice(0, -1)) + text.at(-1) : null);

function whole(text) {
  for (const p of patterns) {
    let at = 0;
    if (!text.startsWith(p.pieces[0]) || !p.pieces.every(l => (at = text.indexOf(l, at) + l.length) >= l.length)) continue;
    const places = filled(p, text.slice(p.pieces[0].length), 0);
    if (places) return p.german.replace(/\{(\d)!?\}/g, (_, n) => places[n - 1]);
  }
  return null;
}

// filled gives what stands in the places of a pattern from the i-th on; text begins
// behind the piece before it. null when it doesn't fit.
function filled(p, text, i) {
  if (i === p.verbs.length) return text === '' ? [] : null;
  const next = p.pieces[i + 1];
  const most = text.length - next.length;
  for (let end = i === p.verbs.length - 1 ? most : 0; end >= 0 && end <= most; end++) {
    if (!text.startsWith(next, end)) continue;
    const here = placed(p.verbs[i], text.slice(0, end), p.stays[i]);
    const rest = here === null ? null : filled(p, text.slice(end + next.length), i + 1);
    if (rest) return [here, ...rest];
  }
  return null;
}

function placed(verb, text, stays) {
  if ('dfg'.includes(verb)) return figure.test(text) ? figures(text) : null;
  if (verb === 'q') return typed.test(text) ? german(text) : null;
  return stays ? names(text) : german(text);
}

// parted splits where the program joins: sentences, clauses, a head and its text.
function parted(text) {
  for (const joint of ['. ', '; ', ': ', ', ']) {
    for (let at = text.indexOf(joint); at > 0; at = text.indexOf(joint, at + 1)) {
      const stop = joint === '. ' ? 1 : 0;
      const left = typed.test(text.slice(0, at)) ? german(text.slice(0, at)) : closed(text.slice(0, at + stop));
      const right = left === null ? null : german(text.slice(at + joint.length));
      if (right !== null) return left + joint.slice(stop) + right;
    }
  }
  return null;
}

// sentence gives a text its capital and its full stop, unless it begins with the name
// of a file, which is nobody's to change.
const sentence = t => t && !/^\S+\.\w+(:|$)/.test(t) ? t[0].toUpperCase() + t.slice(1) + (/[.!?]$/.test(t) ? '' : '.') : t;

// told is what the program said as the page shows it: [text, lang]. Flags of the command
// are needless before a value in its own field, and a word in quotes elsewhere.
export function told(text) {
  const bare = (text ?? '').trim();
  const said = patterns.length ? german(bare) ?? german(bare.replace(/^--[a-z-]+: /, '')) : null;
  if (said !== null) return [sentence(said), null];
  return [sentence(bare.replace(/^--[a-z-]+:? |(?<=such as )--[a-z-]+ /g, '').replace(/--([a-z-]+)/g, '“$1”').trim()), 'en'];
}
