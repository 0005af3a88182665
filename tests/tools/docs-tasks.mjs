// The pictures of docs/tasks.md: its own commands are run, and what they write is made small.
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';

const WIDTH = 900;
const GAP = 6;

/** Pictures side by side, each with the file it comes from and, where only a part is shown, left, top, width, height. */
const PICTURES = {
  'two-lines': [['two-lines.png']],
  'weak-line': [
    ['sho.tif', 250, 600, 220, 160],
    ['lantern.tif', 250, 600, 220, 160],
  ],
  oxygen: [
    ['noisy.tif', 850, 60, 150, 110],
    ['calm.tif', 850, 60, 150, 110],
  ],
  green: [['green.tif'], ['less-green.tif'], ['two-line-green.tif']],
  trail: [['trail.tif']],
  grey: [['grey.tif'], ['dusk.tif'], ['warm.tif']],
  hold: [['sho.tif'], ['held.tif']],
  stars: [
    ['sho.tif', 480, 250, 220, 160],
    ['neutral.tif', 480, 250, 220, 160],
    ['small-stars.tif', 480, 250, 220, 160],
  ],
  faint: [['one-master.png'], ['two-masters.png']],
  night: [
    ['before.tif', 850, 60, 150, 110],
    ['after.tif', 850, 60, 150, 110],
  ],
  share: [['shared.png']],
  season: [['pictures/sheet.png']],
  print: [['print.tif']],
  mosaic: [['mosaic/Mosaic hoo.png']],
  cluster: [['cluster/sheet.png']],
};

export const pages = async ({ load, root }) => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-tasks-'));
  try {
    await runSteps(load, readFileSync(join(root, 'docs/tasks.md'), 'utf8'), folder);
    const files = [];
    for (const [name, parts] of Object.entries(PICTURES))
      files.push({ path: `docs/pictures/task-${name}.jpg`, content: await sideBySide(parts, join(folder, 'demo')) });
    return files;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const runSteps = async (load, page, folder) => {
  const { stepsOf } = await load('/tests/docs/steps.ts');
  const { run } = await load('/lib/cli/program.ts');
  for (const step of stepsOf(page, folder)) {
    if (step.kind === 'file') {
      writeFileSync(step.path, step.content);
      continue;
    }
    const out = [];
    const streams = { out: (text) => out.push(text), err: () => {}, interactive: false, colour: false };
    const code = await run(step.words, streams, new AbortController().signal);
    if (code !== 0) throw new Error(`${step.words.join(' ')} ends in ${code}`);
    if (step.into !== undefined) writeFileSync(step.into, out.join(''));
  }
};

const sideBySide = async (parts, folder) => {
  const width = Math.floor((WIDTH - GAP * (parts.length - 1)) / parts.length);
  const tiles = [];
  for (const [name, left, top, w, h] of parts) {
    const picture = sharp(join(folder, name)).keepIccProfile();
    const part = left === undefined ? picture : picture.extract({ left, top, width: w, height: h });
    // Single pixels are what a part is shown for.
    const kernel = left === undefined ? 'lanczos3' : 'nearest';
    tiles.push(
      await part
        .resize({ width, kernel, withoutEnlargement: left === undefined })
        .toBuffer({ resolveWithObject: true }),
    );
  }
  if (tiles.length === 1) return sharp(tiles[0].data).keepIccProfile().jpeg({ quality: 80 }).toBuffer();
  const height = Math.max(...tiles.map(({ info }) => info.height));
  return sharp({ create: { width: WIDTH, height, channels: 3, background: '#808080' } })
    .composite(tiles.map(({ data }, i) => ({ input: data, left: i * (width + GAP), top: 0 })))
    .jpeg({ quality: 80 })
    .toBuffer();
};
