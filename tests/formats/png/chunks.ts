/** CRC-32 bit by bit, as ISO 3309 defines it: none of the library's code. */
export const crc = (bytes: Iterable<number>): number => {
  let c = 0xffffffff;
  for (const byte of bytes) {
    c ^= byte;
    for (let bit = 0; bit < 8; bit++) c = (c >>> 1) ^ (c & 1 ? 0xedb88320 : 0);
  }
  return (c ^ 0xffffffff) >>> 0;
};

export const big = (value: number): number[] => [24, 16, 8, 0].map((shift) => (value >>> shift) & 0xff);

export const utf8 = (text: string): number[] => [...new TextEncoder().encode(text)];

/** A chunk with the right CRC; `length` is the one that it states. */
export const chunk = (type: string, data: readonly number[], length = data.length): number[] => {
  const body = [...utf8(type), ...data];
  return [...big(length), ...body, ...big(crc(body))];
};

export const SIGNATURE = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
