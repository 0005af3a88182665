import type { NoiseShares } from '../hours/noise-shares.ts';
import { inputError } from '../plane/errors.ts';
import type { Size } from '../plane/shrink.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { withoutStarList } from '../recipe/settle/without-list.ts';
import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
import { withOwnStars } from '../recipe/written/star-wish.ts';
import type { OpenLines } from '../work/open-lines.ts';
import type { OpenStars } from '../work/open-stars.ts';
import { type Part, type View, type ViewOptions, viewLines } from '../work/view.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';
import { renderForScreen, type ScreenPicture } from './screen.ts';
import { breathe, type CallContext, handOver } from './wire/rpc.ts';

/** A picture for the screen with the numbers behind it. */
export interface Preview extends ScreenPicture {
  /** Size of the masters. */
  readonly full: Size;
  /** The recipe with every weight a number. */
  readonly plain: Recipe;
  readonly settled: Settled;
  readonly warnings: readonly string[];
}

/** A mix of open masters, and the part of it that is looked at. */
export type PartQuestion = Part & {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
};

/** A mix to be shown. */
export type PreviewQuestion = PartQuestion & {
  /** Whether the open picture of the stars is laid over. */
  readonly stars?: boolean | undefined;
  /** A line: what smoothing takes from it is shown in the place of the mix. */
  readonly removed?: string | undefined;
  /** Whether the mask of the stars in the masters is shown in the place of the mix. */
  readonly mask?: boolean | undefined;
  /** Shows the mix as longer exposures might leave it: an estimate. By line, what is left of the noise. */
  readonly longer?: NoiseShares | undefined;
};

/** The mix for the screen, from numbers that were measured at full size. */
export const previewOf = async (
  lines: OpenLines,
  question: PreviewQuestion,
  stars: OpenStars | undefined,
  { signal, progress, smoother }: CallContext & Pick<ViewOptions, 'smoother'>,
): Promise<Preview> => {
  const plain = await plainOf(question.recipe);
  const shown = question.mask ? withOwnStars(plain) : plain;
  const view = await viewLines(lines, shown, question, question.mask ? undefined : stars, {
    signal,
    progress,
    smoother,
    longer: question.longer,
  });
  const { settled, notes, measured } = view;
  const { width, height } = measured[0]!;
  const numbers = {
    settled: withoutStarList(settled),
    warnings: [...notes, ...view.warnings],
    plain,
    full: { width, height },
  };
  // The picture stays the same object: its pixels are marked to be handed over.
  const looksAside = question.removed !== undefined || question.mask;
  const picture = looksAside ? greyOf(view, question, signal) : renderForScreen(view, settled, signal);
  return Object.assign(await picture, numbers);
};

/** What is shown in the place of the mix. @throws LinewashError 'input' where there is nothing of it. */
const greyOf = async (view: View, question: PreviewQuestion, signal: AbortSignal): Promise<ScreenPicture> => {
  const found = await (question.mask ? maskOf(view, signal) : removedOf(view, question, signal));
  return handOver({ ...found, space: 'srgb' as const }, [found.data.buffer]);
};

const removedOf = async (view: View, { removed, box }: PreviewQuestion, signal: AbortSignal) => {
  const { removedPicture } = await import('../work/removed.ts');
  const found = await removedPicture(view, removed!, box !== undefined, { signal, pause: breathe });
  if (found === undefined) throw inputError(`${removed} is not smoothed: nothing is taken from it`);
  return found;
};

const maskOf = async (view: View, signal: AbortSignal) => {
  const { maskPicture } = await import('../work/star-mask.ts');
  const found = await maskPicture(view, { signal, pause: breathe });
  if (found === undefined) throw inputError('no stars are found in these masters: there is no mask of them');
  return found;
};
