/** The subs of one line of a target. */
export interface TallyLine {
  readonly line: string;
  readonly subs: number;
  /** Exposure of all of them. */
  readonly hours: number;
  /** In how many nights they were taken; subs without a date count in none. */
  readonly nights: number;
  /** Subs by length in seconds. */
  readonly lengths: Readonly<Record<string, number>>;
  /** Date of the evening of the first and the last night; absent where no sub has a date. */
  readonly first?: string | undefined;
  readonly last?: string | undefined;
}

/** A target and its lines; an empty name where neither header nor path names one. */
export interface TallyTarget {
  readonly target: string;
  readonly lines: readonly TallyLine[];
}

/** What one line of a target got in one night, which is named by the date of its evening. */
export interface TallyNight {
  readonly night: string;
  readonly target: string;
  readonly line: string;
  readonly subs: number;
  readonly hours: number;
  readonly lengths: Readonly<Record<string, number>>;
}

/** Sub-exposures counted from their headers alone. */
export interface Tally {
  readonly targets: readonly TallyTarget[];
  /** Subs whose filter says no line, `''` where the header has none: they are in no sum. */
  readonly unnamed: readonly { readonly file: string; readonly filter: string }[];
  /** Files that could not be counted, and why. */
  readonly skipped: readonly { readonly file: string; readonly reason: string }[];
  /** How many files were left out because they are no subs. */
  readonly left: { readonly calibration: number; readonly masters: number };
  /** Dated subs by what told the noon at which their night begins. */
  readonly noon: { readonly localTime: number; readonly longitude: number; readonly utc: number };
  /** Night by night. */
  readonly nights: readonly TallyNight[];
  /** What should be known about the sums, each a sentence. */
  readonly notes: readonly string[];
}
