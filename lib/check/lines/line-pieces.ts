import { createScratch } from '../../plane/scratch.ts';
import { joined, parted } from '../joined.ts';
import { compareLines, unexplained } from '../planes/explain.ts';
import { flattened, levelled, type StandingOut, weightsOf } from '../planes/flatten.ts';
import { shrunkTimes, type Weighted } from '../planes/shrink.ts';
import type { Counted } from './aim.ts';
import { createLevels } from './choose-levels.ts';
import { type EvenLine, evenLines } from './even-lines.ts';
import type { LineLevels } from './levels.ts';

/**
 * Widths that are looked for in planes from which all wider than `sigma` is taken out, in pixels of planes that are smaller by
 * `times`: 1, 2, 4, 8 and 16 of the small planes that the frame gives.
 */
const SCALES = [
  { times: 1, sigma: 2.5, widths: [1, 2] },
  { times: 2, sigma: 2.5, widths: [2] },
  { times: 2, sigma: 5, widths: [4] },
  { times: 4, sigma: 5, widths: [4] },
] as const;

/** Lines with this score and more are looked at closely. */
const LEAST = 7;

/** What is looked at for straight lines. Plain data. */
export interface LineSearch {
  /** Small planes of all lines: trails are looked for in each. */
  readonly lines: readonly StandingOut[];
  /** How much noisier than usual the squares of each line are: seams are looked for in each. */
  readonly noise: readonly Counted[];
}

/** Pieces of the work: a scale of all lines each, then a line's seams each. */
export const linePieces = ({ noise }: LineSearch): number => SCALES.length + noise.length;

/** Lines of one plane, and the plane. */
export interface LinesFound {
  /** Pixels of the small planes to one of these. */
  readonly times: number;
  readonly lines: readonly EvenLine[];
  /** What other lines explain is taken out of it. */
  readonly alone: Counted;
  readonly whole: Counted;
  /** In counts. */
  readonly counts: Counted;
}

/** The lines, and where each can be looked at. */
const weightedLines = (lines: readonly StandingOut[]): Weighted[] =>
  lines.map((line) => {
    const others = lines.filter((other) => other !== line);
    return { ...line, weights: weightsOf(line, others) };
  });

/** Does one piece: numbers of what it finds. */
export const createLineSearcher = ({ lines, noise }: LineSearch) => {
  const scratch = createScratch();
  const levels = createLevels(scratch);
  const weighted = weightedLines(lines);
  return (piece: number): Float32Array<ArrayBuffer> => {
    const scale = SCALES[piece];
    if (scale === undefined) return joined([numbersOf(seamsIn(noise[piece - SCALES.length]!, levels))]);
    const small = weighted.map((line) => shrunkTimes(line, scale.times));
    const whole = small.map((line) => flattened(line, line.weights, scale.sigma, scratch));
    const compared = compareLines(whole, small[0]!);
    return joined(
      small.flatMap((line, k) => {
        const { weights } = line;
        const alone = levelled(unexplained(k, compared, weights, scratch), weights, line);
        const question = { shape: 'line', widths: scale.widths, least: LEAST, levels: 4, each: 3 } as const;
        return [numbersOf(evenLines(alone, weights, line, question, levels)), alone, whole[k]!];
      }),
    );
  };
};

const seamsIn = ({ values, weights, width, height }: Counted, levels: LineLevels): EvenLine[] => {
  const question = { shape: 'step', widths: [2, 4, 8], least: LEAST, levels: 3, each: 2 } as const;
  return evenLines(values, weights, { width, height }, question, levels);
};

const NUMBERS = 6;
const PARTS = 3;

const numbersOf = (lines: readonly EvenLine[]): number[] =>
  lines.flatMap(({ from, to, score, width }) => [...from, ...to, score, width]);

const linesFrom = (numbers: Float32Array): EvenLine[] =>
  Array.from({ length: numbers.length / NUMBERS }, (_, i) => {
    const [x0, y0, x1, y1, score, width] = numbers.subarray(NUMBERS * i, NUMBERS * (i + 1)) as unknown as Six;
    return { from: [x0, y0], to: [x1, y1], score, width };
  });

type Six = [x0: number, y0: number, x1: number, y1: number, score: number, width: number];

/** What the pieces found: for each line of the search, one entry a scale; and its seams. */
export const joinLinePieces = ({ lines, noise }: LineSearch, pieces: readonly Float32Array[]) => {
  const parts = pieces.map(parted);
  const trails = weightedLines(lines).map((line, k) =>
    SCALES.map(({ times }, scale): LinesFound => {
      const [numbers, alone, whole] = parts[scale]!.slice(PARTS * k, PARTS * (k + 1)) as Three;
      const { width, height, weights, values } = shrunkTimes(line, times);
      const of = (plane: Float32Array): Counted => ({ width, height, values: plane, weights });
      return { times, lines: linesFrom(numbers), alone: of(alone), whole: of(whole), counts: of(values) };
    }),
  );
  return { trails, seams: noise.map((_, k) => linesFrom(parts[SCALES.length + k]![0]!)) };
};

type Three = [numbers: Float32Array, alone: Float32Array, whole: Float32Array];
