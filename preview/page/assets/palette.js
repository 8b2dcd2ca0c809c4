// The shades on trial, best first, with their names in the person's language.

import { call } from './api.js';
import { say, has, number } from './words.js';
import { hexOf } from './colour.js';
import * as panel from './panel.js';

let offered = { shades: [], materials: [], places: [], kinds: [], units: [] };

// fetchChoices gets what the server offers: built-in shades and the words of the job.
export async function fetchChoices() { offered = { ...offered, ...await call('GET', '/api/choices') }; }
export const choicesOf = key => offered[key] ?? [];
export const builtIn = () => offered.shades ?? [];

// all gives the shades of the report by rank, or those offered while there is none.
export function all() {
  const list = panel.report()?.shades ?? builtIn();
  return [...list].sort((a, b) => (a.rank ?? 0) - (b.rank ?? 0));
}

export const find = id => all().find(s => s.id === id);
export const own = id => !builtIn().some(s => s.id === id);
export const hex = shade => hexOf(shade.lab);
export const name = id => has(`shade.${id}`) ? say(`shade.${id}`) : id;
export const lightness = shade => say('shade.lightness', { l: number(shade.lab[0]) });

// asked is the list as settings want it: what is tried now, as id and Lab.
export function asked() {
  const said = panel.state().settings.shades;
  return (said?.length ? said : all()).map(({ id, lab }) => ({ id, lab }));
}
