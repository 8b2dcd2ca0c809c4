// What a person may do beside the main way, once the gaps are found: own distances, how
// the joint lies, shades from samples and blends, paper and calendar. Each also looks
// for what must not be there.

import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { userInfo, hostname } from 'node:os';
import { Gapshade } from './gapshade.mjs';
import { browser, sample, sit } from './hand.mjs';
import { chipLightness, chips } from './drawn.mjs';

const gapshade = new Gapshade();
let chrome;
before(async () => { await gapshade.start(); chrome = await browser(); });
after(async () => { await chrome?.close(); await gapshade.done(); });

const shown = (page, what) => page.locator(what).isVisible();
const near = (a, b, by, what) => assert.ok(Math.abs(a - b) <= by, `${what}: ${a}, not ${b}`);

test('own distances, and what is none', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await sample(hand);
  const list = () => page.locator('#look-distance option').allTextContents();
  const say = async text => { await page.fill('#set-distances', text); await page.locator('#set-distances').blur(); };
  assert.deepEqual(await list(), ['near, as in the photo', 'from 0.5 m', 'from 2 m', 'from 5 m']);
  const read = await page.evaluate(async texts => { const { distances } = await import('/assets/lengths.js'); return texts.map(distances); },
    ['0.6m, 2m', '0,6m,2m', '0,6 m; 2 m', '0.5,2,5', '1,2', '60cm', '', 'over there']);
  assert.deepEqual(read, ['0.6m,2m', '0.6m,2m', '0.6m,2m', '0.5m,2m,5m', '1.2m', '60cm', '', 'over there']);
  await say('0,6m; 1.5, 3');
  await hand.until('they are kept', s => s.settings.distances === '0.6m,1.5m,3m');
  await page.waitForFunction(() => document.querySelectorAll('#look-distance option').length === 4);
  assert.deepEqual(await list(), ['near, as in the photo', 'from 0.6 m', 'from 1.5 m', 'from 3 m']);
  assert.ok(!(await list()).includes('from 5 m'));
  assert.equal(await page.inputValue('#set-distances'), '0.6\u00a0m, 1.5\u00a0m, 3\u00a0m');
  await page.selectOption('#look-distance', '1.5');
  await hand.settle();
  assert.match(await page.textContent('.caption'), /from 1\.5 m/);

  await say('over there');
  await page.waitForSelector('#set-distances-wrong:not(:empty)');
  assert.equal(await page.getAttribute('#set-distances', 'aria-invalid'), 'true');
  assert.equal((await hand.state()).settings.distances, '0.6m,1.5m,3m', 'nothing is kept of it');
  assert.equal(await page.locator('.fault').count(), 0, 'it is said at the field alone');
  await say('');
  await hand.until('the usual ones are back', s => s.settings.distances === '');
  await page.waitForFunction(() => [...document.querySelectorAll('#look-distance option')].some(o => o.value === '5'));
  assert.equal(await page.textContent('#set-distances-wrong'), '');
  assert.equal(await page.getAttribute('#set-distances', 'aria-invalid'), null);

  // In inches one thinks in feet.
  await hand.step('edges');
  await page.selectOption('#size-unit', 'in');
  await page.focus('#size-w');
  await page.focus('#corners-find');
  await hand.until('inches are kept', s => s.settings.size.endsWith('in'));
  await hand.ready();
  await hand.step('shades');
  await say('2, 6ft');
  await hand.until('feet are kept', s => s.settings.distances === '2ft,6ft');
  await page.waitForFunction(() => document.querySelectorAll('#look-distance option').length === 3);
  assert.deepEqual(await list(), ['near, as in the photo', 'from 2 ft', 'from 6 ft']);
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});

test('how the joint lies changes the pictures, not the numbers', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await sample(hand);
  const numbers = s => s.report.shades.map(x => [x.id, x.score]);
  const first = numbers(await hand.state());
  await page.click('.step[data-step=shades] summary');
  assert.ok(!await shown(page, '#set-recess'), 'a depth is asked for only when one is wanted');
  let seen = await page.getAttribute('.base', 'src');
  const other = async (what, act, test) => {
    await act();
    const s = await hand.until(what, test);
    await hand.settle();
    const now = await page.getAttribute('.base', 'src');
    assert.notEqual(now, seen, `another picture: ${what}`);
    seen = now;
    return s;
  };
  await other('level with the faces', () => page.selectOption('#joint-depth', 'flush'), s => s.settings.flush);
  await page.selectOption('#joint-depth', 'own');
  await page.waitForSelector('#set-recess:focus');
  await hand.until('no longer level', s => !s.settings.flush);
  await hand.settle();
  seen = await page.getAttribute('.base', 'src');
  const deep = text => async () => { await page.fill('#set-recess', text); await page.locator('#set-recess').blur(); };
  await other('deeper', deep('2,5'), s => s.settings.recess === '2.5mm' && !s.settings.flush);
  await other('without grain', () => page.check('#joint-plain'), s => s.settings.plain);
  assert.ok(await page.isDisabled('#set-grain_seed'), 'no grain, no pattern');
  await other('with grain', () => page.uncheck('#joint-plain'), s => !s.settings.plain);
  await other('other grain', async () => { await page.fill('#set-grain_seed', '7'); await page.locator('#set-grain_seed').blur(); }, s => s.settings.grain_seed === 7);
  const last = await other('light through tiles', () => page.check('#joint-clear'), s => s.settings.clear);
  assert.deepEqual(numbers(last), first);

  await deep('90')();
  await page.waitForSelector('#set-recess-wrong:not(:empty)');
  assert.match(await page.textContent('#set-recess-wrong'), /90mm is out of range/);
  assert.equal((await hand.state()).settings.recess, '2.5mm');
  assert.equal(await page.locator('.fault').count(), 0, 'it is said at the field alone');
  await page.fill('#set-grain_seed', 'much');
  await page.locator('#set-grain_seed').blur();
  assert.match(await page.textContent('#set-grain_seed-wrong'), /whole number/);
  assert.equal((await hand.state()).settings.grain_seed, 7);
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});

test('a shade from a photo of samples', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await sample(hand);
  await page.click('#shade-add');
  await page.check('#shade-from input[value=chip]', { force: true });
  assert.equal(await page.locator('#chip-list input').count(), 0);
  await page.setInputFiles('#chip-file', await chips(page));
  await page.waitForSelector('#chip-list input');
  assert.equal(await page.locator('#chip-list input').count(), 3);
  await page.locator('#chip-list input').nth(1).check({ force: true });
  await page.fill('#shade-name', 'Shop sample');
  await page.click('#shade-ok');
  const s = await hand.until('it is tried', s => s.settings.shades.some(x => x.id === 'shop-sample'));
  assert.equal(s.settings.shades.length, 12, 'the other two samples are not');
  const { lab } = s.settings.shades.at(-1);
  near(lab[0], chipLightness[1], 1.5, 'its lightness');
  near(Math.hypot(lab[1], lab[2]), 0, 1.5, 'it is grey');
  assert.ok(!await shown(page, '#shade-dialog'));
  await hand.settle();
  assert.equal(await page.getAttribute('[data-stick="shop-sample"]', 'aria-pressed'), 'true');

  // A photo without samples says so and gives no colour.
  await page.click('#shade-add');
  await page.setInputFiles('#chip-file', { name: 'list.png', mimeType: 'image/png', buffer: Buffer.from('eggs, flour') });
  await page.waitForSelector('#shade-wrong:not(:empty)');
  await page.click('#shade-cancel');
  assert.equal((await hand.state()).settings.shades.length, 12);
  await page.click('#shade-off');
  await hand.until('it is taken off', s => s.settings.shades.length === 11);
  await hand.settle();
  assert.equal(await page.locator('[data-stick="shop-sample"]').count(), 0);
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});

test('two powders blended', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await sample(hand);
  await page.click('#shade-add');
  await page.check('#shade-from input[value=lab]', { force: true });
  for (const [k, v] of [['l', '92'], ['a', '0'], ['b', '0']]) await page.fill(`#shade-${k}`, v);
  await page.fill('#shade-name', 'chalk');
  await page.click('#shade-ok');
  await hand.until('it is tried', s => s.settings.shades.length === 12);
  await hand.settle();
  await page.click('#shade-add');
  await page.check('#shade-from input[value=blend]', { force: true });
  await page.selectOption('#blend-a', 'chalk');
  await page.selectOption('#blend-b', 'near-black');
  await page.fill('#blend-parts', '6');
  await page.waitForFunction(() => /^L\* 3/.test(document.getElementById('shade-told').textContent));
  assert.match(await page.textContent('#blend-word'), /^1 : 1 – chalk and near black$/);
  await page.fill('#shade-name', 'half');
  await page.click('#shade-ok');
  const s = await hand.until('the blend is tried', s => s.settings.shades.some(x => x.id === 'half'));
  near(s.settings.shades.at(-1).lab[0], 34, 0.7, 'the dark one wins, as in the README');

  // The name is taken now: nothing is added twice.
  await page.click('#shade-add');
  await page.fill('#shade-name', 'half');
  await page.click('#shade-ok');
  assert.match(await page.textContent('#shade-wrong'), /named half already/);
  assert.ok(await shown(page, '#shade-dialog'));
  assert.equal((await hand.state()).settings.shades.length, 13);
  await page.click('#shade-cancel');
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});

const pages = pdf => pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;

test('on paper: the best shades, the ranking and the job, and nothing of the page', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await sample(hand);
  assert.ok(!await shown(page, '#paper'), 'the paper is not on the screen');
  await hand.step('take');
  await page.emulateMedia({ media: 'print' });
  for (const gone of ['.head', '#bench', '#slip', '.stage', '#tray', 'dialog[open]', '#lost']) assert.ok(!await shown(page, gone), `${gone} is not printed`);
  assert.ok(await shown(page, '#paper'));
  assert.match(await page.textContent('#paper h1'), /Lemons/);
  assert.equal(await page.locator('#paper button, #paper input, #paper select').count(), 0, 'nothing to press on paper');
  const figures = await page.locator('#paper figure').evaluateAll(all => all.map(f => [f.querySelector('img').naturalWidth > 0, f.textContent]));
  assert.equal(figures.length, 6);
  assert.ok(figures.every(([there]) => there), 'all pictures are there');
  assert.match(figures[0][1], /Bare layout/);
  figures.slice(1).forEach(([, text], i) => assert.match(text, new RegExp(`^No\\. ${i + 1}:`)));
  assert.equal(await page.locator('#paper table').first().locator('tbody tr').count(), 11, 'all shades are ranked');
  const ink = await page.evaluate(() => getComputedStyle(document.querySelector('#paper h1')).color);
  assert.equal(ink, 'rgb(0, 0, 0)');
  // Pictures on the first sheet; ranking, job, clock and cautions on the second.
  for (const format of ['A4', 'Letter']) assert.equal(pages(await page.pdf({ format, printBackground: true })), 2, `sheets of ${format}`);
  await page.emulateMedia({ media: null });
  assert.ok(!await shown(page, '#paper'));
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});

// events reads a calendar: lines folded by RFC 5545 3.1 are put together.
function events(text) {
  const lines = text.replace(/\r\n[ \t]/g, '').split('\r\n');
  const found = [];
  let depth = [];
  for (const line of lines) {
    const [key, value] = [line.slice(0, line.indexOf(':')), line.slice(line.indexOf(':') + 1)];
    if (key === 'BEGIN') { depth.push(value); if (value === 'VEVENT') found.push({ alarms: 0 }); else if (value === 'VALARM') found.at(-1).alarms++; }
    else if (key === 'END') assert.equal(depth.pop(), value, 'what begins last ends first');
    else if (depth.at(-1) === 'VEVENT') found.at(-1)[key] = value;
  }
  assert.deepEqual(depth, [], 'all that begins ends');
  return found;
}

test('the clock as a calendar, with no name in it', async () => {
  const hand = await sit(chrome, gapshade.address, { home: true });
  const { page } = hand;
  await sample(hand);
  await hand.step('take');
  const calendar = page.locator('#take-papers button').last();
  assert.ok(await calendar.isDisabled(), 'no start, no calendar');
  await hand.step('job');
  await page.fill('#job-start', '2026-05-04T10:00');
  await page.locator('#job-start').blur();
  await hand.until('the start is kept', s => s.settings.job.start.startsWith('2026-05-04T10:00'));
  await hand.step('take');
  const coming = page.waitForEvent('download');
  await calendar.click();
  const file = await coming;
  assert.match(file.suggestedFilename(), /clock\.ics$/);
  const text = readFileSync(await file.path(), 'utf8');
  const all = events(text);
  assert.ok(all.length >= 5, `${all.length} events`);
  assert.equal(all[0].DTSTART, '20260504T100000', 'the first water, by the clock on the wall');
  for (const e of all) {
    assert.match(e.DTSTART, /^\d{8}T\d{6}$/, 'local time');
    assert.ok(e.DTSTART < e.DTEND, `${e.SUMMARY} ends after it begins`);
    assert.equal(e.alarms, 1);
  }
  assert.deepEqual(all.map(e => e.DTSTART), all.map(e => e.DTSTART).sort(), 'in the order of the work');
  assert.equal(new Set(all.map(e => e.UID)).size, all.length);
  for (const name of ['ATTENDEE', 'ORGANIZER', 'photo.jpg', 'file:', 'http', gapshade.home, hostname()]) assert.ok(!text.includes(name), `${name} is in the calendar`);
  assert.ok(!new RegExp(`\\b${userInfo().username}\\b`).test(text));
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});
