import type { Size } from '../planes/blur.ts';
import type { LineLevel, LineLevels } from './levels.ts';
import { type Laid, lay, QUADRANTS, type Segment, unlay } from './orient.ts';
import { isExempt, type LineShape, type PieceScores } from './piece-scores.ts';

/** A line that is bright, or dark, all along. */
export interface EvenLine extends Segment {
  /** Twice the least score of four pieces, over the spread of such scores; below 0 for what is dark. */
  readonly score: number;
  readonly width: number;
}

/** What is looked for. */
export interface LineQuestion {
  readonly shape: LineShape;
  readonly widths: readonly number[];
  /** The least score. */
  readonly least: number;
  /** Sizes of pieces, each half of the last. */
  readonly levels: number;
  /** Most lines from each place of pieces. */
  readonly each: number;
}

/** A line is looked at in so many pieces. */
const PIECES = 4;
/** Rows of a line, as a share of the shorter side: those of a slanted one that is long enough. Most of them lie in the frame. */
const LENGTH = 0.22 * Math.SQRT1_2;
const INSIDE = 0.7;

/**
 * Lines that are even over four consecutive pieces: a trail is, a nebula's filament is bright in one place. Pieces are those of
 * the fast transform, so the pieces of one line are known by its shift alone.
 * @param values of variance 1 @param weights 1 where they count, and 0
 */
export const evenLines = (
  values: Float32Array,
  weights: Float32Array,
  size: Size,
  question: LineQuestion,
  levels: LineLevels,
): EvenLine[] => {
  const found: EvenLine[] = [];
  for (let quadrant = 0; quadrant < QUADRANTS; quadrant++) {
    const laid = lay(values, size, quadrant);
    for (const line of linesDown(laid, lay(weights, size, quadrant), size, question, levels))
      found.push({ ...line, ...unlay(line, laid, quadrant) });
  }
  return found.sort((a, b) => Math.abs(b.score) - Math.abs(a.score));
};

const linesDown = (values: Laid, weights: Laid, size: Size, question: LineQuestion, levels: LineLevels): EvenLine[] => {
  const { height } = values;
  const most = 2 ** Math.ceil(Math.log2(height)) / PIECES;
  if (most < 1) return [];
  const shortest = LENGTH * Math.min(size.width, size.height);
  const found: EvenLine[] = [];
  for (const level of levels(values, weights, most)) {
    if (level.rows <= most / 2 ** question.levels || PIECES * level.rows < shortest) continue;
    for (const width of question.widths) {
      if (PIECES * width > level.rows) continue;
      // Twice the least of four scores is asked for, over a spread of at least 1.
      const of = level.scores({ shape: question.shape, width, height, least: question.least / 2 });
      if (of) found.push(...linesOf(level, of, width, height, question));
    }
  }
  return found;
};

/** A line that starts in a piece. */
interface Start {
  readonly shift: number;
  readonly x: number;
  readonly least: number;
}

const linesOf = (
  level: LineLevel,
  found: PieceScores,
  width: number,
  height: number,
  { least, each, shape }: LineQuestion,
): EvenLine[] => {
  const { rows, pieces, pad } = level;
  const whole = PIECES * rows;
  const lines: EvenLine[] = [];
  for (let piece = 0; piece < pieces; piece++) {
    const inside = Math.min(whole, height - piece * rows);
    if (inside < INSIDE * whole) break;
    const factor = (2 * Math.sqrt(inside / whole)) / found.spread;
    for (const sign of [1, -1] as const)
      for (const start of bestStarts(
        startsIn(level, found, piece, height, sign * (least / factor)),
        rows,
        width,
        each,
      )) {
        const last = Math.min(whole - 1, height - 1 - piece * rows);
        const x = start.x - pad + (shape === 'line' ? (width - 1) / 2 - (width >> 1) : -0.5);
        const y = piece * rows;
        const to = [x + (start.shift * last) / (whole - 1), y + last] as const;
        lines.push({ score: sign * factor * start.least, width, from: [x, y], to });
      }
  }
  return lines;
};

/** Lines from one piece on whose pieces all reach the threshold, which is below 0 for dark ones. Few pieces do. */
const startsIn = (
  { rows, stride, pieces }: LineLevel,
  { scores, high }: PieceScores,
  piece: number,
  height: number,
  threshold: number,
): Start[] => {
  const starts: Start[] = [];
  const sign = Math.sign(threshold);
  const score = (of: number, shift: number, x: number): number => {
    if (of >= pieces || isExempt(of, rows, height)) return Number.POSITIVE_INFINITY;
    return x < stride ? sign * scores[(of * rows + shift) * stride + x]! : 0;
  };
  for (let i = firstFrom(high, piece * rows * stride); i < high.length; i++) {
    const at = high[i]! - piece * rows * stride;
    if (at >= rows * stride) break;
    const first = sign * scores[high[i]!]!;
    if (first < Math.abs(threshold)) continue;
    const [shift, x] = [Math.floor(at / stride), at % stride];
    // Four shifts of the whole line have this shift in their pieces; they differ by where its pieces meet.
    for (let whole = PIECES * shift; whole < PIECES * (shift + 1); whole++) {
      const far = whole - (whole >> 1);
      const near = (whole >> 1) - shift;
      const least = Math.min(
        first,
        score(piece + 1, shift, x + near),
        score(piece + 2, shift, x + far),
        score(piece + 3, shift, x + far + near),
      );
      if (least >= Math.abs(threshold)) starts.push({ shift: whole, x, least });
    }
  }
  return starts;
};

/** The place of the first number that is not smaller, in rising ones. */
const firstFrom = (rising: ArrayLike<number>, least: number): number => {
  let [low, high] = [0, rising.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rising[middle]! < least) low = middle + 1;
    else high = middle;
  }
  return low;
};

/** The best of them, each without those that are near it. */
const bestStarts = (starts: readonly Start[], rows: number, width: number, each: number): Start[] => {
  const best: Start[] = [];
  const near = (PIECES * rows) / 16;
  for (const start of [...starts].sort((a, b) => b.least - a.least)) {
    if (best.length === each) break;
    const known = best.some(({ shift, x }) => {
      const turned = Math.abs(shift - start.shift);
      return turned <= near && Math.abs(x - start.x) <= turned + 4 * width + 6;
    });
    if (!known) best.push(start);
  }
  return best;
};
