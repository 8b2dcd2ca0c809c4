// The clock of the work: steps with their minutes, and a timer that survives a
// reload, because only its start is kept.

import { at, make } from './element.js';
import { say, has, minutes, hour } from './words.js';
import * as panel from './panel.js';
import * as sound from './sound.js';

// What is kept per panel: start (ms), paused (ms, or 0), shift (ms saved or lost
// by skipping and pausing), done (index of the step in hand).
let kept = null;
let steps = [];
let ticking = 0;

const key = () => `gapshade-clock-${panel.state().id}`;
const name = step => has(`clock.${step}`) ? say(`clock.${step}`) : step;

function load() {
  try { kept = JSON.parse(localStorage.getItem(key())); } catch { kept = null; }
}
function save() {
  if (kept) localStorage.setItem(key(), JSON.stringify(kept));
  else localStorage.removeItem(key());
}

// elapsed is minutes since the water met the powder, pauses and skips counted.
function elapsed(now = Date.now()) {
  return ((kept.paused || now) - kept.start) / 60000;
}

const current = t => {
  const i = steps.findIndex(s => t < s.end);
  return i < 0 ? steps.length : i;
};

// span writes minutes and seconds, hours and minutes, or days.
function span(m) {
  if (m >= 48 * 60) return minutes(m);
  const s = Math.max(0, Math.ceil(m * 60));
  const two = v => String(v).padStart(2, '0');
  return s >= 3600 ? say('clock.hm', { h: Math.floor(s / 3600), m: two(Math.floor(s % 3600 / 60)) }) : `${Math.floor(s / 60)}:${two(s % 60)}`;
}

function tick() {
  const running = Boolean(kept);
  at('clock-start').textContent = say(!running ? 'clock.start' : kept.paused ? 'clock.go' : 'clock.pause');
  at('clock-skip').disabled = at('clock-stop').disabled = !running;
  if (!running) {
    at('clock-step').textContent = say('clock.ready');
    at('clock-left').textContent = steps.length ? span(steps[0].end) : '';
    at('clock-next').textContent = '';
    mark(-1);
    return;
  }
  const t = elapsed();
  const i = current(t);
  if (i !== kept.done) {
    const rang = i > kept.done;
    kept.done = i;
    save();
    if (rang && i < steps.length) {
      sound.ring();
      at('live').textContent = say('clock.now', { step: name(steps[i].step) });
    }
  }
  const step = steps[i];
  at('clock-step').textContent = step ? say(kept.paused ? 'clock.paused' : 'clock.now', { step: name(step.step) }) : say('clock.done');
  at('clock-left').textContent = step ? span(step.end - t) : '';
  at('clock-next').textContent = steps[i + 1] ? say('clock.then', { step: name(steps[i + 1].step) }) : '';
  mark(i);
}

let marked = null;
function mark(i) {
  if (marked === i) return;
  marked = i;
  [...at('clock-steps').children].forEach((li, j) => {
    li.classList.toggle('past', j < i);
    j === i ? li.setAttribute('aria-current', 'step') : li.removeAttribute('aria-current');
    li.querySelector('.state').textContent = j < i ? say('clock.past') : j === i ? say('clock.here') : '';
  });
}

function list() {
  marked = null;
  at('clock-steps').replaceChildren(...steps.map(s => make('li', {},
    make('b', { text: name(s.step) }), make('span', { class: 'state' }),
    make('span', { class: 'n when', text: when(s) }),
    make('p', { class: 'small', text: has(`clock.${s.step}.do`) ? say(`clock.${s.step}.do`) : '' }))));
}

// when gives clock times while it runs, and minutes from the water else.
function when(s) {
  if (kept && s.end < 24 * 60) return say('range', { low: hour(new Date(kept.start + s.start * 60000)), high: hour(new Date(kept.start + s.end * 60000)) });
  return s.start === 0 ? say('clock.first', { end: minutes(s.end) }) : say('clock.after', { start: minutes(s.start) });
}

function restart() {
  list();
  tick();
  clearInterval(ticking);
  ticking = setInterval(tick, 500);
}

function toggle() {
  sound.ready(); // browsers let sound begin only at a press
  if (!kept) kept = { start: Date.now(), paused: 0, done: 0 };
  else if (kept.paused) {
    kept.start += Date.now() - kept.paused;
    kept.paused = 0;
  } else kept.paused = Date.now();
  save();
  restart();
}

function skip() {
  const t = elapsed();
  const step = steps[current(t)];
  if (!step) return;
  // The rest of the step is taken off, so that all later ones move forward.
  kept.start -= (step.end - t) * 60000 + 1;
  save();
  restart();
}

function stop() {
  kept = null;
  save();
  restart();
}

export function start() {
  at('clock-start').addEventListener('click', toggle);
  at('clock-skip').addEventListener('click', skip);
  at('clock-stop').addEventListener('click', stop);
  at('clock-sound').checked = sound.wanted();
  at('clock-sound').addEventListener('change', e => sound.want(e.target.checked));
  panel.watch((s, before) => {
    const next = s.report?.job?.clock ?? [];
    if (before && JSON.stringify(next) === JSON.stringify(steps)) return;
    steps = next;
    load();
    restart();
  });
  return () => { if (panel.state()) restart(); };
}
