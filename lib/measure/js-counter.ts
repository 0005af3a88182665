import { BINS, type LowerCounts, type UpperCounts } from '../plane/counting.ts';
import type { Samples } from '../plane/plane.ts';
import { carry } from './count-tables.ts';
import { binAndPlace } from './float-key.ts';
import { summedPlaces } from './place-counts.ts';

/** What `createCounter` does, for values in memory and without WebAssembly. */
export const jsCounter = (pedestal: number, wanted: readonly number[]) => {
  const bins = new Float64Array(wanted.length === 0 ? 3 * BINS : 0);
  const lowers = wanted.map(() => ({ bytes: new Uint8Array(BINS), passed: new Map<number, number>() }));
  const tableOf = new Map(wanted.map((bin, k) => [bin, lowers[k]!]));
  let missing = 0;
  let zeros = 0;
  const count = (values: Samples): void => {
    for (let i = 0; i < values.length; i++) {
      const value = values[i]! - pedestal;
      if (!Number.isFinite(value)) {
        missing++;
        continue;
      }
      if (value === 0) zeros++;
      const { bin, place } = binAndPlace(value);
      bins[3 * bin]!++;
      bins[3 * bin + 1]! += place;
      bins[3 * bin + 2]! += place * place;
    }
  };
  const refine = (values: Samples): void => {
    for (let i = 0; i < values.length; i++) {
      const value = values[i]! - pedestal;
      if (!Number.isFinite(value)) continue;
      const { bin, place } = binAndPlace(value);
      const table = tableOf.get(bin);
      if (table !== undefined && ++table.bytes[place]! === 256) carry(table.passed, place);
    }
  };
  return {
    count,
    refine,
    upper: (): UpperCounts => ({ bins, missing, zeros }),
    lower: (): LowerCounts => lowers.map(({ bytes, passed }) => [summedPlaces(bytes, passed)]),
    release: () => {},
  };
};
