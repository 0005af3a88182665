import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
import type { Size } from '../render/shrink.ts';
import type { OpenLines } from '../work/open-lines.ts';
import type { OpenStars } from '../work/open-stars.ts';
import { type Part, viewLines } from '../work/view.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';
import { renderForScreen, type ScreenPicture } from './screen.ts';
import type { CallContext } from './wire/rpc.ts';

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
};

/** The mix for the screen, from numbers that were measured at full size. */
export const previewOf = async (
  lines: OpenLines,
  question: PartQuestion,
  stars: OpenStars | undefined,
  { signal, progress }: CallContext,
): Promise<Preview> => {
  const plain = await plainOf(question.recipe);
  const view = await viewLines(lines, plain, question, stars, { signal, progress });
  const { settled, notes, measured } = view;
  const { width, height } = measured[0]!;
  const numbers = { settled, warnings: [...notes, ...view.warnings], plain, full: { width, height } };
  // The picture stays the same object: its pixels are marked to be handed over.
  return Object.assign(await renderForScreen(view, settled, signal), numbers);
};
