// Invented masters for the bench: big-endian float32 FITS with sky noise, a broad nebula and stars.
import { closeSync, openSync, writeSync } from 'node:fs';

const card = (key, value) => `${key.padEnd(8)}= ${String(value).padStart(20)}`.padEnd(80);

const header = (width, height) =>
  [card('SIMPLE', 'T'), card('BITPIX', -32), card('NAXIS', 2), card('NAXIS1', width), card('NAXIS2', height), 'END']
    .map((line) => line.padEnd(80))
    .join('')
    .padEnd(2880);

/** Uniform numbers, fast rather than good (G. Marsaglia, Xorshift RNGs, J. Stat. Softw. 8(14), 2003). */
const uniform = (seed) => {
  let state = seed | 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
};

/** Writes one master; `line` 0, 1, 2 differ in sky, brightness and place of the nebula. @param specks share of single bright pixels */
export const writeMaster = (path, width, height, line, specks = 1 / 4000) => {
  const random = uniform(1234567 + 99991 * line);
  const sky = 0.01 + 0.002 * line;
  const bright = [0.02, 0.12, 0.05][line % 3];
  const [cx, cy] = [0.3 * Math.cos(2.1 * line), 0.3 * Math.sin(2.1 * line)];
  const across = Float64Array.from({ length: width }, (_, x) => Math.exp(-(((2 * x) / width - 1 - cx) ** 2) / 0.18));
  const file = openSync(path, 'w');
  writeSync(file, header(width, height));
  const rows = Math.max(1, Math.floor((1 << 20) / width));
  for (let y = 0; y < height; y += rows) {
    const count = Math.min(rows, height - y) * width;
    const values = new Float32Array(count);
    for (let i = 0; i < count; i++) {
      const down = Math.exp(-(((2 * (y + Math.floor(i / width))) / height - 1 - cy) ** 2) / 0.18);
      const noise = 0.0015 * 1.22 * (random() + random() + random() + random() - 2) * Math.SQRT2;
      values[i] = sky + noise + bright * across[i % width] * down;
      if (random() < specks) values[i] = Math.min(1.05, values[i] + 0.05 / (random() + 0.02));
    }
    writeSync(file, Buffer.from(values.buffer).swap32());
  }
  const bytes = width * height * 4;
  writeSync(file, Buffer.alloc((2880 - (bytes % 2880)) % 2880));
  closeSync(file);
};
