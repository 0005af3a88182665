import type { Sky } from './sky.ts';

/** What the headers of the masters say that is true of a picture made from them. What they do not say is absent. */
export interface PictureFacts {
  /** The name that all masters that have one agree on. */
  readonly object?: string;
  /** The earliest start and the latest end of the masters, as written in their headers (ISO 8601). */
  readonly dateStart?: string;
  readonly dateEnd?: string;
  /** Total exposure of each line whose masters state it, in the recipe's order. */
  readonly exposures: readonly { readonly line: string; readonly hours: number }[];
  /** Where the picture lies in the sky, by the first master that says it. */
  readonly sky?: Sky;
}
