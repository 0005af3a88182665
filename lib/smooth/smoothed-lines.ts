import type { SmoothedGroup } from '../plane/origin.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { sharedRows } from '../plane/shared-rows.ts';
import { isWide, samplesFor, tallRows } from '../plane/strips.ts';
import { reachOfScales, type Smoothing } from './noise-model.ts';
import { rowsNeeded } from './tile.ts';

/**
 * The members of a group, those that are lines of the smoothing smoothed: x − strength · √variance · removed, computed in
 * float64 and kept as float32 (float64 where the source needs it). A pixel that is undefined in one member stays as it is in
 * all, and counts for nothing. Lines are computed together: reading the same rows of one after the other costs as much as
 * reading one. Any cut into bands gives the same bytes.
 */
export const smoothedMembers = (members: readonly PlaneSource[], smoothing: Smoothing): PlaneSource[] => {
  const { width, height } = members[0]!;
  const read = groupReader(members, smoothing);
  const origins = members.flatMap(({ origin }) => origin ?? []);
  const group: SmoothedGroup | undefined =
    origins.length === members.length ? { members: origins, smoothing } : undefined;
  const rowsTogether = Math.max(...members.map((member) => member.rowsTogether ?? 1));
  const whole = tallRows(width, reachOfScales(smoothing.scales));
  const readShared = sharedRows({ width, height }, whole, read);
  return members.map((member, k): PlaneSource => {
    const line = smoothing.lines.indexOf(k);
    if (line < 0) return member;
    return {
      ...member,
      type: isWide(member) ? 'f64' : 'f32',
      fullScale: undefined,
      raw: undefined,
      rowsTogether,
      origin: group && { step: 'smooth', group, member: k },
      readRows: (y, rows, into) => readShared(line, y, rows, into),
    };
  });
};

/** Reads all members and smooths the lines among them. */
const groupReader = (members: readonly PlaneSource[], smoothing: Smoothing) => {
  const { width, height } = members[0]!;
  const { lines, noise, strength, scales } = smoothing;
  return async (y: number, rows: number): Promise<readonly Samples[]> => {
    const needed = rowsNeeded(height, y, rows, scales);
    const read: Samples[] = [];
    for (const member of members) {
      const data = samplesFor(member, needed.rows * width);
      await member.readRows(needed.top, needed.rows, data);
      read.push(data);
    }
    const frame = { width, height, ...needed, members: read };
    const { operations, removedRows } = await import('./compute.ts');
    const removed = removedRows(operations(), frame, smoothing, y, rows);
    const first = (y - needed.top) * width;
    return lines.map((k, i) => {
      const data = read[k]!.subarray(first, first + rows * width);
      const unit = strength * Math.sqrt(noise[k]!.variance);
      const away = removed[i]!;
      for (let at = 0; at < data.length; at++) data[at]! -= unit * away[at]!;
      return data;
    });
  };
};
