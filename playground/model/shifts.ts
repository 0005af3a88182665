import type { ChannelRegistration } from '../../lib/measure/registration/channels.ts';

/** A place of the picture and how far a line lies off there, in picture pixels: right and down. */
export interface Shift {
  readonly x: number;
  readonly y: number;
  readonly dx: number;
  readonly dy: number;
  /** Whether the fit rests on this place. */
  readonly used: boolean;
}

/** The places of one line. */
export interface ShiftedLine {
  readonly line: string;
  readonly reference: string;
  readonly shifts: readonly Shift[];
  /** Most pixels that a place the fit rests on lies off. */
  readonly most: number;
}

/** The lines of which it is known how they lie on the reference. */
export const shiftedLines = (registration: readonly ChannelRegistration[]): ShiftedLine[] =>
  registration.flatMap((found) => {
    if (found.status !== 'found') return [];
    const shifts = found.tiles.map(({ x, y, dx, dy, weight }): Shift => ({ x, y, dx, dy, used: weight > 0 }));
    const most = Math.max(0, ...shifts.filter(({ used }) => used).map(({ dx, dy }) => Math.hypot(dx, dy)));
    return [{ line: found.channel, reference: found.reference, shifts, most }];
  });

/** An arrow is no longer than this share of the picture's width. */
const LONGEST = 1 / 9;
/** Shifts below half a pixel are not warned of, so they are not blown up to fill the picture either. */
const LEAST = 0.5;

/** By how much all arrows are lengthened: 1, 2 or 5 times a power of ten, so that the longest is well seen. */
export const exaggeration = (lines: readonly ShiftedLine[], width: number): number => {
  const most = Math.max(LEAST, ...lines.map((line) => line.most));
  const wanted = Math.max(1, (width * LONGEST) / most);
  const power = 10 ** Math.floor(Math.log10(wanted));
  return power * ([5, 2].find((n) => n * power <= wanted) ?? 1);
};
