// How fast the page is, as a person sees it: from the end of a stroke to the new
// figures and pictures, and from a photo of 12 megapixels to the first ranked
// preview. Prints figures; nothing here passes or fails.
//
// PAUSE is how long the hand rests between strokes, ms: from half a second on the light
// is read anew meanwhile, and a stroke may come in between.
//
//	node speed.mjs [STROKES [PAUSE]]

import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { Gapshade, lemons, root } from './gapshade.mjs';
import { browser, sit } from './hand.mjs';

const strokes = Number(process.argv[2] ?? 200);
const pause = Number(process.argv[3] ?? 0);
const gapshade = new Gapshade();
const large = join(gapshade.home, 'large.jpg');
const floor = Number(execFileSync('go', ['run', './preview/page/walk/floor.go', '-enlarge', large, lemons], { cwd: root }));
const quantile = (list, q) => [...list].sort((a, b) => a - b)[Math.min(list.length - 1, Math.floor(q * list.length))];
const ms = list => `p50 ${quantile(list, 0.5).toFixed(0)} ms, p95 ${quantile(list, 0.95).toFixed(0)} ms, most ${Math.max(...list).toFixed(0)} ms`;

// draw makes one stroke in the page, where the best shade lies below the gaps, and gives
// the times (ms) after which the figures, the gaps and the best shade's preview are new on
// the screen. The page's own clock counts.
const draw = (page, from, to) => page.evaluate(async ([from, to]) => {
  const panel = await import('/assets/panel.js');
  const field = document.querySelector('.field-of-view');
  const send = (type, [clientX, clientY]) => field.dispatchEvent(new PointerEvent(type, { clientX, clientY, pointerId: 1, isPrimary: true, button: 0, buttons: 1, bubbles: true }));
  const count = panel.state().strokes.count;
  const pictures = ['.over-gaps', '.base'].map(c => document.querySelector(c));
  const before = pictures.map(p => p.src);
  send('pointerdown', from);
  for (let i = 1; i <= 8; i++) send('pointermove', from.map((v, j) => v + (to[j] - v) * i / 8));
  const began = performance.now();
  send('pointerup', to);
  const frame = () => new Promise(requestAnimationFrame);
  while (panel.state().strokes.count === count) await frame();
  const figures = performance.now() - began;
  const seen = await Promise.all(pictures.map(async (p, i) => {
    while (p.src === before[i] || !p.complete) await frame();
    await frame();
    return performance.now() - began;
  }));
  return [figures, ...seen];
}, [from, to]);

// ready waits until the best shade is seen.
async function ready(page) {
  await page.waitForFunction(() => document.querySelector('.stick:not([disabled])'), null, { polling: 'raf', timeout: 120_000 });
  await page.waitForFunction(() => { const i = document.querySelector('.base'); return i?.complete && i.naturalWidth && /^shade-/.test(i.dataset.shows) && /no\. 1 /.test(document.querySelector('.caption').textContent); }, null, { polling: 'raf' });
}

await gapshade.start();
const chrome = await browser();
try {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await page.evaluate(() => { Element.prototype.setPointerCapture = () => {}; }); // strokes come from a script
  const began = Date.now();
  await page.setInputFiles('#choose', large);
  await ready(page);
  const upload = Date.now() - began;
  await hand.ready();
  const { photo } = await hand.state();
  console.log(`upload of ${(photo.width * photo.height / 1e6).toFixed(1)} megapixels to the first ranked preview: ${upload} ms = ${(upload / floor).toFixed(2)} F (F = ${floor} ms)`);

  await hand.step('gaps');
  await page.check('#brush-marks input[value=gap]', { force: true });
  await page.check('#show-grout');
  await page.waitForFunction(() => document.querySelector('.base').complete);
  await page.waitForTimeout(2000); // the stage is laid, the light read
  const box = await page.locator('.sheet').boundingBox();
  const times = [[], [], []];
  for (let i = 0; i < strokes; i++) {
    // All over the panel, by a fixed rule: the golden ratio spreads them.
    const from = [box.x + box.width * (0.12 + 0.7 * (i * 0.618 % 1)), box.y + box.height * (0.12 + 0.7 * (i * 0.755 % 1))];
    (await draw(page, from, [from[0] + 40, from[1] + 12])).forEach((t, j) => times[j].push(t));
    await page.waitForTimeout(pause * (0.5 + i * 0.618 % 1));
  }
  const [w, h] = photo.working;
  console.log(`${strokes} strokes at ${(w * h / 1e6).toFixed(1)} megapixels, to the new figures: ${ms(times[0])}`);
  console.log(`to the new picture of the gaps: ${ms(times[1])}`);
  console.log(`to the new preview of the best shade: ${ms(times[2])}`);
} finally {
  await chrome.close();
  await gapshade.done();
}
