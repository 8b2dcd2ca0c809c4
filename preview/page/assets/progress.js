// Work in progress: nothing for a second, then what is being done, from two
// seconds how far it is and a way to stop it. What strokes teach comes within a second:
// while it is on its way, the pictures say that they are late.

import { at } from './element.js';
import { say, percent, has } from './words.js';
import * as panel from './panel.js';

let since = 0;
let timer = 0;

function draw() {
  const task = panel.state()?.task;
  const box = at('work');
  if (!task) {
    box.hidden = true;
    at('work-word').textContent = at('work-share').textContent = '';
    since = 0;
    return;
  }
  const past = performance.now() - since;
  box.hidden = past < 1000;
  const word = has(`work.${task.stage}`) ? say(`work.${task.stage}`) : say('work.busy');
  if (at('work-word').textContent !== word) at('work-word').textContent = word;
  const far = past >= 2000 && task.share > 0;
  if (far) at('work-bar').value = task.share;
  else at('work-bar').removeAttribute('value');
  at('work-share').textContent = far ? percent(task.share) : '';
  at('work-cancel').hidden = past < 2000;
  clearTimeout(timer);
  timer = setTimeout(draw, 250);
}

export function start() {
  at('work-cancel').addEventListener('click', () => panel.cancel());
  panel.watch((s, before) => {
    if (s.task && (!before?.task || before.task.kind !== s.task.kind)) {
      since = performance.now();
      at('live').textContent = has(`work.${s.task.stage}`) ? say(`work.${s.task.stage}`) : say('work.busy');
    }
    if (!s.task && before?.task && s.report) at('live').textContent = say('work.done', { n: s.report.tiles.count });
    if (s.learning && !before?.learning) at('live').textContent = say('work.learning');
    at('late').hidden = !s.learning;
    document.querySelector('.stage').setAttribute('aria-busy', String(Boolean(s.task || s.learning)));
    draw();
  });
}
