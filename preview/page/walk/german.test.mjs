// The whole page in German: switched at once, no key shown bare, figures with a comma,
// and nothing that the program says left in English.

import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { Gapshade } from './gapshade.mjs';
import { browser, sample, sit } from './hand.mjs';
import { visit } from './states.mjs';

const words = language => JSON.parse(readFileSync(new URL(`../assets/words/${language}.json`, import.meta.url)));
const [en, de] = [words('en'), words('de')];
// English sentences of the page that are long enough to be no accident.
const english = new Set(Object.entries(en).filter(([k, v]) => v.length > 14 && !v.includes('{') && de[k] !== v).map(([, v]) => v));

const gapshade = new Gapshade();
let chrome;
before(async () => { await gapshade.start(); chrome = await browser(); });
after(async () => { await chrome?.close(); await gapshade.done(); });

// texts are all pieces of text on the page, hidden ones too, and what is read out.
const texts = page => page.evaluate(() => {
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const n = walk.currentNode;
    if (n.nodeType === Node.TEXT_NODE) { if (n.data.trim()) found.push(n.data.trim()); continue; }
    for (const a of ['aria-label', 'title', 'placeholder', 'alt', 'aria-valuetext']) if (n.getAttribute(a)) found.push(n.getAttribute(a));
  }
  return found;
});

// left are the texts that the page marks as English.
const left = page => page.$$eval('[lang=en]', all => all.map(el => el.textContent.trim()).filter(Boolean));
// per cent stands behind a narrow space in German, behind a full one in English.
const apart = { de: '\u202f', en: '\u00a0' };
const loose = (language, all) => all.filter(t => new RegExp(`[^${apart[language]}]%`).test(t));

test('German throughout', async () => {
  const hand = await sit(chrome, gapshade.address, { size: 'phone', still: true, home: true });
  const { page } = hand;
  assert.equal(await page.getAttribute('html', 'lang'), 'en');
  await sample(hand);
  const before = await texts(page);
  assert.ok(before.some(t => t.includes('%')));
  assert.deepEqual(loose('en', before), []);
  await page.selectOption('#language', 'de');
  await page.waitForSelector('html[lang=de]');
  await hand.settle();
  const wrong = new Set();
  let seen = 0;
  await visit(hand, async name => {
    for (const t of await texts(page)) {
      if (/^[a-z]+(\.[a-z_-]+)+$/.test(t) && !t.endsWith('.jpg')) wrong.add(`${name}: a bare key: ${t}`);
      if (loose('de', [t]).length) wrong.add(`${name}: per cent: ${t}`);
      if (english.has(t)) wrong.add(`${name}: English: ${t}`);
      seen++;
    }
    for (const t of await left(page)) wrong.add(`${name}: marked as English: ${t}`);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    if (over > 0) wrong.add(`${name} scrolls sideways by ${over} px`);
  });
  assert.deepEqual([...wrong], []);
  assert.ok(seen > 1000, `${seen} texts were read`);
  assert.equal(await page.getAttribute('html', 'lang'), 'de');
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});

test('what is refused, in German', async () => {
  const hand = await sit(chrome, gapshade.address, { locale: 'de-DE', home: true });
  const { page } = hand;
  await sample(hand);
  // set asks for something that can't be, and gives the fault that the page shows.
  const set = async change => {
    await page.evaluate(async c => { (await import('/assets/fault.js')).clear(); await (await import('/assets/panel.js')).set(c); }, change);
    return page.locator('#fault .fault').innerText();
  };
  await hand.step('edges');
  assert.match(await set({ size: 'breit' }), /^„breit“ ist kein Maß, etwa 380x300mm/);
  assert.match(await set({ distances: '900m' }), /^900 m ist keine Entfernung zum Ansehen\.\s+Nehmen Sie 0,1 m bis 100 m\./);
  assert.match(await set({ corners: [[100, 100], [900, 700], [900, 100], [100, 700]] }), /^Die Ecken gehen nicht im Uhrzeigersinn/);
  assert.match(await set({ corners: [[100, 100], [9000, 100], [900, 700], [100, 700]] }), /^Die Ecke bei 9000 und 100 liegt außerhalb des Fotos/);
  assert.deepEqual(await left(page), []);
  await hand.step('job');
  for (const [field, text, told] of [['temperature', '900', /Eine Temperatur von 900 °C kann nicht sein\. Geben Sie einen Wert von −30 bis 60 °C an\./], ['thickness', 'dick', /„dick“ ist keine Länge mit Einheit/]]) {
    await page.fill(`#job-${field}`, text);
    await page.locator(`#job-${field}`).blur();
    await page.waitForSelector(`[data-wrong=${field}]:not(:empty)`);
    assert.match(await page.textContent(`[data-wrong=${field}]`), told);
  }
  assert.ok(await page.locator('#cautions li').count() > 5, 'cautions are there');
  await hand.step('ranking');
  assert.match((await page.locator('#reasons p').allInnerTexts()).join(), /Heller als .* Steine?, .*„/, 'reasons name shades as the page does');
  assert.deepEqual(await left(page), []);
  await page.click('#home');
  await page.setInputFiles('#choose', { name: 'einkauf.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('eggs, flour') });
  assert.match(await page.locator('#start-fault .fault').innerText(), /^einkauf\.jpg\s+Es ist Text, kein Foto\.\s+Nehmen Sie das Foto der Arbeit/);
  assert.deepEqual(await left(page), []);
  assert.deepEqual(hand.complaints, []);
  await hand.leave();
});

test('figures in German', async () => {
  const hand = await sit(chrome, gapshade.address, { locale: 'de-DE', home: true });
  const { page } = hand;
  assert.equal(await page.getAttribute('html', 'lang'), 'de', 'the browser’s language is taken');
  await page.click('#sample');
  await hand.ready();
  await hand.step('edges');
  await page.fill('#size-w', '38,3');
  await page.fill('#size-h', '30,3');
  await page.selectOption('#size-unit', 'cm');
  await page.focus('#corners-find');
  await hand.until('the size is kept', s => s.settings.size === '38.3x30.3cm');
  assert.match(await page.textContent('#slip [data-step=edges] .known'), /38,3 × 30,3 cm/);
  await page.click('.step[data-step=edges] summary');
  const across = page.locator('#corner-fields input').nth(2);
  const said = await across.inputValue();
  assert.match(said, /^\d+(,\d)?$/, 'no dot in a thousand, for it would be read as a decimal');
  await hand.leave();
});
