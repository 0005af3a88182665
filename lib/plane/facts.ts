/** One header card or tag as found, for showing; never interpreted further. */
export interface Card {
  readonly keyword: string;
  readonly value: string | number | boolean | undefined;
  readonly comment?: string;
}

/** What a file's header says about the exposure. A fact is absent where no known keyword states it; none is guessed. */
export interface HeaderFacts {
  /** The filter's name exactly as written: a string even where it looks like a number. */
  readonly filter?: string;
  readonly object?: string;
  /** Length of one sub-exposure in seconds. */
  readonly exposure?: number;
  /** How many subs were stacked. */
  readonly subs?: number;
  /** Total exposure in hours: stated, or exposure × subs. */
  readonly hours?: number;
  /** Start and end of the observation, as written (ISO 8601 by the standard). */
  readonly dateStart?: string;
  readonly dateEnd?: string;
  /** Start of the observation by the clock of the place, as written. */
  readonly dateLocal?: string;
  /** Degrees east of Greenwich, -180…180. */
  readonly longitude?: number;
  /** What the frame is for, as written: `Light Frame`, `FLAT`. */
  readonly kind?: string;
  readonly binning?: readonly [number, number];
  readonly gain?: number;
  readonly camera?: string;
  readonly telescope?: string;
  /** For each fact above, the keyword or tag it came from. */
  readonly from: Readonly<Record<string, string>>;
  /** Every card or tag in file order. */
  readonly cards: readonly Card[];
}

export const NO_FACTS: HeaderFacts = { from: {}, cards: [] };
