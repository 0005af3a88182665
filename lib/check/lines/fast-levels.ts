import { type CheckKernel, createCheckKernel, layOut } from '../kernel.ts';
import type { LineLevel, LineLevels } from './levels.ts';
import type { Laid } from './orient.ts';
import { BINS, isExempt, type PieceScores, type ScoreQuestion, spreadOf } from './piece-scores.ts';

/** Values that running sums of a row need beyond its length: margins of the widest line, and one. */
const BESIDE = 256;
/** Widest line: its margins are four times as wide. */
const WIDEST = 24;

/** Where planes of a size lie, as addresses. */
const placesFor = (kernel: CheckKernel, plane: number, stride: number) => {
  const { take, done } = layOut(kernel);
  const planes = () => take(4 * plane);
  const row = () => take(8 * (stride + BESIDE));
  const places = {
    values: [planes(), planes()] as [number, number],
    weights: [planes(), planes()] as [number, number],
    scores: planes(),
    high: planes(),
    rows: [row(), row()] as const,
    counted: take(4 * BINS),
  };
  done();
  return places;
};

/** Levels in WebAssembly; undefined where there is none with SIMD. The same bytes as `plainLevels`. */
export const fastLevels = (): LineLevels | undefined => {
  const kernel = createCheckKernel();
  if (kernel === undefined) return undefined;
  return function* (values, weights, most): Generator<LineLevel> {
    const { height } = values;
    const stride = values.width + most;
    const plane = (height + most) * stride;
    const places = placesFor(kernel, plane, stride);
    const floats = (at: number) => new Float32Array(kernel.memory.buffer as ArrayBuffer, at, plane);
    setRows(floats(places.values[0]), values, most);
    setRows(floats(places.weights[0]), weights, most);
    let pieces = height;
    for (let rows = 1; ; rows *= 2) {
      const form = { rows, pieces, stride, pad: most };
      yield { ...form, scores: (question) => scoresOf(kernel, places, { ...form, plane }, question) };
      if (rows === most) return;
      for (const both of [places.values, places.weights]) {
        kernel.join(...both, pieces, rows, stride, most);
        both.reverse();
      }
      pieces = Math.ceil(pieces / 2);
    }
  };
};

const setRows = (sums: Float32Array, { width, height, values }: Laid, pad: number): void => {
  for (let y = 0; y < height; y++) sums.set(values.subarray(y * width, (y + 1) * width), y * (width + pad) + pad);
};

const scoresOf = (
  kernel: CheckKernel,
  { values, weights, scores, high, rows: runs, counted }: ReturnType<typeof placesFor>,
  { rows, pieces, stride, pad, plane }: Omit<LineLevel, 'scores'> & { readonly plane: number },
  { width, shape, height, least }: ScoreQuestion,
): PieceScores | undefined => {
  if (width > WIDEST) throw new RangeError(`a line of ${width} pixels is too wide to look for`);
  const memory = kernel.memory.buffer as ArrayBuffer;
  let asked = pieces;
  while (asked > 0 && isExempt(asked - 1, rows, height)) asked--;
  const bins = new Uint32Array(memory, counted, BINS).fill(0);
  const isStep = shape === 'step' ? 1 : 0;
  const places = [values[0], weights[0], ...runs, scores, high, counted];
  const found = kernel.score(...places, asked, rows, stride, pad, width, isStep, least);
  const spread = spreadOf(bins);
  if (spread === undefined) return undefined;
  return { scores: new Float32Array(memory, scores, plane), high: new Uint32Array(memory, high, found), spread };
};
