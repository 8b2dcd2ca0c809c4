// The words of the page. Every one comes from one catalogue per language, with
// the same keys; HTML elements name theirs by data-word (text), data-word-label
// (aria-label) or data-word-placeholder.

const kept = 'gapshade-language';
let table = {};
let language = 'en';
let plural = new Intl.PluralRules('en');

export const languages = [['en', 'English'], ['de', 'Deutsch']];
export const current = () => language;

// load takes the language chosen before, or the browser's, or English.
export async function load(wanted = localStorage.getItem(kept) || navigator.language.slice(0, 2)) {
  language = languages.some(([id]) => id === wanted) ? wanted : 'en';
  table = await (await fetch(`/assets/words/${language}.json`)).json();
  plural = new Intl.PluralRules(language);
  document.documentElement.lang = language;
  document.title = say('page.title');
  dress(document);
}

export function choose(id) {
  localStorage.setItem(kept, id);
  return load(id);
}

// say gives a sentence. {n} in values picks key.one or key.other where the
// catalogue has them; {name} stands for values.name.
export function say(key, values = {}) {
  let text = table[key];
  if ('n' in values) text = table[`${key}.${plural.select(Number(values.n))}`] ?? table[`${key}.other`] ?? text;
  if (text === undefined) return key;
  return text.replace(/\{(\w+)\}/g, (_, name) => typeof values[name] === 'number' ? number(values[name], 2) : values[name] ?? '');
}

export const has = key => key in table;

// dress fills in the words that elements name.
export function dress(root) {
  for (const el of root.querySelectorAll('[data-word]')) el.textContent = say(el.dataset.word);
  for (const el of root.querySelectorAll('[data-word-label]')) el.setAttribute('aria-label', say(el.dataset.wordLabel));
  for (const el of root.querySelectorAll('[data-word-placeholder]')) el.placeholder = say(el.dataset.wordPlaceholder);
}

// number writes a figure as the language does; minus is a real minus sign, and
// what rounds to nothing has none.
export function number(x, digits = 0, fixed = false) {
  if (Math.abs(x) < 0.5 * 10 ** -digits) x = 0;
  return new Intl.NumberFormat(language, { maximumFractionDigits: digits, minimumFractionDigits: fixed ? digits : 0 }).format(x).replace('-', '−');
}

// per cent stands apart from its figure and stays on its line: in German by a narrow
// space (DIN 5008), in English by a full one, as in the program's own sentences.
const cent = () => `${language === 'de' ? '\u202f' : '\u00a0'}%`;
// spaced puts every per cent in a text that way.
export const spaced = text => text.replace(/(\d)\s*%/g, `$1${cent()}`);
export const percent = (share, digits = 0) => number(100 * share, digits) + cent();

// local shows a figure that was typed or kept the way the language writes it.
export const local = text => spaced(language === 'de' ? text.replace(/(\d)\.(\d)/g, '$1,$2') : text);

// signed writes a difference with its sign.
export const signed = x => (x > 0 ? '+' : '') + number(x, 0);

// read takes a figure as people write it: comma or point for decimals. NaN when
// it is none.
export function read(text) {
  const t = String(text).trim().replace('−', '-').replace(',', '.');
  return /^[-+]?(\d+\.?\d*|\.\d+)$/.test(t) ? Number(t) : NaN;
}

export function day(iso) {
  return new Intl.DateTimeFormat(language, { dateStyle: 'medium', timeStyle: 'short' }).format(new Date(iso));
}

export const hour = date => new Intl.DateTimeFormat(language, { hour: '2-digit', minute: '2-digit' }).format(date);

// minutes writes a span: minutes, hours, days.
export function minutes(m) {
  if (m < 120) return say('span.minutes', { n: Math.round(m) });
  if (m < 48 * 60) return say('span.hours', { n: Math.round(m / 30) / 2 });
  return say('span.days', { n: Math.round(m / 1440) });
}
