// The dialog for a shade of one's own: by colour, by Lab, from a photo of cured
// chips, or blended of two powders.

import { at, make, choices, fill } from './element.js';
import { say, number, read } from './words.js';
import { call, withPhoto } from './api.js';
import { clauses } from './fault.js';
import { hexOf, labOf } from './colour.js';
import * as panel from './panel.js';
import * as palette from './palette.js';

const froms = ['colour', 'lab', 'chip', 'blend'];
const parts = 12; // the slider goes from 12 : 0 to 0 : 12

let from = 'colour';
let lab = null;
let chips = [];
let done = () => {};
let turn = 0; // of blends asked for; only the last one counts

const told = text => { at('shade-told').textContent = text; };
const wrong = text => { at('shade-wrong').textContent = text; };

function set(next) {
  lab = next;
  at('shade-swatch').style.backgroundColor = lab ? hexOf(lab) : 'transparent';
  told(lab ? say('shade.is', { l: number(lab[0], 1), a: number(lab[1], 1), b: number(lab[2], 1) }) : '');
}

function showFrom(next) {
  from = next;
  for (const el of at('shade-form').querySelectorAll('[data-from]')) el.hidden = el.dataset.from !== from;
  wrong('');
  ({ colour: byHex, lab: byLab, chip: () => set(chips[0]?.lab ?? null), blend })[from]();
}

function byHex() {
  const l = labOf(at('shade-hex').value);
  at('shade-hex').setAttribute('aria-invalid', String(!l));
  wrong(l ? '' : say('wrong.hex'));
  set(l);
}

function byLab() {
  const said = ['l', 'a', 'b'].map(k => at(`shade-${k}`).value);
  const v = said.map(read);
  const ok = !v.some(Number.isNaN) && v[0] >= 0 && v[0] <= 100 && Math.abs(v[1]) <= 128 && Math.abs(v[2]) <= 128;
  wrong(ok || said.includes('') ? '' : say('wrong.lab')); // not before all three are there
  set(ok ? v : null);
}

// simplest writes parts as people weigh them: 8 : 4 is 2 : 1.
export function simplest(a, b) {
  const common = (x, y) => y ? common(y, x % y) : x;
  const d = common(a, b) || 1;
  return [a / d, b / d];
}

async function blend() {
  const b = Number(at('blend-parts').value);
  const said = simplest(parts - b, b);
  const [first, second] = ['a', 'b'].map(k => palette.find(at(`blend-${k}`).value));
  if (!first || !second) return;
  const words = say('shade.blend.parts', { a: said[0], b: said[1], first: palette.name(first.id), second: palette.name(second.id) });
  at('blend-word').textContent = words;
  at('blend-parts').setAttribute('aria-valuetext', words);
  const mine = ++turn;
  try {
    const mixed = said.includes(0) ? { lab: said[0] ? first.lab : second.lab } : await call('POST', '/api/blend', { json: { a: { lab: first.lab }, b: { lab: second.lab }, parts: said } });
    if (mine === turn && from === 'blend') set(mixed.lab);
  } catch (fault) { at('shade-wrong').replaceChildren(...clauses([fault.what, fault.next])); }
}

async function readChips(file) {
  told(say('shade.chip.reading'));
  wrong('');
  try {
    chips = (await call('POST', '/api/chips', { form: withPhoto(file, { reference: at('chip-reference').value }) })).shades;
    const pick = id => {
      const c = chips.find(o => o.id === id);
      set(c.lab);
      at('shade-name').value = free(c.id);
    };
    choices(at('chip-list'), 'chip', chips.map(c => [c.id, say('shade.chip.one', { id: c.id, l: number(c.lab[0]) })]), chips[0]?.id, pick);
    at('chip-list').querySelectorAll('label').forEach((l, i) => l.append(make('span', { class: 'chip', style: { backgroundColor: hexOf(chips[i].lab) } })));
    if (chips.length) pick(chips[0].id);
    else told(say('shade.chip.none'));
  } catch (fault) {
    told('');
    at('shade-wrong').replaceChildren(...clauses([fault.what, fault.why, fault.next]));
  }
}

// free gives a name that no shade has yet.
function free(wanted = say('shade.own')) {
  const taken = new Set(palette.all().map(s => s.id));
  for (let i = 1; ; i++) {
    const id = i === 1 && wanted !== say('shade.own') ? wanted : `${wanted}-${i}`;
    if (!taken.has(id)) return id;
  }
}

// idOf makes a shade id of a name: small letters, digits and hyphens.
const idOf = name => name.toLowerCase().replaceAll('ä', 'ae').replaceAll('ö', 'oe').replaceAll('ü', 'ue').replaceAll('ß', 'ss')
  .normalize('NFKD').replace(/[̀-ͯ]/g, '').replace(/[^a-z0-9]+/g, '-').replace(/^-+|-+$/g, '');

function submit(e) {
  e.preventDefault();
  const id = idOf(at('shade-name').value);
  if (!lab) { wrong(say('wrong.nocolour')); return; }
  if (!id) { wrong(say('wrong.name')); at('shade-name').focus(); return; }
  if (palette.find(id)) { wrong(say('wrong.taken', { name: id })); at('shade-name').focus(); return; }
  at('shade-dialog').close();
  panel.set({ shades: [...palette.asked(), { id, lab }] }).then(() => { if (palette.find(id)) done(id); });
}

function open() {
  const list = palette.all().map(s => [s.id, say('shade.listed', { name: palette.name(s.id), l: number(s.lab[0]) })]);
  fill(at('blend-a'), list);
  fill(at('blend-b'), list);
  at('blend-b').selectedIndex = Math.min(list.length - 1, 3);
  at('shade-name').value = free();
  if (!at('shade-hex').value) at('shade-hex').value = at('shade-colour').value;
  showFrom(from);
  at('shade-dialog').showModal();
}

// start wires the dialog; added is called with the id of a new shade.
export function start(added) {
  done = added;
  const dress = () => choices(at('shade-from'), 'shade-from', froms.map(f => [f, say(`shade.from.${f}`)]), from, showFrom);
  dress();
  at('shade-add').addEventListener('click', open);
  at('shade-cancel').addEventListener('click', () => at('shade-dialog').close());
  at('shade-form').addEventListener('submit', submit);
  at('shade-colour').addEventListener('input', e => { at('shade-hex').value = e.target.value; byHex(); });
  at('shade-hex').addEventListener('input', () => { byHex(); if (lab) at('shade-colour').value = hexOf(lab); });
  for (const k of ['l', 'a', 'b']) at(`shade-${k}`).addEventListener('input', byLab);
  for (const k of ['blend-a', 'blend-b', 'blend-parts']) at(k).addEventListener('input', blend);
  at('chip-file').addEventListener('change', e => { if (e.target.files[0]) readChips(e.target.files[0]); e.target.value = ''; });
  return dress;
}
