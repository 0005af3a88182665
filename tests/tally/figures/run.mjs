// npm run figures -- tally [FILES]: seconds and memory of the command on a folder of headers with every habit, whose sums are known.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { moduleLoader } from '../../tools/modules.mjs';

const count = Number(process.argv[3] ?? 10_000);
const modules = await moduleLoader();
const { drawSeason, writeSeason } = await modules.load('/tests/tally/season.ts');
const command = new URL('../../../dist/lib/cli/main.js', import.meta.url).pathname;
/** Runs the command and prints its peak memory. `resourceUsage` would include what this process takes. */
const MEASURED = `import { readFileSync } from 'node:fs';
process.argv.splice(1, 0, ${JSON.stringify(command)});
process.on('exit', () => process.stderr.write(readFileSync('/proc/self/status', 'utf8').match(/VmHWM.*/)[0]));
await import(${JSON.stringify(command)});`;

const subsOf = ({ targets }) =>
  targets.map(({ target, lines }) => [target, ...lines.map(({ line, subs }) => `${line} ${subs}`).sort()]);

console.log('| files | sums | seconds, three runs | most memory, MiB |\n|---|---|---|---|');
// Four times as many show whether memory grows with the files.
for (const files of [Math.round(count / 10), count, 4 * count]) {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-figures-'));
  try {
    const season = drawSeason(files, files);
    writeSeason(season, folder);
    const [seconds, peaks] = [[], []];
    let sums = 'exact';
    for (let run = 0; run < 3; run++) {
      const began = performance.now();
      const ran = spawnSync('node', ['--input-type=module', '-e', MEASURED, 'tally', folder, '--json', '--quiet'], {
        maxBuffer: 1 << 28,
        encoding: 'utf8',
      });
      seconds.push((performance.now() - began) / 1000);
      peaks.push(Number(/VmHWM:\s+(\d+)/.exec(ran.stderr)?.[1]) / 1024);
      const found = JSON.parse(ran.stdout);
      const [got, wanted] = [found, season.truth].map((tally) => JSON.stringify(subsOf(tally).sort()));
      if (got !== wanted || found.skipped.length !== season.truth.skipped.length) sums = 'WRONG';
    }
    const list = seconds.map((s) => s.toFixed(2)).join(', ');
    console.log(`| ${files} | ${sums} | ${list} | ${Math.max(...peaks).toFixed(0)} |`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
await modules.close();
