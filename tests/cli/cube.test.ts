import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { mixArrays } from '../../lib/render/mix-arrays.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { inFolder, linewash } from './capture.ts';

const FINISH = { tone: [[0.4, 0.45]], chroma: { gain: 1.6, from: 0.24 }, bends: [{ at: 140, to: 110, width: 60 }] };
const recipe = {
  name: 'A "quoted" name',
  matrix: [
    [0.9, 0.3, -0.1],
    [0, 0.7, 0.3],
    [-0.05, 0.1, 1],
  ],
  finish: FINISH,
};

/** Reads a table as its specification says: comments, keywords, then rows with the first input changing fastest. */
const readCube = (text: string) => {
  const rows: number[][] = [];
  const words = new Map<string, string>();
  for (const line of text.split('\n')) {
    if (line === '' || line.startsWith('#')) continue;
    if (/^[A-Z]/.test(line)) words.set(line.split(' ')[0]!, line.slice(line.indexOf(' ') + 1));
    else rows.push(line.split(' ').map(Number));
  }
  const size = Number(words.get('LUT_3D_SIZE'));
  const at = (i: number, j: number, k: number) => rows[i + size * (j + size * k)]!;
  /** Trilinear between the points. */
  const colour = (place: readonly number[]) => {
    const cells = place.map((v) => Math.min(size - 2, Math.floor(v * (size - 1))));
    const rest = place.map((v, a) => v * (size - 1) - cells[a]!);
    return [0, 1, 2].map((band) => {
      let sum = 0;
      for (let corner = 0; corner < 8; corner++) {
        const step = [corner & 1, (corner >> 1) & 1, (corner >> 2) & 1];
        const weight = step.reduce((w, s, a) => w * (s ? rest[a]! : 1 - rest[a]!), 1);
        sum += weight * at(cells[0]! + step[0]!, cells[1]! + step[1]!, cells[2]! + step[2]!)[band]!;
      }
      return sum;
    });
  };
  return { rows, words, size, at, colour };
};

const shown = (strengths: readonly number[]) => {
  const channels = Object.fromEntries(['S', 'H', 'O'].map((name, i) => [name, Float32Array.of(strengths[i]!)]));
  return [...mixArrays(channels, { width: 1, height: 1, sample: 'f32' }, recipe as never).data];
};

describe('linewash recipe cube', () => {
  it('writes the colours of three stretched lines, and says what is not in it', () =>
    inFolder(async (folder) => {
      const output = join(folder, 'mix.cube');
      const ran = await linewash(['recipe', 'cube', JSON.stringify(recipe), '-o', output, '--size', '33']);
      expect(ran.code, ran.err).toBe(0);
      expect(ran.out).toContain('not in the table: background, levels, curves, smoothing, stars');
      const cube = readCube(readFileSync(output, 'utf8'));
      expect([cube.size, cube.rows.length, cube.words.get('TITLE')]).toEqual([33, 33 ** 3, '"A  quoted  name"']);
      const random = randomNumbers(33);
      for (let k = 0; k < 200; k++) {
        const corner = [0, 0, 0].map(() => Math.floor(33 * random()));
        const wanted = shown(corner.map((i) => i / 32));
        const got = cube.at(corner[0]!, corner[1]!, corner[2]!);
        for (let b = 0; b < 3; b++) expect(Math.abs(got[b]! - wanted[b]!)).toBeLessThan(1e-5);
        // Between points: a table of 33 follows curves to about two steps of 8 bits, but for colours at the edge of the space.
        const place = [random(), random(), random()];
        const between = cube.colour(place);
        const exact = shown(place);
        for (let b = 0; b < 3; b++) expect(Math.abs(between[b]! - exact[b]!)).toBeLessThan(0.03);
      }
      expect((await linewash(['recipe', 'cube', JSON.stringify(recipe), '-o', output])).err).toMatch(/exists already/);
    }));

  it('refuses other numbers of lines, and what only masters tell', async () => {
    const two = await linewash(['recipe', 'cube', 'hoo', '-o', 'never.cube']);
    expect(two).toMatchObject({ code: 2, out: '' });
    expect(two.err).toMatch(/uses 2 lines; a table of colours has exactly three/);
    const auto = await linewash([
      'recipe',
      'cube',
      JSON.stringify({ ...recipe, finish: { chroma: 'auto' } }),
      '-o',
      'never.cube',
    ]);
    expect(auto.code).toBe(2);
    expect(auto.err).toMatch(/needs measured masters.*the chroma of a finish/);
    expect((await linewash(['recipe', 'cube', 'sho', '-o', 'never.cube', '--size', '1'])).err).toMatch(/from 2 to 256/);
  });
});
