// Taking the result away: all files in a zip, single papers, or on paper.

import { at, make, put } from './element.js';
import { say } from './words.js';
import { send } from './api.js';
import { ask } from './ask.js';
import * as panel from './panel.js';
import * as paper from './paper.js';

const papers = [['report.html', 'take.report'], ['job.html', 'take.job'], ['job.pdf', 'take.job.pdf'], ['clock.ics', 'take.clock']];
let wanting = false; // the zip is saved as soon as it is ready

// save hands bytes to the browser as a file.
async function save(rest, name) {
  const bytes = await (await send('GET', panel.address(rest))).blob();
  const url = URL.createObjectURL(bytes);
  const a = make('a', { href: url, download: name });
  document.body.append(a);
  a.click();
  a.remove();
  // The download has begun by then; the bytes may go.
  setTimeout(() => URL.revokeObjectURL(url), 60000);
}

const stem = () => (panel.state().settings.title || panel.state().photo.name.replace(/\.\w+$/, '') || 'gapshade').replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '') || 'gapshade';

async function zip() {
  const s = panel.state();
  wanting = true;
  at('take-zip-word').textContent = say('take.zip.making');
  if (s.zip_ready) return fetchZip();
  const next = await panel.makeZip();
  if (!next) { wanting = false; at('take-zip-word').textContent = ''; }
}

async function fetchZip() {
  wanting = false;
  try {
    await save('/zip', `${stem()}-grout.zip`);
    at('take-zip-word').textContent = say('take.zip.saved');
  } catch (fault) {
    at('take-zip-word').textContent = '';
    panel.complain(fault);
  }
}

function buttons() {
  at('take-papers').replaceChildren(...papers.map(([file, key]) => make('button', { type: 'button', class: 'button', on: { click: () => save(`/${file}`, `${stem()}-${file}`).catch(panel.complain) } }, say(key))));
}

// start wires the step; gone is called when the panel was deleted.
export function start(gone) {
  buttons();
  at('take-zip').addEventListener('click', zip);
  at('take-print').addEventListener('click', async () => {
    await paper.lay().catch(panel.complain);
    print();
  });
  at('straighten').addEventListener('change', e => panel.set({ straighten: e.target.checked }));
  at('take-title').addEventListener('change', e => panel.set({ title: e.target.value.trim() }));
  at('panel-delete').addEventListener('click', async () => {
    const s = panel.state();
    if (!await ask(say('take.delete.ask', { name: s.title || s.photo.name }), say('take.delete.why'), say('take.delete.yes'))) return;
    try {
      await panel.remove(s.id);
      gone();
    } catch (fault) { panel.complain(fault); }
  });
  panel.watch((s, before) => {
    put(at('take-title'), s.settings.title);
    at('straighten').checked = s.settings.straighten;
    for (const id of ['take-zip', 'take-print']) at(id).disabled = !s.report;
    const [report, ...rest] = at('take-papers').children;
    report.disabled = !s.report;
    for (const b of rest) b.disabled = !s.report?.job;
    rest.at(-1).disabled ||= !s.settings.job.start;
    if (!before) { wanting = false; at('take-zip-word').textContent = ''; }
    if (wanting && s.zip_ready) fetchZip();
    if (wanting && before?.task?.kind === 'zip' && !s.task && !s.zip_ready) { wanting = false; at('take-zip-word').textContent = ''; }
  });
  return () => { buttons(); };
}
