import type { PlaneSource, Samples } from '../plane/plane.ts';
import { isWide, samplesFor, tallRows } from '../plane/strips.ts';
import { reachOfScales, type Smoothing } from './noise-model.ts';
import { smoothedMembers } from './smoothed-lines.ts';
import { rowsNeeded } from './tile.ts';

/** Smooths the members of a group, as `smoothedMembers` does. */
export type Smoother = typeof smoothedMembers;

/** Most values that are kept: 64 MB, enough for the lines of a picture on screen in all its sizes. */
const MOST_VALUES = 1 << 24;

/** What was removed from one picture, at strength 1 in units of the noise, by the first row of each band. */
interface Removed {
  readonly values: number;
  readonly bands: Map<number, Promise<readonly Float32Array[]>>;
}

/**
 * Smoothers that keep what they find: another strength of the same smoothing is a subtraction. The bytes are those of
 * `smoothedMembers`. What was not used for longest is forgotten.
 * @returns a smoother for a key that tells everything about the members' pixels
 */
export const rememberingSmoother = (most = MOST_VALUES): ((key: string) => Smoother) => {
  const kept = new Map<string, Removed>();
  const removedOf = (key: string, values: number): Removed => {
    const found = kept.get(key) ?? { values, bands: new Map() };
    kept.delete(key);
    kept.set(key, found);
    let total = 0;
    for (const { values: size } of kept.values()) total += size;
    for (const [other, { values: size }] of kept) {
      if (total <= most) break;
      kept.delete(other);
      total -= size;
    }
    return found;
  };
  return (pixels) => (members, smoothing) => {
    const { width, height } = members[0]!;
    const values = width * height * smoothing.lines.length;
    if (values > most) return smoothedMembers(members, smoothing);
    const { strength: _, ...rest } = smoothing;
    return membersLess(members, smoothing, removedOf(JSON.stringify([pixels, width, height, rest]), values));
  };
};

const membersLess = (members: readonly PlaneSource[], smoothing: Smoothing, { bands }: Removed): PlaneSource[] => {
  const { width, height } = members[0]!;
  const tall = tallRows(width, reachOfScales(smoothing.scales));
  const bandAt = (y: number): Promise<readonly Float32Array[]> => {
    const found = bands.get(y) ?? removedFrom(members, smoothing, y, Math.min(tall, height - y));
    bands.set(y, found);
    found.catch(() => bands.delete(y));
    return found;
  };
  return members.map((member, k): PlaneSource => {
    const line = smoothing.lines.indexOf(k);
    if (line < 0) return member;
    const unit = smoothing.strength * Math.sqrt(smoothing.noise[k]!.variance);
    return {
      ...member,
      type: isWide(member) ? 'f64' : 'f32',
      fullScale: undefined,
      raw: undefined,
      origin: undefined,
      async readRows(y, rows, into) {
        const data = samplesFor(member, rows * width);
        await member.readRows(y, rows, data);
        for (let from = y; from < y + rows; ) {
          const start = from - (from % tall);
          const to = Math.min(y + rows, start + tall);
          const away = (await bandAt(start))[line]!;
          const offset = (y - start) * width;
          for (let i = (from - y) * width; i < (to - y) * width; i++) data[i]! -= unit * away[i + offset]!;
          from = to;
        }
        into.set(data);
      },
    };
  });
};

/** What is removed from rows [y, y + rows) of each line. */
const removedFrom = async (
  members: readonly PlaneSource[],
  smoothing: Smoothing,
  y: number,
  rows: number,
): Promise<readonly Float32Array[]> => {
  const { width, height } = members[0]!;
  const needed = rowsNeeded(height, y, rows, smoothing.scales);
  const read: Samples[] = [];
  for (const member of members) {
    const data = samplesFor(member, needed.rows * width);
    await member.readRows(needed.top, needed.rows, data);
    read.push(data);
  }
  const { operations, removedRows } = await import('./compute.ts');
  return removedRows(operations(), { width, height, ...needed, members: read }, smoothing, y, rows);
};
