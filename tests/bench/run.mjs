// npm run bench: speed and memory beside general-purpose peers. Inputs are invented and go to the temp folder.
// npm run bench -- browser: the pace of the page, see browser/run.mjs.
//   node tests/bench/run.mjs [--rounds N] [--sizes 1,4,16,64] [--lib FOLDER] [--no-write]

import { spawnSync } from 'node:child_process';
import { closeSync, existsSync, mkdirSync, mkdtempSync, openSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { writeMaster } from './masters.mjs';
import { report } from './report.mjs';
import { writeStarryMaster } from './starry.mjs';
import { inTurn, median, runOnce } from './timing.mjs';

if (process.argv[2] === 'browser') {
  await import('./browser/run.mjs');
  process.exit();
}

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const { values: flags } = parseArgs({
  options: {
    rounds: { type: 'string', default: '5' },
    sizes: { type: 'string', default: '1,4,16,64' },
    lib: { type: 'string', default: here('../../dist/lib') },
    'no-write': { type: 'boolean', default: false },
  },
});
const rounds = Number(flags.rounds);
const python = '/usr/bin/python3';
const hasNumpy = spawnSync(python, ['-c', 'import numpy, astropy, tifffile']).status === 0;
const folder = mkdtempSync(join(tmpdir(), 'linewash-bench-'));
// Runs that were measured before find it here; the others are told not to look.
process.env.LINEWASH_CACHE = join(folder, 'cache');
process.on('exit', () => rmSync(folder, { recursive: true, force: true }));
process.on('SIGINT', () => process.exit(130));

const LINES = ['S', 'H', 'O'];
const matrix = [
  [0.85, 0.15, 0],
  [0.25, 0.65, 0.1],
  [-0.05, 0.1, 0.95],
];
const given = {
  channels: LINES,
  matrix,
  zeros: 'data',
  background: { model: 'none' },
  levels: { '*': { black: 0.012, white: 1 } },
  stretch: { '*': { curve: 'bias', a: 0.93 } },
};
/** A curve that is dear, and many pixels outside the colour space. */
const awkward = {
  ...given,
  matrix: [
    [1.3, -0.05, -0.25],
    [-0.2, 1.25, -0.05],
    [-0.05, -0.1, 1.15],
  ],
  stretch: { '*': { curve: 'asinh', a: 0.01 } },
};
const measured = { channels: LINES, matrix, background: { from: 'clip' } };

const say = (text) => process.stderr.write(`${text}\n`);

const mastersOf = (name, width, height) => {
  const place = join(folder, name);
  mkdirSync(place, { recursive: true });
  for (const [i, line] of LINES.entries()) writeMaster(join(place, `${line}.fits`), width, height, i);
  return place;
};

const recipeFile = (name, recipe) => {
  const path = join(folder, `${name}.json`);
  writeFileSync(path, JSON.stringify(recipe));
  return path;
};
const recipes = Object.fromEntries(
  Object.entries({ given, awkward, measured }).map(([name, recipe]) => [name, recipeFile(name, recipe)]),
);

const linewash = (place, recipe, ...more) => [
  process.execPath,
  join(flags.lib, 'cli/main.js'),
  'mix',
  recipes[recipe],
  ...LINES.map((line) => `${line}=${join(place, `${line}.fits`)}`),
  '-o',
  join(place, 'out.tif'),
  '--quiet',
  ...more,
];

/** `cat` of the inputs into one new file. */
const copyOf = (place) => [
  '/bin/sh',
  '-c',
  `cat ${LINES.map((l) => `'${join(place, `${l}.fits`)}'`).join(' ')} > '${join(place, 'out.tif')}'`,
];

const floatTiffs = (place) => {
  const script = `import sys, tifffile\nfrom astropy.io import fits\nfor l in 'SHO': tifffile.imwrite(f'{sys.argv[1]}/{l}.tif', fits.getdata(f'{sys.argv[1]}/{l}.fits').astype('<f4'))`;
  return spawnSync(python, ['-c', script, place]).status === 0;
};

const compare = (place) => {
  const before = () => rmSync(join(place, 'out.tif'), { force: true });
  const kinds = [
    { name: 'copy', words: copyOf(place), before },
    { name: 'linewash', words: linewash(place, 'given'), before },
    { name: 'linewash, 1 thread', words: linewash(place, 'given', '--threads', '1'), before },
    { name: 'linewash, measuring', words: linewash(place, 'measured', '--no-cache'), before },
    { name: 'linewash, measured before', words: linewash(place, 'measured'), before },
    { name: 'linewash, awkward recipe', words: linewash(place, 'awkward'), before },
    { name: 'bare Node', words: [process.execPath, '-e', '0'] },
  ];
  if (hasNumpy) {
    const peer = (mode) => [python, here('./peer_numpy.py'), mode, place, join(place, 'out.tif')];
    kinds.push({ name: 'numpy, strips and 2 threads', words: peer('strips'), before });
    kinds.push({ name: 'numpy, strips, awkward recipe', words: peer('awkward'), before, most: 3 });
    kinds.push({ name: 'numpy, plain', words: peer('plain'), before, most: 3 });
    if (existsSync(here('../../node_modules/sharp')) && floatTiffs(place))
      kinds.push({
        name: 'libvips (no curve)',
        words: [process.execPath, here('./peer-sharp.mjs'), place, join(place, 'out.tif')],
        before,
        most: 3,
      });
  }
  return inTurn(kinds, rounds);
};

/** The same masters compressed, each way in its own folder; ways whose program is absent are left out. */
const compressed = (place) => {
  const made = (name, command, rename) => {
    const to = join(folder, name);
    mkdirSync(to, { recursive: true });
    for (const line of LINES) {
      if (spawnSync('/bin/sh', ['-c', command(join(place, `${line}.fits`), join(to, `${line}.fits`))]).status !== 0)
        return [];
    }
    return [{ name, files: LINES.map((line) => `${line}=${join(to, rename(line))}`) }];
  };
  return [
    ...made(
      'gzip',
      (from, to) => `gzip -1 -c '${from}' > '${to}.gz'`,
      (line) => `${line}.fits.gz`,
    ),
    ...made(
      'RICE_1 in tiles',
      (from, to) => `fpack -r -q 16 -S '${from}' > '${to}.fz'`,
      (line) => `${line}.fits.fz`,
    ),
  ];
};

/** Other forms of pictures and of masters, by the recipe whose numbers are given. */
const compareForms = (place) => {
  const command = [process.execPath, join(flags.lib, 'cli/main.js'), 'mix', recipes.given, '--quiet', '--force'];
  const plain = LINES.map((line) => `${line}=${join(place, `${line}.fits`)}`);
  const to = (name, ...more) => ['-o', join(place, name), ...more];
  return inTurn(
    [
      { name: 'to TIFF, 16 bits', words: [...command, ...plain, ...to('form.tif')] },
      { name: 'to PNG, 16 bits', words: [...command, ...plain, ...to('form.png')] },
      { name: 'to PNG, 8 bits', words: [...command, ...plain, ...to('form.png', '--bits', '8')] },
      { name: 'to JPEG', words: [...command, ...plain, ...to('form.jpg')] },
      ...compressed(place).map(({ name, files }) => ({
        name: `from ${name}`,
        words: [...command, ...files, ...to('form.tif')],
      })),
    ],
    Math.min(rounds, 3),
  );
};

const STARS = 26000;

/** The mix with its stars as they are, and neutral: with the list known, and with the stars to be found. */
function compareStars() {
  const place = join(folder, 'starry');
  mkdirSync(place, { recursive: true });
  for (const [i, line] of LINES.entries()) writeStarryMaster(join(place, `${line}.fits`), 6248, 4176, i, STARS);
  const before = () => rmSync(join(place, 'out.tif'), { force: true });
  const neutral = ['--neutral-stars', '1'];
  const runs = inTurn(
    [
      { name: 'mix', words: linewash(place, 'measured'), before },
      { name: 'neutral', words: linewash(place, 'measured', ...neutral), before },
      { name: 'measuring', words: linewash(place, 'measured', '--no-cache'), before },
      { name: 'finding', words: linewash(place, 'measured', '--no-cache', ...neutral), before },
    ],
    Math.min(rounds, 3),
  );
  rmSync(place, { recursive: true });
  return runs;
}

say(`26 megapixels, ${rounds} rounds`);
const main = mastersOf('26', 6248, 4176);
const peers = compare(main);
say('several pictures in one process');
const { stdout: series } = runOnce([process.execPath, here('./series.mjs'), flags.lib, main, recipes.given]);
say('single parts');
const { stdout: micro } = runOnce([process.execPath, here('./micro.mjs'), flags.lib, folder]);
say('other forms of masters and pictures');
const forms = compareForms(main);
rmSync(main, { recursive: true });

say('26,000 stars');
const starry = compareStars();

const sizes = [];
for (const size of flags.sizes.split(',').map(Number)) {
  say(`${size} megapixels`);
  const width = Math.round(Math.sqrt(size * 1e6 * 1.5));
  const height = Math.round((size * 1e6) / width);
  const place = mastersOf(String(size), width, height);
  const before = () => rmSync(join(place, 'out.tif'), { force: true });
  const runs = inTurn(
    [
      { name: 'copy', words: copyOf(place), before },
      { name: 'linewash', words: linewash(place, 'given'), before },
    ],
    Math.min(rounds, 3),
  );
  sizes.push({ size, width, height, ...runs });
  rmSync(place, { recursive: true });
}

const { mix, copy } = JSON.parse(series);
const text = report({
  peers,
  // The first picture hashes the inputs and warms the program up.
  series: { mix: median(mix.slice(1)), copy: median(copy.slice(1)), first: mix[0] },
  micro: JSON.parse(micro),
  sizes,
  forms,
  starry,
  rounds,
});
process.stdout.write(text);
const target = here('../../docs/bench.md');
const notes = existsSync(target)
  ? /\n## (?:In the browser|Reading these figures)[\s\S]*$/.exec(readFileSync(target, 'utf8'))
  : null;
if (!flags['no-write']) {
  closeSync(openSync(target, 'a'));
  writeFileSync(target, text + (notes?.[0] ?? ''));
}
