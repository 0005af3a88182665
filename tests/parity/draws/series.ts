import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { checkDraw, type Outcome } from './check-draw.ts';
import { type Draw, drawCase } from './draw.ts';
import { balanced, strayNumbers } from './settled-numbers.ts';
import { described, shrink } from './shrink.ts';

export interface Series {
  /** Pictures written and compared. */
  readonly compared: number;
  /** What is wrong, in words, each with its seed. */
  readonly failures: readonly string[];
}

/** Refusals that are right: a matrix without a balance or without weights, masters without a pixel in common. */
const refusedRightly = ({ recipe }: Draw, refused: string): boolean =>
  balanced(recipe) === undefined ||
  recipe.matrix!.flat().every((weight) => weight === 0) ||
  refused.startsWith('input: no pixel has data in all masters');

/** Draws `count` cases from `first` on, and compares each picture with its recomputation. */
export const runSeries = async (
  first: number,
  count: number,
  after: (seed: number, failure?: string) => void = () => {},
): Promise<Series> => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-parity-'));
  const failures: string[] = [];
  let compared = 0;
  try {
    for (let seed = first; seed < first + count; seed++) {
      const draw = drawCase(seed);
      const outcome = await checkDraw(draw, folder);
      if (outcome.refused === undefined) compared++;
      const failure = await failureOf(draw, outcome, folder);
      if (failure !== undefined) failures.push(failure);
      after(seed, failure);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  return { compared, failures };
};

const failureOf = async (draw: Draw, outcome: Outcome, folder: string): Promise<string | undefined> => {
  const { refused, settled, worst } = outcome;
  if (refused !== undefined)
    return refusedRightly(draw, refused) ? undefined : `seed ${draw.seed}: refused, ${refused}`;
  const stray = strayNumbers(draw.recipe, settled!);
  if (stray.length > 0) return `seed ${draw.seed}: ${stray.join('; ')}`;
  if (worst <= 1) return undefined;
  const small = await shrink(draw, outcome, folder);
  return `${described(small.draw, small.outcome)}\n  as drawn: ${outcome.beyond} samples off by up to ${worst}`;
};
