// npm run bench -- browser: the pace of the page in a real browser. Inputs are invented and go to the temp folder.
//   node tests/bench/browser/run.mjs [--rounds N] [--no-write]
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir, totalmem } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { writeMaster } from '../masters.mjs';
import { dragging, dropping, hanging, hangingAgain, loading } from './journeys.mjs';
import { startBrowser } from './page.mjs';

const { values: flags } = parseArgs({
  allowPositionals: true,
  options: { rounds: { type: 'string', default: '5' }, 'no-write': { type: 'boolean', default: false } },
});
const rounds = Number(flags.rounds);
const [WIDTH, HEIGHT] = [6248, 4176];

const say = (text) => process.stderr.write(`${text}\n`);
const ms = (value) => `${Math.round(value)} ms`;
/** Browsers tell of tasks of 50 ms and more only. */
const task = (value) => (value === 0 ? 'under 50 ms' : ms(value));

const folder = mkdtempSync(join(tmpdir(), 'linewash-bench-browser-'));
const started = await startBrowser();
const section = await (async () => {
  try {
    say(`load, ${rounds} rounds`);
    const load = await loading(started, rounds);
    say('wall');
    const loadingWall = await hanging(started, rounds);
    const files = ['S', 'H', 'O'].map((line) => join(folder, `${line}.fits`));
    for (const [i, file] of files.entries()) writeMaster(file, WIDTH, HEIGHT, i);
    const wall = await hangingAgain(started, files, rounds);
    say('three masters of 26 megapixels');
    const drop = await dropping(started, files, WIDTH, Math.min(rounds, 3));
    say('a weight dragged');
    const drag = await dragging(started, files, WIDTH);
    return report({ load, wall, loadingWall, drop, drag });
  } finally {
    await started.close();
    rmSync(folder, { recursive: true, force: true });
  }
})();

function report({ load, wall, loadingWall, drop, drag }) {
  const rows = [
    ['page asked for → first paint', ms(load.painted), ''],
    ["page asked for → the samples' mix on screen", ms(load.picture), 'at most 1000 ms'],
    ['longest task while loading', task(load.blocked), 'at most 50 ms'],
    ['wall of 12 while the page loads', ms(loadingWall), ''],
    ['wall of 12 mixed again on measured masters of 26 megapixels', ms(wall), 'at most 120 ms'],
    ['three masters chosen → their first picture', ms(drop.first), 'at most 3000 ms'],
    ['processor time of all the browser for it', ms(drop.processor), ''],
    ['three masters chosen → all numbers and histograms', ms(drop.measured), ''],
    ['longest task meanwhile', task(drop.blocked), 'at most 50 ms'],
    ['weight dragged: pictures of 1600 pixels a second', drag.fine.toFixed(1), 'at least 30'],
    ['weight dragged: pictures a second, drafts of 480 pixels included', drag.all.toFixed(1), ''],
    ['processor time of all the browser for each', ms(drag.processor), ''],
    ['longest task meanwhile', task(drag.blocked), 'at most 50 ms'],
  ];
  const load3 = loadavg().map((l) => l.toFixed(1));
  return `
## In the browser

Made by \`npm run bench -- browser\` on ${new Date().toISOString().slice(0, 10)}: ${cpus().length} × ${cpus()[0].model.trim()},
${Math.round(totalmem() / 2 ** 30)} GiB, Chromium ${started.version} without a screen or a graphics processor. Load when it ended: ${load3.join(', ')}.
Medians of ${rounds} rounds (three for the masters), each in a fresh profile; the masters are float32 FITS of ${WIDTH} × ${HEIGHT} pixels.

| what | figure | promise |
| --- | --: | --: |
${rows.map((cells) => `| ${cells.join(' | ')} |`).join('\n')}
`;
}

/** Puts the section where one was, else before the notes, else at the end. */
const withSection = (text) => {
  const [before, after = ''] = /\n## In the browser\n/.test(text)
    ? [
        text.replace(/\n## In the browser\n[\s\S]*$/, ''),
        /\n## In the browser\n[\s\S]*?(\n## [\s\S]*)$/.exec(text)?.[1],
      ]
    : [text.replace(/\n## Reading these figures[\s\S]*$/, ''), /\n## Reading these figures[\s\S]*$/.exec(text)?.[0]];
  return before + section + after;
};

process.stdout.write(section);
const target = fileURLToPath(new URL('../../../docs/bench.md', import.meta.url));
if (!flags['no-write']) writeFileSync(target, withSection(existsSync(target) ? readFileSync(target, 'utf8') : ''));
