// Every state of the page that a person may see, in the order of the work. Each
// begins where the one before it ended. Used to look for barriers and for pictures.

const choose = (page, group, value) => page.check(`#${group} input[value="${value}"]`, { force: true });

// paint draws a stroke across the middle of the picture and leaves it there.
async function paint(page) {
  const box = await page.locator('.field-of-view').first().boundingBox();
  await page.mouse.move(box.x + box.width * 0.42, box.y + box.height * 0.5);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.58, box.y + box.height * 0.55, { steps: 8 });
}

async function own(page, from) {
  if (!await page.isVisible('#shade-dialog')) await page.click('#shade-add');
  await choose(page, 'shade-from', from);
}

async function write(fields, texts) {
  for (const [i, text] of texts.entries()) {
    await fields[i].fill(text);
    await fields[i].blur();
  }
}

const select = (page, id, value) => page.selectOption(`#${id}`, value);

// A state is [name, how to get there]. hand has a panel on the bench that is ranked.
export const states = [
  ['edges', hand => hand.step('edges')],
  ['edges-numbers', async ({ page }) => { for (const s of await page.locator('.step[data-step=edges] summary').all()) await s.click(); }],
  ['corner-refused', async ({ page }) => {
    // Into the middle, so that the outline has a corner that points inwards.
    const fields = await page.locator('#corner-fields input').all();
    const was = [await fields[0].inputValue(), await fields[1].inputValue()];
    await write(fields, ['700', '600']);
    await page.waitForFunction(() => document.getElementById('edges-word').textContent);
    return () => write(fields, was);
  }],
  ['size-wrong', async ({ page }) => {
    const was = await page.inputValue('#size-w');
    await page.fill('#size-w', 'wide');
    await page.focus('#corners-find');
    return () => page.fill('#size-w', was);
  }],
  ['two-corners', async hand => {
    const { page } = hand;
    await page.locator('#edges-h').scrollIntoViewIfNeeded();
    await page.click('#corners-two');
    await page.mouse.click(...await hand.on([1132, 60]));
    await page.mouse.move(...await hand.on([300, 700]));
    return () => page.click('#corners-two');
  }],
  ['card', async ({ page }) => { await page.locator('#card-mark').scrollIntoViewIfNeeded(); await page.click('#card-mark'); }],
  ['card-refused', async hand => {
    const { page } = hand;
    await write([page.locator('#card-x'), page.locator('#card-y')], ['30', '450']); // on the dark table
    await page.waitForSelector('#fault .fault');
    return async () => { await page.click('#card-off'); await hand.until('the ring is off', s => !s.settings.grey && !s.task); };
  }],
  ['gaps', hand => hand.step('gaps')],
  ['brush', async ({ page }) => { await choose(page, 'brush-marks', 'gap'); await page.locator('.stage').scrollIntoViewIfNeeded(); await paint(page); return () => page.mouse.up(); }],
  ['gaps-painted', async hand => {
    const { page } = hand;
    await hand.until('the stroke counts and has taught', s => s.strokes.count > 0 && !s.learning);
    for (const layer of ['outlines', 'sure', 'grout']) await page.check(`#show-${layer}`);
    return async () => {
      await page.click('#undo');
      await hand.until('it is undone', s => !s.strokes.count);
      for (const layer of ['outlines', 'sure', 'grout']) await page.uncheck(`#show-${layer}`);
      await choose(page, 'brush-marks', 'look');
    };
  }],
  ['shades', hand => hand.step('shades')],
  ['merged', async ({ page }) => { await page.click('[data-stick=dark-cool]'); await page.check('#look-merged'); return () => page.uncheck('#look-merged'); }],
  ['far', async ({ page }) => { await select(page, 'look-distance', '5'); await select(page, 'look-vision', 'deutan'); return async () => { await select(page, 'look-distance', ''); await select(page, 'look-vision', 'normal'); }; }],
  ['distances-wrong', async ({ page }) => {
    await write([page.locator('#set-distances')], ['over there']);
    await page.waitForSelector('#set-distances-wrong:not(:empty)');
    return async () => { await write([page.locator('#set-distances')], ['0.6m, 2m, 5m']); };
  }],
  ['joint', async hand => {
    const { page } = hand;
    await hand.until('the distances are kept', s => s.settings.distances === '0.6m,2m,5m');
    await page.click('.step[data-step=shades] summary');
    await page.selectOption('#joint-depth', 'own');
    await write([page.locator('#set-recess')], ['3']);
    await hand.until('the depth is kept', s => s.settings.recess === '3mm');
    await page.check('#joint-clear');
    await page.locator('#joint-clear').scrollIntoViewIfNeeded();
    return async () => { await page.uncheck('#joint-clear'); await page.selectOption('#joint-depth', 'usual'); await page.click('.step[data-step=shades] summary'); };
  }],
  ['side', async ({ page }) => choose(page, 'compare-ways', 'side')],
  ['six', async ({ page }) => { for (const s of ['near-black', 'light-warm']) await page.click(`[data-stick=${s}]`); }],
  ['divided', async ({ page }) => choose(page, 'compare-ways', 'divide')],
  ['blink', async ({ page }) => { await choose(page, 'compare-ways', 'blink'); return async () => { await choose(page, 'compare-ways', 'one'); await page.click('[data-stick=mid-cool]'); }; }],
  ['own-colour', ({ page }) => own(page, 'colour')],
  ['own-lab', ({ page }) => own(page, 'lab')],
  ['own-chip', ({ page }) => own(page, 'chip')],
  ['own-blend', async ({ page }) => { await own(page, 'blend'); return () => page.click('#shade-cancel'); }],
  ['ranking', hand => hand.step('ranking')],
  ['job', hand => hand.step('job')],
  ['job-wrong', async ({ page }) => {
    await page.fill('#job-temperature', '900');
    await page.locator('#job-temperature').blur();
    await page.waitForSelector('[data-wrong=temperature]:not(:empty)');
    return async () => { await page.fill('#job-temperature', ''); await page.locator('#job-temperature').blur(); };
  }],
  ['clock', async ({ page }) => { await page.click('#clock-start'); await page.click('#clock-skip'); await page.locator('#clock-part').scrollIntoViewIfNeeded(); return () => page.click('#clock-stop'); }],
  ['take', hand => hand.step('take')],
  ['delete', async ({ page }) => { await page.click('#panel-delete'); return () => page.click('#ask-no'); }],
  ['help', async ({ page }) => { await page.click('#help-open'); return () => page.click('#help-close'); }],
  ['home', async ({ page }) => { await page.click('#home'); await page.waitForSelector('.earlier-panel'); }],
  ['refused', async ({ page }) => { await page.setInputFiles('#choose', { name: 'shopping.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('eggs, flour') }); await page.waitForSelector('#start-fault .fault'); }],
];

// visit goes through the states and calls look(name) in each.
export async function visit(hand, look) {
  for (const [name, go] of states) {
    const back = await go(hand);
    if (name !== 'brush' && name !== 'blink') await hand.settle();
    await look(name);
    await back?.();
  }
}
