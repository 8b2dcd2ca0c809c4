// German for the program's own sentences, without a browser: what it says of real photos,
// and what it refuses, has German to the last word.

import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Gapshade, lemons, root } from './gapshade.mjs';
import { told, use } from '../assets/sentences.js';

const table = JSON.parse(readFileSync(new URL('../assets/words/sentences.de.json', import.meta.url)));
const photos = join(root, 'testdata/photos');
// Words of the program that no German sentence has, but for what a person typed.
const english = /\b(the|of|and|is|are|tiles?|joints?|gaps?|with|than|from|every|without|outline|group|largest|not|such|use|give|panel|photo's)\b/i;

const gapshade = new Gapshade();
before(() => use(table));
after(() => gapshade.done());

function inGerman(text) {
  const [said, lang] = told(text);
  assert.equal(lang, null, `no German for: ${text}`);
  assert.doesNotMatch(said.replace(/„[^“]*“/g, ''), english, text);
  assert.doesNotMatch(said, /\d\.\d|\{\d|%[sdqgf]/, text);
  return said;
}

const out = name => ['--out', join(gapshade.home, name), '--force', '--quiet'];

// report is what a run writes down; the words of one photo under several aims.
function report(photo, ...flags) {
  return JSON.parse(execFileSync(gapshade.binary, ['preview', photo, '--json', ...out('run'), ...flags], { maxBuffer: 1 << 26 }));
}
const sentences = r => [...r.shades.map(s => s.reason), ...r.notes.map(n => n.text), ...r.job?.cautions ?? [], ...r.job?.warnings.map(w => w.text) ?? []];

const runs = [
  [lemons, '--size', '383x303mm', '--bed', 'white', '--aim', 'outline'],
  [lemons, '--aim', 'balance', '--state', 'damp', '--clear', '--straighten'],
  [lemons, '--size', '15x12in', '--bed', 'black', '--aim', 'blend', '--units', 'us', '--place', 'outdoor', '--temperature', '40F', '--pot-life', '20min', '--kind', 'sanded'],
  [join(photos, 'layout-turned.webp'), '--size', '300x300mm', '--aim', 'outline', '--place', 'wet', '--material', 'glass', '--variation', '9mm'],
  [join(photos, 'layout-cmyk.jpg'), '--aim', 'blend', '--state', 'enhanced'],
  [join(root, 'testdata/scenes/grid-whites/photo_white.jpg'), '--size', '2000x2000mm', '--aim', 'balance', '--temperature', '3C'],
];

test('what is said of real photos', () => {
  const seen = new Set();
  for (const [photo, ...flags] of runs) for (const text of sentences(report(photo, ...flags))) { inGerman(text); seen.add(text); }
  assert.ok(seen.size > 60, `${seen.size} sentences were read`);
});

// Each refusal is printed as "gapshade: what: why", and "try: next" below.
const refusals = [
  ['--temperature', '900C'], ['--temperature', 'hot'], ['--thickness', '4'], ['--thickness', '400mm'], ['--allowance', '1'], ['--pot-life', 'long'], ['--start', 'noon'],
  ['--size', 'wide'], ['--size', '0x3mm'], ['--gap', '2mm'], ['--shoulder', '2mm'], ['--bed', 'green'], ['--aim', 'best'], ['--recess', '90mm'],
  ['--corners', '1,1 2,2 3,3'], ['--corners', '40,30 980,720 975,35 42,716'], ['--corners', '40,30 9800,35 975,720 42,716'], ['--corners', '0,0 9,0 9,9 0,9'],
  ['--grey', '0,0,9'], ['--grey', '9999,0,9'], ['--distance', '900m', '--size', '3x3m'], ['--size', '1900x1500mm', '--kind', 'unsanded', '--bed', 'white'],
  ['--second', lemons], ['--size', '383x303mm', '--material', 'wood'],
];

test('what is refused', () => {
  for (const flags of refusals) {
    const { status, stderr } = spawnSync(gapshade.binary, ['preview', lemons, ...out('refused'), ...flags], { encoding: 'utf8' });
    assert.notEqual(status, 0, flags.join(' '));
    const [, what, next] = stderr.match(/gapshade: ([^]*?)\n(?:try: ([^]*?)\n)?/) ?? assert.fail(stderr);
    inGerman(what);
    if (next) inGerman(next);
  }
});

test('a file that is no photo', () => {
  const { stderr } = spawnSync(gapshade.binary, ['preview', join(photos, 'README.md'), ...out('text')], { encoding: 'utf8' });
  const [, why, next] = stderr.match(/README\.md: (.*)\ntry: (.*)\n/);
  assert.equal(inGerman(why), 'Es ist Text, kein Foto.');
  inGerman(next);
});

test('every pattern fits its own sentence', () => {
  const fill = key => key.replace(/%(?:\.\d+)?([dfgqsvw])|%%/g, (v, verb) => verb ? { q: '"a"', s: 'white', v: 'white', w: 'white' }[verb] ?? '1.5' : '%');
  for (const key of Object.keys(table)) assert.equal(told(fill(key))[1], null, key);
});

// The spaces before per cent are the language's, which is English here: no page has chosen one.
test('figures, names and what was typed', () => {
  assert.equal(told('the light varies by 9 % over the panel; a softer, more even light tells more')[0], 'Das Licht schwankt über die Arbeit um 9\u00a0%; weicheres, gleichmäßigeres Licht verrät mehr.');
  assert.equal(told('--size: "wide.5 the" is not a size, such as 380x300mm or 15x11 3/4in')[0], '„wide.5 the“ ist kein Maß, etwa 380x300mm oder 15x11 3/4in.');
  assert.equal(told('a temperature of -31.5 °C can\'t be')[0], 'Eine Temperatur von −31,5 °C kann nicht sein.');
  assert.equal(told('Joints over 1/2 in need coarser sand; ask for it.')[0], 'Fugen über 1/2 Zoll brauchen gröberen Sand; fragen Sie danach.');
  assert.equal(told('my photo; of tiles.jpg: the samples can\'t be read')[1], 'en', 'rather English than a guess');
  assert.deepEqual(told('something nobody has heard of'), ['Something nobody has heard of.', 'en']);
});
