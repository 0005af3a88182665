import type { Feature, Kind } from './features.ts';
import type { Matrix4 } from './four.ts';
import { jointSearch, type Place } from './joint-search.ts';
import type { TilePair } from './patches.ts';
import { type Remains, refine } from './refine.ts';
import { type Centre, type Corner, compose, cornerSpread, mapDistance, type Similarity } from './similarity.ts';
import { tileSurfaces } from './surfaces.ts';
import type { TileSpectra } from './tile-spectra.ts';
import type { Tile } from './tiles.ts';

/** What features of one kind and size say about how two pictures lie on one another. */
export interface Look {
  /** Size of the features compared, pixels. */
  readonly scale: number;
  readonly map: Similarity;
  readonly covariance: Matrix4;
  /** Standard deviation of the place of the worst corner, as the tiles' scatter has it. */
  readonly scatter: number;
  readonly tiles: readonly (Tile & Remains)[];
}

/** An agreement lower than this may be an accident; stars, few and sharp, meet by accident more often. */
const LEAST_HEIGHT = { wave: 7, round: 30 } as const;
/** By how much it must exceed what the same search finds in a mirrored picture, and elsewhere in this one. */
const [OVER_MIRRORED, OVER_ELSEWHERE] = [1.35, 1.15];
/** A look whose tiles scatter more than this is worth nothing, in pixels at the corners. */
const WIDEST = 6;
/** How far from where it was found a place may still be refined, and how far apart two places are different ones. */
const REACH = 5;

/** A feature of the reference, and its tiles with their spectra. */
export interface Compared {
  readonly feature: Feature;
  readonly tiles: readonly Tile[];
  readonly spectra: TileSpectra;
}

/** The other picture's feature as it is, and as it is seen through a map that brings it roughly into place. */
export interface Viewed {
  readonly feature: Feature;
  readonly seen: Feature;
  readonly view: Similarity;
}

/**
 * Compares two pictures by features of one kind: searches, weighs what is found against accident, and refines it on the
 * other picture's own pixels.
 * @returns undefined where nothing is found that accident does not give
 */
export const lookBy = (
  kind: Kind,
  { feature: a, tiles, spectra }: Compared,
  { feature, seen, view }: Viewed,
): Look | undefined => {
  const found = search(kind, spectra, seen, view);
  if (found === undefined) return undefined;
  const pairs = tiles.map((tile): TilePair => ({ ...tile, a: whole(a), b: whole(feature) }));
  return refineFrom(kind, pairs, compose(view, found), { x: a.width / 2, y: a.height / 2 });
};

const whole = (feature: Feature) => ({ feature, left: 0, top: 0 });

/** Refines a place; undefined where it does not settle, wanders off or scatters. */
export const refineFrom = (
  { scale }: Kind,
  pairs: readonly TilePair[],
  start: Similarity,
  corner: Corner,
): Look | undefined => {
  const refined = refine(pairs, start, scale);
  if (refined === undefined || !refined.settled) return undefined;
  const { map, covariance } = refined;
  const scatter = cornerSpread(covariance, corner);
  if (mapDistance(map, start, corner) >= REACH || !(scatter < WIDEST)) return undefined;
  const tiles = refined.tiles.map((remains, t) => {
    const { x, y, side } = pairs[t]!;
    return { x, y, side, ...remains };
  });
  return { scale, map, covariance, scatter, tiles };
};

const search = ({ name }: Kind, tiles: TileSpectra, b: Feature, centre: Centre): Similarity | undefined => {
  const found = jointSearch(tileSurfaces(tiles, b), centre, REACH);
  if (found === undefined || found.best.height < LEAST_HEIGHT[name]) return undefined;
  const { best, elsewhere } = found;
  if (best.height < OVER_ELSEWHERE * elsewhere) return undefined;
  const mirrored = jointSearch(tileSurfaces(tiles, mirror(b)), centre, REACH);
  if (mirrored !== undefined && best.height < OVER_MIRRORED * mirrored.best.height) return undefined;
  return mapOf(best, centre);
};

const mapOf = ({ dx, dy, growth, turn }: Place, { cx, cy }: Centre): Similarity => ({
  a: 1 + growth,
  b: turn,
  dx,
  dy,
  cx,
  cy,
});

/** The picture as a mirror shows it. */
const mirror = ({ width, height, values, known }: Feature): Feature => {
  const turned = (from: Float32Array) => {
    const to = from.slice();
    for (let y = 0; y < height; y++) to.subarray(y * width, (y + 1) * width).reverse();
    return to;
  };
  return { width, height, values: turned(values), known: turned(known) };
};
