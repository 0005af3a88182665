// The figures of a run as Markdown.
import { spawnSync } from 'node:child_process';
import { arch, cpus, loadavg, release, totalmem, type } from 'node:os';

const ms = (value) => `${value >= 100 ? Math.round(value) : value.toFixed(1)} ms`;
const times = (value) => `${value.toFixed(2)} ×`;
const mib = (value) => (Number.isFinite(value) ? `${Math.round(value)} MiB` : 'not known');

const versions = () => {
  const script = 'import numpy, astropy; print("numpy", numpy.__version__ + ", astropy", astropy.__version__)';
  const { stdout, status } = spawnSync('/usr/bin/python3', ['-c', script], { encoding: 'utf8' });
  return status === 0 ? stdout.trim() : 'no numpy';
};

const table = (head, rows) =>
  [head, head.map((_, i) => (i === 0 ? '---' : '--:')), ...rows].map((cells) => `| ${cells.join(' | ')} |`).join('\n');

const peerRows = (peers) =>
  Object.entries(peers).map(([name, r]) => [
    name,
    ms(r.wall),
    ms(r.least),
    ms(r.cpu),
    times(r.wall / peers.copy.wall),
    times(r.least / peers.copy.least),
    mib(r.memory),
  ]);

const sizeRows = (sizes) =>
  sizes.map(({ size, width, height, copy, linewash }) => [
    `${size} (${width} × ${height})`,
    ms(linewash.wall),
    ms(copy.wall),
    times(linewash.wall / copy.wall),
    ms(linewash.cpu),
    `${((linewash.cpu * 1e6) / (width * height)).toFixed(1)} ns`,
    mib(linewash.memory),
  ]);

/** The straight line through the times of all sizes, by least squares, and how far they lie from it. */
const straightLine = (sizes) => {
  if (sizes.length < 3) return '';
  const points = sizes.map(({ width, height, linewash }) => [(width * height) / 1e6, linewash.wall]);
  const [n, x, y] = [points.length, ...[0, 1].map((i) => points.reduce((sum, point) => sum + point[i], 0))];
  const xx = points.reduce((sum, [a]) => sum + a * a, 0);
  const xy = points.reduce((sum, [a, b]) => sum + a * b, 0);
  const slope = (n * xy - x * y) / (n * xx - x * x);
  const start = (y - slope * x) / n;
  const off = Math.max(...points.map(([a, b]) => Math.abs(b / (start + slope * a) - 1)));
  return (
    `The times lie within ${(100 * off).toFixed(0)} % of a straight line: ${ms(start)} to start, and ${slope.toFixed(1)} ms ` +
    'a megapixel.'
  );
};

const microRows = ({ kernels, gamut, inside, preview, previewLight, wall, smoothing, median }) => [
  ...kernels.map(({ name, fast, js }) => [
    `kernel: ${name}`,
    `${fast.toFixed(1)} ns a pixel`,
    `reference ${js.toFixed(0)} ns`,
  ]),
  ...gamut.methods.flatMap(({ name, light, display }) => [
    [
      `gamut ${name} in light (${Math.round(100 * gamut.share)} % of pixels out)`,
      `${light.toFixed(0)} ns a pixel that is out`,
      { chroma: 'at most 80 ns', smooth: 'at most 100 ns' }[name],
    ],
    ['the same for display values, through light and back', `${display.toFixed(0)} ns a pixel that is out`, ''],
  ]),
  ['gamut where nothing is out', `${Math.max(0, inside).toFixed(1)} ns a pixel`, 'at most 1 ns'],
  ['preview of 1600 × 1067, display', ms(preview), 'at most 10 ms'],
  ['preview of 1600 × 1067, light', ms(previewLight), 'at most 10 ms'],
  ['wall of 12 at 480 × 320', ms(wall), 'at most 120 ms'],
  [
    'smoothing two lines by a third, one thread, reading not counted',
    `${smoothing.ours.toFixed(1)} ns a pixel: ${ms(smoothing.added)} at 26 megapixels`,
    `at most 35 ns${smoothing.numpy === undefined ? '' : `; plain starlet thresholds in scipy ${smoothing.numpy.toFixed(0)} ns`}`,
  ],
  [
    'exact median of 26 million values, one thread',
    ms(median.ours),
    median.numpy === undefined
      ? 'no numpy'
      : `numpy ${ms(median.numpy)}: ${times(median.ours / median.numpy)}, at most 0.60 ×`,
  ],
];

/** What stars cost: the run beside the same without. */
const starRows = ({ mix, neutral, measuring, finding }) => [
  ['mix, all numbers known', ms(mix.wall), '', mib(mix.memory)],
  ['with neutral stars, their list known', ms(neutral.wall), times(neutral.wall / mix.wall), mib(neutral.memory)],
  ['mix, measuring', ms(measuring.wall), '', mib(measuring.memory)],
  [
    'with neutral stars, finding them',
    ms(finding.wall),
    `${ms(finding.wall - measuring.wall - (neutral.wall - mix.wall))} to find them`,
    mib(finding.memory),
  ],
];

const formRows = (forms) => Object.entries(forms).map(([name, r]) => [name, ms(r.wall), ms(r.cpu), mib(r.memory)]);

export const report = ({ peers, series, micro, sizes, forms, starry, rounds }) => `# Speed and memory

Made by \`npm run bench\` on ${new Date().toISOString().slice(0, 10)}: ${cpus().length} × ${cpus()[0].model.trim()}, ${Math.round(totalmem() / 2 ** 30)} GiB,
${type()} ${release()} ${arch()}, Node ${process.versions.node}, ${versions()}. Load when it ended: ${loadavg()
  .map((l) => l.toFixed(1))
  .join(', ')}.

## 26 megapixels

Three float32 FITS masters of 6248 × 4176 pixels to one 16-bit RGB TIFF; whole processes, all kinds in turn, ${rounds} rounds
(three for the slowest). The copy is \`cat\` of the three masters into one new file. "Measuring" finds all numbers from the
masters; "measured before" finds them in the cache of an earlier run (its median: the first of its rounds has to measure);
the other runs are given them.

${table(['run', 'median', 'least', 'processor', 'median to copy', 'least to copy', 'peak memory'], peerRows(peers))}

Several pictures in one process: ${ms(series.mix)} a picture (the first, which hashes the masters, ${ms(series.first)}); the same reads
and writes on one thread without a kernel ${ms(series.copy)}: ${times(series.mix / series.copy)}.

The awkward recipe has an asinh curve and negative weights that leave many pixels outside the colour space; numpy divides these by their largest value.

## Other forms

The same masters and numbers, all kinds in turn.

${table(['form', 'median', 'processor', 'peak memory'], formRows(forms))}

## From 1 to 64 megapixels

${table(['megapixels', 'linewash', 'copy', 'ratio', 'processor', 'processor a pixel', 'peak memory'], sizeRows(sizes))}

${straightLine(sizes)}

## Stars

Three masters of 26 megapixels with 26,000 stars, medians.

${table(['run', 'time', 'beside', 'peak memory'], starRows(starry))}

## Single parts

${table(['part', 'time', 'beside'], microRows(micro))}
`;
