// A person before the page: opens it in Chromium, waits until all is drawn, reads
// what it knows. Whatever the browser complains about is kept in .complaints.

import { execFileSync } from 'node:child_process';
import { chromium } from 'playwright-core';

export const sizes = { phone: { width: 390, height: 844 }, tablet: { width: 768, height: 1024 }, desk: { width: 1440, height: 900 } };

export function browser() {
  const executablePath = execFileSync('sh', ['-c', 'command -v chromium || command -v chromium-browser || command -v google-chrome']).toString().trim();
  return chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'] });
}

// sit opens an address. At "home" the page stays at its list of panels.
export async function sit(chrome, address, { size = 'desk', dark = false, touch = false, still = false, locale = 'en-GB', home = false } = {}) {
  const context = await chrome.newContext({ viewport: sizes[size], colorScheme: dark ? 'dark' : 'light', hasTouch: touch, locale,
    reducedMotion: still ? 'reduce' : null, acceptDownloads: true });
  const page = await context.newPage();
  const hand = new Hand(page);
  await page.addInitScript(home => {
    document.addEventListener('securitypolicyviolation', e => console.error(`CSP: ${e.violatedDirective} ${e.blockedURI}`));
    if (location.protocol === 'about:') return;
    if (home && !sessionStorage.getItem('walk-came')) sessionStorage.setItem('gapshade-home', 'yes');
    sessionStorage.setItem('walk-came', 'yes');
  }, home);
  await page.goto(address);
  await page.waitForSelector('#sample:visible, #bench:not([hidden]), .fault');
  return hand;
}

export class Hand {
  complaints = [];
  #going = new Set();

  constructor(page) {
    this.page = page;
    const end = r => { this.#going.delete(r); this.rest = Date.now(); };
    page.on('request', r => { if (!r.url().includes('?after=')) this.#going.add(r); });
    page.on('requestfinished', end);
    page.on('requestfailed', end);
    page.on('pageerror', e => this.complaints.push(e.stack));
    // A reply that refuses is printed by the browser too; tests look at those on the page.
    page.on('console', m => { if (['error', 'warning'].includes(m.type()) && !/Failed to load resource/.test(m.text())) this.complaints.push(m.text()); });
  }

  // state is what the page holds: the server's last State.
  state() { return this.page.evaluate(async () => (await import('/assets/panel.js')).state()); }

  // until waits for something that the state says.
  async until(what, test, seconds = 60) {
    for (const end = Date.now() + seconds * 1000; ;) {
      const s = await this.state();
      if (s && test(s)) return s;
      if (Date.now() > end) throw new Error(`waited in vain until ${what}`);
      await this.page.waitForTimeout(50);
    }
  }

  // ready waits until the gaps are found and the shades ranked.
  ready() { return this.until('the shades are ranked', s => !s.task && s.report); }

  // settle waits until nothing is fetched any more and the view has rested.
  async settle(quiet = 350) {
    await this.page.waitForTimeout(30);
    for (const end = Date.now() + 30000; Date.now() < end;) {
      const s = await this.state();
      if (!s?.task && !s?.learning && !this.#going.size && Date.now() - (this.rest ?? 0) > quiet) return;
      await this.page.waitForTimeout(30);
    }
    throw new Error('the page does not come to rest');
  }

  // frame waits until what was done is drawn.
  frame() { return this.page.evaluate(() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))); }

  // step goes to a step by its number on the slip.
  async step(name) {
    await this.page.click(`#slip [data-step=${name}]`);
    await this.settle();
  }

  // on gives the place on the screen of a place in the photo, px.
  async on([x, y]) {
    const { photo } = await this.state();
    const box = await this.page.locator('.sheet').first().boundingBox();
    const k = box.width / photo.width;
    return [box.x + (x + 0.5) * k, box.y + (y + 0.5) * k];
  }

  // covered is how much of the overlay of gaps is painted, 0..1.
  covered() {
    return this.page.evaluate(() => {
      const img = document.querySelector('.over-gaps');
      const c = new OffscreenCanvas(img.naturalWidth, img.naturalHeight).getContext('2d');
      c.drawImage(img, 0, 0);
      const { data } = c.getImageData(0, 0, img.naturalWidth, img.naturalHeight);
      let sum = 0;
      for (let i = 3; i < data.length; i += 4) sum += data[i];
      return sum / 255 / (data.length / 4);
    });
  }

  leave() { return this.page.context().close(); }
}

// sample opens the bundled photo and waits for its ranking.
export async function sample(hand) {
  await hand.page.click('#sample');
  await hand.page.waitForSelector('#bench:not([hidden])');
  await hand.ready();
  await hand.settle();
}
