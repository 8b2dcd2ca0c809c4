// Photos that a walk draws itself, as PNG, where what they show must be known exactly.

// A layout: 6 × 5 tiles of 48 px, 8 px apart, and a grey card to the right of it.
export const layout = { size: [500, 344], corners: [[28, 28], [364, 28], [364, 308], [28, 308]], card: [440, 160], cardHalf: 36 };
const [first, tile, pitch] = [32, 48, 56];

// Codes of paper and card in sRGB; the lamp multiplies them.
const papers = { white: [232, 230, 226], black: [20, 20, 22] };
const tiles = [[40, 90, 110], [180, 120, 60], [60, 120, 80]];
const grey = [150, 150, 150];
export const warm = [1, 0.86, 0.62];

// png paints rectangles [x, y, w, h, [r, g, b]] with a little noise, so that no two
// pixels are alike, and gives the file.
async function png(page, [w, h], rectangles) {
  const text = await page.evaluate(async ([w, h, rectangles]) => {
    const canvas = new OffscreenCanvas(w, h);
    const c = canvas.getContext('2d');
    for (const [x, y, width, height, rgb] of rectangles) {
      c.fillStyle = `rgb(${rgb.map(Math.round)})`;
      c.fillRect(x, y, width, height);
    }
    const picture = c.getImageData(0, 0, w, h);
    for (let i = 0, seed = 1; i < picture.data.length; i += 4) {
      seed = (seed * 48271) % 0x7fffffff; // minimal standard generator (Park and Miller 1988)
      for (let k = 0; k < 3; k++) picture.data[i + k] += seed % 7;
    }
    c.putImageData(picture, 0, 0);
    const bytes = new Uint8Array(await (await canvas.convertToBlob()).arrayBuffer());
    return btoa(Array.from(bytes, b => String.fromCharCode(b)).join(''));
  }, [w, h, rectangles]);
  return Buffer.from(text, 'base64');
}

const file = (name, buffer) => ({ name, mimeType: 'image/png', buffer });

// laid is the layout on a paper, under a lamp.
export async function laid(page, paper, { lamp = [1, 1, 1] } = {}) {
  const under = rgb => rgb.map((v, i) => v * lamp[i]);
  const [x, y] = layout.card.map(v => v - layout.cardHalf);
  const all = [[0, 0, ...layout.size, under(papers[paper])], [x, y, 2 * layout.cardHalf, 2 * layout.cardHalf, under(grey)]];
  for (let i = 0; i < 6; i++) for (let j = 0; j < 5; j++) all.push([first + i * pitch, first + j * pitch, tile, tile, under(tiles[(i + 2 * j) % 3])]);
  return file(`${paper}.png`, await png(page, layout.size, all));
}

// round is a round layout on white paper, ten tiles across; disc is what it is told by.
export const disc = { size: [624, 624], from: 28, across: 560 };
export async function round(page) {
  const all = [[0, 0, ...disc.size, papers.white]];
  for (let i = 0; i < 10; i++) for (let j = 0; j < 10; j++) {
    if (Math.hypot(i - 4.5, j - 4.5) < 5.2) all.push([first + i * pitch, first + j * pitch, tile, tile, tiles[(i + 2 * j) % 3]]);
  }
  return file('round.png', await png(page, disc.size, all));
}

// chips are three dry samples on white paper; lightness is that of codes 203, 133 and
// 73 in sRGB by hand (IEC 61966-2-1 and CIE 15), where 236 is taken for L* 93.
export const chipLightness = [81.7, 55.6, 31.1];
export async function chips(page) {
  const all = [[0, 0, 600, 300, [233, 233, 233]], ...[200, 130, 70].map((v, i) => [i * 200 + 40, 90, 120, 120, [v, v, v]])];
  return file('chips.png', await png(page, [600, 300], all));
}
