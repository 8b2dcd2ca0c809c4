// What is known about the panel besides its picture: size, bed, second photo,
// expected gap and shoulder, and whether it is an old wall.

import { at, choices, put, make } from './element.js';
import { say, read, local } from './words.js';
import { short, withUnit } from './lengths.js';
import * as fields from './fields.js';
import * as panel from './panel.js';

const mm = { mm: 1, cm: 10, m: 1000, in: 25.4 };
const beds = ['auto', 'white', 'grey', 'black'];

// split takes "380x300mm" apart; fractions of an inch stay as they are written.
export function split(size) {
  const m = size.match(/^(.+?)\s*(mm|cm|m|in)?\s*[x×]\s*(.+?)\s*(mm|cm|m|in)$/);
  return m ? { w: m[1], h: m[3], unit: m[4] } : { w: '', h: '', unit: '' };
}

// valid tells a length as people write it: 38, 38,5, 11 3/4.
const valid = text => !Number.isNaN(read(text)) ? read(text) > 0 : /^(\d+\s+)?\d+\/[1-9]\d*$/.test(text.trim());

function sizeSaid() {
  const [w, h] = [at('size-w'), at('size-h')];
  const unit = at('size-unit').value;
  const empty = !w.value.trim() && !h.value.trim();
  const bad = [w, h].filter(f => !valid(f.value));
  const half = bad.length === 1 && !bad[0].value.trim();
  for (const f of [w, h]) f.setAttribute('aria-invalid', String(!empty && !half && bad.includes(f)));
  at('size-wrong').textContent = empty || half || !bad.length ? '' : say('wrong.size');
  if (empty) { if (panel.state().settings.size) panel.set({ size: '' }); return; }
  if (bad.length) return;
  const clean = v => v.trim().replace(',', '.');
  const size = `${clean(w.value)}x${clean(h.value)}${unit}`;
  if (size !== panel.state().settings.size) panel.set({ size });
}

// convert writes a size that is known already in the other unit; one that is being
// typed keeps its figures.
function convert() {
  const { w, h, unit } = split(panel.state().settings.size);
  const [x, y] = [read(w), read(h)];
  if (!unit || read(at('size-w').value) !== x || read(at('size-h').value) !== y || Number.isNaN(x) || Number.isNaN(y)) return;
  const k = mm[unit] / mm[at('size-unit').value];
  at('size-w').value = local(String(Math.round(x * k * 100) / 100));
  at('size-h').value = local(String(Math.round(y * k * 100) / 100));
}

// bedRow offers the beds; "own" is any other colour.
function bedRow(host, setting) {
  const name = `bed-${setting}`;
  const colour = make('input', { type: 'color', value: '#c8b090', 'aria-label': say('bed.colour'), on: { change: () => panel.set({ [setting]: colour.value }) } });
  const said = panel.state()?.settings[setting] ?? 'auto';
  const own = said.startsWith('#');
  if (own) colour.value = said;
  const radios = make('div', { class: 'choices' });
  const show = choices(radios, name, [...beds.map(b => [b, say(`bed.${b}`)]), ['own', say('bed.own')]], own ? 'own' : said,
    v => { colour.hidden = v !== 'own'; panel.set({ [setting]: v === 'own' ? colour.value : v }); });
  colour.hidden = !own;
  host.replaceChildren(radios, colour);
  return v => { const o = v.startsWith('#'); show(o ? 'own' : v); colour.hidden = !o; if (o) put(colour, v); };
}

export function start() {
  // Width and height are sent together, when the hand leaves both.
  at('size-form').addEventListener('focusout', e => { if (!at('size-form').contains(e.relatedTarget)) sizeSaid(); });
  at('size-form').addEventListener('submit', e => { e.preventDefault(); sizeSaid(); });
  at('size-unit').addEventListener('change', convert);
  for (const setting of ['gap', 'shoulder']) fields.bind(setting, { read: t => withUnit(t, short()), write: local });
  at('set-grouted').addEventListener('change', e => panel.set({ job: { grouted: e.target.checked } }));
  at('second-file').addEventListener('change', e => { if (e.target.files[0]) panel.second(e.target.files[0]); e.target.value = ''; });
  at('second-off').addEventListener('click', () => panel.secondOff());
  let first, second;
  // Corners set by hand say where the grout ends.
  const rim = () => {
    const set = Boolean(panel.state()?.settings.corners);
    at('set-shoulder').disabled = set;
    at('set-shoulder-help').textContent = say(set ? 'edges.shoulder.corners' : 'edges.shoulder.help');
  };
  const dress = () => {
    rim();
    first = bedRow(at('bed-row'), 'bed');
    second = bedRow(at('second-bed-row'), 'second_bed');
  };
  dress();
  panel.watch((s, before) => {
    const set = s.settings;
    if (!before || set.size !== before.settings.size) {
      const { w, h, unit } = split(set.size);
      put(at('size-w'), local(w));
      put(at('size-h'), local(h));
      if (unit) put(at('size-unit'), unit === 'm' ? 'cm' : unit);
    }
    first(set.bed);
    second(set.second_bed);
    at('set-grouted').checked = set.job.grouted;
    rim();
    at('size-box').hidden = s.report?.frame.shape !== 'free';
    for (const id of ['second-name', 'second-off', 'second-bed-row']) at(id).hidden = !s.second;
    at('second-name').textContent = s.second ? say('second.named', { name: s.second.name }) : '';
  });
  return dress;
}
