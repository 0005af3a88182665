// Times of single parts in one process. Run by run.mjs; prints JSON. Usage: micro.mjs LIB FOLDER
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const [lib, folder] = process.argv.slice(2);
const from = (path) => import(pathToFileURL(join(lib, path)).href);
const { fastKernelFor } = await from('render/fast-kernel.js');
const { jsKernel } = await from('render/js-kernel.js');
const { renderForScreen } = await from('web/screen.js');
const { planeSource } = await from('plane/memory-plane.js');
const { createCounter } = await from('measure/counter.js');
const { createOrderIndex, refineBins, wantedBins } = await from('measure/order-index.js');
const { percentile } = await from('measure/statistics.js');
const { operations } = await from('smooth/choose-operations.js');
const { removedRows } = await from('smooth/removed.js');
const { rowsNeeded } = await from('smooth/tile.js');

/** Least processor time of several runs in ms: on a busy machine the clock tells of others. */
const least = async (rounds, work) => {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < rounds; i++) {
    const began = process.cpuUsage();
    await work();
    const { user, system } = process.cpuUsage(began);
    best = Math.min(best, (user + system) / 1000);
  }
  return best;
};

let state = 7;
const random = () => {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return state / 2 ** 32;
};
const PIXELS = 1 << 20;
const planes = [0, 1, 2].map(() => Float32Array.from({ length: PIXELS }, () => random() ** 4));
const settledFor = (stretch, change = {}) => ({
  channels: ['S', 'H', 'O'].map((name) => ({ name, background: 0, black: 0, white: 1, stretch })),
  matrix: [
    [0.8, 0.2, 0],
    [0.2, 0.7, 0.1],
    [0, 0.1, 0.9],
  ],
  mixIn: 'display',
  space: 'srgb',
  highlights: 'ratio',
  gamut: 'smooth',
  ...change,
});
/** Colours that leave the space are cut: what bringing them back costs is measured on its own. */
const FINISH = {
  tone: [
    [0.24, 0.23],
    [0.6, 0.66],
    [0.85, 0.9],
  ],
  chroma: { gain: 1.8, from: 0.24, to: 0.49, until: 0.3 },
};
const BEND = { at: 140, to: 95, width: 75, chroma: 0.85 };
const bias = { curve: 'bias', a: Math.fround(0.93) };
const asinh = { curve: 'asinh', a: Math.fround(0.01) };
const linear = { curve: 'linear' };
const light = { mixIn: 'light', intensity: asinh };
const cases = {
  'display, linear': settledFor(linear),
  'display, bias': settledFor(bias),
  'display, asinh (table)': settledFor(asinh),
  'light, asinh': settledFor(linear, light),
  'display, bias, lightness': settledFor(bias, { lightness: [0, 1, 0] }),
  'display, bias, finish of tone and chroma': settledFor(bias, { finish: FINISH, gamut: 'clip' }),
  'display, bias, finish with a bend': settledFor(bias, { finish: { ...FINISH, bends: [BEND] }, gamut: 'clip' }),
};
const form = { sample: 'u16', bands: 3 };
const out = new Uint16Array(3 * PIXELS);
const time = async (settled) =>
  ((await least(6, async () => fastKernelFor(settled, form)(planes, PIXELS, out))) * 1e6) / PIXELS;
const kernels = [];
for (const [name, settled] of Object.entries(cases)) {
  const few = PIXELS / 16;
  const js = ((await least(2, () => jsKernel(settled, form)(planes, few, out))) * 1e6) / few;
  kernels.push({ name, fast: await time(settled), js });
}

// Every pixel out of gamut against the same pixels clipped: what chroma reduction adds to each.
const OUT = [
  [1, -0.3, 0],
  [0.1, 0.8, -0.4],
  [-0.5, 0.2, 0.9],
];
const outside = [
  [0.9, 0.2, 0.1],
  [0.1, 0.9, 0.2],
  [0.2, 0.1, 0.9],
].map((levels) => Float32Array.from({ length: PIXELS }, (_, i) => levels[i % 3] * (0.2 + 0.8 * random())));
const timeOutside = async (gamut, change) => {
  const settled = settledFor(linear, { matrix: OUT, gamut, ...change });
  return ((await least(4, async () => fastKernelFor(settled, form)(outside, PIXELS, out))) * 1e6) / PIXELS;
};
const mixed = (i) => OUT.map((row) => row.reduce((sum, w, c) => sum + w * outside[c][i], 0));
const share = Array.from({ length: 3000 }, (_, i) => mixed(i).some((v) => v < 0)).filter(Boolean).length / 3000;
const addedBy = async (gamut, change) =>
  ((await timeOutside(gamut, change)) - (await timeOutside('clip', change))) / share;
const inLight = { mixIn: 'light', intensity: linear };
const methods = [];
for (const name of ['smooth', 'chroma'])
  methods.push({ name, display: await addedBy(name, {}), light: await addedBy(name, inLight) });
const gamut = { share, methods };
const inside = await time({
  ...cases['display, bias'],
  matrix: [
    [0.8, 0.3, 0],
    [0.2, 0.7, 0.1],
    [0, 0.1, 0.9],
  ],
});
const clipped = await time({
  ...cases['display, bias'],
  gamut: 'clip',
  matrix: [
    [0.8, 0.3, 0],
    [0.2, 0.7, 0.1],
    [0, 0.1, 0.9],
  ],
});

/** What a worker of the page does for each picture. */
const { signal } = new AbortController();
const onScreen = (channels, settled) => renderForScreen({ channels }, settled, signal);
const channelsOf = (width, height, data) =>
  ['S', 'H', 'O'].map((name, i) => ({ name, source: planeSource(name, { width, height, data: data[i] }) }));
const largeData = [0, 1, 2].map((i) => Float32Array.from({ length: 1600 * 1067 }, (_, k) => planes[i][k % PIXELS]));
const large = channelsOf(1600, 1067, largeData);
const preview = await least(12, () => onScreen(large, cases['display, bias']));
const previewLight = await least(8, () => onScreen(large, cases['light, asinh']));
const small = planes.map((data) => data.subarray(0, 480 * 320));
const thumbs = channelsOf(480, 320, small);
const wall = await least(6, async () => {
  for (let i = 0; i < 12; i++) await onScreen(thumbs, Object.values(cases)[i % 5]);
});

/** A band in the middle of a frame of 26 megapixels: two lines smoothed, guided by a third; reading is not counted. */
const smoothing = await (async () => {
  const [width, height, y, rows] = [6248, 4176, 1960, 392];
  const needed = rowsNeeded(height, y, rows, 4);
  const normal = () => random() + random() + random() + random() - 2;
  const members = [1, 40, 2].map((light) =>
    Float32Array.from({ length: needed.rows * width }, (_, i) => 100 + light * (1 + Math.sin(i / 90)) + normal()),
  );
  const noise = members.map(() => ({ level: 100, variance: 1 / 3, perCount: 0.01, neighbours: 0 }));
  const into = [0, 2].map(() => new Float32Array(rows * width));
  const frame = { width, height, ...needed, members };
  const wish = { scales: 4, noise, guide: 1, lines: [0, 2] };
  const spent = await least(6, () => removedRows(operations(), frame, wish, y, rows, into));
  const ours = (spent * 1e6) / (rows * width);
  const { stdout, status } = spawnSync(
    '/usr/bin/python3',
    [new URL('./peer_starlet.py', import.meta.url).pathname, '1600'],
    { encoding: 'utf8' },
  );
  return { ours, added: (ours * width * height) / 1e6, numpy: status === 0 ? Number(stdout) : undefined };
})();

// The exact median of 26 million values, as numpy has them: in memory.
const COUNT = 26_091_648;
const sky = new Float32Array(COUNT);
for (let i = 0; i < COUNT; i++)
  sky[i] = 0.012 + 0.0015 * (random() + random() + random() - 1.5) + (i % 97 ? 0 : random());
const STRIP = 1 << 17;
const memory = { type: 'f32', physical: 'f32', bigEndian: false, zero: 0, scale: 1, blank: undefined };
const bytes = new Uint8Array(sky.buffer);
const pass = (bins) => {
  const counter = createCounter({ form: memory, pedestal: 0, most: STRIP, bins });
  for (let at = 0; at < COUNT; at += STRIP) {
    const n = Math.min(STRIP, COUNT - at);
    counter.samples.set(bytes.subarray(4 * at, 4 * (at + n)));
    if (bins.length === 0) counter.count(n);
    else counter.refine(n);
  }
  const counts = bins.length === 0 ? counter.upper() : counter.lower();
  counter.release();
  return counts;
};
let found = 0;
const ours = await least(4, () => {
  const index = createOrderIndex(pass([]), 0);
  for (;;) {
    found = percentile(index, 50);
    const bins = wantedBins(index);
    if (bins.length === 0) break;
    refineBins(index, bins, pass(bins));
  }
});
writeFileSync(join(folder, 'sky.bin'), bytes);
const script = new URL('./peer_median.py', import.meta.url).pathname;
const { stdout, status } = spawnSync('/usr/bin/python3', [script, join(folder, 'sky.bin'), '4'], { encoding: 'utf8' });
const numpy = status === 0 ? Number(stdout) : undefined;
process.stdout.write(
  JSON.stringify({
    kernels,
    gamut,
    inside: inside - clipped,
    preview,
    previewLight,
    wall,
    smoothing,
    median: { ours, numpy, found },
  }),
);
