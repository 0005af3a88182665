import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const readme = readFileSync('README.md', 'utf8');
const bench = readFileSync('docs/bench.md', 'utf8');

/** Cells of the row of a table that begins with a word. */
const row = (page: string, first: string): string[] => {
  const line = page.split('\n').find((text) => text.startsWith(`| ${first} |`));
  if (line === undefined) throw new Error(`there is no row ${first}`);
  return line.split('|').map((cell) => cell.trim());
};

/** Seconds in `438 ms` or `0.44 s`. */
const seconds = (cell: string): number => {
  const [, value, unit] = /^([\d.]+) (ms|s)$/.exec(cell)!;
  return unit === 'ms' ? Number(value) / 1000 : Number(value);
};

// The README rounds what docs/bench.md measured; a new run of the bench needs a new look at the README.
describe('the figures of the README', () => {
  it.each([
    ['`linewash mix`', 'linewash'],
    ['numpy, whole arrays', 'numpy, plain'],
    ['numpy, strips and threads', 'numpy, strips and 2 threads'],
    ['libvips', 'libvips (no curve)'],
  ])('for %s are those measured', (way, run) => {
    const [, , , time, memory] = row(readme, way);
    const measured = row(bench, run);
    expect(Math.abs(seconds(time!) / seconds(measured[2]!) - 1)).toBeLessThan(0.02);
    expect(memory).toBe(measured[7]);
  });
});
