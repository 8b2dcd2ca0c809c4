// The rest of the job: what is asked, how much to buy and mix, and the cautions.

import { at, inSight, make, engine, put, fill } from './element.js';
import { say, has, number, percent, local } from './words.js';
import { clauses } from './fault.js';
import * as panel from './panel.js';
import * as palette from './palette.js';

// Fields of the form in the order of the work: name, kind of field, what to choose from.
const fields = [
  ['thickness', 'text'], ['material', 'choice', 'materials'], ['place', 'choice', 'places'], ['kind', 'choice', 'kinds'],
  ['edge', 'text'], ['allowance', 'text'], ['temperature', 'text'], ['pot_life', 'text'], ['clock', 'choice', 'clocks'], ['start', 'when'], ['units', 'choice', 'units'],
];
const left = { materials: [''], places: [''], kinds: [], units: [], clocks: ['', 'unhurried', 'touch'] };
const inputs = {};
let last = '';  // the field changed last, which a refusal without a field is about

// length takes a figure with a comma and adds the unit that was left out.
function clean(name, text) {
  const t = text.trim().replace(/(\d),(\d)/g, '$1.$2').replace(/\s+%/, '%');
  if (!/^[\d.]+$/.test(t)) return t;
  const us = panel.state().settings.job.units === 'us';
  return t + ({ allowance: '%', temperature: us ? 'F' : 'C', pot_life: 'min' }[name] ?? (us ? 'in' : 'mm'));
}

function build() {
  at('job-form').replaceChildren(...fields.map(([name, kind, list]) => {
    const help = has(`job.${name}.help`) ? `job-${name}-help` : null;
    const props = { id: `job-${name}`, name, 'aria-describedby': help, on: { change: e => {
      e.target.removeAttribute('aria-invalid');
      at('job-form').querySelector(`[data-wrong="${name}"]`)?.replaceChildren();
      last = name;
      panel.set({ job: { [name]: kind === 'text' ? clean(name, e.target.value) : e.target.value } });
    } } };
    const input = inputs[name] = kind === 'choice' ? make('select', props) : make('input', { ...props, autocomplete: 'off', type: kind === 'when' ? 'datetime-local' : 'text' });
    if (kind === 'choice') fill(input, [...left[list], ...palette.choicesOf(list)].map(v => [v, v || has(`job.${name}.`) ? say(`job.${name}.${v}`) : say('job.unsaid')]));
    return make('div', { class: 'cell' }, make('label', { class: 'field' }, make('span', { text: say(`job.${name}`) }), input),
      help ? make('p', { class: 'small', id: help, text: say(`job.${name}.help`) }) : null,
      make('p', { class: 'wrong', role: 'alert', dataset: { wrong: name } }));
  }));
}

// fault shows a refusal beside its field; false when it belongs to none of them.
export function fault(f) {
  const name = f.field ? f.field.replace(/^job\./, '') : f.status === 422 ? last : '';
  const input = inputs[name];
  if (!input) return false;
  input.setAttribute('aria-invalid', 'true');
  at('job-form').querySelector(`[data-wrong="${name}"]`).replaceChildren(...clauses([f.what, f.next]));
  input.focus();
  input.closest('.cell').scrollIntoView({ block: 'nearest' }); // with the words below it
  return true;
}

// Weights and volumes as people read them in a workshop.
const us = () => panel.state().settings.job.units === 'us';
export function mass(kg) {
  if (us()) {
    const oz = kg / 0.028349523125; // one ounce, international avoirdupois
    return oz >= 16 ? say('mass.lb', { lb: Math.floor(oz / 16), oz: number(oz % 16, 0) }) : say('mass.oz', { oz: number(oz, 1) });
  }
  return kg < 1 ? say('mass.g', { g: number(Math.ceil(kg * 1000)) }) : say('mass.kg', { kg: number(kg, 2) });
}
const volume = l => us() ? say('volume.floz', { oz: number(l / 0.0295735295625, 1) }) : say('volume.ml', { ml: number(l * 1000) });

// amounts gives [name, value, what it means, strong].
export function amounts(job) {
  const p = job.powder_kg;
  const rows = [
    [say('job.buy'), mass(p.buy ?? p.bench[1]), say(p.small ? 'job.buy.small' : 'job.buy.help'), true],
    [say('job.ask'), [has(`job.kind.${job.kind}`) ? say(`job.kind.${job.kind}`) : job.kind, job.class].filter(Boolean).join(', '), say('job.ask.help')],
    [say('job.net'), mass(p.net), say('job.net.help', { volume: volume(job.joint_litres) })],
    [say('job.allowed'), mass(p.allowed), say('job.allowed.help', { share: percent(job.given?.allowance ?? 0.1) })],
    [say('job.bench'), say('range', { low: mass(p.bench[0]), high: mass(p.bench[1]) }), say('job.bench.help')],
  ];
  const b = job.batches ?? [];
  const same = b.every(x => x === b[0]);
  if (b.length) rows.push([say('job.mix'), same ? say('job.batches', { n: b.length, each: mass(b[0]) }) : b.map(mass).join(' + '), say('job.mix.help', { water: mass(job.water_kg) })]);
  return rows;
}

function result(s) {
  const job = s.report?.job;
  at('job-none').hidden = Boolean(job);
  for (const id of ['clock-part', 'cautions-part']) at(id).hidden = !job;
  at('job-amounts').replaceChildren(...(job ? amounts(job) : []).map(([name, value, text, strong]) => make('tr', { class: strong ? 'strong' : '' },
    make('th', { scope: 'row', text: name }), make('td', { class: 'v', text: value }), make('td', { class: 'quiet-text', text }))));
  at('job-warnings').replaceChildren(...(job?.warnings ?? []).map(w => engine('li', w.text)));
  at('cautions').replaceChildren(...(job?.cautions ?? []).map(c => engine('li', c)));
}

export function start() {
  build();
  const soon = inSight(at('job-amounts'), () => { if (panel.state()) result(panel.state()); });
  panel.watch(s => {
    last = '';
    for (const [name] of fields) put(inputs[name], local(s.settings.job[name] ?? ''));
    soon();
  });
  return () => {
    build();
    const s = panel.state();
    if (!s) return;
    for (const [name] of fields) inputs[name].value = local(s.settings.job[name] ?? '');
    result(s);
  };
}
