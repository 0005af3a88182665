// Invented masters with stars in common places, for the bench of stars: big-endian float32 FITS.
import { closeSync, openSync, readSync, writeSync } from 'node:fs';
import { writeMaster } from './masters.mjs';

const BETA = 2.8;
const HEADER = 2880;

/** Places, and light in units of a master, by a power law; the same for all lines. */
const starsIn = (width, height, count) => {
  let state = 20261;
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  return Array.from({ length: count }, () => ({
    x: random() * width,
    y: random() * height,
    peak: Math.min(1, 0.008 * (1 - random()) ** (-1 / 0.85)),
  }));
};

/** Writes one master: a nebula with noise, and `count` stars as Moffat discs of the line's own width. */
export const writeStarryMaster = (path, width, height, line, count) => {
  writeMaster(path, width, height, line, 0);
  const stars = starsIn(width, height, count).sort((a, b) => a.y - b.y);
  const fwhm = [2.4, 2.6, 2.8][line % 3];
  const alpha = fwhm / (2 * Math.sqrt(2 ** (1 / BETA) - 1));
  const share = [0.6, 1, 0.7][line % 3];
  const file = openSync(path, 'r+');
  for (const { x, y, peak } of stars) {
    const reach = Math.min(40, alpha * Math.sqrt(Math.max(0, ((peak * share) / 2e-4) ** (1 / BETA) - 1)));
    const [x0, x1] = [Math.max(0, Math.ceil(x - reach)), Math.min(width - 1, Math.floor(x + reach))];
    const row = Buffer.alloc(4 * (x1 - x0 + 1));
    for (let v = Math.max(0, Math.ceil(y - reach)); v <= Math.min(height - 1, Math.floor(y + reach)); v++) {
      const at = HEADER + 4 * (v * width + x0);
      readSync(file, row, 0, row.length, at);
      for (let u = x0; u <= x1; u++) {
        const light = peak * share * (1 + ((u - x) ** 2 + (v - y) ** 2) / alpha ** 2) ** -BETA;
        row.writeFloatBE(row.readFloatBE(4 * (u - x0)) + light, 4 * (u - x0));
      }
      writeSync(file, row, 0, row.length, at);
    }
  }
  closeSync(file);
};
