import { inflateSync } from 'node:zlib';

/** A written picture as its bytes say: samples interleaved, top row first. */
export interface ReadBack {
  readonly width: number;
  readonly height: number;
  readonly bands: number;
  readonly bits: number;
  readonly samples: ArrayLike<number>;
}

/** Reads what is written, apart from the library: by the first bytes TIFF, PNG or FITS. */
export const readPicture = (bytes: Buffer): ReadBack => {
  if (bytes[0] === 0x49) return readTiff(bytes);
  return bytes[0] === 0x89 ? readPng(bytes) : readFits(bytes);
};

const samplesAt = (count: number, read: (i: number) => number): Float64Array =>
  Float64Array.from({ length: count }, (_, i) => read(i));

/** Little-endian, one run of strips. */
const readTiff = (bytes: Buffer): ReadBack => {
  const start = bytes.readUInt32LE(4);
  const tags = new Map<number, number>();
  for (let i = 0; i < bytes.readUInt16LE(start); i++) {
    const at = start + 2 + 12 * i;
    const [type, count] = [bytes.readUInt16LE(at + 2), bytes.readUInt32LE(at + 4)];
    const size = { 3: 2, 4: 4 }[type];
    if (size === undefined) continue;
    const place = size * count <= 4 ? at + 8 : bytes.readUInt32LE(at + 8);
    tags.set(bytes.readUInt16LE(at), bytes.readUIntLE(place, size));
  }
  const tag = (number: number) => tags.get(number)!;
  const [width, height, bits, bands] = [tag(256), tag(257), tag(258), tag(277)];
  const read = tag(339) === 3 ? (at: number) => bytes.readFloatLE(at) : (at: number) => bytes.readUIntLE(at, bits / 8);
  const samples = samplesAt(width * height * bands, (i) => read(tag(273) + (i * bits) / 8));
  return { width, height, bands, bits, samples };
};

/** PNG (W3C, third edition): all IDAT inflated, the filters of the rows undone. */
const readPng = (bytes: Buffer): ReadBack => {
  const data: Buffer[] = [];
  for (let at = 8; at < bytes.length; at += 12 + bytes.readUInt32BE(at))
    if (bytes.toString('latin1', at + 4, at + 8) === 'IDAT')
      data.push(bytes.subarray(at + 8, at + 8 + bytes.readUInt32BE(at)));
  const [width, height, bits] = [bytes.readUInt32BE(16), bytes.readUInt32BE(20), bytes[24]!];
  const bands = bytes[25] === 6 ? 4 : 3;
  const step = (bands * bits) / 8;
  const rowBytes = width * step;
  const raw = inflateSync(Buffer.concat(data));
  const out = Buffer.alloc(rowBytes * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < rowBytes; x++) {
      const left = x >= step ? out[y * rowBytes + x - step]! : 0;
      const up = y > 0 ? out[(y - 1) * rowBytes + x]! : 0;
      const corner = x >= step && y > 0 ? out[(y - 1) * rowBytes + x - step]! : 0;
      const guess = [0, left, up, (left + up) >> 1, paeth(left, up, corner)][raw[y * (rowBytes + 1)]!]!;
      out[y * rowBytes + x] = raw[y * (rowBytes + 1) + 1 + x]! + guess;
    }
  const samples = samplesAt(width * height * bands, (i) => out.readUIntBE((i * bits) / 8, bits / 8));
  return { width, height, bands, bits, samples };
};

const paeth = (left: number, up: number, corner: number): number => {
  const guess = left + up - corner;
  const [a, b, c] = [left, up, corner].map((v) => Math.abs(guess - v)) as [number, number, number];
  return a <= b && a <= c ? left : b <= c ? up : corner;
};

/** Planes of float32, bottom row first. */
const readFits = (bytes: Buffer): ReadBack => {
  const text = bytes.toString('latin1');
  const end = /^(?:.{80})*?END {77}/s.exec(text)![0].length;
  const number = (key: string) => Number(new RegExp(`${key.padEnd(8)}= *(-?\\d+)`).exec(text)![1]);
  const [width, height, bands] = [number('NAXIS1'), number('NAXIS2'), number('NAXIS3')];
  const start = Math.ceil(end / 2880) * 2880;
  const samples = samplesAt(width * height * bands, (i) => {
    const [pixel, band] = [Math.floor(i / bands), i % bands];
    const row = height - 1 - Math.floor(pixel / width);
    return bytes.readFloatBE(start + 4 * ((band * height + row) * width + (pixel % width)));
  });
  return { width, height, bands, bits: -number('BITPIX'), samples };
};
