// Three ways to do the same: by mouse, by keys alone, by touch. Each can press a
// thing, write into a field, choose from a list, put a corner and draw a stroke.

// Mouse uses the left button and the wheel, and keys only to write.
export class Mouse {
  constructor(hand) { this.hand = hand; this.page = hand.page; }

  press(what) { return this.page.locator(what).first().click(); }
  async write(what, text) { await this.page.locator(what).first().click({ clickCount: 3 }); await this.page.keyboard.type(text); await this.page.keyboard.press('Tab'); }
  // The list that drops down is the system's own window; only its result can be made here.
  choose(what, value) { return this.page.selectOption(what, value); }
  files(what) { return this.press(`label:has(${what})`); }

  // corner drags a corner, enlarged first, because a screen px is wider than the goal is exact.
  async corner(i, goal) {
    const { page, hand } = this;
    const { corners } = await hand.state();
    const [x, y] = await hand.on(corners[i]);
    await page.mouse.move(x, y);
    for (let k = 0; k < 4; k++) await page.mouse.wheel(0, -400);
    await hand.frame();
    const grip = await page.locator('.corner').nth(i).boundingBox();
    const from = [grip.x + grip.width / 2, grip.y + grip.height / 2];
    const [a, b] = [await hand.on(corners[i]), await hand.on(goal)];
    await page.mouse.move(...from);
    await page.mouse.down();
    await page.mouse.move(from[0] + b[0] - a[0], from[1] + b[1] - a[1], { steps: 6 });
    await page.mouse.up();
    await this.press('#zoom-fit');
    await hand.frame();
  }

  async stroke(points) {
    const [first, ...rest] = await Promise.all(points.map(p => this.hand.on(p)));
    await this.page.mouse.move(...first);
    await this.page.mouse.down();
    for (const p of rest) await this.page.mouse.move(...p, { steps: 8 });
    await this.page.mouse.up();
  }
}

// Keys never touches the mouse: what is wanted is reached by Tab.
export class Keys {
  constructor(hand) { this.hand = hand; this.page = hand.page; }

  async reach(what) {
    const here = el => el === document.activeElement || el.type === 'radio' && document.activeElement.name === el.name;
    const target = this.page.locator(what).first();
    for (let i = 0; i < 200; i++) {
      if (await target.evaluate(here)) return target;
      await this.page.keyboard.press('Tab');
    }
    throw new Error(`Tab never comes to ${what}`);
  }

  async press(what) {
    const target = await this.reach(what);
    const kind = await target.evaluate(el => el.type);
    if (kind === 'radio') for (let i = 0; i < 12 && !await target.isChecked(); i++) await this.page.keyboard.press('ArrowDown');
    else await this.page.keyboard.press(kind === 'checkbox' ? 'Space' : 'Enter');
  }
  async write(what, text) { await this.reach(what); await this.page.keyboard.press('Control+A'); await this.page.keyboard.type(text); await this.page.keyboard.press('Tab'); }
  async choose(what, value) {
    const target = await this.reach(what);
    await this.page.keyboard.press('Home');
    for (let i = 0; i < 20 && await target.inputValue() !== value; i++) await this.page.keyboard.press('ArrowDown');
  }
  files(what) { return this.press(what); }

  // corner walks a corner by 10 px and by 1.
  async corner(i, goal) {
    const { corners } = await this.hand.state();
    await this.reach(`.corner >> nth=${i}`);
    for (const [axis, [less, more]] of [['ArrowLeft', 'ArrowRight'], ['ArrowUp', 'ArrowDown']].entries()) {
      const far = Math.round(goal[axis] - corners[i][axis]);
      const key = far < 0 ? less : more;
      for (let n = Math.abs(far); n > 0; n -= n >= 10 ? 10 : 1) await this.page.keyboard.press(n >= 10 ? `Shift+${key}` : key);
    }
  }

  // stroke begins in the middle, where the brush lies, and goes right.
  async stroke() {
    await this.reach('.field-of-view');
    await this.page.keyboard.press('Space');
    for (let i = 0; i < 12; i++) await this.page.keyboard.press('ArrowRight');
    await this.page.keyboard.press('Space');
  }
}

// Touch taps, drags with one finger and spreads two.
export class Touch {
  constructor(hand) { this.hand = hand; this.page = hand.page; }

  press(what) { return this.page.locator(what).first().tap(); }
  async write(what, text) { await this.press(what); await this.page.keyboard.press('Control+A'); await this.page.keyboard.type(text); await this.page.keyboard.press('Tab'); }
  choose(what, value) { return this.page.selectOption(what, value); }
  files(what) { return this.press(`label:has(${what})`); }

  async fingers(type, points) {
    this.cdp ??= await this.page.context().newCDPSession(this.page);
    await this.cdp.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  }

  async drag(...lines) {
    await this.fingers('touchStart', lines.map(l => l[0]));
    const along = (points, t) => {
      const at = t * (points.length - 1);
      const i = Math.min(points.length - 2, Math.floor(at));
      return [0, 1].map(j => points[i][j] + (points[i + 1][j] - points[i][j]) * (at - i));
    };
    for (let k = 1; k <= 12; k++) await this.fingers('touchMove', lines.map(l => along(l, k / 12)));
    await this.fingers('touchEnd', []);
  }

  // corner enlarges the picture round a corner with two fingers and drags it with one.
  async corner(i, goal) {
    const { hand } = this;
    const { corners } = await hand.state();
    const place = await hand.on(corners[i]);
    const inward = (x, y) => [place[0] + x * (i === 0 || i === 3 ? 1 : -1), place[1] + y * (i < 2 ? 1 : -1)];
    await this.drag([inward(35, 35), inward(24, 24)], [inward(65, 65), inward(99, 99)]); // spreads two fingers
    await this.drag([inward(160, 120), inward(280, 220)]); // and draws the corner back into sight
    await hand.frame();
    await this.drag([await hand.on(corners[i]), await hand.on(goal)]);
    await this.press('#zoom-fit');
    await hand.frame();
  }

  async stroke(points) { await this.drag(await Promise.all(points.map(p => this.hand.on(p)))); }
}
