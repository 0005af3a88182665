import type { Box } from '../plane/box.ts';
import { inputError, LinewashError, throwIfCancelled } from '../plane/errors.ts';
import type { Rings } from '../plane/outline.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { median } from '../plane/robust.ts';
import { type StripOptions, samplesFor } from '../plane/strips.ts';
import { areaOf } from './correlation.ts';
import type { BoxReading, LineStats } from './ledger.ts';
import type { ClippedMean } from './outlined.ts';
import { lookAt, type Place } from './place.ts';
import { type Texture, textureOfPlaces } from './texture.ts';

/** A line's noise as surveyed. */
export interface LineSurvey extends LineStats {
  readonly texture: Texture;
}

/** Where a survey of noise looks. */
export interface SurveyOptions extends StripOptions {
  /** Where the background is read instead of at the measured level. */
  readonly background?: Box | undefined;
  /** The feature that the mix is meant to show. */
  readonly box?: Box | undefined;
  /** The same as an area, in place of a box; the background is then read in a ring around it, unless that is a box. */
  readonly outline?: Rings | undefined;
}

const CELL = 32;
/** Pictures of fewer pixels are cut into smaller cells: calm places are small there. */
const SMALL_PICTURE = 1 << 19;
const SMALLEST_CELL = 8;
/** About so many cells are looked at, spread evenly; more would add time but no precision. */
const MOST_CELLS = 4096;
/** Share of the cells, those nearest to the level, that stand for the background. */
const NEAR = 0.25;

/**
 * Noise of one line at its background and in a box. Reads part of the master, once.
 * The picture is cut into cells of 32 × 32 pixels (16 × 16 below half a million) that overlap by half, of which about 4096 are looked at. The quarter of
 * those whose means lie nearest to `level` (file units, as measured) stand for the background, how pixels go together is
 * told by the calmest of all (see `textureOfPlaces`); stars within a cell are clipped. Cells with a pixel that is not finite
 * are left out. Where the background is a box, its own noise is told by its own pixels, and how
 * they go together by the cells nearest to its mean: a box alone says too little about that.
 * @throws LinewashError 'input' where a box leaves the picture or holds too little data, or no cell is whole.
 */
export const surveyLine = async (
  name: string,
  source: PlaneSource,
  level: number,
  options: SurveyOptions = {},
): Promise<LineSurvey> => {
  const frame = options.background === undefined ? undefined : await readBox(source, options.background);
  // Few surveys have one.
  const outlined = options.outline && (await (await import('./outlined.ts')).readOutlined(source, options.outline));
  const value = frame === undefined ? (outlined?.around.value ?? level) : meanOf(frame.data).value;
  const own = frame && fineIn(frame, source);
  const around = await textureNear(source, value, options);
  const texture = own === undefined ? around : scaledTo(around, own);
  const place = outlined?.box ?? options.box;
  const box = place === undefined ? undefined : await readBox(source, place);
  return {
    name,
    background: { value, noise: texture.pixel },
    ...(box === undefined ? {} : { box: boxReading(box, texture, source, outlined?.inside) }),
    texture,
  };
};

const textureNear = async (source: PlaneSource, level: number, options: StripOptions): Promise<Texture> => {
  const { width, height } = source;
  const quarter = Math.min(width, height) / 4;
  const side = Math.min(
    width * height < SMALL_PICTURE ? CELL / 2 : CELL,
    Math.max(SMALLEST_CELL, 2 ** Math.floor(Math.log2(quarter))),
  );
  const half = side / 2;
  const pitch = half * Math.max(1, Math.round(Math.sqrt((width * height) / half ** 2 / MOST_CELLS)));
  const found: Place[] = [];
  const data = samplesFor(source, side * width);
  for (let y = 0; y + side <= height; y += pitch) {
    throwIfCancelled(options.signal);
    await source.readRows(y, side, data);
    found.push(...cellsOf(width, side, side, pitch).flatMap((cell) => lookAt(data, width, cell) ?? []));
    options.progress?.(Math.min(1, (y + side) / height));
  }
  if (found.length === 0)
    throw inputError('there is no place with data on which noise can be measured', 'check the master', source.file);
  found.sort((a, b) => Math.abs(a.mean - level) - Math.abs(b.mean - level));
  return textureOfPlaces(found, Math.ceil(found.length * NEAR), side);
};

/** The same texture where the noise between direct neighbours is another. */
const scaledTo = (texture: Texture, fine: number): Texture => ({
  ...texture,
  fine,
  pixel: fine * spreadOf(texture),
});

/** Noise of a pixel over that between direct neighbours. */
const spreadOf = ({ fine, pixel }: Texture): number => (fine > 0 ? pixel / fine : 1);

/** Whole cells of a block, left to right and down, one at every `pitch` pixels. */
const cellsOf = (width: number, height: number, side: number, pitch = side): Box[] => {
  const cells: Box[] = [];
  for (let y = 0; y + side <= height; y += pitch)
    for (let x = 0; x + side <= width; x += pitch) cells.push({ x, y, width: side, height: side });
  return cells;
};

interface BoxData {
  readonly width: number;
  readonly height: number;
  readonly data: Samples;
}

const readBox = async (source: PlaneSource, box: Box): Promise<BoxData> => {
  const { x, y, width, height } = box;
  if (x < 0 || y < 0 || width < 1 || height < 1 || x + width > source.width || y + height > source.height)
    throw inputError(
      `the box ${x},${y},${width},${height} leaves the picture of ${source.width} × ${source.height} pixels`,
      'give left, top, width and height in pixels, counted from 0 at the top left',
      source.file,
    );
  const rows = samplesFor(source, source.width);
  const data = samplesFor(source, width * height);
  for (let r = 0; r < height; r++) {
    await source.readRows(y + r, 1, rows);
    data.set(rows.subarray(x, x + width), r * width);
  }
  return { width, height, data };
};

/** Fewer pixels than this say too little about noise. */
const SMALLEST_BOX = 16;

const meanOf = (data: Samples): { value: number; pixels: number } => {
  let sum = 0;
  let pixels = 0;
  for (const v of data)
    if (v - v === 0) {
      sum += v;
      pixels++;
    }
  return { value: sum / pixels, pixels };
};

/** Noise between direct neighbours in a box. */
const fineIn = ({ width, height, data }: BoxData, source: PlaneSource): number => {
  const side = Math.min(CELL, width, height);
  const found = cellsOf(width, height, side).flatMap((cell) => lookAt(data, width, cell) ?? []);
  if (found.length === 0 || meanOf(data).pixels < SMALLEST_BOX)
    throw inputError('the box holds too little data', 'draw a box of at least 6 × 6 pixels with data', source.file);
  return median(found.map(({ fine }) => fine));
};

/** A small box says little about correlation, and a feature bends within it: that is taken from the background. */
const boxReading = (box: BoxData, texture: Texture, source: PlaneSource, inside?: ClippedMean): BoxReading => {
  const side = inside && Math.max(1, Math.round(Math.sqrt(inside.pixels)));
  return {
    ...(inside ?? meanOf(box.data)),
    noise: fineIn(box, source) * spreadOf(texture),
    area: areaOf(texture.correlation, side ?? box.width, side ?? box.height),
  };
};

/** Noise of one pixel at a master's level, as the ledger has it; undefined where there is no room to measure it. */
export const pixelNoiseOf = (
  source: PlaneSource,
  { name, level }: { readonly name: string; readonly level: number },
  options: StripOptions = {},
): Promise<number | undefined> =>
  surveyLine(name, source, level, options).then(
    ({ background }) => background.noise,
    (error: unknown) => {
      if (error instanceof LinewashError && error.tag === 'input') return undefined;
      throw error;
    },
  );
