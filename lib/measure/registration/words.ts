import type { Registered } from './register.ts';
import { largestMove, type Similarity, similarity } from './similarity.ts';

/** A misfit below this many pixels, anywhere in the frame, is not worth a word. */
export const TOLERATED = 0.5;
/** A misfit is believed where it exceeds its own uncertainty so many times. */
const SIGMAS = 3;

/** A move by whole pixels is worth a hint where it leaves less than this. */
const HINTED = 0.35;

/** What a warning must know of a registered channel. */
export interface Placed {
  readonly channel: string;
  readonly reference: string;
  readonly width: number;
  readonly height: number;
}

/**
 * A misfit as an imager would say it: "O is 3.3 px right and 1.5 px up of H; register the masters again".
 * Undefined where every point of the frame fits within half a pixel, or the measurement is too uncertain to say.
 */
export const misfitInWords = (found: Registered, placed: Placed): string | undefined => {
  const map = mapOf(found, placed);
  const move = largestMove(map, placed.width, placed.height);
  const radius = Math.hypot(placed.width, placed.height) / 2;
  const { shift, rotation, scale } = found.uncertainty;
  const doubt = Math.hypot(shift, ((rotation * Math.PI) / 180) * radius, scale * radius);
  if (move <= TOLERATED || move < SIGMAS * doubt) return undefined;
  const turn = Math.abs((found.rotation * Math.PI) / 180) * radius;
  const growth = Math.abs(found.scale - 1) * radius;
  const parts = [
    ...(Math.hypot(found.dx, found.dy) > TOLERATED / 2 ? [shiftInWords(found.dx, found.dy, placed.reference)] : []),
    ...(turn > TOLERATED / 2 ? [turnInWords(found.rotation)] : []),
    ...(growth > TOLERATED / 2 ? [growthInWords(found.scale)] : []),
  ];
  const against = parts[0]?.includes(` of ${placed.reference}`) ? '' : ` against ${placed.reference}`;
  const corner = turn + growth > TOLERATED / 2 ? ` (up to ${pixels(move)} px in the corners)` : '';
  const hint = wholePixelHint(found, turn + growth);
  return `${placed.channel} is ${parts.join(', ')}${against}${corner}; register the masters again${hint}`;
};

const mapOf = ({ dx, dy, rotation, scale }: Registered, { width, height }: Placed): Similarity =>
  similarity({ cx: (width - 1) / 2, cy: (height - 1) / 2 }, dx, dy, rotation, scale);

const pixels = (value: number) => (Math.abs(value) < 99.95 ? Math.abs(value).toFixed(1) : String(Math.round(value)));

/** Parts that round to 0.0 are left out. */
const shiftInWords = (dx: number, dy: number, reference: string): string => {
  const across = Math.abs(dx) >= 0.05 ? [`${pixels(Math.abs(dx))} px ${dx > 0 ? 'right' : 'left'}`] : [];
  const down = Math.abs(dy) >= 0.05 ? [`${pixels(Math.abs(dy))} px ${dy > 0 ? 'down' : 'up'}`] : [];
  return `${[...across, ...down].join(' and ')} of ${reference}`;
};

const turnInWords = (degrees: number): string =>
  `turned ${Math.abs(degrees).toFixed(2)}° ${degrees > 0 ? 'clockwise' : 'anticlockwise'}`;

const growthInWords = (scale: number): string =>
  `${(100 * Math.abs(scale - 1)).toFixed(2)} % ${scale > 1 ? 'larger' : 'smaller'}`;

/** Where a move by whole pixels would do, which needs no interpolation. */
const wholePixelHint = ({ dx, dy }: Registered, bend: number): string => {
  const [x, y] = [Math.round(dx), Math.round(dy)];
  const left = Math.hypot(dx - x, dy - y) + bend;
  if ((x === 0 && y === 0) || left > HINTED) return '';
  const across = x === 0 ? [] : [`${Math.abs(x)} px ${x > 0 ? 'left' : 'right'}`];
  const down = y === 0 ? [] : [`${Math.abs(y)} px ${y > 0 ? 'up' : 'down'}`];
  return `, or move it by whole pixels: ${[...across, ...down].join(' and ')}`;
};
