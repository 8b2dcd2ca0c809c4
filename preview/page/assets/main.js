// Where the page begins: words, then the wiring of each part, then the place
// where the person was.

import { at, fill, make } from './element.js';
import * as words from './words.js';
import * as sentences from './sentences.js';
import * as api from './api.js';
import * as panel from './panel.js';
import * as stage from './stage.js';
import * as steps from './steps.js';
import * as start from './start.js';
import * as fault from './fault.js';
import * as progress from './progress.js';
import * as edges from './edges.js';
import * as fields from './fields.js';
import * as size from './size.js';
import * as gaps from './gaps.js';
import * as compare from './compare.js';
import * as joint from './joint.js';
import * as palette from './palette.js';
import * as shade from './shade.js';
import * as ranking from './ranking.js';
import * as job from './job.js';
import * as clock from './clock.js';
import * as take from './take.js';
import * as ask from './ask.js';
import * as paper from './paper.js';
import * as keys from './keys.js';

const { say } = words;
const kept = 'gapshade-panel'; // this tab's panel, so that a reload comes back to it
const been = 'gapshade-home';  // the person went to the list by choice

function place(name) {
  document.body.dataset.place = name;
  at('start').hidden = name !== 'start';
  at('bench').hidden = name !== 'bench';
}

function bench() {
  const s = panel.state();
  sessionStorage.setItem(kept, s.id);
  place('bench');
  steps.go(sessionStorage.getItem('gapshade-step') ?? 'shades');
  scrollTo(0, 0);
  at('tray').focus({ preventScroll: true });
}

function home() {
  steps.off();
  panel.leave();
  stage.empty();
  sessionStorage.removeItem(kept);
  sessionStorage.removeItem('gapshade-step');
  sessionStorage.setItem(been, 'yes');
  fault.clear();
  place('start');
  title();
  start.earlier();
  at('start').focus({ preventScroll: true });
  scrollTo(0, 0);
}

function title() {
  const s = panel.state();
  const name = s ? s.settings.title || s.title || s.photo.name : '';
  at('head-title').textContent = name;
  document.title = name ? say('page.title.of', { name }) : say('page.title');
}

// Ranking and after show what was chosen.
const takeStep = { ...compare.step, enter() { compare.step.enter(); if (panel.report()) paper.lay().catch(panel.complain); } };

function wire() {
  const dressers = [
    () => stage.start(panel.complain), ask.start, progress.start, edges.start, size.start, gaps.start, () => compare.start(steps.draw), joint.start,
    () => shade.start(compare.only),
    () => ranking.start(id => { steps.go('shades', true); compare.only(id); }),
    fields.start, job.start, clock.start, () => take.start(home), () => start.start(bench), keys.start,
    () => steps.start({ edges: edges.step, gaps: gaps.step, shades: compare.step, ranking: compare.step, job: compare.step, take: takeStep }),
  ].map(begin => begin()).filter(Boolean);
  at('home').addEventListener('click', home);
  const language = at('language');
  fill(language, words.languages, words.current());
  language.addEventListener('change', async () => {
    await words.choose(language.value);
    await sentences.load();
    for (const dress of dressers) dress();
    title();
    if (panel.state()) { const s = steps.current(); steps.off(); steps.go(s); }
  });
}

function listen() {
  api.onLost(lost => {
    at('lost').hidden = !lost;
    if (lost && !at('lost').firstChild) at('lost').replaceChildren(make('p', {}, make('b', { text: say('lost.what') }), ' ', say('lost.next')));
    if (!lost) at('lost').replaceChildren();
  });
  panel.onFault(f => { if (!fields.fault(f) && !(steps.current() === 'job' && job.fault(f))) fault.show(f); });
  panel.watch((s, before) => {
    title();
    if (s.fault && JSON.stringify(s.fault) !== JSON.stringify(before?.fault)) fault.show(s.fault);
    if (!s.fault && before?.fault) fault.clear();
    stage.refresh();
  });
}

// inWork is the panel that the server has on its own bench, such as the photo given
// with the command; undefined when there is none, or more than one.
function inWork(panels) {
  const awake = panels.filter(p => p.stage !== 'asleep');
  return awake.length === 1 && !sessionStorage.getItem(been) ? awake[0].id : undefined;
}

async function begin() {
  const known = api.takeSecret();
  await words.load();
  await sentences.load();
  listen();
  if (!known) { place('start'); fault.show({ status: 403 }, 'start-fault'); return; }
  try { await palette.fetchChoices(); } catch (f) { fault.show(f, 'start-fault'); return; }
  wire();
  place('start');
  const panels = await start.earlier();
  const id = sessionStorage.getItem(kept) ?? inWork(panels);
  if (id && await start.reopen(id)) bench();
}

begin();
