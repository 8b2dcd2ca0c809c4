// Pictures of shades while something changes: a stroke, another aim.

import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import { Gapshade } from './gapshade.mjs';
import { browser, sample, sit } from './hand.mjs';

const gapshade = new Gapshade();
let chrome;
before(async () => { await gapshade.start(); chrome = await browser(); });
after(async () => { await chrome?.close(); await gapshade.done(); });

test('the best shade lies below the gaps and follows a stroke', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await sample(hand);
  await hand.step('gaps');
  const below = shows => page.waitForFunction(s => { const i = document.querySelector('.base'); return i.complete && i.dataset.shows === s; }, shows);
  await below('photo');
  const best = `shade-${(await hand.state()).report.shades.find(s => s.rank === 1).id}`;
  await page.check('#show-grout');
  await below(best);
  const photo = () => page.evaluate(() => performance.getEntriesByType('resource').filter(e => e.name.includes('/pictures/photo')).length);
  const fetched = await photo();
  const before = await page.getAttribute('.base', 'src');
  await page.check('#brush-marks input[value=gap]', { force: true });
  const box = await page.locator('.sheet').boundingBox();
  const at = (x, y) => [box.x + box.width * x, box.y + box.height * y];
  await page.mouse.move(...at(0.4, 0.5));
  await page.mouse.down();
  await page.mouse.move(...at(0.5, 0.55), { steps: 6 });
  await page.mouse.up();
  await page.waitForFunction(src => { const i = document.querySelector('.base'); return i.complete && i.src !== src; }, before);
  const rough = await page.getAttribute('.base', 'src');
  // When the hand rests the light is read anew, and the shade drawn once more.
  await hand.until('the light is read', s => !s.rough);
  await page.waitForFunction(src => { const i = document.querySelector('.base'); return i.complete && i.src !== src; }, rough);
  assert.equal(await photo(), fetched, 'no stroke changes the photo');
  await page.uncheck('#show-grout');
  await below('photo');
  assert.ok(await page.locator('.over-gaps').isVisible(), 'the gaps lie above both');
  await hand.leave();
});

test('places that look alike follow a stroke, and the pictures say so until then', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await sample(hand);
  await hand.step('gaps');
  await hand.until('all is seen', s => !s.rough && !s.stale);
  const gaps = async () => JSON.stringify((await hand.state()).report.gaps);
  const before = await gaps();
  assert.ok(await page.locator('#late').isHidden());
  await page.waitForSelector('.over-gaps[src]');
  // Every picture of the gaps from here on, and whether it was called late when it came.
  await page.evaluate(() => {
    window.came = [];
    const img = document.querySelector('.over-gaps');
    new MutationObserver(() => window.came.push(!document.querySelector('#late').hidden)).observe(img, { attributeFilter: ['src'] });
  });
  await page.check('#brush-marks input[value=gap]', { force: true });
  const box = await page.locator('.sheet').boundingBox();
  await page.mouse.move(box.x + box.width * 0.4, box.y + box.height * 0.5);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.5, box.y + box.height * 0.55, { steps: 6 });
  await page.mouse.up();
  await page.waitForSelector('#late:not([hidden])');
  assert.equal(await page.getAttribute('#gap-facts', 'aria-busy'), 'true');
  await page.waitForSelector('#late', { state: 'hidden' });
  await page.waitForFunction(() => window.came.at(-1) === false);
  assert.deepEqual(await page.evaluate(() => window.came), [true, false], 'the stroke at once, then what it taught');
  assert.equal(await page.getAttribute('#gap-facts', 'aria-busy'), 'false');
  assert.notEqual(await gaps(), before);
  await page.click('#undo');
  await hand.until('the stroke is off', s => s.strokes.count === 0 && !s.learning && !s.rough && !s.stale);
  assert.equal(await gaps(), before);
  await hand.leave();
});

test('shades side by side stay there when figures come', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await sample(hand);
  const captions = () => page.locator('.caption').allTextContents();
  await page.check('#compare-ways input[value=side]', { force: true });
  await hand.settle();
  const before = await captions();
  assert.equal(before.length, 4);
  await page.evaluate(() => document.querySelectorAll('.stick').forEach(b => { b.mine = true; }));
  await page.evaluate(async () => (await import('/assets/panel.js')).set({ aim: 'blend' }));
  await hand.until('the aim is another', s => s.settings.aim === 'blend' && !s.stale);
  await hand.settle();
  const names = all => all.map(c => c.split(' · ')[0]);
  assert.deepEqual(names(await captions()), names(before));
  assert.ok(await page.evaluate(() => [...document.querySelectorAll('.stick')].every(b => b.mine)), 'a stick under a finger stays itself');
  assert.notDeepEqual(await captions(), before, 'their ranks are others');
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});
