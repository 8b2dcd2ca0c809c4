// The whole job by mouse, by keys alone and by touch: from the photo to the files,
// and each way with the same corners at the end.

import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { Gapshade, lemons } from './gapshade.mjs';
import { browser, sit } from './hand.mjs';
import { Keys, Mouse, Touch } from './ways.mjs';

const gapshade = new Gapshade();
let chrome;
before(async () => { await gapshade.start(); chrome = await browser(); });
after(async () => { await chrome?.close(); await gapshade.done(); });

// Where the corners shall lie, px of the photo: a little outside the tiles.
const corners = [[68, 60], [1132, 58], [1131, 905], [66, 906]];
const stick = id => `[data-stick="${id}"]`;
const share = async hand => (await hand.state()).report.gaps.share;

// edges puts the corners, the size and the paper below.
async function edges(way, hand) {
  await way.press('[data-step=edges]');
  await hand.settle();
  for (const [i, c] of corners.entries()) {
    await way.corner(i, c);
    await hand.until(`corner ${i} is kept`, s => s.settings.corners && Math.hypot(s.settings.corners[i][0] - c[0], s.settings.corners[i][1] - c[1]) < 1);
  }
  await hand.ready();
  const kept = (await hand.state()).settings.corners;
  for (const [i, c] of corners.entries()) for (const axis of [0, 1]) {
    assert.ok(Math.abs(kept[i][axis] - c[axis]) <= 0.5, `corner ${i} lies at ${kept[i]}, not at ${c}`);
  }
  await way.write('#size-w', '383');
  await way.write('#size-h', '303');
  await way.press('#bed-row input[value=white]');
  await hand.until('size and paper are kept', s => s.settings.size === '383x303mm' && s.settings.bed === 'white');
  const { report } = await hand.ready();
  assert.ok(report.gaps.width_mm, 'a size gives millimetres');
}

// gaps paints over a tile and takes it back.
async function gaps(way, hand) {
  await way.press('[data-step=gaps]');
  await hand.settle();
  const [before, covered] = [await share(hand), await hand.covered()];
  await way.press('#brush-marks input[value=gap]');
  await way.stroke([[600, 483], [680, 500], [720, 560]]);
  await hand.until('the stroke counts', s => s.strokes.count === 1);
  await hand.settle();
  assert.ok(await share(hand) > before, 'more gap in figures');
  assert.ok(await hand.covered() > covered, 'more gap in the picture');
  await way.press('#undo');
  await hand.until('the stroke is taken back', s => s.strokes.count === 0);
  await hand.settle();
  assert.equal(await share(hand), before);
  await way.press('#redo');
  await hand.until('the stroke is there again', s => s.strokes.count === 1);
}

// shades lays some side by side and looks at one of them.
async function shades(way, hand) {
  const { page } = hand;
  await way.press('[data-step=shades]');
  await hand.settle();
  await way.press('#compare-ways input[value=side]');
  await way.press(stick('dark-cool'));
  await page.waitForFunction(() => document.querySelectorAll('.caption').length > 2, null, { timeout: 30000 });
  await hand.settle();
  const captions = await page.locator('.caption').allTextContents();
  assert.ok(captions.some(c => c.includes('dark, cool')), captions.join('; '));
  await way.press('#compare-ways input[value=one]');
  await way.press(stick('near-white'));
  await hand.settle();
  assert.deepEqual((await page.locator('.caption').allTextContents()).map(c => c.split(' · ')[0]), ['near white']);
  const near = await page.getAttribute('.base', 'src');
  await way.choose('#look-distance', '5');
  await hand.settle();
  assert.notEqual(await page.getAttribute('.base', 'src'), near, 'another picture from far');
}

async function ranking(way, hand) {
  await way.press('[data-step=ranking]');
  const first = await hand.page.textContent('.row-name');
  await way.press('#aims input[value=outline]');
  await hand.until('the aim is kept', s => s.settings.aim === 'outline');
  await hand.settle();
  assert.notEqual(await hand.page.textContent('.row-name'), first, 'another aim, another best shade');
}

async function grouting(way, hand) {
  const amount = () => hand.page.textContent('#job-amounts .v');
  await way.press('[data-step=job]');
  const before = await amount();
  await way.write('#job-thickness', '12');
  await hand.until('the thickness is kept', s => s.settings.job.thickness === '12mm');
  await hand.settle();
  assert.notEqual(await amount(), before, 'thicker tiles take more');
  await way.press('#clock-start');
  assert.match(await hand.page.textContent('#clock-step'), /Stir/);
}

async function take(way, hand) {
  await way.press('[data-step=take]');
  await hand.settle();
  const coming = hand.page.waitForEvent('download', { timeout: 60000 });
  await way.press('#take-zip');
  const file = await coming;
  assert.equal(file.suggestedFilename(), 'photo-grout.zip');
  const bytes = readFileSync(await file.path());
  for (const name of ['sheet.jpg', 'report.json', 'job.pdf', 'preview-near-white.jpg']) assert.ok(bytes.includes(name), `the zip lacks ${name}`);
}

for (const [Way, options] of [[Mouse, {}], [Keys, {}], [Touch, { size: 'phone', touch: true }]]) {
  test(`the whole job by ${Way.name.toLowerCase()}`, async () => {
    const hand = await sit(chrome, gapshade.address, { ...options, home: true });
    const way = new Way(hand);
    const chooser = hand.page.waitForEvent('filechooser');
    await way.files('#choose');
    await (await chooser).setFiles(lemons);
    await hand.page.waitForSelector('#bench:not([hidden])');
    await hand.ready();
    for (const part of [edges, gaps, shades, ranking, grouting, take]) await part(way, hand);
    assert.deepEqual(hand.complaints, []);
    await hand.leave();
  });
}
