// The page on paper: the best shades beside the bare layout, the ranking, the job
// and its clock. It is laid out when asked for and seen only by the printer.

import { at, make, engine } from './element.js';
import { say, number, minutes, has } from './words.js';
import { amounts } from './job.js';
import { told } from './ranking.js';
import * as panel from './panel.js';
import * as palette from './palette.js';
import * as pictures from './pictures.js';

const shown = 5;     // shades with a picture, beside the bare layout: six fit a sheet
const width = 960;   // px of a picture, 80 mm at 300 dpi

const cell = (tag, text, props = {}) => make(tag, { ...props, text });

function picture(name, query, caption) {
  const img = make('img', { alt: caption });
  return [make('figure', {}, img, make('figcaption', { text: caption })), pictures.show(img, name, { wide: width, ...query })];
}

function ranking() {
  const heads = ['rank', 'shade', 'contrast', 'lightness', 'lost', 'score'];
  return make('table', {}, make('caption', { text: say('paper.ranking') }),
    make('thead', {}, make('tr', {}, ...heads.map(h => cell('th', say(`ranking.${h}`), { scope: 'col' })))),
    make('tbody', {}, ...palette.all().map(s => make('tr', {},
      cell('td', number(s.rank)),
      make('th', { scope: 'row' }, make('span', { class: 'chip', style: { backgroundColor: palette.hex(s) } }), palette.name(s.id), make('small', { text: palette.lightness(s) })),
      ...['contrast', 'lightness', 'lost', 'score'].map(k => cell('td', told(k, s)))))));
}

function job(j) {
  return make('section', {}, make('h2', { text: say('job.heading') }),
    make('table', {}, make('tbody', {}, ...amounts(j).map(([n, v, t]) => make('tr', {}, cell('th', n, { scope: 'row' }), cell('td', v), cell('td', t))))),
    make('h2', { text: say('clock.heading') }),
    make('table', {}, make('tbody', {}, ...j.clock.map(s => make('tr', {}, cell('td', say('clock.after', { start: minutes(s.start) })),
      cell('th', has(`clock.${s.step}`) ? say(`clock.${s.step}`) : s.step, { scope: 'row' }), cell('td', has(`clock.${s.step}.do`) ? say(`clock.${s.step}.do`) : ''))))),
    make('h2', { text: say('job.cautions') }), make('ul', {}, ...j.cautions.map(c => engine('li', c))));
}

// lay fills the paper and resolves when its pictures are there.
export async function lay() {
  const s = panel.state();
  const host = at('paper');
  for (const img of host.querySelectorAll('img')) pictures.clear(img);
  const best = palette.all().slice(0, shown);
  const figures = [picture('photo', {}, say('compare.bare')),
    ...best.map(b => picture(`shade-${b.id}`, { key: b.lab.join() }, say('paper.shade', { rank: b.rank, name: palette.name(b.id), l: number(b.lab[0]) })))];
  host.replaceChildren(
    make('h1', { text: s.settings.title || s.title || s.photo.name }),
    make('p', { text: say('paper.lead', { aim: say(`aim.${s.settings.aim}`) }) }),
    make('div', { class: 'sheet-grid' }, ...figures.map(f => f[0])),
    engine('p', best[0]?.reason ?? ''),
    make('p', { text: say('help.honest') }), ranking(),
    s.report?.job ? job(s.report.job) : null);
  await Promise.all(figures.map(f => f[1]));
}
