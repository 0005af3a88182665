import { throwIfCancelled } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { type Agreement, agree } from './agreement.ts';
import { coarseSimilarity } from './coarse.ts';
import { featureFinder } from './features.ts';
import { createCorrelator, phaseShift } from './phase-correlation.ts';
import { mapPoint, type Pair, rotationOf, type Similarity, scaleOf, similarity } from './similarity.ts';
import { layTiles, readBand, sampleTile, type Tile } from './tiles.ts';

/** What one tile says. Positions are the tile's centre in the reference, in pixels from the top left. */
export interface TileShift {
  readonly x: number;
  readonly y: number;
  /** Where its content lies in the channel, relative to the reference: right and down. */
  readonly dx: number;
  readonly dy: number;
  /** Significance of its peak; 0 where the tile was left out as an outlier. */
  readonly weight: number;
}

/**
 * How the content of a channel lies relative to that of the reference: turned clockwise as seen by `rotation` degrees
 * and scaled about the centre of the reference, then moved dx right and dy down.
 */
export interface Registered {
  readonly status: 'found';
  readonly dx: number;
  readonly dy: number;
  readonly rotation: number;
  readonly scale: number;
  /** Root mean square in pixels of what the fit leaves in the tiles. */
  readonly residual: number;
  /** Standard deviations: of dx and of dy in pixels, of the rotation in degrees, of the scale. */
  readonly uncertainty: { readonly shift: number; readonly rotation: number; readonly scale: number };
  readonly tiles: readonly TileShift[];
}

/** Where two pictures hold nothing that fits together: measured numbers would be nonsense. */
export interface Unregistered {
  readonly status: 'unknown';
  readonly reason: string;
}

/** A peak less significant than this may be an accident. */
const SIGNIFICANT = 7;
/** Tiles that agree within so many pixels speak of the same fit. */
const TOLERANCE = 1;
const MAX_PASSES = 4;
/** Bands taller than so many tiles are read tile by tile. */
const TALLEST_BAND = 3;

/**
 * Measures how one picture lies on another: phase correlation of the features in up to 5 × 5 tiles, a similarity on
 * which most of them agree, and a rough search over shrunk pictures where none is found near the place.
 * Reads the rows of the tiles only, but for that search. The pictures may differ in size.
 */
export const registerPair = async (
  reference: PlaneSource,
  channel: PlaneSource,
  options: StripOptions = {},
): Promise<Registered | Unregistered> => {
  const rows = layTiles(reference.width, reference.height);
  if (rows.length === 0) return { status: 'unknown', reason: 'the picture is too small to compare' };
  const centre = { cx: (reference.width - 1) / 2, cy: (reference.height - 1) / 2 };
  const look = (map: Similarity) => onePass(reference, channel, rows, map, options);
  // Tiles that overlap tell less than their number says.
  const area = rows.flat().reduce((sum, { side }) => sum + side * side, 0);
  const overlap = Math.sqrt(Math.max(1, area / (reference.width * reference.height)));
  const near = await converge(similarity(centre), look, overlap);
  if (near !== undefined) return near;
  const rough = await coarseSimilarity(reference, channel, centre, SIGNIFICANT, options);
  const far = rough && (await converge(rough, look, overlap));
  return far ?? { status: 'unknown', reason: 'no common structure found' };
};

/** Looks again through what was found until that hardly changes, so that tiles are compared unturned and in place. */
const converge = async (
  start: Similarity,
  look: (map: Similarity) => Promise<Pass>,
  overlap: number,
): Promise<Registered | undefined> => {
  let map = start;
  let found: Registered | undefined;
  for (let pass = 0; pass < MAX_PASSES; pass++) {
    const { pairs, side } = await look(map);
    const agreement = agree(pairs, map, TOLERANCE);
    if (agreement === undefined) return found;
    found = report(pairs, agreement, overlap);
    const next = viewThrough(agreement.map, side);
    const turn = Math.hypot(next.a - map.a, next.b - map.b) * side;
    if (turn < 0.2 && Math.hypot(next.dx - map.dx, next.dy - map.dy) < 1.5) return found;
    map = next;
  }
  return found;
};

/** A turn too small to show within a tile is left to the fit: whole pixels need no interpolation. */
const viewThrough = (map: Similarity, side: number): Similarity =>
  Math.hypot(map.a - 1, map.b) * side < 0.3
    ? { ...map, a: 1, b: 0, dx: Math.round(map.dx), dy: Math.round(map.dy) }
    : map;

interface Pass {
  readonly pairs: readonly Pair[];
  readonly side: number;
}

const onePass = async (
  reference: PlaneSource,
  channel: PlaneSource,
  rows: readonly (readonly Tile[])[],
  map: Similarity,
  options: StripOptions,
): Promise<Pass> => {
  const side = rows[0]![0]!.side;
  const compare = comparer(side, map);
  const still = similarity(map);
  const pairs: Pair[] = [];
  for (const row of bandsOf(rows, map)) {
    throwIfCancelled(options.signal);
    const a = await readBand(reference, row, still);
    const b = await readBand(channel, row, map);
    for (const tile of row) {
      sampleTile(a, tile, still, compare.a);
      sampleTile(b, tile, map, compare.b);
      const pair = compare.run(tile);
      if (pair !== undefined) pairs.push(pair);
    }
  }
  return { pairs, side };
};

/** Tiles that share a band: a row of them, or each alone where the map's turn makes the band tall. */
const bandsOf = (rows: readonly (readonly Tile[])[], map: Similarity): (readonly Tile[])[] =>
  rows.flatMap((row) => {
    const [first, last] = [row[0]!, row.at(-1)!];
    const rise = Math.abs(map.b) * (last.x - first.x + first.side);
    return rise + first.side > TALLEST_BAND * first.side ? row.map((tile) => [tile]) : [row];
  });

interface Comparer {
  readonly a: Float64Array;
  readonly b: Float64Array;
  run(tile: Tile): Pair | undefined;
}

const comparer = (n: number, map: Similarity): Comparer => {
  const correlator = createCorrelator(n);
  const [featuresOfA, featuresOfB] = [featureFinder({ width: n, height: n }), featureFinder({ width: n, height: n })];
  const [a, b] = [new Float64Array(n * n), new Float64Array(n * n)];
  return {
    a,
    b,
    run(tile) {
      const [one, other] = [featuresOfA(a), featuresOfB(b)];
      if (one === undefined || other === undefined) return undefined;
      const found = phaseShift(correlator, one, other, [n / 4, n / 4]);
      if (found === undefined || found.significance < SIGNIFICANT) return undefined;
      const [x, y] = [tile.x + (n - 1) / 2, tile.y + (n - 1) / 2];
      const [toX, toY] = mapPoint(map, x + found.dx, y + found.dy);
      return { x, y, toX, toY, weight: found.significance };
    },
  };
};

const report = (pairs: readonly Pair[], { map, residual, uncertainty, inliers }: Agreement, overlap: number) =>
  ({
    status: 'found',
    dx: map.dx,
    dy: map.dy,
    rotation: rotationOf(map),
    scale: scaleOf(map),
    residual,
    uncertainty: {
      shift: uncertainty.shift * overlap,
      rotation: uncertainty.rotation * overlap,
      scale: uncertainty.scale * overlap,
    },
    tiles: pairs.map(({ x, y, toX, toY, weight }, i) => ({
      x,
      y,
      dx: toX - x,
      dy: toY - y,
      weight: inliers[i] ? weight : 0,
    })),
  }) as const;
