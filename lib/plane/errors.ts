/** What kind of thing went wrong: decides the exit code of the command line and the place where the page shows it. */
export type ErrorTag =
  /** A file's bytes are not what its format promises. */
  | 'format'
  /** The masters do not fit together, or a line is missing. */
  | 'input'
  /** A recipe, plan, link or expression is at fault; `faults` lists where. */
  | 'recipe'
  /** A result could not be written. */
  | 'output'
  /** The command line was misused, or a program handed the library what it does not take. */
  | 'usage'
  /** The user cancelled. */
  | 'cancelled';

/** One fault in a structured document. */
export interface Fault {
  /** Where, as a JSON path: `$.matrix[1][2]`. */
  readonly path: string;
  /** What is wrong there, in a sentence without a full stop. */
  readonly message: string;
  /** 1-based position in the text, where the text is known. */
  readonly line?: number;
  readonly column?: number;
}

/**
 * An option that lets refused work go on. Messages and advice never name a flag, an argument or a control: each front end
 * says after the advice how it calls the option.
 */
export interface Remedy {
  /**
   * Replace what exists; combine what lies apart; hours so far; brightness of the sky; a box around a feature; share of a
   * continuum; scale of a line.
   */
  readonly option: 'force' | 'apart' | 'time' | 'sky' | 'box' | 'share' | 'scale';
  /** The line that it is for. */
  readonly line?: string;
}

/** The plain fields of a `LinewashError`; survives `structuredClone`, so it crosses workers. */
export interface ErrorFields {
  readonly tag: ErrorTag;
  readonly message: string;
  /** The file at fault, as the user named it. */
  readonly file?: string | undefined;
  /** What the user can do about it. */
  readonly advice?: string | undefined;
  /** The option that the advice speaks of last. */
  readonly remedy?: Remedy | undefined;
  readonly faults?: readonly Fault[] | undefined;
}

/** The only error that linewash throws on purpose. Anything else that escapes is a defect of linewash itself. */
export class LinewashError extends Error {
  override readonly name = 'LinewashError';
  readonly tag: ErrorTag;
  readonly file: string | undefined;
  readonly advice: string | undefined;
  readonly remedy: Remedy | undefined;
  readonly faults: readonly Fault[];

  constructor(fields: ErrorFields) {
    super(fields.message);
    this.tag = fields.tag;
    this.file = fields.file;
    this.advice = fields.advice;
    this.remedy = fields.remedy;
    this.faults = fields.faults ?? [];
  }

  /** The fields as plain data; `new LinewashError(fields)` restores the error on the other side of a worker. */
  toFields(): ErrorFields {
    const { tag, message, file, advice, remedy, faults } = this;
    return { tag, message, file, advice, remedy, faults };
  }
}

export const formatError = (file: string, message: string, advice?: string): LinewashError =>
  new LinewashError({ tag: 'format', file, message, advice });

export const inputError = (message: string, advice?: string, file?: string, remedy?: Remedy): LinewashError =>
  new LinewashError({ tag: 'input', message, advice, file, remedy });

export const recipeError = (faults: readonly Fault[], file?: string, advice?: string): LinewashError =>
  new LinewashError({
    tag: 'recipe',
    message: faults.length === 1 ? `${faults[0]!.path}: ${faults[0]!.message}` : `${faults.length} faults`,
    faults,
    file,
    advice,
  });

export const outputError = (file: string, message: string, advice?: string, remedy?: Remedy): LinewashError =>
  new LinewashError({ tag: 'output', file, message, advice, remedy });

/** Throws the cancellation error if the signal has been raised. */
export const throwIfCancelled = (signal?: AbortSignal): void => {
  if (signal?.aborted) throw new LinewashError({ tag: 'cancelled', message: 'cancelled' });
};
