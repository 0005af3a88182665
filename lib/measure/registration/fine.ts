import { throwIfCancelled } from '../../plane/errors.ts';
import { memo } from '../../plane/memo.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { featureOf, type Kind, ROUND, WAVE } from './features.ts';
import { lookAtFull, mapAt } from './level.ts';
import { type Look, refineFrom } from './look.ts';
import type { Patch, TilePair } from './patches.ts';
import { type Cut, cutAbout, cutSeen, evenTiles } from './pieces.ts';
import type { Aspect } from './seen.ts';
import { shrunk } from './shrink.ts';
import { standing } from './standing.ts';
import { layTiles, type Tile } from './tiles.ts';
import type { Judged } from './verdict.ts';

/** Tiles along each axis at most, and their side. */
const [ALONG, SIDE] = [4, 128];
/** Agreement through a map must stand so far above that at places beside it. */
export const LEAST_STANDING = 7;
/** What is looked at, from broad to fine: a feature catches what lies off by less than about twice its size. */
const ASPECTS: readonly Aspect[] = [
  { kind: WAVE, further: 4 },
  { kind: WAVE, further: 2 },
  { kind: ROUND, further: 1 },
  { kind: WAVE, further: 1 },
];

/** Looks at a channel once it is roughly known how it lies. */
export type FineLooks = (channel: PlaneSource, rough: Judged, options: StripOptions) => Promise<Look[]>;

/**
 * Looks at full pictures once it is roughly known how they lie: reads pieces of both about some tiles, and refines from
 * broad features to fine ones, each from where the last one led. Where stars answer, fine gas is not asked.
 * @param reference its pieces are read, and their features found, once for all channels
 */
export const createFineLooks = (reference: PlaneSource): FineLooks => {
  const tiles = evenTiles(layTiles(reference.width, reference.height, ALONG, SIDE));
  const corner = { x: reference.width / 2, y: reference.height / 2 };
  let own: Promise<readonly Patched[]> | undefined;
  return async (channel, { look, sigma }, options) => {
    own ??= cutAbout(reference, tiles).then((cuts) => cuts.map(patchedOf));
    const [one, other] = [await own, (await cutSeen(channel, tiles, look.map)).map(patchedOf)];
    const looks: Look[] = [];
    let { map } = look;
    for (const aspect of ASPECTS) {
      throwIfCancelled(options.signal);
      const { kind, further } = aspect;
      // The broadest is needed only where the place is not known that well.
      if (further > 2 && kind.scale * further > 3 * sigma) continue;
      const pairs = tiles.flatMap((tile, i) => pairOf(tile, one[i]!(aspect), other[i]!(aspect), further) ?? []);
      const half = { x: corner.x / further, y: corner.y / further };
      const found = refineFrom(kind, pairs, mapAt(further, map), half);
      if (found === undefined || standing(pairs, found.map, kind.scale) < LEAST_STANDING) continue;
      const full = lookAtFull(further, found, map);
      looks.push(full);
      map = full.map;
      if (kind === ROUND) break;
    }
    return looks;
  };
};

/** A piece's features by aspect. */
type Patched = (aspect: Aspect) => Patch | undefined;

const patchedOf = (cut: Cut): Patched => memo(({ kind, further }: Aspect) => patchOf(cut, kind, further));

const pairOf = (tile: Tile, a: Patch | undefined, b: Patch | undefined, further: number): TilePair | undefined =>
  a && b && { x: tile.x / further, y: tile.y / further, side: tile.side / further, a, b };

export const patchOf = ({ left, top, picture }: Cut, kind: Kind, factor: number): Patch | undefined => {
  const feature = featureOf(kind, shrunk(picture, factor));
  return feature && { feature, left: left / factor, top: top / factor };
};
