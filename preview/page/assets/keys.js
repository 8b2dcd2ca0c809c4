// Single keys for the whole bench, and the page that lists them. They can be
// switched off, because speech input can press them by accident (WCAG 2.1.4).

import { at, make } from './element.js';
import { say } from './words.js';
import * as steps from './steps.js';
import * as compare from './compare.js';
import * as panel from './panel.js';

const kept = 'gapshade-keys';
const rows = ['bare', 'step', 'zoom', 'pan', 'corner', 'card', 'brush', 'space', 'undo', 'divider'];

function press(e) {
  if (!panel.state() || document.querySelector('dialog[open]')) return;
  const typing = e.target.closest('input:not([type=checkbox]):not([type=radio]):not([type=range]), select, textarea');
  if ((e.ctrlKey || e.metaKey) && !typing && steps.current() === 'gaps' && e.key.toLowerCase() === 'z') {
    e.preventDefault();
    e.shiftKey ? panel.redo() : panel.undo();
    return;
  }
  if (typing || e.ctrlKey || e.metaKey || e.altKey || !at('single-keys').checked) return;
  const step = steps.names[Number(e.key) - 1];
  if (e.key.toLowerCase() === 'b') compare.toggleBare();
  else if (step) steps.go(step, true);
}

export function start() {
  const dress = () => at('help-rows').replaceChildren(...rows.map(r => make('tr', {}, make('th', { scope: 'row', text: say(`keys.${r}.key`) }), make('td', { text: say(`keys.${r}`) }))));
  dress();
  at('single-keys').checked = localStorage.getItem(kept) !== 'off';
  at('single-keys').addEventListener('change', e => localStorage.setItem(kept, e.target.checked ? 'on' : 'off'));
  at('help-open').addEventListener('click', () => at('help-dialog').showModal());
  at('help-close').addEventListener('click', () => at('help-dialog').close());
  addEventListener('keydown', press);
  return dress;
}
