// Lengths as people write them: with a comma or a point, with a unit or without,
// and distances one after the other.

import { say, number, local } from './words.js';
import * as panel from './panel.js';

const ft = 0.3048; // m, exact by definition (international yard and pound agreement, 1959)

// feet says whether the panel is measured in inches: then distances are in feet.
export const feet = () => {
  const s = panel.state()?.settings;
  return Boolean(s) && (s.job.units === 'us' || /in$/.test(s.size));
};

// short is the unit of short lengths where none is written.
export const short = () => feet() ? 'in' : 'mm';

// withUnit gives a length as the server takes it; a bare figure gets the unit.
export function withUnit(text, unit) {
  const t = text.trim().replace(/(\d),(\d)/g, '$1.$2');
  return /^([\d.]+|(\d+ )?\d+\/\d+)$/.test(t) ? t + unit : t;
}

// distances reads "0,6 m; 2m" or "2ft, 6ft" for the server: "0.6m,2m". One comma
// between two digits is a decimal comma, as everywhere on the page; all others part.
export function distances(text) {
  const parts = text.split(/;|,(?!\d)|(?<=[a-z"]\s*),/i).flatMap(p => (p.match(/,/g) ?? []).length > 1 || /\..*,/.test(p) ? p.split(',') : [p]);
  return parts.map(p => withUnit(p, feet() ? 'ft' : 'm').replace(/(\d)\s+(?=[a-z"])/gi, '$1')).filter(Boolean).join(',');
}

// listed writes them back: "0.6 m, 2 m", with semicolons where a comma is decimal.
export function listed(kept) {
  const all = kept.split(',').filter(Boolean).map(d => local(d.trim().replace(/(\d)\s*([a-z"]+)$/i, '$1\u00a0$2')));
  return all.join(say('list.comma'));
}

// from says where one stands, by metres.
export const from = m => feet() ? say('look.from.feet', { ft: number(m / ft, 1) }) : say('look.from', { m: number(m, 1) });
