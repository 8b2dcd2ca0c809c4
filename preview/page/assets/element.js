// Making and finding elements. Text always goes in as text, never as markup:
// photo names, titles and reasons come from outside.

import { told } from './sentences.js';

export const at = id => document.getElementById(id);

// make builds an element. Keys of props: class, text, on (event → function),
// dataset, style; any other becomes an attribute, left out when null or false.
export function make(tag, props = {}, ...children) {
  const el = document.createElement(tag);
  for (const [key, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (key === 'class') el.className = value;
    else if (key === 'text') el.textContent = value;
    else if (key === 'on') for (const [type, act] of Object.entries(value)) el.addEventListener(type, act);
    else if (key === 'dataset') Object.assign(el.dataset, value);
    else if (key === 'style') Object.assign(el.style, value);
    else el.setAttribute(key, value === true ? '' : value);
  }
  el.append(...children.filter(c => c !== null && c !== undefined));
  return el;
}

// engine shows a sentence of the program: in the person's language where it has one,
// else in English and marked, so that a reader speaks it so.
export function engine(tag, text, props = {}) {
  const [said, lang] = told(text);
  return make(tag, { ...props, lang, text: said });
}

// inSight gives a function that draws at once where the element is in sight, and else
// when nothing else is to be done: pictures under a hand come first.
const idle = window.requestIdleCallback ?? (fn => setTimeout(fn, 100));
export function inSight(el, draw) {
  let due = false;
  return () => {
    if (el.checkVisibility?.() ?? el.offsetParent) { due = false; draw(); return; }
    if (!due) idle(() => { if (due) { due = false; draw(); } }, { timeout: 400 });
    due = true;
  };
}

// choices fills host with radio buttons: options are [value, label]. It gives a
// function that sets the value without telling.
export function choices(host, name, options, value, changed) {
  const inputs = options.map(([v, label]) => {
    const input = make('input', { type: 'radio', name, value: v, on: { change: () => changed(v) } });
    input.checked = v === value;
    return make('label', { class: 'choice' }, input, make('span', { text: label }));
  });
  host.replaceChildren(...inputs);
  return v => { for (const l of inputs) l.firstChild.checked = l.firstChild.value === v; };
}

// fill puts options into a select: [value, label].
export function fill(select, options, value) {
  const same = select.options.length === options.length && options.every(([v, label], i) => select.options[i].value === v && select.options[i].textContent === label);
  if (!same) select.replaceChildren(...options.map(([v, label]) => make('option', { value: v, text: label })));
  if (value !== undefined && select.value !== value) select.value = value;
}

// busy tells whether a person is typing in the field, so that a reply doesn't
// overwrite what is half typed.
export const busy = field => document.activeElement === field;

// put sets a field's value unless somebody is in it.
export function put(field, value) {
  if (!busy(field)) field.value = value;
}
