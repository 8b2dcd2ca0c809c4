// The first thing one sees: put a photo here, or go on with an earlier panel.

import { at, make } from './element.js';
import { say, day, has } from './words.js';
import * as panel from './panel.js';
import * as fault from './fault.js';

let begun = () => {};
let busy = false;
let giveUp = null;

// begin runs one way to get a panel and shows what goes wrong.
async function begin(way) {
  if (busy) return;
  busy = true;
  fault.clear('start-fault');
  at('drop').setAttribute('aria-busy', 'true');
  at('live').textContent = say('work.reading');
  giveUp = new AbortController();
  // Nothing for a second; a way to stop from two.
  const timers = [setTimeout(() => { at('start-work').hidden = false; }, 1000), setTimeout(() => { at('start-cancel').hidden = false; }, 2000)];
  try {
    await way(giveUp.signal);
    begun();
  } catch (f) {
    if (!giveUp.signal.aborted) fault.show(f, 'start-fault');
  } finally {
    busy = false;
    timers.forEach(clearTimeout);
    at('start-work').hidden = at('start-cancel').hidden = true;
    at('drop').removeAttribute('aria-busy');
  }
}

// earlier fills the list of panels kept.
export async function earlier() {
  let list = [];
  try { list = await panel.list(); } catch (f) { fault.show(f, 'start-fault'); }
  at('earlier').hidden = !list.length;
  at('earlier-list').replaceChildren(...list.map(p => make('li', {}, make('button', { type: 'button', class: 'earlier-panel', on: { click: () => begin(() => panel.open(p.id)) } },
    make('b', { text: p.title || p.name }),
    make('span', { class: 'small', text: [p.title ? p.name : '', has(`stage.${p.stage}`) ? say(`stage.${p.stage}`) : '', day(p.updated)].filter(Boolean).join(' · ') })))));
  return list;
}

function dropping() {
  const drop = at('drop');
  const over = on => drop.classList.toggle('over-drop', on);
  // A photo may be let go anywhere on the page; the browser must not leave for it.
  addEventListener('dragover', e => { if (e.dataTransfer.types.includes('Files')) { e.preventDefault(); over(true); } });
  addEventListener('dragleave', e => { if (!e.relatedTarget) over(false); });
  addEventListener('drop', e => {
    over(false);
    const file = e.dataTransfer.files[0];
    if (!file) return;
    e.preventDefault();
    begin(signal => panel.add(file, signal));
  });
  addEventListener('paste', e => {
    const file = [...e.clipboardData?.files ?? []].find(f => f.type.startsWith('image/'));
    if (file && document.body.dataset.place === 'start') begin(signal => panel.add(file, signal));
  });
}

// start wires the place; opened is called when a panel lies on the bench.
export function start(opened) {
  begun = opened;
  for (const id of ['choose', 'take-photo']) at(id).addEventListener('change', e => {
    const file = e.target.files[0];
    e.target.value = '';
    if (file) begin(signal => panel.add(file, signal));
  });
  at('sample').addEventListener('click', () => begin(panel.addSample));
  at('start-cancel').addEventListener('click', () => giveUp?.abort());
  dropping();
  return () => { if (document.body.dataset.place === 'start') earlier(); };
}

// reopen goes back to a panel after a reload; false when it is gone.
export async function reopen(id) {
  try {
    await panel.open(id);
    return true;
  } catch (f) {
    if (f.status !== 404) fault.show(f, 'start-fault');
    return false;
  }
}
