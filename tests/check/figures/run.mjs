// npm run figures -- check [SEEDS]: what looking for defects reaches on drawn frames whose flaws are known, beside what it has to reach.
import { moduleLoader } from '../../tools/modules.mjs';

const seeds = Math.max(1, Number(process.argv[3] ?? 6));
/** Seeds that no test uses, and that nothing was chosen with. */
const FIRST = 51_000;
const modules = await moduleLoader();
const { findDefects } = await modules.load('/lib/check/find-defects.ts');
const planted = await modules.load('/tests/check/planted.ts');
const { cleanPlanes, drawsOf, linesOf, NAMES, NOISE, plantSeam, plantTrail, SIZE } = planted;

let missed = 0;
const row = (what, target, reached, holds) => {
  if (!holds) missed++;
  console.log(`| ${what} | ${target} | ${reached} | ${holds ? '' : 'missed'} |`);
};
const share = (hits, all) => `${hits} of ${all}`;
const seedsFrom = (k) => Array.from({ length: seeds }, (_, i) => FIRST + 1000 * k + i);
const look = (planes, size) => findDefects(linesOf(planes, size));

console.log('| figure | has to be | is | |\n|---|---|---|---|');

let [sure, possible, others] = [0, 0, 0];
for (const seed of seedsFrom(0))
  for (const { kind, certainty } of await look(cleanPlanes(seed))) {
    if (kind !== 'trail') others++;
    else if (certainty === 'sure') sure++;
    else possible++;
  }
row(`sure trails in clean frames of three lines, ${seeds} seeds`, '0', sure, sure === 0);
row('possible trails in them', '', possible, true);
row('columns, rows, seams and spots in them', '0', others, others === 0);

for (const [strength, target] of [
  [40, undefined],
  [60, 0.8],
  [90, 0.95],
]) {
  let [found, wrong] = [0, 0];
  const off = { angle: 0, place: 0, width: 1 };
  for (const seed of seedsFrom(strength)) {
    const draw = drawsOf(seed);
    const planes = cleanPlanes(seed);
    const trail = {
      x: draw(0.3, 0.7) * SIZE.width,
      y: draw(0.3, 0.7) * SIZE.height,
      angle: draw(0, Math.PI),
      half: 2000,
      width: draw(2, 8),
      depth: 0,
    };
    const name = NAMES[seed % 3];
    const length = plantTrail(new Float32Array(SIZE.width * SIZE.height), trail);
    plantTrail(planes[name], { ...trail, depth: (NOISE * strength) / Math.sqrt(length * trail.width) });
    const trails = (await look(planes)).filter(({ kind }) => kind === 'trail');
    const hit = trails.find(({ channel }) => channel === name);
    wrong += trails.length - (hit ? 1 : 0);
    if (hit === undefined) continue;
    found++;
    const [mx, my] = [(hit.from[0] + hit.to[0]) / 2 - trail.x, (hit.from[1] + hit.to[1]) / 2 - trail.y];
    off.place = Math.max(off.place, Math.abs(my * Math.cos(trail.angle) - mx * Math.sin(trail.angle)));
    off.angle = Math.max(off.angle, Math.abs(((hit.angle - (trail.angle * 180) / Math.PI + 450) % 180) - 90));
    off.width = Math.max(off.width, hit.width / trail.width, trail.width / hit.width);
  }
  const what = `trails 2 to 8 pixels wide, depth · √(length · width) = ${strength} noise`;
  row(
    what,
    target === undefined ? '' : `≥ ${target}`,
    share(found, seeds),
    target === undefined || found >= target * seeds,
  );
  row('others beside them', '0', wrong, wrong === 0);
  const atMost = (name, most, value) =>
    row(name, target === undefined ? '' : `≤ ${most}`, value.toFixed(2), target === undefined || value <= most);
  atMost('angle, degrees', 0.3, off.angle);
  atMost('place, pixels', 2, off.place);
  atMost('width, times', 2, off.width);
}

let [seams, columns, hotPixels, spots] = [0, 0, 0, 0];
for (const seed of seedsFrom(200)) {
  const draw = drawsOf(seed);
  const planes = cleanPlanes(seed);
  plantSeam(planes.S, seed, draw(120, 360), draw(120, 360), 1.4);
  const x = Math.floor(draw(20, SIZE.width - 20));
  for (let y = 0; y < SIZE.height; y++) planes.H[y * SIZE.width + x] += 0.6 * NOISE;
  const hot = Array.from({ length: 20 }, () => [
    Math.floor(draw(20, SIZE.width - 20)),
    Math.floor(draw(20, SIZE.height - 20)),
  ]);
  for (const [u, v] of hot) planes.O[v * SIZE.width + u] += 40 * NOISE;
  const found = await look(planes);
  seams += found.some(({ kind, channel }) => kind === 'seam' && channel === 'S') ? 1 : 0;
  columns += found.some(({ kind, channel, from }) => kind === 'column' && channel === 'H' && from[0] === x) ? 1 : 0;
  const places = found.find(({ kind, channel }) => kind === 'spots' && channel === 'O')?.places ?? [];
  hotPixels += hot.length;
  spots += hot.filter(([u, v]) => places.some(([a, b]) => Math.hypot(a - u, b - v) < 2)).length;
}
row(`seams of 1.4 times the noise in ${SIZE.width} × ${SIZE.height} pixels`, '', share(seams, seeds), true);
let largeSeams = 0;
const large = { width: 1200, height: 800 };
for (const seed of seedsFrom(300)) {
  const draw = drawsOf(seed);
  const planes = cleanPlanes(seed, large);
  plantSeam(planes.S, seed, draw(300, 900), draw(300, 900), 1.4, large);
  const found = await look(planes, large);
  largeSeams += found.some(({ kind, channel }) => kind === 'seam' && channel === 'S') ? 1 : 0;
}
row('the same in 1200 × 800 pixels', 'all', share(largeSeams, seeds), largeSeams === seeds);
row('columns .6 noise deep', 'all', share(columns, seeds), columns === seeds);
row('pixels 40 noise high, in one line', '≥ .92', share(spots, hotPixels), spots >= 0.92 * hotPixels);

console.log(`\n${missed === 0 ? 'All targets are reached.' : `${missed} targets are missed.`}`);
await modules.close();
