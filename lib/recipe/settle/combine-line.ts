import { isSamePicture } from '../../measure/identity.ts';
import { inputError, throwIfCancelled } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { inHalves } from '../../plane/progress.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { type Match, matchMasters, refuseOthers } from '../../prepare/match.ts';

/** How masters of one line are combined. */
export interface CombineOptions extends StripOptions {
  /** Combines masters that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
}

/** Masters of one line that lie further apart than this, in pixels, blur what they show together. */
const WORTH_A_WORD = 0.3;
/** Further apart than this they show everything twice. */
const TOO_FAR = 1;
/** A distance is believed where it exceeds its uncertainty so many times. */
const SIGMAS = 3;

/**
 * How several masters become one line: whether they belong together, then their scales, weights and outliers.
 * @throws LinewashError 'input' where sizes or filters differ, two hold the same picture, they show different things, or
 * lie more than a pixel apart
 */
export const combineLine = async (sources: readonly PlaneSource[], options: CombineOptions = {}): Promise<Match> => {
  refuseOthers(sources);
  const [checking, matching] = inHalves(options.progress);
  await refuseCopies(sources, options);
  const misfits = await misplaced(sources, { ...options, progress: checking });
  const match = await matchMasters(sources, { ...options, progress: matching });
  return { ...match, warnings: [...misfits, ...match.warnings] };
};

/** The noise of a copy is no other noise: a mean with it would promise a gain that is none. */
const refuseCopies = async (sources: readonly PlaneSource[], { signal }: StripOptions): Promise<void> => {
  for (const [i, a] of sources.entries())
    for (const b of sources.slice(i + 1)) {
      throwIfCancelled(signal);
      if (await isSamePicture(a, b))
        throw inputError(`${b.file} and ${a.file} hold the same picture twice`, 'use one of the two for this line');
    }
};

/** Warnings of masters that do not lie on the first. What registration cannot tell is not judged. */
const misplaced = async ([first, ...others]: readonly PlaneSource[], options: CombineOptions): Promise<string[]> => {
  const warnings: string[] = [];
  // Most lines have one master: the page does not load this to open.
  const { createRegistrar } = await import('../../measure/registration/register.ts');
  const register = createRegistrar(first!);
  for (const [i, source] of others.entries()) {
    const found = await register(source, { signal: options.signal });
    options.progress?.((i + 1) / others.length);
    if (found.status !== 'found') continue;
    const { move, doubt } = largestMove(found, source);
    if (move <= WORTH_A_WORD || move < SIGMAS * doubt) continue;
    const words = `${source.file} lies up to ${move.toFixed(1)} px off ${first!.file}`;
    if (move - doubt > TOO_FAR && !options.apart)
      throw inputError(
        `${words}: together they would show everything twice`,
        'register the masters of this line to one frame, or combine them anyway',
        undefined,
        { option: 'apart' },
      );
    warnings.push(`${words}: together they are less sharp; register them again`);
  }
  return warnings;
};

/** What registration tells that matters here. */
interface Placement {
  readonly dx: number;
  readonly dy: number;
  /** In degrees. */
  readonly rotation: number;
  readonly scale: number;
  readonly uncertainty: { readonly shift: number; readonly rotation: number; readonly scale: number };
}

/** The move of the corner that moves most, and its standard deviation, in pixels. */
const largestMove = ({ dx, dy, rotation, scale, uncertainty }: Placement, size: PlaneSource) => {
  const angle = (rotation * Math.PI) / 180;
  const [a, b] = [scale * Math.cos(angle) - 1, scale * Math.sin(angle)];
  let move = 0;
  for (const x of [-0.5 * size.width, 0.5 * size.width])
    for (const y of [-0.5 * size.height, 0.5 * size.height])
      move = Math.max(move, Math.hypot(dx + a * x - b * y, dy + b * x + a * y));
  const radius = Math.hypot(size.width, size.height) / 2;
  const doubt = Math.hypot(
    uncertainty.shift,
    ((uncertainty.rotation * Math.PI) / 180) * radius,
    uncertainty.scale * radius,
  );
  return { move, doubt };
};
