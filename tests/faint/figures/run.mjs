// npm run figures -- faint [FILE]: what the map of faint things reaches on noise, planted shapes and drawn scenes whose truth is known.
// FILE is a real master, into whose sky shapes are planted. None of these seeds was looked at while the method was made.
import { readFile } from 'node:fs/promises';
import { moduleLoader } from '../../tools/modules.mjs';

const SEEDS = [61, 62, 63];
const modules = await moduleLoader();
const load = (name) => modules.load(`/tests/faint/figures/${name}.ts`);
const { noiseBlobs, sceneFigures, shareFound, skyMaster } = await load('figures');
const { SHAPES } = await load('shapes');

let [all, missed] = [0, 0];
const shown = (value) =>
  typeof value === 'string' || Number.isInteger(value)
    ? String(value)
    : value.toPrecision(3).replace(/^(-?)0\./, '$1.');
const row = (name, target, values, reached) => {
  if (target !== '') all++;
  if (!reached) missed++;
  console.log(`| ${name} | ${target} | ${values.map(shown).join(', ')} | ${reached ? '' : 'missed'} |`);
};
console.log('| figure | target | reached | |\n|---|---|---|---|');

const frames = Array.from({ length: 12 }, (_, i) => noiseBlobs(SEEDS[0] + i, 10));
for (const sign of ['bright', 'dark']) {
  const mean = frames.reduce((sum, of) => sum + of[sign], 0) / frames.length;
  row(`noise alone, 12 frames, 10 stated: ${sign} blobs a frame`, '7–13', [mean], mean >= 7 && mean <= 13);
}
for (const [target, about, least] of [
  ['emberwing', 'sky with stars and gradient', 0.85],
  ['palehoop', 'the same, stars over half of the sky', undefined],
])
  for (const [shape, height] of [
    ['disc32', 0.5],
    ['filament8', 0.5],
    ['disc64', 0.2],
  ]) {
    const found = [];
    for (const seed of SEEDS) found.push(await shareFound(skyMaster(target, seed, seed), SHAPES[shape], height, seed));
    const share = found.reduce((sum, of) => sum + of.found, 0) / found.reduce((sum, of) => sum + of.all, 0);
    const values = [share, ...found.map((of) => `${of.found}/${of.all}`)];
    row(`${about}: ${SHAPES[shape].name} of ${height} σ`, least === undefined ? '' : '≥ .85', values, !(share < least));
  }
const scenes = [];
for (const seed of SEEDS) scenes.push(await sceneFigures(seed, seed));
const of = (value) => scenes.map(value);
row(
  'two masters, faint shell: outlines on it',
  '',
  of((s) => s.shell),
  true,
);
row(
  'pixels of these',
  '',
  of((s) => s.shellPixels),
  true,
);
row(
  'outlines where there is neither shell nor nebula',
  '',
  of((s) => s.elsewhere),
  true,
);
const inside = scenes.reduce((sum, s) => sum + s.hours.inside, 0) / scenes.reduce((sum, s) => sum + s.hours.all, 0);
row(
  'hours to 5 whose interval holds the truth',
  '≥ .68',
  [inside, ...of((s) => `${s.hours.inside}/${s.hours.all}`)],
  inside >= 0.68,
);
for (const [i, scale] of [16, 32].entries()) {
  const ratios = of((s) => s.flats[i]);
  row(
    `what flats leave at ${scale} px, over truth`,
    '.85–1.15',
    ratios,
    ratios.every((r) => r >= 0.85 && r <= 1.15),
  );
}
row(
  'least part of the sky that is decided at 32 px',
  '',
  of((s) => s.limit),
  true,
);

const file = process.argv[3];
if (file) {
  const { openFits } = await modules.load('/lib/formats/fits/open.ts');
  const { memorySource } = await modules.load('/lib/plane/bytes.ts');
  const source = await openFits(memorySource(file, await readFile(file)));
  const found = [];
  for (const shape of Object.values(SHAPES))
    found.push({ name: shape.name, ...(await shareFound(source, shape, 1, 61)) });
  const sum = (key) => found.reduce((total, of) => total + of[key], 0);
  row(
    'a real master: shapes of 1 σ',
    '≥ .917',
    [...found.map((of) => `${of.name} ${of.found}/${of.all}`)],
    sum('found') / sum('all') >= 22 / 24,
  );
} else console.log('\nNo real master is given: that figure is left out.');
await modules.close();
console.log(`\n${all - missed} of ${all} figures are reached`);
