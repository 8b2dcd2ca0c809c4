// Text fields of settings: what is kept stands in them, what is typed is sent, and
// what the server refuses is said below. Field set-x belongs to setting x, and the
// words below it are set-x-wrong.

import { at, busy, make } from './element.js';
import { say } from './words.js';
import { clauses } from './fault.js';
import * as panel from './panel.js';

const bound = new Map(); // setting → {input, wrong, write}

function clear({ input, wrong }) {
  input.removeAttribute('aria-invalid');
  wrong.replaceChildren();
}

// bind ties a field to a setting. read turns what was typed into what is sent, write
// what is kept into what is shown; also gives settings that go with it. Text for
// which read gives null is none: wrong is then said, and nothing sent.
export function bind(setting, { read = t => t, write = t => t, also = () => ({}), wrong = 'wrong.number' } = {}) {
  const input = at(`set-${setting}`);
  const field = { input, wrong: at(`set-${setting}-wrong`), write };
  bound.set(setting, field);
  input.addEventListener('input', () => clear(field));
  input.addEventListener('change', () => {
    const value = read(input.value.trim());
    if (value === null) refuse(field, make('span', { text: say(wrong) }));
    else panel.set({ [setting]: value, ...also() });
  });
}

function refuse({ input, wrong }, ...words) {
  input.setAttribute('aria-invalid', 'true');
  wrong.replaceChildren(...words);
}

// fault shows a refusal below its field; false when that is not in sight.
export function fault(f) {
  const field = bound.get(f.field);
  if (!field || field.input.disabled || field.input.closest('.step')?.hidden) return false;
  const fold = field.input.closest('details');
  if (fold) fold.open = true;
  refuse(field, ...clauses([f.what, f.next]));
  field.input.focus();
  field.wrong.scrollIntoView({ block: 'nearest' });
  return true;
}

// show writes what is kept into all fields in which nobody is.
function show() {
  const s = panel.state()?.settings;
  if (!s) return;
  for (const [setting, field] of bound) {
    if (busy(field.input)) continue;
    field.input.value = field.write(String(s[setting] ?? ''));
    clear(field);
  }
}

export function start() {
  panel.watch(show);
  return show;
}
