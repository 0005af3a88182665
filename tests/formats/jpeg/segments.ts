/** Contents of the segments with given markers before the first scan; none of the library's code. */
export const contentsOf = (bytes: Uint8Array, ...marks: readonly number[]): Uint8Array[] => {
  const found: Uint8Array[] = [];
  for (let at = 2; bytes[at + 1] !== 0xda; ) {
    const length = bytes[at + 2]! * 256 + bytes[at + 3]!;
    if (marks.includes(bytes[at + 1]!))
      found.push(...tablesOf(bytes[at + 1]!, bytes.subarray(at + 4, at + 2 + length)));
    at += 2 + length;
  }
  return found;
};

/** A segment may hold several tables (ITU-T T.81 §B.2.4). */
const tablesOf = (mark: number, content: Uint8Array): Uint8Array[] => {
  const tables: Uint8Array[] = [];
  for (let at = 0; at < content.length; ) {
    const length =
      mark === 0xdb
        ? 65
        : mark === 0xc4
          ? 17 + content.subarray(at + 1, at + 17).reduce((a, b) => a + b, 0)
          : content.length;
    tables.push(content.subarray(at, at + length));
    at += length;
  }
  return tables;
};

/** A segment, whatever its content. */
export const segment = (mark: number, content: ArrayLike<number>, length = content.length + 2): number[] => [
  0xff,
  mark,
  length >> 8,
  length & 255,
  ...Array.from(content),
];
