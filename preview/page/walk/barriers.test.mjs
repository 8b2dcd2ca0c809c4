// No barrier that axe-core knows, and no sideways scroll, in any state, at three
// sizes, light and dark.

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { after, before, describe, test } from 'node:test';
import assert from 'node:assert/strict';
import { Gapshade } from './gapshade.mjs';
import { browser, sit, sizes } from './hand.mjs';
import { visit } from './states.mjs';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const colours = ['color-contrast', 'link-in-text-block']; // all that the dark can change
const gapshade = new Gapshade();
let chrome;

before(async () => { await gapshade.start(); chrome = await browser(); });
after(async () => { await chrome?.close(); await gapshade.done(); });

// barriers gives what stands in the way as "rule: element" lines.
async function barriers(page, dark) {
  const { violations } = await page.evaluate(only => axe.run(document, { runOnly: only, resultTypes: ['violations'] }), dark ? { type: 'rule', values: colours } : { type: 'tag', values: rules });
  return violations.flatMap(v => v.nodes.map(n => `${v.id}: ${n.target.join(' ')}`));
}

const sideways = page => page.evaluate(() => document.documentElement.scrollWidth - innerWidth);

describe('no barrier', { concurrency: 3 }, () => {
  for (const size of process.env.WALK_SIZES?.split(',') ?? Object.keys(sizes)) {
    test(size, async () => {
      const hand = await sit(chrome, gapshade.address, { size, touch: size !== 'desk', still: true, home: true });
      const { page } = hand;
      const found = [];
      let seen = 0;
      const look = async name => {
        if (!await page.evaluate(() => 'axe' in window)) await page.evaluate(axe + ';0');
        for (const dark of [false, true]) {
        await page.emulateMedia({ colorScheme: dark ? 'dark' : 'light' });
        for (const b of await barriers(page, dark)) found.push(`${name}${dark ? ', dark' : ''} ${b}`);
      }
        const over = await sideways(page);
        if (over > 0) found.push(`${name} scrolls sideways by ${over} px`);
        seen++;
      };
      await look('start');
      await page.click('#sample'); // a panel of its own, as several sit here at a time
      await hand.ready();
      await visit(hand, look);
      assert.deepEqual(found, []);
      assert.ok(seen >= 12, `${seen} states were seen`);
      assert.deepEqual(hand.complaints, []);
      await hand.leave();
    });
  }
});
