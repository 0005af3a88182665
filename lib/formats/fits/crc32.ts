/** CRC-32 as gzip uses it (RFC 1952, section 8): polynomial 0xedb88320, bits reflected. */
const TABLE = Int32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let bit = 0; bit < 8; bit++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

/** The checksum of everything so far, given that before `bytes` (0 at the start); 32 bits, signed. */
export const crc32 = (bytes: Uint8Array, before: number): number => {
  let crc = ~before;
  for (let i = 0; i < bytes.length; i++) crc = (crc >>> 8) ^ TABLE[(crc ^ bytes[i]!) & 0xff]!;
  return ~crc;
};
