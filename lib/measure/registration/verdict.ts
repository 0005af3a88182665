import type { Look } from './look.ts';
import { type Corner, mapDistance } from './similarity.ts';

/** A look in pixels of the full pictures with its whole uncertainty. */
export interface Judged {
  readonly look: Look;
  /** Standard deviation of the place of the worst corner, from all causes. */
  readonly sigma: number;
}

/** Lines differ: features of one size tell less than their scatter says by this share of what the next size moves. */
const DRIFT = 0.7;
/** No feature tells more than this share of its own size. */
const FLOOR = 0.12;
/** Where no coarser feature can be asked, this share of the size stands for the drift; nor may it exceed so many. */
const [ALONE, MOST] = [0.5, 3];
/** An answer less certain than this is none, in pixels. */
export const WIDEST = 3;

export type Verdict =
  | { readonly status: 'found'; readonly answer: Judged }
  | { readonly status: 'unknown'; readonly reason: string };

/**
 * Weighs looks of different scale against one another. The most certain one answers; where others contradict it by more
 * than both can explain, nobody does.
 * @param corner half of the frame about its centre
 * @param widest standard deviation beyond which an answer is none, in pixels
 */
export const judge = (looks: readonly Look[], corner: Corner, widest = WIDEST): Verdict => {
  const apart = (p: Look, q: Look) => mapDistance(p.map, q.map, corner);
  const judged = looks.map((look): Judged => {
    const coarser = nextCoarser(look, looks);
    const drift =
      coarser === undefined
        ? ALONE * look.scale
        : Math.sqrt(Math.max(0, apart(look, coarser) ** 2 - (look.scatter ** 2 + coarser.scatter ** 2) / 2));
    const lasting = Math.min(drift, MOST * look.scale);
    return { look, sigma: Math.hypot(look.scatter, DRIFT * lasting, FLOOR * look.scale) };
  });
  const best = judged.reduce<Judged | undefined>((p, q) => (p === undefined || q.sigma < p.sigma ? q : p), undefined);
  if (best === undefined) return { status: 'unknown', reason: 'no common structure found' };
  if (judged.some((other) => apart(other.look, best.look) > 4 * Math.hypot(other.sigma, best.sigma) + 1))
    return { status: 'unknown', reason: 'fine and coarse structure disagree' };
  if (best.sigma > widest) return { status: 'unknown', reason: 'what they have in common is too vague' };
  return { status: 'found', answer: best };
};

const nextCoarser = (look: Look, looks: readonly Look[]): Look | undefined =>
  looks
    .filter(({ scale }) => scale > look.scale)
    .reduce<Look | undefined>((p, q) => (p === undefined || q.scale < p.scale ? q : p), undefined);
