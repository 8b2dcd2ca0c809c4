// The little colour arithmetic that the page needs itself: swatches from Lab and
// Lab from a picked colour. Lab is CIELAB D50/2°, L* 0–100, as everywhere in
// gapshade; hex is sRGB (IEC 61966-2-1), whose white is D65.

// Bradford D65 ↔ D50 together with the sRGB primaries (Lindbloom, "RGB/XYZ
// Matrices", sRGB adapted to D50).
const toXYZ = [[0.4360747, 0.3850649, 0.1430804], [0.2225045, 0.7168786, 0.0606169], [0.0139322, 0.0971045, 0.7141733]];
const toRGB = [[3.1338561, -1.6168667, -0.4906146], [-0.9787684, 1.9161415, 0.0334540], [0.0719453, -0.2289914, 1.4052427]];
const white = [0.96422, 1, 0.82521]; // D50, ASTM E308
const e = 216 / 24389, k = 24389 / 27; // CIE 15:2004

const times = (m, v) => m.map(row => row[0] * v[0] + row[1] * v[1] + row[2] * v[2]);
const decode = c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
const encode = c => c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055;

// hexOf gives "#rrggbb", clipped to what a screen can show.
export function hexOf([L, a, b]) {
  const fy = (L + 16) / 116;
  const f = [fy + a / 500, fy, fy - b / 200];
  const xyz = f.map((t, i) => white[i] * (t ** 3 > e ? t ** 3 : (116 * t - 16) / k));
  return '#' + times(toRGB, xyz).map(c => Math.round(255 * encode(Math.min(1, Math.max(0, c)))).toString(16).padStart(2, '0')).join('');
}

// labOf reads "#rrggbb" or "#rgb"; null when it is neither.
export function labOf(hex) {
  const m = hex.trim().toLowerCase().match(/^#?([0-9a-f]{6}|[0-9a-f]{3})$/);
  if (!m) return null;
  const six = m[1].length === 3 ? [...m[1]].map(c => c + c).join('') : m[1];
  const rgb = [0, 2, 4].map(i => decode(parseInt(six.slice(i, i + 2), 16) / 255));
  const [x, y, z] = times(toXYZ, rgb).map((v, i) => v / white[i]).map(t => t > e ? Math.cbrt(t) : (k * t + 16) / 116);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)].map(v => Math.round(v * 1000) / 1000);
}
