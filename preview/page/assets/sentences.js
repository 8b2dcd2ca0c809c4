// What the program says in sentences of its own (reasons, notes, faults, cautions), in
// the person's language. The program speaks English; words/sentences.de.json gives
// German for each of its patterns, as they stand in the Go source: "%d of %d tiles …" →
// "{1} von {2} Steinen …". %d, %f and %g stand for a figure, %q for something typed, %s,
// %v and %w for words: {1} says them in German in turn, {1!} leaves them as they are,
// because they are a name. What has no German stays English and is marked so.

import { current, has, say, spaced } from './words.js';

let patterns = []; // { pieces, verbs, stays, german }, the longest text first
let known = [];    // what was found out, text → German or null

// load fetches the table where it is needed.
export async function load() {
  use(current() === 'de' ? await (await fetch('/assets/words/sentences.de.json')).json() : {});
}

// use takes a table of patterns; an empty one for English.
export function use(table) {
  known = known.map(() => new Map());
  const weight = p => p.pieces.join('').length;
  patterns = Object.entries(table).map(pattern).sort((a, b) => weight(b) - weight(a));
}

function pattern([english, german]) {
  const p = { pieces: [''], verbs: [], stays: [], german };
  for (const [part, verb] of english.matchAll(/%(?:\.\d+)?([dfgqsvw])|%%|[^]/g)) {
    if (verb) {
      p.stays.push(!german.includes(`{${p.verbs.push(verb)}}`));
      p.pieces.push('');
    } else p.pieces[p.pieces.length - 1] += part === '%%' ? '%' : part;
  }
  return p;
}

// once looks at every text only once, and forgets when strokes have brought too many.
function once(find) {
  const at = known.push(new Map()) - 1;
  return text => {
    if (known[at].size > 9999) known[at].clear();
    if (!known[at].has(text)) known[at].set(text, find(text));
    return known[at].get(text);
  };
}

const figure = /^(?:[-−+]?\d[\d.]*(?:e[-+]\d+)?|NaN|[-+]?Inf)$/;
// Figures with units, such as 4 3/4 oz or 0.55 kg/m², or a unit alone.
const measure = /^(?:(?:[-−]?\d[\d.]*(?:\/\d+)?|%|°[CF]|(?:mm|cm|m|in|ft)²?|kg(?:\/m²)?|g|lb(?:\/ft²)?|oz|fl|US|qt|mL|L|min|px)(?: |$))*$/;
const typed = /^"((?:[^"\\]|\\.)*)"$/;
const shades = /^[a-z0-9-]+(?:(?:, | and )[a-z0-9-]+)*$/;

const figures = text => text.replace(/(\d)\.(?=\d)/g, '$1,').replace(/-(?=\d)/g, '−').replace(/ in$/, ' Zoll');

// names are files, or shades as they are called elsewhere on the page.
const names = text => !shades.test(text) ? text
  : text.replace(' and ', ' und ').replace(/[a-z0-9-]+(?=,| und|$)/g, id => has(`shade.${id}`) ? `„${say(`shade.${id}`)}“` : id);

// closed is one sentence, with its full stop or the bracket that ends it.
const closed = text => whole(text) ?? (/[.)]$/.test(text) ? whole(text.slice(0, -1))?.concat(text.at(-1)) ?? null : null);

const whole = once(text => {
  if (typed.test(text)) return `„${text.match(typed)[1]}“`;
  for (const p of patterns) {
    const places = text.startsWith(p.pieces[0]) && text.endsWith(p.pieces.at(-1)) && filled(p, text.slice(p.pieces[0].length), 0);
    if (places) return p.german.replace(/\{(\d)!?\}/g, (_, n) => places[n - 1]);
  }
  return null;
});

// filled gives what stands in the places of a pattern from the i-th on; text begins
// behind the piece before it. null when it doesn't fit.
function filled(p, text, i) {
  if (i === p.verbs.length) return text === '' ? [] : null;
  const next = p.pieces[i + 1];
  const most = text.length - next.length;
  for (let end = i === p.verbs.length - 1 ? most : 0; end >= 0 && end <= most; end++) {
    if (!text.startsWith(next, end)) continue;
    const rest = filled(p, text.slice(end + next.length), i + 1); // first, for figures at the end are soon looked at
    const here = rest && placed(p.verbs[i], text.slice(0, end), p.stays[i]);
    if (here !== null) return [here, ...rest];
  }
  return null;
}

// placed is one of them: a figure, something typed, a name, or words. No bracket is
// left open in it, and no clause ends in a name.
function placed(verb, text, stays) {
  if ('dfg'.includes(verb)) return figure.test(text) ? figures(text) : null;
  if (verb === 'q') return typed.test(text) ? whole(text) : null;
  if (text.split('(').length !== text.split(')').length) return null;
  if (stays) return text.includes('; ') ? null : names(text);
  const core = text.trimStart(); // words: a figure with its unit, one pattern, or a list of such
  if (measure.test(core)) return figures(text);
  const parts = whole(core) !== null ? [whole(core)] : core.split(', ').map(whole);
  return parts.includes(null) ? null : text.slice(0, text.length - core.length) + parts.join(', ');
}

// german is a whole text, split where the program joins: sentences, clauses, a head and
// its text. null when a part has no German.
const german = once(text => {
  if (closed(text) !== null) return closed(text);
  for (const joint of ['. ', '; ', ': ', ', ']) {
    for (let at = text.indexOf(joint); at > 0; at = text.indexOf(joint, at + 1)) {
      const left = closed(text.slice(0, joint === '. ' ? at + 1 : at));
      const right = left === null ? null : german(text.slice(at + joint.length));
      if (right !== null) return left + joint.replace('.', '') + right;
    }
  }
  return null;
});

// told is what the program said as the page shows it: [text, lang], with its capital and
// full stop. Flags of the command are left out before a value in its own field, and put
// in quotes elsewhere. The name of a file at the beginning is nobody's to change.
export function told(text) {
  const bare = (text ?? '').trim();
  const said = patterns.length && bare ? german(bare) ?? german(bare.replace(/^--[a-z-]+: /, '')) : null;
  const t = spaced(said ?? bare.replace(/^--[a-z-]+:? |(?<=such as )--[a-z-]+ /g, '').replace(/--([a-z-]+)/g, '“$1”').trim());
  return [t && !/^\S+\.\w+(:|$)/.test(t) ? t[0].toUpperCase() + t.slice(1) + (/[.!?]$/.test(t) ? '' : '.') : t, said === null ? 'en' : null];
}
