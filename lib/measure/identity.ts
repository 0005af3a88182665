import { throwIfCancelled } from '../plane/errors.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { type StripOptions, samplesFor } from '../plane/strips.ts';
import type { Channel } from './measure.ts';

/** Rows looked at in each of the places, at a quarter, a half and three quarters of the height. */
const ROWS = 24;
const PLACES = [0.25, 0.5, 0.75];
/** So many differences must be comparable before anything is said. */
const FEWEST = 500;
/** Share of differences of equal sign above which two masters are copies. */
const COPY = 0.99;

/**
 * Whether two masters hold one and the same picture, be it in other units, another format or stretched: the noise of
 * one is the noise of the other. Compares the signs of differences between neighbouring pixels over some rows; those of
 * independent noise agree in half of the cases. Flat, empty and differently sized pictures are never called the same.
 */
export const isSamePicture = async (a: PlaneSource, b: PlaneSource): Promise<boolean> => {
  if (a.width !== b.width || a.height !== b.height) return false;
  const rows = Math.min(ROWS, a.height);
  const [one, other] = [samplesFor(a, rows * a.width), samplesFor(b, rows * b.width)];
  let compared = 0;
  let equal = 0;
  for (const place of PLACES) {
    const y = Math.min(a.height - rows, Math.floor(a.height * place));
    await a.readRows(y, rows, one);
    await b.readRows(y, rows, other);
    const found = compareSigns(one, other);
    compared += found.compared;
    equal += found.equal;
  }
  return compared >= FEWEST && equal > COPY * compared;
};

const compareSigns = (a: Samples, b: Samples): { compared: number; equal: number } => {
  let compared = 0;
  let equal = 0;
  for (let i = 1; i < a.length; i++) {
    // Missing pixels give NaN, equal neighbours 0: neither is more nor less than 0.
    const product = Math.sign(a[i]! - a[i - 1]!) * Math.sign(b[i]! - b[i - 1]!);
    if (product > 0) equal++;
    if (product > 0 || product < 0) compared++;
  }
  return { compared, equal };
};

/** Two channels that hold the same picture. */
export interface CopyFault {
  readonly name: string;
  /** The channel that came first. */
  readonly of: string;
  readonly words: string;
}

export const copyFaults = async (channels: readonly Channel[], options: StripOptions = {}): Promise<CopyFault[]> => {
  const faults: CopyFault[] = [];
  for (const [a, b] of pairsOf(channels)) {
    throwIfCancelled(options.signal);
    if (await isSamePicture(a.source, b.source)) faults.push(copyFault(a, b));
  }
  return faults;
};

/** Every two channels, in the order given. */
export const pairsOf = <T extends Channel>(channels: readonly T[]): [T, T][] =>
  channels.flatMap((a, i) => channels.slice(i + 1).map((b): [T, T] => [a, b]));

/** That b holds the picture of a. */
export const copyFault = (a: Channel, b: Channel): CopyFault => ({
  name: b.name,
  of: a.name,
  words:
    `${b.source.file}: ${b.name} holds the same picture as ${a.name} (${a.source.file}); ` +
    'give each line its own master',
});
