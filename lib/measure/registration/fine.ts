import { throwIfCancelled } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { featureOf, type Kind, ROUND, WAVE } from './features.ts';
import { lookAtFull, mapAt } from './level.ts';
import { type Look, refineFrom } from './look.ts';
import type { Patch, TilePair } from './patches.ts';
import { type Cut, cutPieces, type Piece } from './pieces.ts';
import { shrunk } from './shrink.ts';
import { standing } from './standing.ts';
import { layTiles } from './tiles.ts';
import type { Judged } from './verdict.ts';

/** Tiles along each axis at most, and their side. */
const [ALONG, SIDE] = [4, 128];
/** Agreement through a map must stand so far above that at places beside it. */
export const LEAST_STANDING = 7;
/** What is looked at, from broad to fine: a feature catches what lies off by less than about twice its size. */
const LOOKS: readonly (readonly [Kind, number])[] = [
  [WAVE, 4],
  [WAVE, 2],
  [ROUND, 1],
  [WAVE, 1],
];

/**
 * Looks at full pictures once it is roughly known how they lie: reads pieces of both about some tiles, and refines from
 * broad features to fine ones, each from where the last one led. Where stars answer, fine gas is not asked.
 */
export const fineLooks = async (
  reference: PlaneSource,
  channel: PlaneSource,
  { look, sigma }: Judged,
  options: StripOptions,
): Promise<Look[]> => {
  const pieces = await cutPieces(
    reference,
    channel,
    layTiles(reference.width, reference.height, ALONG, SIDE),
    look.map,
  );
  const corner = { x: reference.width / 2, y: reference.height / 2 };
  const looks: Look[] = [];
  let { map } = look;
  for (const [kind, factor] of LOOKS) {
    throwIfCancelled(options.signal);
    // The broadest is needed only where the place is not known that well.
    if (factor > 2 && kind.scale * factor > 3 * sigma) continue;
    const pairs = pieces.flatMap((piece) => pairOf(piece, kind, factor) ?? []);
    const half = { x: corner.x / factor, y: corner.y / factor };
    const found = refineFrom(kind, pairs, mapAt(factor, map), half);
    if (found === undefined || standing(pairs, found.map, kind.scale) < LEAST_STANDING) continue;
    const full = lookAtFull(factor, found, map);
    looks.push(full);
    map = full.map;
    if (kind === ROUND) break;
  }
  return looks;
};

const pairOf = ({ tile, a, b }: Piece, kind: Kind, factor: number): TilePair | undefined => {
  const [one, other] = [patchOf(a, kind, factor), patchOf(b, kind, factor)];
  const small = { x: tile.x / factor, y: tile.y / factor, side: tile.side / factor };
  return one && other && { ...small, a: one, b: other };
};

export const patchOf = ({ left, top, picture }: Cut, kind: Kind, factor: number): Patch | undefined => {
  const feature = featureOf(kind, shrunk(picture, factor));
  return feature && { feature, left: left / factor, top: top / factor };
};
