/** The polynomial 0xedb88320, bits reflected, by byte. */
const TABLE = Int32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let bit = 0; bit < 8; bit++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

/**
 * The CRC-32 of ISO 3309, as gzip (RFC 1952 §8) and PNG (3rd edition §5.5) use it: of everything so far, given that
 * before `bytes`; an unsigned number.
 */
export const crc32 = (bytes: Uint8Array, before = 0): number => {
  let crc = ~before;
  for (let i = 0; i < bytes.length; i++) crc = (crc >>> 8) ^ TABLE[(crc ^ bytes[i]!) & 0xff]!;
  return ~crc >>> 0;
};
