import type { WrittenRecipe } from '../recipe/written/schema.ts';
import type { OpenLines } from '../work/open-lines.ts';
import { type ProbeAnswer, type ProbeWish, probePixel } from '../work/probe.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';
import type { CallContext } from './wire/rpc.ts';

/** A pixel of the masters that is looked at through a mix. */
export interface ProbeQuestion {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
  /** Full-size pixel, counted from 0 at the top left. */
  readonly x: number;
  readonly y: number;
  /** Other mixes whose colour of the same pixel is asked for. */
  readonly others?: readonly { readonly id: string; readonly recipe: WrittenRecipe }[];
  /** Whether the open picture of the stars lies over all mixes. */
  readonly stars?: boolean | undefined;
  /** Whether to wait for the noise of the lines, which takes a look at the masters, rather than to leave it out. */
  readonly waits?: boolean | undefined;
}

/** One pixel of the masters, followed through the mix. */
export const probeOf = async (
  lines: OpenLines,
  { recipe, others = [], waits, x, y }: Omit<ProbeQuestion, 'lines' | 'stars'>,
  { stars, noise }: Required<Pick<ProbeWish, 'noise'>> & Pick<ProbeWish, 'stars'>,
  { signal }: Pick<CallContext, 'signal'>,
): Promise<ProbeAnswer> => {
  const plain = await plainOf(recipe);
  const seen = others.map(async (other) => ({
    id: other.id,
    recipe: await plainOf(other.recipe).catch(() => undefined),
  }));
  const wish = { recipe: plain, x, y, stars, others: await Promise.all(seen), noise: () => inTime(noise(), waits) };
  return probePixel(lines, wish, { signal });
};

/** Long enough for what is known already. */
const MOMENT_MS = 20;

const inTime = <T>(asked: Promise<T>, waits = false): Promise<T | undefined> => {
  const moment = new Promise<undefined>((resolve) => setTimeout(resolve, MOMENT_MS, undefined));
  return waits ? asked : Promise.race([asked, moment]);
};
