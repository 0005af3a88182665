import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { withOwnStars } from '../recipe/written/star-wish.ts';
import { ellipticityOf, fwhmOf } from '../stars/shape.ts';
import { unpackStars } from '../stars/star-list.ts';
import type { OpenLines } from '../work/open-lines.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';
import { type CallContext, handOver } from './wire/rpc.ts';

/** Masters, and the recipe that prepares them: stars are found in the lines that it uses. */
export interface StarListQuestion {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
}

/** The stars of one line. */
export interface StarsOfLine {
  readonly name: string;
  /** Full width at half maximum in pixels. */
  readonly fwhm: number;
  /** 1 − short / long axis: 0 for round stars. */
  readonly flattening: number;
  /** Degrees of the long axis from x towards y, −90…90. */
  readonly angle: number;
  /** Of each star, in units of the line. */
  readonly peaks: Float32Array<ArrayBuffer>;
}

/** The stars of open masters, the most prominent first. */
export interface ListedStars {
  readonly count: number;
  /** Pixels from the centre of the top left pixel. */
  readonly x: Float32Array<ArrayBuffer>;
  readonly y: Float32Array<ArrayBuffer>;
  /** Peak above noise over all lines together. */
  readonly snr: Float32Array<ArrayBuffer>;
  /** The lines that the stars are found in; none where there is no star. */
  readonly lines: readonly StarsOfLine[];
}

/** The stars that a mix finds in its masters, whether it changes them or not. @throws LinewashError 'input' as settling does */
export const starListOf = async (
  lines: OpenLines,
  { recipe }: StarListQuestion,
  { signal, progress }: CallContext,
): Promise<ListedStars> => {
  const { settled } = await lines.settle(withOwnStars(await plainOf(recipe)), { signal, progress });
  const list = settled.ownStars?.list && unpackStars(settled.ownStars.list);
  if (list === undefined)
    return { count: 0, x: new Float32Array(), y: new Float32Array(), snr: new Float32Array(), lines: [] };
  const order = Uint32Array.from(list.snr.keys()).sort((a, b) => list.snr[b]! - list.snr[a]!);
  const inOrder = (values: Float32Array) => Float32Array.from(order, (star) => values[star]!);
  const [x, y, snr] = [inOrder(list.x), inOrder(list.y), inOrder(list.snr)];
  const listed = list.lines.map(({ name, shape }, k) => ({
    name,
    fwhm: fwhmOf(shape),
    ...ellipticityOf(shape),
    peaks: inOrder(list.peaks[k]!),
  }));
  const buffers = [x, y, snr, ...listed.map(({ peaks }) => peaks)].map(({ buffer }) => buffer);
  return handOver({ count: list.count, x, y, snr, lines: listed }, buffers);
};
