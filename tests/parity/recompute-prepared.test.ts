import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fromFile } from 'geotiff';
import { describe, expect, it } from 'vitest';
import { masterFile, sceneTruth } from '../../samples/scene/index.ts';
import { inFolder, linewash } from '../cli/capture.ts';
import { type PlainImage, readPlainFits } from './plain-fits.ts';

const [WIDTH, HEIGHT] = [300, 200];

/** Powers of u and v in the documented order, written apart from the library: 1, u, v, u², uv, v², … */
const POWERS = [
  [0, 0],
  [1, 0],
  [0, 1],
  [2, 0],
  [1, 1],
  [0, 2],
  [3, 0],
  [2, 1],
  [1, 2],
  [0, 3],
] as const;

const surfaceAt = ({ coefficients, shade }: { coefficients: number[]; shade?: unknown }, x: number, y: number) => {
  const u = (2 * x + 1) / WIDTH - 1;
  const v = (2 * y + 1) / HEIGHT - 1;
  const shadow = shade === undefined ? 0 : bilinear(shade, u, v);
  return shadow + coefficients.reduce((sum, c, k) => sum + c * u ** POWERS[k]![0] * v ** POWERS[k]![1], 0);
};

/** Depth of a shade as documented: tents around the nodes of an even grid, 0 outside. */
const bilinear = ({ left, top, right, bottom, columns, rows, values }: any, u: number, v: number): number => {
  if (u < left || u > right || v < top || v > bottom) return 0;
  const s = ((u - left) * (columns - 1)) / (right - left);
  const t = ((v - top) * (rows - 1)) / (bottom - top);
  return values.reduce((sum: number, value: number, k: number) => {
    const tent = (d: number) => Math.max(0, 1 - Math.abs(d));
    return sum + value * tent(s - (k % columns)) * tent(t - Math.floor(k / columns));
  }, 0);
};

/** A master's value, or that of several combined. */
const masterAt = (channel: any, images: Record<string, PlainImage>, x: number, y: number): number => {
  const raw = (file: string) => images[file]!.data[y * WIDTH + x]!;
  if (!channel.combined) return raw(`${channel.name}.fits`);
  const weights = channel.combined.reduce((sum: number, p: any) => sum + p.weight, 0);
  return channel.combined.reduce(
    (sum: number, p: any) => sum + (p.weight * (p.scale * raw(p.file) + p.offset)) / weights,
    0,
  );
};

const middle = (values: readonly number[]): number => {
  const rising = [...values].sort((a, b) => a - b);
  const half = rising.length >> 1;
  return rising.length % 2 === 1 ? rising[half]! : (rising[half - 1]! + rising[half]!) / 2;
};

/** The same with spots filled as documented: docs/maths/check.md. */
const filledAt = (channel: any, images: Record<string, PlainImage>, x: number, y: number): number => {
  const own = masterAt(channel, images, x, y);
  const spots: [number, number][] = channel.spots?.at ?? [];
  const far = ([a, b]: readonly [number, number], c: number, d: number) => Math.max(Math.abs(a - c), Math.abs(b - d));
  for (const spot of spots.filter((one) => far(one, x, y) <= 1)) {
    const ring: number[] = [];
    for (let row = Math.max(0, y - 3); row < Math.min(HEIGHT, y + 4); row++)
      for (let column = Math.max(0, x - 3); column < Math.min(WIDTH, x + 4); column++)
        if (far(spot, column, row) === 2 && spots.every((one) => far(one, column, row) > 1))
          ring.push(masterAt(channel, images, column, row));
    if (ring.length < 4) continue;
    const level = middle(ring);
    const deviation = 1.4826 * middle(ring.map((value) => Math.abs(value - level)));
    if (far(spot, x, y) === 0 || own > level + 3 * deviation) return level;
  }
  return own;
};

/** Some lie side by side, and in a corner. */
const SPOTS = {
  H: [
    [40, 30],
    [41, 30],
    [42, 32],
    [120, 90],
  ],
  O: [
    [0, 0],
    [299, 199],
    [150, 7],
    [40, 30],
  ],
};

/** A line's value before its levels, from the files and the settled numbers alone. */
const lineAt = (channel: any, images: Record<string, PlainImage>, x: number, y: number): number => {
  const raw = (file: string) => images[file]!.data[y * WIDTH + x]!;
  let value = filledAt(channel, images, x, y);
  if (channel.surface) value -= surfaceAt(channel.surface, x, y);
  if (channel.continuum) {
    const { from, k, background, surface } = channel.continuum;
    value -= k * (raw(`${from}.fits`) - (surface ? surfaceAt(surface, x, y) : 0) - background);
  }
  return value;
};

const bias = (z: number, a: number) => z / ((1 / a - 2) * (1 - z) + 1);

/** A shadow over the top edge, as settled numbers hold it. */
const SHADOWED = {
  order: 1,
  coefficients: [0, 20, -10],
  shade: {
    left: -0.6,
    top: -1.1,
    right: 0.5,
    bottom: -0.2,
    columns: 4,
    rows: 3,
    values: [0, -300, -200, 0, 0, -150, -90, 0, 0, 0, 0, 0],
  },
};

const truth = sceneTruth({ width: WIDTH, height: HEIGHT });
const files = {
  'S.fits': [truth.S, 1],
  'H.fits': [truth.H, 1],
  'O.fits': [truth.O, 1],
  'O2.fits': [truth.O, 2],
} as const;

describe('prepared pictures follow from the settled numbers', () => {
  it.each([false, true])(
    'with two masters, surfaces, a continuum, one scale and a crop; a shadow and spots: %s',
    (shadowed) =>
      inFolder(async (folder) => {
        for (const [name, [line, seed]] of Object.entries(files))
          writeFileSync(join(folder, name), await masterFile(line, seed));
        const images = Object.fromEntries(Object.keys(files).map((name) => [name, readPlainFits(join(folder, name))]));
        const recipe = {
          channels: ['H', 'O'],
          matrix: [
            [1, 0],
            [0.3, 0.7],
            [0, 1],
          ],
          background: { model: 'surface', order: 3, ...(shadowed && { surfaces: { H: SHADOWED } }) },
          continuum: { H: { from: 'S', k: 0.2 } },
          scale: 'fit',
          ...(shadowed && { spots: SPOTS }),
        };
        writeFileSync(join(folder, 'r.json'), JSON.stringify(recipe));
        const at = (name: string) => join(folder, name);
        const words = [`S=${at('S.fits')}`, `H=${at('H.fits')}`, `O=${at('O.fits')},${at('O2.fits')}`];
        const ran = await linewash(['mix', at('r.json'), ...words, '-o', at('x.tif'), '--crop', '--json']);
        expect(ran.code, ran.err).toBe(0);
        const { settled, width, height } = JSON.parse(ran.out);
        expect(settled.channels[0]).toMatchObject({
          continuum: { from: 'S', k: 0.2 },
          surface: shadowed ? SHADOWED : { order: 3, uncertainty: expect.any(Number) },
        });
        expect(settled.channels[1].combined).toHaveLength(2);
        const places = settled.channels.map(({ spots }: any) => spots?.at.length);
        expect(places).toEqual(shadowed ? [4, 4] : [undefined, undefined]);
        const image = await (await fromFile(at('x.tif'))).getImage();
        const pixels = (await image.readRasters({ interleave: true })) as Uint16Array;
        expect([image.getWidth(), image.getHeight()]).toEqual([width, height]);
        let worst = 0;
        let bright = 0;
        for (let r = 0; r < height; r++)
          for (let c = 0; c < width; c++) {
            const e = settled.channels.map((channel: any) => {
              const x = lineAt(channel, images, settled.crop.x + c, settled.crop.y + r);
              const { background, black, white, stretch } = channel;
              return bias(Math.min(1, Math.max(0, (x - background - black) / (white - black))), stretch.a);
            });
            const rgb = settled.matrix.map((row: number[]) => row.reduce((sum, w, k) => sum + w * e[k], 0));
            for (let b = 0; b < 3; b++) {
              const wanted = Math.floor(rgb[b] * 65535 + 0.5);
              worst = Math.max(worst, Math.abs(pixels[3 * (r * width + c) + b]! - wanted));
              if (wanted > 6000) bright++;
            }
          }
        expect(worst).toBeLessThanOrEqual(1);
        expect(bright).toBeGreaterThan((3 * width * height) / 35);
      }),
  );
});
