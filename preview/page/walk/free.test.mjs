// A round panel in the first step: its outline is shown and nothing has to be set; four
// corners can be set all the same, and taken off again. And an old wall is said here.

import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import { Gapshade } from './gapshade.mjs';
import { browser, sit } from './hand.mjs';
import { disc, round } from './drawn.mjs';

const gapshade = new Gapshade();
let chrome;
before(async () => { await gapshade.start(); chrome = await browser(); });
after(async () => { await chrome?.close(); await gapshade.done(); });

async function open(hand) {
  await hand.page.setInputFiles('#choose', await round(hand.page));
  await hand.page.waitForSelector('#bench:not([hidden])');
  const s = await hand.ready();
  await hand.step('edges');
  return s;
}

// drawn is the box round the line on the picture, px of the photo.
async function drawn(hand) {
  const box = await hand.page.locator('.quad .upper').evaluate(line => { // without the width of the line
    const [b, at] = [line.getBBox(), line.ownerSVGElement.getBoundingClientRect()];
    return { x: b.x + at.x, y: b.y + at.y, width: b.width, height: b.height };
  });
  const [x, y] = await hand.on([0, 0]);
  const [u] = await hand.on([100, 0]);
  const k = 100 / (u - x);
  return [(box.x - x) * k, (box.y - y) * k, box.width * k, box.height * k];
}

const handles = page => page.locator('.corner:visible').count();

test('a round panel needs no corners, and may have them', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  const s = await open(hand);
  assert.equal(s.report.frame.shape, 'free');
  assert.equal(await handles(page), 0);
  assert.match(await page.textContent('#edges-word'), /outline was found and is free/);
  assert.match(await page.textContent('#slip'), /outline found/);
  assert.ok(await page.isVisible('#size-box'));
  const box = await drawn(hand);
  for (const [i, want] of [disc.from, disc.from, disc.across, disc.across].entries()) assert.ok(Math.abs(box[i] - want) < 4, `${box} round the disc`);
  assert.doesNotMatch(await page.textContent('#notes'), /opposite sides/);

  // two opposite corners, drawn in one go
  await page.click('#corners-two');
  const [a, b] = [await hand.on([20, 20]), await hand.on([604, 604])];
  await page.mouse.move(...a);
  await page.mouse.down();
  await page.mouse.move(...b, { steps: 6 });
  await page.mouse.up();
  await hand.until('corners are kept', s => s.settings.corners);
  const four = await hand.ready();
  assert.equal(four.report.frame.shape, 'four corners');
  assert.equal(await handles(page), 4);
  assert.ok(!await page.isVisible('#size-box'));

  await page.click('#corners-find');
  await hand.until('they are gone', s => !s.settings.corners);
  await hand.ready();
  await hand.settle();
  assert.equal(await handles(page), 0);
  assert.match(await page.textContent('#edges-word'), /outline was found and is free/);

  // a number that is typed begins with the box round the outline
  await page.click('[data-step=edges] details:has(#corner-fields) summary');
  const field = page.locator('#corner-fields input').first();
  assert.equal(await field.inputValue(), '');
  await field.fill('24');
  await field.blur();
  const typed = await hand.until('it is kept', s => s.settings.corners);
  assert.equal(typed.settings.corners[0][0], 24);
  assert.ok(Math.abs(typed.settings.corners[2][0] - (disc.from + disc.across)) < 3);
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});

test('an old wall is said with one tick', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await open(hand);
  const before = (await hand.state()).report.shades.map(s => s.score);
  await page.evaluate(async () => (await import('/assets/panel.js')).set({ size: '280x280mm' }));
  await hand.ready();
  await page.check('#set-grouted');
  await hand.until('it is kept', s => s.settings.job.grouted);
  const s = await hand.ready();
  assert.deepEqual(s.report.shades.map(s => s.score), before, 'no rank changes');
  assert.ok(s.notes.some(n => n.code === 'grouted'));
  assert.match(s.report.job.cautions[1], /silica/);
  await hand.step('job');
  assert.match(await page.textContent('#cautions'), /Raking dust/);
  assert.match(await page.textContent('#job-warnings'), /grouted already/);
  await page.reload();
  await page.waitForSelector('#bench:not([hidden])');
  await hand.ready();
  await hand.step('edges');
  assert.ok(await page.isChecked('#set-grouted'));
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});
