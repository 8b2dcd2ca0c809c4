// What a person may say about the photo in the first step, beside corners one by one
// and size: a second photo, a grey card, an outline by two corners. Each also looks for
// what must not be there.

import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import { Gapshade } from './gapshade.mjs';
import { browser, sample, sit } from './hand.mjs';
import { Keys, Mouse, Touch } from './ways.mjs';
import { laid, layout, warm } from './drawn.mjs';

const gapshade = new Gapshade();
let chrome;
before(async () => { await gapshade.start(); chrome = await browser(); });
after(async () => { await chrome?.close(); await gapshade.done(); });

// open puts a drawn layout on the bench, its corners set.
async function open(hand, photo) {
  await hand.page.setInputFiles('#choose', photo);
  await hand.page.waitForSelector('#bench:not([hidden])');
  await hand.ready();
  await hand.page.evaluate(async c => (await import('/assets/panel.js')).set({ corners: c, bed: 'white' }), layout.corners);
  await hand.until('the corners are kept', s => s.settings.corners);
  await hand.ready();
}

const shown = (page, what) => page.locator(what).isVisible();
const near = (a, b, by, what) => assert.ok(Math.abs(a - b) <= by, `${what}: ${a}, not ${b}`);

test('a second photo is added and taken off again', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await open(hand, await laid(page, 'white'));
  await hand.step('edges');
  assert.ok(!await shown(page, '#second-off') && !await shown(page, '#second-name'), 'nothing to take off yet');
  const one = (await hand.state()).report.gaps.share;
  await page.setInputFiles('#second-file', await laid(page, 'black'));
  await hand.until('the second photo is there', s => s.second);
  const two = await hand.ready();
  assert.equal(two.fault, null);
  assert.match(await page.textContent('#second-name'), /black\.png/);
  await page.check('#second-bed-row input[value=black]', { force: true });
  await hand.until('its paper is kept', s => s.settings.second_bed === 'black');
  await hand.ready();
  await hand.step('gaps');
  assert.match(await page.textContent('#gap-facts'), /two photos/);
  await hand.step('edges');
  await page.click('#second-off');
  await hand.until('it is gone', s => !s.second);
  const again = await hand.ready();
  assert.equal(again.report.gaps.share, one, 'as before it came');
  assert.ok(!await shown(page, '#second-off') && !await shown(page, '#second-name') && !await shown(page, '#second-bed-row'));
  await hand.step('gaps');
  assert.doesNotMatch(await page.textContent('#gap-facts'), /two photos/);
  assert.equal(await page.locator('.fault').count(), 0);
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});

// cast is how far the card in the picture is from grey: the widest step between its
// channels, 8-bit codes.
async function cast(hand) {
  await hand.settle();
  return hand.page.evaluate(([x, y, width]) => {
    const img = document.querySelector('.base');
    const c = new OffscreenCanvas(img.naturalWidth, img.naturalHeight).getContext('2d');
    c.drawImage(img, 0, 0);
    const k = img.naturalWidth / width;
    const { data } = c.getImageData(Math.round((x - 5) * k), Math.round((y - 5) * k), Math.round(10 * k), Math.round(10 * k));
    const mean = [0, 1, 2].map(i => data.filter((_, j) => j % 4 === i).reduce((a, b) => a + b) / (data.length / 4));
    return Math.max(...mean) - Math.min(...mean);
  }, [...layout.card, layout.size[0]]);
}

// Ways to bring the ring onto the card: [way, how, options].
const marks = [
  [Mouse, async (way, hand) => {
    const { page } = hand;
    await page.mouse.click(...await hand.on([400, 300])); // beside the card first
    await hand.until('a ring lies there', s => s.settings.grey);
    const from = await hand.on([400, 300]);
    await page.mouse.move(...from);
    await page.mouse.down();
    await page.mouse.move(...await hand.on(layout.card), { steps: 6 });
    assert.equal(await page.locator('.loupe:visible').count(), 1, 'the place is seen enlarged');
    await page.mouse.up();
  }, {}],
  [Keys, async (way, hand) => {
    const at = await Promise.all(['x', 'y'].map(async k => Number(await hand.page.inputValue(`#card-${k}`))));
    for (const [axis, [less, more]] of [['ArrowLeft', 'ArrowRight'], ['ArrowUp', 'ArrowDown']].entries()) {
      const far = Math.round(layout.card[axis] - at[axis]);
      const key = far < 0 ? less : more;
      for (let n = Math.abs(far); n > 0; n -= n >= 10 ? 10 : 1) await hand.page.keyboard.press(n >= 10 ? `Shift+${key}` : key);
    }
    await hand.page.keyboard.press('+');
  }, {}],
  [Touch, async (way, hand) => {
    const [x, y] = layout.card;
    await way.drag([await hand.on([x, y]), await hand.on([x + 20, y])]); // drawn from the middle outwards
  }, { size: 'phone', touch: true }],
];

for (const [Way, mark, options] of marks) {
  test(`a grey card by ${Way.name.toLowerCase()}`, async () => {
    const hand = await sit(chrome, gapshade.address, { ...options, home: true });
    const { page } = hand;
    const way = new Way(hand);
    await open(hand, await laid(page, 'white', { lamp: warm }));
    await way.press('#slip [data-step=edges]');
    const before = await cast(hand);
    assert.ok(before > 40, `the lamp is warm: ${before}`);
    assert.equal((await hand.state()).settings.grey, '');
    assert.ok(!await shown(page, '.card-ring') && !await shown(page, '#card-off'));
    await way.press('#card-mark');
    assert.equal(await page.getAttribute('#card-mark', 'aria-pressed'), 'true');
    await mark(way, hand);
    await hand.until('the ring is on the card', s => {
      const [x, y] = s.settings.grey.split(',').map(Number);
      return Math.hypot(x - layout.card[0], y - layout.card[1]) < 2;
    });
    const s = await hand.ready();
    assert.equal(s.fault, null);
    assert.equal(await page.getAttribute('#card-mark', 'aria-pressed'), 'false', 'no longer in hand');
    assert.ok(await cast(hand) < 4, 'the card is grey now');
    const r = () => page.inputValue('#card-r').then(Number);
    const was = await r();
    await way.press('#card-more');
    await hand.until('the ring grew', s => Number(s.settings.grey.split(',')[2]) > was);
    near(await r(), was * 1.25, 0.2, 'its radius');
    await hand.ready();
    await way.press('#card-off');
    await hand.until('the ring is off', s => s.settings.grey === '');
    await hand.ready();
    near(await cast(hand), before, 2, 'the lamp is seen again');
    assert.ok(!await shown(page, '.card-ring') && !await shown(page, '#card-off'));
    assert.equal(await page.locator('.fault').count(), 0);
    assert.deepEqual(hand.complaints, []);
    await hand.leave();
  });
}

test('a ring where no card can be read is told of, and taken off', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await open(hand, await laid(page, 'white', { lamp: [1.2, 1.2, 1.2] })); // the paper burns out
  await hand.step('edges');
  for (const s of await page.locator('.step[data-step=edges] summary').all()) await s.click();
  for (const [k, v] of [['x', '400'], ['y', '300'], ['r', '10']]) {
    await page.fill(`#card-${k}`, v);
    await page.locator(`#card-${k}`).blur();
  }
  await page.waitForSelector('.fault');
  assert.match(await page.textContent('.fault'), /card can’t be read/);
  assert.doesNotMatch(await page.textContent('.fault'), /--grey/, 'no flag of the command');
  await page.click('#card-off');
  await hand.until('the ring is off', s => s.settings.grey === '' && !s.task);
  await page.waitForSelector('.fault', { state: 'detached' });
  await hand.leave();
});

for (const [Way, options] of [[Mouse, {}], [Touch, { size: 'phone', touch: true }]]) {
  test(`an outline by two opposite corners, by ${Way.name.toLowerCase()}`, async () => {
    const hand = await sit(chrome, gapshade.address, { ...options, home: true });
    const { page } = hand;
    const way = new Way(hand);
    await sample(hand);
    await way.press('#slip [data-step=edges]');
    await hand.settle();
    const sent = [];
    page.on('request', r => { if (r.method() === 'PATCH') sent.push(r.postDataJSON()); });
    const [from, to] = [[1132, 60], [68, 905]]; // the order doesn't matter
    await way.press('#corners-two');
    if (Way === Mouse) {
      await page.mouse.click(...await hand.on(from));
      assert.match(await page.textContent('#edges-word'), /opposite/);
      await page.waitForTimeout(400);
      assert.deepEqual(sent, [], 'one tap says nothing yet');
      await way.press('#corners-two'); // given up
      assert.equal(await page.textContent('#edges-word'), '');
      await page.mouse.click(...await hand.on(to));
      await page.waitForTimeout(400);
      assert.deepEqual(sent, [], 'nor does a tap that nobody asked for');
      await way.press('#corners-two');
      for (const p of [from, to]) await page.mouse.click(...await hand.on(p));
    } else await way.drag([await hand.on(from), await hand.on(to)]);
    const { settings } = await hand.until('the corners are kept', s => s.settings.corners);
    const want = [[68, 60], [1132, 60], [1132, 905], [68, 905]];
    settings.corners.forEach((c, i) => c.forEach((v, j) => near(v, want[i][j], Way === Mouse ? 1 : 2.5, `corner ${i}`)));
    const s = await hand.ready();
    assert.equal(s.fault, null);
    assert.equal(sent.length, 1);
    assert.equal(await page.getAttribute('#corners-two', 'aria-pressed'), 'false');
    assert.equal(await page.locator('.quad.crossed').count(), 0);
    assert.equal(await page.textContent('#edges-word'), '', 'nothing left to say');
    assert.ok(await page.isDisabled('#set-shoulder'), 'the corners say where the grout ends');
    assert.deepEqual(hand.complaints, []);
    await hand.leave();
  });
}
