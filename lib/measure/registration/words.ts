import type { Registered } from './report.ts';
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

type Size = Pick<Placed, 'width' | 'height'>;

/** Standard deviation in pixels of where the worst corner lies. */
export const doubtOf = ({ uncertainty }: Registered, { width, height }: Size): number => {
  const radius = Math.hypot(width, height) / 2;
  const { shift, rotation, scale } = uncertainty;
  return Math.hypot(Math.SQRT2 * shift, ((rotation * Math.PI) / 180) * radius, scale * radius);
};

/** Whether some point of the frame is off by more than half a pixel and by more than the measurement can be wrong. */
export const isMisfit = (found: Registered, size: Size): boolean => {
  const move = largestMove(mapOf(found, size), size.width, size.height);
  return move > TOLERATED && move >= SIGMAS * doubtOf(found, size);
};

/**
 * A misfit as an imager would say it, in full sentences: "O lies 3.3 px right and 1.5 px up of H. Register the masters
 * again." Undefined where every point of the frame fits within half a pixel, or the measurement is too uncertain.
 */
export const misfitInWords = (found: Registered, placed: Placed): string | undefined => {
  if (!isMisfit(found, placed)) return undefined;
  const { channel, reference, width, height } = placed;
  const radius = Math.hypot(width, height) / 2;
  // What may be chance moves no corner: a part is named only where it, too, exceeds its own uncertainty.
  const certain = (value: number, doubt: number) => (Math.abs(value) >= SIGMAS * doubt ? Math.abs(value) : 0);
  const turn = ((certain(found.rotation, found.uncertainty.rotation) * Math.PI) / 180) * radius;
  const growth = certain(found.scale - 1, found.uncertainty.scale) * radius;
  const shifted = Math.hypot(found.dx, found.dy) > TOLERATED / 2;
  const bent = [
    ...(turn > TOLERATED / 2 ? [turnInWords(found.rotation)] : []),
    ...(growth > TOLERATED / 2 ? [growthInWords(found.scale)] : []),
  ];
  const parts = [
    ...(shifted ? [`lies ${shiftInWords(found.dx, found.dy)} of ${reference}`] : []),
    ...(bent.length > 0 ? [`is ${bent.join(' and ')}${shifted ? '' : ` against ${reference}`}`] : []),
  ];
  const most = pixels(largestMove(mapOf(found, placed), width, height));
  const corner = turn + growth > TOLERATED / 2 ? ` (up to ${most} px in the corners)` : '';
  const hint = wholePixelHint(found, turn + growth, channel);
  return `${channel} ${parts.join(' and ')}${corner}. Register the masters again${hint}.`;
};

/** Where the reference lies as seen from the channel. */
export const reversed = (found: Registered): Registered => {
  const angle = (-found.rotation * Math.PI) / 180;
  const [cos, sin] = [Math.cos(angle) / found.scale, Math.sin(angle) / found.scale];
  return {
    ...found,
    dx: -(cos * found.dx - sin * found.dy),
    dy: -(sin * found.dx + cos * found.dy),
    rotation: -found.rotation,
    scale: 1 / found.scale,
  };
};

/** How far apart two channels put the worst corner of their reference, in pixels. */
export const apartBy = (p: Registered, q: Registered, size: Size): number => {
  const [one, other] = [mapOf(p, size), mapOf(q, size)];
  const between = {
    ...one,
    a: 1 + other.a - one.a,
    b: other.b - one.b,
    dx: other.dx - one.dx,
    dy: other.dy - one.dy,
  };
  return largestMove(between, size.width, size.height);
};

const mapOf = ({ dx, dy, rotation, scale }: Registered, { width, height }: Size): Similarity =>
  similarity({ cx: (width - 1) / 2, cy: (height - 1) / 2 }, dx, dy, rotation, scale);

const pixels = (value: number) => (Math.abs(value) < 99.95 ? Math.abs(value).toFixed(1) : String(Math.round(value)));

/** Parts that round to 0.0 are left out. */
const shiftInWords = (dx: number, dy: number): string => {
  const across = Math.abs(dx) >= 0.05 ? [`${pixels(Math.abs(dx))} px ${dx > 0 ? 'right' : 'left'}`] : [];
  const down = Math.abs(dy) >= 0.05 ? [`${pixels(Math.abs(dy))} px ${dy > 0 ? 'down' : 'up'}`] : [];
  return [...across, ...down].join(' and ');
};

const turnInWords = (degrees: number): string =>
  `turned ${Math.abs(degrees).toFixed(2)}° ${degrees > 0 ? 'clockwise' : 'anticlockwise'}`;

const growthInWords = (scale: number): string =>
  `${(100 * Math.abs(scale - 1)).toFixed(2)} % ${scale > 1 ? 'larger' : 'smaller'}`;

/** Where a move by whole pixels would do, which needs no interpolation. */
const wholePixelHint = ({ dx, dy }: Registered, bend: number, channel: string): string => {
  const [x, y] = [Math.round(dx), Math.round(dy)];
  const left = Math.hypot(dx - x, dy - y) + bend;
  if ((x === 0 && y === 0) || left > HINTED) return '';
  const across = x === 0 ? [] : [`${Math.abs(x)} px ${x > 0 ? 'left' : 'right'}`];
  const down = y === 0 ? [] : [`${Math.abs(y)} px ${y > 0 ? 'up' : 'down'}`];
  return `, or move ${channel} by whole pixels: ${[...across, ...down].join(' and ')}`;
};
