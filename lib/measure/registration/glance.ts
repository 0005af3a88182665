import { throwIfCancelled } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { ROUND } from './features.ts';
import { LEAST_STANDING, patchOf } from './fine.ts';
import { refineFrom } from './look.ts';
import type { Patch, TilePair } from './patches.ts';
import { cutAbout } from './pieces.ts';
import { type Registered, reportOf } from './report.ts';
import { largestMove, similarity } from './similarity.ts';
import { standing } from './standing.ts';
import { layTiles, type Tile } from './tiles.ts';
import { judge } from './verdict.ts';
import { TOLERATED } from './words.ts';

/** Tiles along each axis at most, and their side. */
const [ALONG, SIDE] = [4, 64];
/** So many standard deviations of the worst corner must lie within what is tolerated, too. */
const SIGMAS = 2;

/** What is seen where every point of the frame fits for certain; undefined where only a registration can tell. */
export type Glance = (channel: PlaneSource, options?: StripOptions) => Promise<Registered | undefined>;

/**
 * Whether pictures lie on a reference, at a glance: the stars of a few pieces, compared where they should be. Takes a
 * small part of the time of a registration, and can say nothing but yes.
 * @param reference read once for all channels
 */
export const createGlance = (reference: PlaneSource): Glance => {
  const { width, height } = reference;
  const tiles = layTiles(width, height, ALONG, SIDE);
  const here = similarity({ cx: (width - 1) / 2, cy: (height - 1) / 2 });
  const corner = { x: width / 2, y: height / 2 };
  let own: Promise<Patches> | undefined;
  return async (channel, options = {}) => {
    if (width !== channel.width || height !== channel.height) return undefined;
    own ??= patchesOf(reference, tiles);
    const [one, other] = [await own, await patchesOf(channel, tiles)];
    throwIfCancelled(options.signal);
    const pairs = tiles.flatMap((tile, i): TilePair[] => {
      const [a, b] = [one[i], other[i]];
      return a && b ? [{ ...tile, a, b }] : [];
    });
    const look = refineFrom(ROUND, pairs, here, corner);
    if (look === undefined || largestMove(look.map, width, height) + SIGMAS * look.scatter > TOLERATED)
      return undefined;
    if (standing(pairs, look.map, ROUND.scale) < LEAST_STANDING) return undefined;
    const verdict = judge([look], corner);
    return verdict.status === 'found' ? reportOf(verdict.answer, corner) : undefined;
  };
};

type Patches = readonly (Patch | undefined)[];

const patchesOf = async (source: PlaneSource, tiles: readonly Tile[]): Promise<Patches> =>
  (await cutAbout(source, tiles)).map((cut) => patchOf(cut, ROUND, 1));
