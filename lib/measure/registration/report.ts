import type { Look } from './look.ts';
import { type Corner, mapPoint, rotationOf, type Similarity, scaleOf } from './similarity.ts';
import type { Judged } from './verdict.ts';

/** What one tile says. Positions are the tile's centre in the reference, in pixels from the top left. */
export interface TileShift {
  readonly x: number;
  readonly y: number;
  /** Where its content lies in the channel, relative to the reference: right and down. */
  readonly dx: number;
  readonly dy: number;
  /** How much it counts, 0…1; 0 where the tile was left out. */
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

const DEGREES = 180 / Math.PI;

export const reportOf = ({ look, sigma }: Judged, corner: Corner): Registered => {
  const { map, covariance } = look;
  const scale = scaleOf(map);
  const radius = Math.hypot(corner.x, corner.y);
  // What exceeds the scatter of the tiles: one half for the shift, a quarter each for turn and scale at the corners.
  const rest = sigma * sigma - look.scatter * look.scatter;
  const bend = (i: number) => Math.sqrt(covariance[i]![i]! + rest / 4 / radius ** 2);
  return {
    status: 'found',
    dx: map.dx,
    dy: map.dy,
    rotation: rotationOf(map),
    scale,
    residual: residualOf(look),
    uncertainty: {
      shift: Math.sqrt((covariance[0]![0]! + covariance[1]![1]! + rest / 2) / 2),
      rotation: (bend(3) / scale) * DEGREES,
      scale: bend(2),
    },
    tiles: look.tiles.map((tile) => shiftOf(tile, map)),
  };
};

const residualOf = ({ tiles }: Look): number => {
  const total = tiles.reduce((sum, { weight }) => sum + weight, 0);
  const squares = tiles.reduce((sum, { dx, dy, weight }) => sum + weight * (dx * dx + dy * dy), 0);
  return total > 0 ? Math.sqrt(squares / total) : 0;
};

const shiftOf = ({ x, y, side, dx, dy, weight }: Look['tiles'][number], map: Similarity): TileShift => {
  const [px, py] = [x + (side - 1) / 2, y + (side - 1) / 2];
  const [u, v] = mapPoint(map, px + dx, py + dy);
  return { x: px, y: py, dx: u - px, dy: v - py, weight };
};
