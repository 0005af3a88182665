import { throwIfCancelled } from '../../plane/errors.ts';
import { createMask, eachMarked, isMarked, mark } from '../../plane/mask.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { rowBuffer } from '../../plane/row-buffer.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { type BandShape, bandFilters } from './band-filters.ts';
import { excessRoom, measureExcess } from './excess.ts';
import { growOutliers, type Outliers } from './grow.ts';
import { binsOf, type ExcessLimits } from './limits.ts';
import { rowMarker, type Suspects } from './suspects.ts';
import { findTrails } from './trails.ts';

/** Rows around a band that its filters look at. */
const HALO = 4;
/** Pixels of a band. */
const BAND = 1 << 19;
/** A master, and what brings it to the scale of the limits. */
export interface ScaledSource {
  readonly source: PlaneSource;
  readonly scale: number;
  readonly offset: number;
}

/**
 * Finds in each of several masters of one line what the others do not show: trails, cosmic rays, hot pixels. One pass in
 * bands, whose filters see the same whatever the band; memory holds one band and eight bits a pixel and master.
 */
export const findOutliers = async (
  parts: readonly ScaledSource[],
  limits: ExcessLimits,
  { signal, progress }: StripOptions = {},
): Promise<Outliers[]> => {
  const { width, height } = parts[0]!.source;
  const found = parts.map(() => suspects(width, height));
  const buffers = parts.map(({ source }) => rowBuffer(source));
  const rows = Math.min(height, 2 * Math.max(16, Math.floor(BAND / width / 2)));
  const planes = parts.map(() => new Float32Array(Math.min(height, rows + 2 * HALO) * width));
  const looks = new Map<number, Look>();
  for (let y = 0; y < height; y += rows) {
    throwIfCancelled(signal);
    const [top, bottom] = [Math.max(0, y - HALO), Math.min(height, y + rows + HALO)];
    const look = looks.get(bottom - top) ?? lookAt({ width, rows: bottom - top }, limits);
    looks.set(bottom - top, look);
    const size = (bottom - top) * width;
    for (const [i, { scale, offset }] of parts.entries())
      await buffers[i]!.read(top, bottom - top, (data) => void onScale(data, scale, offset, planes[i]!));
    look(
      planes.map((plane) => plane.subarray(0, size)),
      found,
      { y, rows: Math.min(rows, height - y), skipped: y - top },
    );
    progress?.(Math.min(1, (y + rows) / height));
  }
  return found.map(({ cells, seeds, near, above }) => {
    const trails = findTrails(cells);
    eachMarked(above, 0, height, (index) => {
      const [x, y] = [index % width, Math.floor(index / width)];
      if (isMarked(trails, x >> 1, y >> 1)) mark(seeds, x, y);
    });
    return growOutliers(seeds, near);
  });
};

const suspects = (width: number, height: number): Suspects => {
  const [across, down] = [(width + 1) >> 1, (height + 1) >> 1];
  return {
    seeds: createMask(width, height),
    near: createMask(width, height),
    above: createMask(width, height),
    cells: { width: across, height: down, data: new Int8Array(across * down) },
  };
};

/** Brings values to the scale of the first master; undefined ones become NaN. */
export const onScale = (data: ArrayLike<number>, scale: number, offset: number, into: Float32Array): Float32Array => {
  for (let i = 0; i < data.length; i++) {
    const value = scale * data[i]! + offset;
    into[i] = value - value === 0 ? value : Number.NaN;
  }
  return into;
};

/** The rows of a band in the picture, and how many of the planes' rows come before them. */
interface BandPlace {
  readonly y: number;
  readonly rows: number;
  readonly skipped: number;
}

type Look = (planes: readonly Float32Array[], found: readonly Suspects[], place: BandPlace) => void;

const lookAt = (shape: BandShape, limits: ExcessLimits): Look => {
  const filters = bandFilters(shape);
  const excess = excessRoom(shape, limits.masters.length);
  const size = shape.width * shape.rows;
  const [three, seven] = [new Float32Array(size), new Float32Array(size)];
  const bins = new Uint8Array(size);
  return (planes, found, { y, rows, skipped }) => {
    measureExcess(planes, excess, filters, [three, seven]);
    binsOf(limits.bounds, excess.level, bins);
    for (const [m, into] of found.entries()) {
      const pixel = excess.over[m]!;
      filters.mean(pixel, three, 1);
      filters.mean(pixel, seven, 3);
      const row = rowMarker(
        { pixel, three, seven, spared: excess.spared, bins },
        limits.masters[m]!,
        into,
        planes.length,
      );
      for (let r = 0; r < rows; r++) row(y + r, (skipped + r) * shape.width);
    }
  };
};
