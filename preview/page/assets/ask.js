// A question before something that can't be taken back.

import { at } from './element.js';

// ask shows the question; true when it was answered with yes.
export function ask(what, why, yes) {
  at('ask-h').textContent = what;
  at('ask-why').textContent = why;
  at('ask-yes').textContent = yes;
  const box = at('ask-dialog');
  box.returnValue = '';
  box.showModal();
  at('ask-no').focus(); // the harmless answer comes first
  return new Promise(resolve => box.addEventListener('close', () => resolve(box.returnValue === 'yes'), { once: true }));
}

export function start() {
  at('ask-yes').addEventListener('click', () => at('ask-dialog').close('yes'));
  at('ask-no').addEventListener('click', () => at('ask-dialog').close('no'));
}
