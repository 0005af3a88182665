/** Where a command writes and what it knows of its terminal; tests give their own. */
export interface Streams {
  /** Results only. */
  out(text: string): void;
  /** Messages and progress. */
  err(text: string): void;
  /** Whether messages go to a terminal that a person watches. */
  readonly interactive: boolean;
  /** Whether results go to a terminal that shows colours. */
  readonly colour: boolean;
}

export const processStreams = (): Streams => ({
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
  interactive: process.stderr.isTTY === true && !process.env.CI,
  colour: process.stdout.isTTY === true && !process.env.NO_COLOR,
});

/** Text from files and recipes as it may go to a terminal: control characters (escapes among them) become spaces. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
export const harmless = (text: string): string => text.replace(/[\x00-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]/g, ' ');
