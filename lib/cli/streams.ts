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
  /** Sends bytes to where results go; absent where that is a terminal. */
  pipe?(bytes: AsyncIterable<Uint8Array>): Promise<void>;
}

/** Streams that let nothing through but text: what every verb gets. */
export interface SafeStreams extends Streams {
  /** Puts a text in the place of what it put there before, on the last line of the terminal; an empty one removes it. */
  status(text: string): void;
}

/** Control characters other than line breaks (LF, and CR LF as CSV has them) and the tab, marks of direction, and line breaks that are not for terminals. */
const UNSAFE =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
  /\r(?!\n)|[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/g;

/** Four cells of colour, for terminals with 24-bit colours (ISO 8613-6): the only escape that a command may put between its words. */
export const swatch = (r: number, g: number, b: number): string => `\x1b[48;2;${r};${g};${b}m    \x1b[0m`;
// biome-ignore lint/suspicious/noControlCharactersInRegex: the escape of a patch is what is looked for
const SWATCH = /(\x1b\[48;2;\d{1,3};\d{1,3};\d{1,3}m {4}\x1b\[0m)/;

const textOnly = (text: string): string => text.replace(UNSAFE, ' ');

/** What goes to a terminal: text, and patches of colour where it shows colours. */
const passable = (text: string, colour: boolean): string =>
  colour
    ? text
        .split(SWATCH)
        .map((part, i) => (i % 2 === 1 ? part : textOnly(part)))
        .join('')
    : textOnly(text);

/**
 * The one way to the streams: whatever recipes, headers, file names and errors hold, no control or direction character
 * of theirs reaches a terminal. Each becomes a space.
 */
export const safeStreams = (streams: Streams): SafeStreams => ({
  out: (text) => streams.out(passable(text, streams.colour)),
  err: (text) => streams.err(textOnly(text)),
  // To the start of the line, and clear it.
  status: (text) => streams.err(`\r\x1b[2K${harmless(text)}`),
  interactive: streams.interactive,
  colour: streams.colour,
  ...(streams.pipe && { pipe: streams.pipe.bind(streams) }),
});

/** Text that stays on its line: line breaks and tabs become spaces as well. */
export const harmless = (text: string): string => textOnly(text).replace(/[\r\n\t]/g, ' ');

/** JSON in which no character can act on a terminal: those that could are written as escapes, so that the value is the same. */
export const safeJson = (json: string): string =>
  json.replace(UNSAFE, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);
