// npm run figures -- stars [FOLDER]: what finding stars and taking them out reaches on drawn scenes whose truth is known, beside what it has to reach.
// FOLDER holds three masters m42_sii_256_f32.fits, …ha…, …oiii… of a nebula with knots and next to no stars.
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { moduleLoader } from '../../tools/modules.mjs';

/** Scenes 2 and 13 were looked at while the method was made, the others were not. */
const DRAWS = [{ seed: 2 }, { seed: 13 }, { seed: 31, noiseSeed: 131 }, { seed: 47, noiseSeed: 147 }];
const HARD = [
  { seed: 31, noiseSeed: 231 },
  { seed: 47, noiseSeed: 247 },
];
const OTHERS = [
  { seed: 31, noiseSeed: 131, target: 'brightfen' },
  { seed: 47, noiseSeed: 147, target: 'palehoop' },
];

const modules = await moduleLoader();
const load = (name) => modules.load(`/tests/stars/figures/${name}.ts`);
const { drawHardScene, drawScene, drawStarless } = await load('scenes');
const { completeness, purity, takeStars } = await load('found');
const { carelessly, errorInDiscs, holesIn, ringsAround } = await load('left');
const { changedOutside, chromaOfPeaks, idealChroma, picturesOf } = await load('colour');

const LARGE = Number.POSITIVE_INFINITY;
const shown = (value) => (Number.isInteger(value) ? String(value) : value.toPrecision(3).replace(/^(-?)0\./, '$1.'));
let [all, missed] = [0, 0];
const print = (name, target, values, reached) =>
  console.log(`| ${name} | ${target} | ${values.map(shown).join(', ')} | ${reached ? '' : 'missed'} |`);
/** A row of the table: every draw against the target. Rows without a target only tell. */
const row = (sign, holds) => (name, target, values) => {
  const reached = target === undefined || values.every((value) => holds(value, target));
  if (target !== undefined) all++;
  if (!reached) missed++;
  print(name, target === undefined ? '' : `${sign} ${shown(target)}`, values, reached);
};
const atMost = row('≤', (value, target) => value <= target);
const atLeast = row('≥', (value, target) => value >= target);
const worst = (values) => Math.max(...values);

/** All that is looked at in one scene; scenes are let go of one by one. */
const look = async (scene, rings = 50) => {
  const taken = await takeStars(scene);
  const { list, starless, mask } = taken;
  const pictures = await picturesOf(scene, taken);
  const errors = errorInDiscs(scene, starless, mask);
  const smaller = await picturesOf(scene, taken, 0.5);
  return {
    stars: list.count,
    faint: completeness(scene, list, 10, 20),
    medium: completeness(scene, list, 20, 50),
    bright: completeness(scene, list, 50, LARGE),
    purity: purity(scene, list),
    robust: worst(errors.map(({ robust }) => robust)),
    rms: worst(errors.map(({ rms }) => rms)),
    rings: worst(ringsAround(scene, starless, rings)),
    holes: holesIn(scene, starless, mask),
    careless: holesIn(scene, carelessly(scene, list), mask),
    before: chromaOfPeaks(scene, pictures.plain, list, 20),
    after: chromaOfPeaks(scene, pictures.changed, list, 20),
    ideal: await idealChroma(scene, taken, pictures, 20),
    brightAfter: chromaOfPeaks(scene, pictures.changed, list, 50),
    outside: changedOutside(pictures, mask) + changedOutside(smaller, mask),
  };
};

const lookAll = async (draws, draw) => {
  const found = [];
  for (const one of draws) found.push(await look(draw(one)));
  return found;
};

const named = (draws) => draws.map(({ seed, target = 'emberwing' }) => `${target} ${seed}`).join(', ');

/** Rows that every scene has. `targets` are those of the sample scene, or nothing. */
const rows = (what, found, targets = {}) => {
  const of = (value) => found.map(value);
  atLeast(
    `${what}: stars listed`,
    undefined,
    of((f) => f.stars),
  );
  atLeast(
    `${what}: found of those 10–20 times above the noise`,
    undefined,
    of((f) => f.faint),
  );
  atLeast(
    `${what}: found, 20–50`,
    targets.medium,
    of((f) => f.medium),
  );
  atLeast(
    `${what}: found, above 50`,
    targets.bright,
    of((f) => f.bright),
  );
  atLeast(
    `${what}: listed that are stars`,
    targets.purity,
    of((f) => f.purity),
  );
  atMost(
    `${what}: error in discs over noise, robust`,
    targets.robust,
    of((f) => f.robust),
  );
  atMost(
    `${what}: the same, root mean square`,
    targets.rms,
    of((f) => f.rms),
  );
  atMost(
    `${what}: rings around stars above 50, median in σ`,
    targets.rings,
    of((f) => f.rings),
  );
  atMost(
    `${what}: dark holes, pixels`,
    0,
    of((f) => f.holes.count),
  );
  atMost(
    `${what}: the deepest place, in σ`,
    undefined,
    of((f) => f.holes.deepest),
  );
  atMost(
    `${what}: holes if the stars' light were only subtracted`,
    undefined,
    of((f) => f.careless.count),
  );
  atMost(
    `${what}: chroma of peaks above 20 before, mean`,
    undefined,
    of((f) => f.before.mean),
  );
  atMost(
    `${what}: chroma of peaks above 20, median`,
    targets.chroma,
    of((f) => f.after.median),
  );
  atMost(
    `${what}: chroma of peaks above 20, mean`,
    targets.chroma,
    of((f) => f.after.mean),
  );
  atMost(
    `${what}: the same, of those listed`,
    undefined,
    of((f) => f.after.listed),
  );
  atMost(
    `${what}: the same, were what lies under them known`,
    undefined,
    of((f) => f.ideal),
  );
  atMost(
    `${what}: chroma of peaks above 50, mean`,
    targets.chroma,
    of((f) => f.brightAfter.mean),
  );
  atMost(
    `${what}: samples changed outside the mask`,
    0,
    of((f) => f.outside),
  );
};

console.log(`Draws: ${named(DRAWS)}; hard: ${named(HARD)}; others: ${named(OTHERS)}\n`);
console.log('| figure | target | reached, draw by draw | |\n|---|---|---|---|');
rows('samples', await lookAll(DRAWS, drawScene), {
  medium: 0.93,
  bright: 0.97,
  purity: 0.98,
  robust: 1.3,
  rings: 0.2,
  chroma: 0.02,
});
rows('hard', await lookAll(HARD, drawHardScene), { rms: 3.5 });
rows('other targets', await lookAll(OTHERS, drawScene));

const wrong = [];
for (const draw of [...DRAWS, ...OTHERS]) {
  const scene = drawStarless(draw);
  const { list } = await takeStars(scene);
  wrong.push((1e6 * (list?.count ?? 0)) / (scene.width * scene.height));
}
atMost('frames without a star: listed, per megapixel', 10, wrong.slice(0, DRAWS.length));
atMost('the same, other targets', undefined, wrong.slice(DRAWS.length));
const folder = process.argv[3];
if (folder) {
  const { openFits } = await modules.load('/lib/formats/fits/open.ts');
  const { memorySource } = await modules.load('/lib/plane/bytes.ts');
  const masters = [];
  let size;
  for (const line of ['sii', 'ha', 'oiii']) {
    const source = await openFits(memorySource(line, await readFile(join(folder, `m42_${line}_256_f32.fits`))));
    size = { width: source.width, height: source.height };
    const data = new Float32Array(size.width * size.height);
    await source.readRows(0, size.height, data);
    masters.push(data);
  }
  const { list } = await takeStars({ ...size, masters });
  atMost('real masters of knots: listed', 5, [list?.count ?? 0]);
} else console.log('\nNo folder of real masters is given: that figure is left out.');
await modules.close();
console.log(`\n${all - missed} of ${all} figures are reached`);
