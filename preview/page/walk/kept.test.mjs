// What a person did comes back after a reload and after the program was killed.
// What goes wrong on the way is said, and work goes on.

import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import { Gapshade } from './gapshade.mjs';
import { browser, sample, sit } from './hand.mjs';

const gapshade = new Gapshade();
let chrome;
before(async () => { await gapshade.start(); chrome = await browser(); });
after(async () => { await chrome?.close(); await gapshade.done(); });

const corners = [[68.5, 60], [1132, 58], [1131, 905], [66, 906]];

// work is some of everything that is to be kept.
async function work(hand) {
  const { page } = hand;
  await sample(hand);
  await hand.step('edges');
  await page.evaluate(async c => (await import('/assets/panel.js')).set({ corners: c }), corners);
  await hand.until('the corners are kept', s => s.settings.corners?.[0][0] === corners[0][0]);
  await hand.ready();
  await hand.step('gaps');
  await page.check('#brush-marks input[value=tile]', { force: true });
  const at = await hand.on([600, 480]);
  await page.mouse.move(...at);
  await page.mouse.down();
  await page.mouse.move(at[0] + 40, at[1] + 10, { steps: 4 });
  await page.mouse.up();
  await hand.until('the stroke counts', s => s.strokes.count === 1);
  await hand.step('shades');
  await page.click('[data-stick=dark-warm]');
  await hand.settle();
}

// kept asserts that all of it is there again.
async function kept(hand, before) {
  const { page } = hand;
  await page.waitForSelector('#bench:not([hidden])');
  const s = await hand.ready();
  await hand.settle();
  assert.equal(s.photo.sha256, before.photo.sha256);
  assert.deepEqual(s.settings.corners, corners);
  assert.equal(s.strokes.count, 1);
  assert.equal(s.report.gaps.share, before.report.gaps.share);
  assert.equal(await page.getAttribute('body', 'data-step'), 'shades');
  assert.match(await page.textContent('.caption'), /^dark, warm/);
}

test('a reload, a killed program, an old address', async () => {
  const hand = await sit(chrome, gapshade.address);
  const { page } = hand;
  await work(hand);
  const before = await hand.state();
  await page.reload();
  await kept(hand, before);

  await gapshade.kill();
  await page.waitForSelector('#lost:not([hidden])');
  const old = new URL(gapshade.address).hash;
  await gapshade.start();
  assert.notEqual(new URL(gapshade.address).hash, old, 'every start has its own secret');
  await page.waitForSelector('.fault');
  assert.match(await page.textContent('.fault'), /without its key/);
  assert.ok(await page.isHidden('#lost'), 'the program is back, only the key is old');

  await page.goto('about:blank');
  await page.goto(gapshade.address);
  await kept(hand, before);
  assert.deepEqual(hand.complaints.filter(c => !/ERR_CONNECTION/.test(c)), []);
  await hand.leave();
});

test('a page without its key shows nothing and says where the key is', async () => {
  const { origin } = new URL(gapshade.address);
  for (const hash of ['', '#' + '0'.repeat(32)]) {
    const hand = await sit(chrome, origin + '/' + hash);
    await hand.page.waitForSelector('.fault');
    assert.match(await hand.page.textContent('.fault'), /full address that gapshade printed/);
    assert.equal(await hand.page.locator('.earlier-panel').count(), 0);
    await hand.leave();
  }
});

test('the secret leaves the address bar and the history', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  assert.equal(await hand.page.evaluate(() => location.hash), '');
  await hand.leave();
});

test('a busy program is asked again', async () => {
  const hand = await sit(chrome, gapshade.address);
  const { page } = hand;
  let refused = 0;
  await page.route('**/settings', route => ++refused <= 2
    ? route.fulfill({ status: 429, headers: { 'Retry-After': '1' }, json: { what: 'busy' } }) : route.continue());
  await hand.ready();
  await hand.step('ranking');
  await page.check('#aims input[value=blend]', { force: true });
  await hand.until('the aim is kept', s => s.settings.aim === 'blend');
  assert.equal(refused, 3);
  assert.equal(await page.locator('.fault').count(), 0, 'nothing to tell a person');
  await hand.leave();
});

test('an outline that crosses itself is refused and not sent', async () => {
  const hand = await sit(chrome, gapshade.address);
  const { page } = hand;
  await hand.ready();
  await hand.step('edges');
  const before = (await hand.state()).settings.corners;
  const sent = [];
  page.on('request', r => { if (r.method() === 'PATCH') sent.push(r.postData()); });
  await page.click('.step[data-step=edges] summary');
  const x = page.locator('#corner-fields input').first();
  await x.fill('1190');
  await x.blur();
  assert.match(await page.textContent('#edges-word'), /cross/);
  assert.ok(await page.locator('.quad.crossed').count(), 'the outline shows it');
  await page.waitForTimeout(600); // longer than the page waits before it sends
  assert.deepEqual(sent, []);
  assert.deepEqual((await hand.state()).settings.corners, before);
  await hand.leave();
});

test('the clock pauses, survives a reload and goes on', async () => {
  const hand = await sit(chrome, gapshade.address);
  const { page } = hand;
  await page.clock.install();
  await page.reload();
  await hand.ready();
  await page.click('#slip [data-step=job]');
  const left = () => page.textContent('#clock-left');
  await page.click('#clock-start');
  await page.clock.runFor(61_000);
  const running = await left();
  await page.click('#clock-start');
  assert.match(await page.textContent('#clock-step'), /^Paused/);
  const paused = await left();
  await page.clock.runFor(300_000);
  assert.equal(await left(), paused, 'five minutes of pause take nothing');
  await page.reload();
  await page.waitForSelector('#clock-step:has-text("Paused")');
  assert.equal(await left(), paused, 'nor does a reload');
  await page.click('#clock-start');
  await page.clock.runFor(2_000);
  assert.notEqual(await left(), paused);
  assert.match(await page.textContent('#clock-step'), /Stir/, running);
  await page.click('#clock-skip');
  assert.match(await page.textContent('#clock-step'), /slake/);
  await hand.leave();
});
