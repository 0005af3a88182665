import type { FlawOptions } from './flaw-options.ts';

/** The invented targets. */
export type TargetName = 'emberwing' | 'brightfen' | 'palehoop';

/** The three lines of the scene, in the order of its arrays. */
export type Line = 'S' | 'H' | 'O';

export const LINES: readonly Line[] = ['S', 'H', 'O'];

export type PerLine<T> = Readonly<Record<Line, T>>;

/** A planted misfit of one line: how its picture departs from the common frame. */
export interface Misfit {
  /** Shift of the content in pixels, right and down. */
  readonly dx?: number;
  readonly dy?: number;
  /** Turn of the content about the centre of the full frame in degrees, clockwise as seen; applied before the shift. */
  readonly angle?: number;
  /** Columns missing on the left and right, rows missing above and below. */
  readonly crop?: { readonly left?: number; readonly right?: number; readonly top?: number; readonly bottom?: number };
}

export interface SceneOptions {
  readonly target: TargetName;
  /** Full frame in pixels. The nebula scales with the height; the stars' discs do not. */
  readonly width: number;
  readonly height: number;
  /** Chooses nebula and star field. */
  readonly seed: number;
  /** Chooses the noise alone. */
  readonly noiseSeed: number;
  /** Total exposure by line, rounded to whole subs of 400 s (9 an hour). */
  readonly hours: PerLine<number>;
  /** Moon and town light that varies over the frame. */
  readonly gradient: boolean;
  /** Whether one night of O was rotated, so that the corners and edges of its stack hold no data. */
  readonly coverage: boolean;
  readonly stars: boolean;
  readonly misfit: Readonly<Partial<Record<Line, Misfit>>>;
  /**
   * Degrees by which the camera was turned, clockwise as seen, while a line was taken; its master was put back into place.
   * Sky light, flats and what the frame covers turn, the content does not.
   */
  readonly turned: Readonly<Partial<Record<Line, number>>>;
  readonly flaws: Readonly<Partial<Record<Line, FlawOptions>>>;
}

/** The scene as shipped in `samples/masters`. */
export const EMBERWING: SceneOptions = {
  target: 'emberwing',
  width: 1200,
  height: 800,
  seed: 2,
  noiseSeed: 1,
  hours: { S: 6, H: 4, O: 5 },
  gradient: true,
  coverage: true,
  stars: true,
  misfit: {},
  turned: {},
  flaws: {},
};

/** A further master of O from a later night: the same field in the same place, with noise and hours of its own. */
export const LATER: SceneOptions = { ...EMBERWING, noiseSeed: 2, hours: { ...EMBERWING.hours, O: 4 } };

/** Counts between the values that the later master can take: half of its least noise, so that it compresses to less than half. */
export const LATER_STEP = 4;
