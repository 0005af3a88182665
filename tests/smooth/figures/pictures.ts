import { rgbToOklab } from '../../../lib/colour/oklab.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import { TRANSFERS } from '../../../lib/colour/transfer.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../../lib/plane/plane.ts';
import { preparedChannels } from '../../../lib/recipe/settle/prepared.ts';
import { settleChannels } from '../../../lib/recipe/settle/settle-channels.ts';
import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import type { SmoothWish, WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { pictureInMemory, renderPicture } from '../../../lib/render/picture.ts';

export const NAMES = ['S', 'H', 'O'] as const;

/** Planes of S, H and O. */
export type Planes = readonly Float32Array[];

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** S, H and O as red, green and blue, all numbers found from the masters. */
const SHO: WrittenRecipe = {
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
};

const channelsOf = (planes: Planes, size: Size) =>
  NAMES.map((name, k) => ({ name, source: planeSource(name, { ...size, data: planes[k]! }) }));

export const rowsOf = async (source: PlaneSource): Promise<Float32Array> => {
  const data = new Float32Array(source.width * source.height);
  await source.readRows(0, source.height, data);
  return data;
};

/** All numbers of the mix of masters that is smoothed, found from them. */
export const settledFor = async (planes: Planes, size: Size, smooth: SmoothWish = { strength: 1 }): Promise<Settled> =>
  (await settleChannels({ ...SHO, smooth }, channelsOf(planes, size))).settled;

/** The lines as the mix gets them, smoothed where the numbers say so. */
export const prepared = (settled: Settled, planes: Planes, size: Size): Promise<Float32Array[]> =>
  Promise.all(preparedChannels(settled, channelsOf(planes, size)).map(({ source }) => rowsOf(source)));

/** The same numbers without smoothing. */
export const unsmoothed = ({ smooth: _, ...rest }: Settled): Settled => rest;

/** L, a and b of the picture that lines give: OKLab, interleaved. */
export const oklabOf = async (settled: Settled, lines: Planes, size: Size): Promise<Float64Array> => {
  const info = { ...size, sample: 'f32', bands: 3 } as const;
  const { writer, picture } = pictureInMemory(info);
  await renderPicture(channelsOf(lines, size), unsmoothed(settled), info, writer);
  const lab = Float64Array.from(picture.data, Number);
  const { decode } = TRANSFERS[SPACES.srgb.transfer];
  for (let i = 0; i < lab.length; i++) lab[i] = decode(lab[i]!);
  for (let i = 0; i < lab.length; i += 3) rgbToOklab(lab, i, SPACES.srgb, lab, i);
  return lab;
};
