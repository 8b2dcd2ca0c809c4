// The whole page in German: switched at once, no key shown bare, figures with a comma.

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

// texts are all pieces of text on the page, hidden ones too, and what is read out;
// sentences that the program marks as English are left out.
const texts = page => page.evaluate(() => {
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const n = walk.currentNode;
    if (n.nodeType === Node.TEXT_NODE) { if (!n.parentElement.closest('[lang=en]') && n.data.trim()) found.push(n.data.trim()); continue; }
    for (const a of ['aria-label', 'title', 'placeholder', 'alt', 'aria-valuetext']) if (n.getAttribute(a)) found.push(n.getAttribute(a));
  }
  return found;
});

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
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    if (over > 0) wrong.add(`${name} scrolls sideways by ${over} px`);
  });
  assert.deepEqual([...wrong], []);
  assert.ok(seen > 1000, `${seen} texts were read`);
  assert.equal(await page.getAttribute('html', 'lang'), 'de');
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
