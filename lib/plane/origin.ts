import type { Box } from './box.ts';
import type { Mask } from './mask.ts';
import type { RawRows, SampleType } from './stored.ts';

/** A picture in a file, as any thread can open it again. */
export interface FilePicture {
  /** The file as the user named it. */
  readonly file: string;
  /** The path of the file, or its bytes. */
  readonly at: string | Blob;
  /** Which picture of the file, see `Selector`. */
  readonly selector: { readonly part?: number | string; readonly plane?: number; readonly display?: boolean };
  /** See `PlaneSource`. */
  readonly seekPoints?: unknown;
}

/** The rows of a picture as they lie in its file, see `RawRows`. */
export interface PictureRows {
  readonly width: number;
  readonly height: number;
  /** The type of the physical values. */
  readonly type: SampleType;
  readonly raw: RawRows;
}

/** One of several masters that are combined, see `Part`. */
export interface OriginPart {
  readonly of: Origin;
  readonly scale: number;
  readonly offset: number;
  readonly weight: number;
  /** Pixels that are left out. */
  readonly outliers: Mask | undefined;
}

/** Lines that are smoothed together: one object for all of them, so that who opens them does the work once. */
export interface SmoothedGroup {
  readonly members: readonly Origin[];
  /** See `Smoothing`. */
  readonly smoothing: unknown;
}

/** Lines that stars are taken out of together. */
export interface StarGroup {
  readonly members: readonly Origin[];
  /** See `PackedStars`. */
  readonly list: unknown;
  /** Most pixels that the light of a star is followed to. */
  readonly farthest: number;
  /** Where the members' top left pixel lies in the frame of the list. */
  readonly left: number;
  readonly top: number;
  /** Pixels on each side that a pixel depends on. */
  readonly reach: number;
}

/** Sources that are made together, from the same members. */
export type OriginGroup = SmoothedGroup | StarGroup;

/**
 * How a source came about, step by step, as plain data: a thread that has nothing but this makes the same source again
 * (`originOpener`).
 */
export type Origin =
  | { readonly step: 'file'; readonly picture: FilePicture; readonly rows: PictureRows | undefined }
  | { readonly step: 'hide'; readonly of: Origin; readonly mask: Mask }
  | { readonly step: 'crop'; readonly of: Origin; readonly box: Box }
  | { readonly step: 'surface'; readonly of: Origin; readonly surface: unknown }
  /** See `Spots`. */
  | { readonly step: 'fill'; readonly of: Origin; readonly spots: unknown }
  | {
      readonly step: 'continuum';
      readonly of: Origin;
      readonly broad: Origin;
      readonly k: number;
      readonly level: number;
    }
  | { readonly step: 'combine'; readonly parts: readonly OriginPart[] }
  | { readonly step: 'smooth'; readonly group: SmoothedGroup; readonly member: number }
  /** One of `splitLines`: the lines without stars, the lines, the mask. */
  | { readonly step: 'stars'; readonly group: StarGroup; readonly member: number }
  /** `of` + size · (line − starless). */
  | {
      readonly step: 'restore';
      readonly of: Origin;
      readonly line: Origin;
      readonly starless: Origin;
      readonly size: number;
    };

/** The origin of what a step makes of a source; undefined where the source has none. */
export const originAfter = (
  of: Origin | undefined,
  step: (of: Origin) => Origin,
): { readonly origin?: Origin | undefined } => ({ origin: of && step(of) });
