import type { AreaReading, HoursTo } from '../faint/area.ts';
import type { Feature } from '../faint/features.ts';
import type { FaintMap, ScaleReport } from '../faint/map.ts';
import type { Wander } from '../faint/wander.ts';
import type { Box } from '../plane/box.ts';
import type { LineNoise } from '../plane/line-noise.ts';

/** What is asked of a line. */
export interface FaintWish {
  /** Blobs that noise alone may make in the whole frame; 1 where absent. */
  readonly falseBlobs?: number | undefined;
  /** Part of the light that flats leave uncorrected at 16 pixels and more; .001 where absent. */
  readonly flats?: number | undefined;
  /** The largest scale in pixels: 4, 8 … 256; 64 where absent. */
  readonly largest?: number | undefined;
  /** How many times above its noise a feature has to stand; 5 where absent. */
  readonly aim?: number | undefined;
  /** An area to be judged against a ring around it, whatever the map says. */
  readonly box?: Box | undefined;
  /** Hours so far, where the header's are not to be taken. */
  readonly hours?: number | undefined;
  /** Light of the sky in a pixel, in units of the line, where it cannot be told from the noise. */
  readonly light?: number | undefined;
}

/** A feature, and the hours it takes to show. */
export interface FaintFeature extends Feature {
  /** For 3 and for the aim; none where the hours so far or the area are not known. */
  readonly hours: readonly HoursTo[];
}

/** An area that was asked about. */
export interface AskedArea {
  readonly box: Box;
  /** The scale in pixels that its ring was chosen by. */
  readonly scale: number;
  readonly area?: AreaReading | undefined;
  readonly hours: readonly HoursTo[];
}

/** What stands out of a line, and what cannot be told. */
export interface Faint {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly noise: LineNoise;
  /** Light of the sky in a pixel, in units of the line; 0 where it is not known. */
  readonly light: number;
  /** Hours so far; absent where neither header nor wish says. */
  readonly hours?: number | undefined;
  /** Outlines that noise alone makes in the whole frame, as it was asked for. */
  readonly falseBlobs: number;
  /** Compact maxima that were masked as stars. */
  readonly stars: number;
  readonly map: FaintMap;
  readonly scales: readonly ScaleReport[];
  /** The largest z over its threshold first. */
  readonly features: readonly FaintFeature[];
  readonly asked?: AskedArea | undefined;
  /** What two masters of the line tell of their flats; absent for one. */
  readonly wander?: readonly Wander[] | undefined;
  /** What cannot be told from this master, each a sentence. */
  readonly limits: readonly string[];
}

/** Parts of the wish that nobody stated. */
export const USUAL = { falseBlobs: 1, flats: 0.001, largest: 64, aim: 5 } as const;
