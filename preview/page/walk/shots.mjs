// Pictures of the page's states.
//
//	node shots.mjs          the chosen ones, small, into examples/page
//	node shots.mjs FOLDER   every state at three sizes, light and dark, as PNG

import { mkdirSync, rmSync, writeFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { Gapshade, root } from './gapshade.mjs';
import { browser, sit, sizes } from './hand.mjs';
import { visit } from './states.mjs';

const limit = 60_000; // bytes of a small picture, ours
const shown = ['start', 'edges', 'gaps', 'brush', 'shades', 'merged', 'far', 'side', 'divided', 'own-blend', 'ranking', 'job', 'clock', 'take'];
const darkShown = ['start', 'shades', 'side', 'ranking'];
const tabletShown = ['gaps', 'shades'];

const wanted = (name, size, dark) => size === 'tablet' ? !dark && tabletShown.includes(name) : (dark ? darkShown : shown).includes(name);

// small is a JPEG of the best quality that fits.
async function small(page) {
  for (let quality = 85; ; quality -= 5) {
    const bytes = await page.screenshot({ type: 'jpeg', quality });
    if (bytes.length <= limit || quality <= 20) return bytes;
  }
}

async function round(chrome, address, size, dark, folder, all) {
  const hand = await sit(chrome, address, { size, dark, touch: size !== 'desk', home: true });
  const look = async name => {
    const file = join(folder, `${name}-${sizes[size].width}${dark ? '-dark' : ''}`);
    if (all) await hand.page.screenshot({ path: `${file}.png` });
    else if (wanted(name, size, dark)) writeFileSync(`${file}.jpg`, await small(hand.page));
  };
  await hand.page.waitForTimeout(300);
  await look('start');
  await hand.page.click('#sample');
  await hand.ready();
  await visit(hand, look);
  for (const c of hand.complaints) console.error(c);
  await hand.leave();
}

const all = process.argv[2];
const folder = all ?? join(root, 'examples/page');
mkdirSync(folder, { recursive: true });
if (!all) for (const f of readdirSync(folder)) if (f.endsWith('.jpg')) rmSync(join(folder, f));
const gapshade = new Gapshade();
const chrome = await browser();
try {
  for (const size of Object.keys(sizes)) for (const dark of [false, true]) {
    await gapshade.start(); // with no earlier panels to show
    await round(chrome, gapshade.address, size, dark, folder, all);
    await gapshade.kill();
    rmSync(join(gapshade.home, 'data'), { recursive: true, force: true });
  }
} finally {
  await chrome.close();
  await gapshade.done();
}
