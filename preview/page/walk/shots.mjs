// Pictures of the page's states.
//
//	node shots.mjs          the chosen ones, small, into examples/page
//	node shots.mjs FOLDER   every state at three sizes, light and dark, as PNG

import { mkdirSync, rmSync, writeFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { Gapshade, root } from './gapshade.mjs';
import { browser, sit, sizes } from './hand.mjs';
import { visit } from './states.mjs';

const limit = 50_000; // bytes of a small picture, ours: all of them stay under 2 MB
const widest = 1008; // px, ours
const shown = ['start', 'edges', 'gaps', 'brush', 'shades', 'merged', 'far', 'side', 'divided', 'own-blend', 'ranking', 'job', 'clock', 'take'];
const darkShown = ['start', 'shades', 'side', 'ranking'];
const tabletShown = ['gaps', 'shades'];

const wanted = (name, size, dark) => size === 'tablet' ? !dark && tabletShown.includes(name) : (dark ? darkShown : shown).includes(name);

// small is a JPEG of the best quality that fits; a wide picture is reduced first,
// because fewer px look better than coarse ones.
async function small(page) {
  const png = (await page.screenshot()).toString('base64');
  const jpeg = await page.evaluate(async ([png, limit, most]) => {
    const picture = await createImageBitmap(new Blob([Uint8Array.from(atob(png), c => c.charCodeAt(0))]));
    const k = Math.min(1, most / picture.width);
    const canvas = new OffscreenCanvas(Math.round(picture.width * k), Math.round(picture.height * k));
    const c = canvas.getContext('2d');
    c.imageSmoothingQuality = 'high';
    c.drawImage(picture, 0, 0, canvas.width, canvas.height);
    for (let quality = 0.85; ; quality -= 0.05) {
      const blob = await canvas.convertToBlob({ type: 'image/jpeg', quality });
      if (blob.size <= limit || quality < 0.25) return btoa(Array.from(new Uint8Array(await blob.arrayBuffer()), b => String.fromCharCode(b)).join(''));
    }
  }, [png, limit, widest]);
  return Buffer.from(jpeg, 'base64');
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
