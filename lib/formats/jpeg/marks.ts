/** Markers of the file (ITU-T T.81 Table B.1), each after a byte of ones. */
export const MARK = {
  start: 0xd8,
  end: 0xd9,
  jfif: 0xe0,
  profile: 0xe2,
  comment: 0xfe,
  steps: 0xdb,
  frame: 0xc0,
  codes: 0xc4,
  interval: 0xdd,
  scan: 0xda,
  /** The first of eight, which take turns. */
  restart: 0xd0,
} as const;

/** Most bytes of a segment behind its length. */
export const LONGEST = 65533;

/** How the note of a picture begins. */
export const NOTE_START = '{"linewash"';

/** A whole segment: marker, length, content. */
export const segment = (mark: number, ...parts: readonly ArrayLike<number>[]): Uint8Array => {
  const length = parts.reduce((sum, part) => sum + part.length, 2);
  const bytes = new Uint8Array(2 + length);
  bytes.set([0xff, mark, length >> 8, length & 255]);
  let at = 4;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
};
