import type { Point, Size, Stage } from './camera.ts';
import type { Figures } from './figures.ts';

/** A candidate whose place is known. */
export interface MapPoint {
  readonly id: string;
  /** As a share of white; ≥ 0. */
  readonly noise: number;
  /** CIEDE2000; ≥ 0. */
  readonly separation: number;
}

/** Where a candidate's picture and name lie, and the point that they stand for. */
export interface MapPlace extends Stage {
  readonly id: string;
  readonly point: Point;
}

export interface Tick {
  readonly value: number;
  /** From the left, or from the top. */
  readonly at: number;
}

/** A map of the wall: little noise on the left, lines far apart in colour at the top. */
export interface WallMap {
  /** From the least noise to the most. */
  readonly places: readonly MapPlace[];
  readonly noise: readonly Tick[];
  readonly separation: readonly Tick[];
}

/** Height of the name below a picture. */
export const NAME_HEIGHT = 18;
/** Share of the map that pictures may cover, and the least and largest width of one. */
const COVERED = 0.35;
const [LEAST, LARGEST] = [56, 132];
/** Pictures move out of each other's way by steps of this size, and keep so much room between them. */
const STEP = 8;
const ROOM = 3;
/** Less noise than this cannot be told from none. */
const NO_NOISE = 1e-5;

/** The candidates that have a place: both figures are known. */
export const pointsOf = (ids: readonly string[], figures: Readonly<Record<string, Figures>>): MapPoint[] =>
  ids.flatMap((id) => {
    const { noise, separation } = figures[id] ?? {};
    return noise === undefined || separation === undefined ? [] : [{ id, noise, separation }];
  });

/** The size of every picture with its name: as large as leaves the map readable. `shape` is width over height. */
const sizeOf = (count: number, room: Size, shape: number): Size => {
  const width = Math.sqrt((COVERED * room.width * room.height * shape) / Math.max(1, count));
  const kept = Math.min(LARGEST, Math.max(LEAST, width));
  return { width: Math.round(kept), height: Math.round(kept / shape) + NAME_HEIGHT };
};

interface Axis {
  readonly low: number;
  readonly high: number;
}

const axisOf = (values: readonly number[]): Axis => {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return high - low > 1e-9 ? { low, high } : { low: low - 0.5, high: high + 0.5 };
};

const shareOf = ({ low, high }: Axis, value: number): number => (value - low) / (high - low);

/** 1, 2 and 5 times powers of ten between two values, both > 0. */
const powers = (low: number, high: number): number[] => {
  const first = Math.floor(Math.log10(low));
  const decades = Array.from({ length: Math.ceil(Math.log10(high)) - first + 1 }, (_, i) => 10 ** (first + i));
  return decades.flatMap((decade) => [decade, 2 * decade, 5 * decade]).filter((v) => v >= low && v <= high);
};

/** Whole steps between two values, three to eight of them. */
const steps = (low: number, high: number): number[] => {
  const scale = 10 ** Math.floor(Math.log10((high - low) / 3));
  const step = scale * [1, 2, 5, 10].find((s) => (high - low) / (s * scale) <= 8)!;
  const first = Math.ceil(low / step);
  return Array.from({ length: Math.floor(high / step) - first + 1 }, (_, i) => (first + i) * step);
};

/** Powers where there are three of them, whole steps over a short way. */
const noiseTicks = (low: number, high: number): number[] => {
  const found = powers(low, high);
  return found.length < 3 ? steps(low, high) : found;
};

const meets = (a: Stage, b: Stage): boolean =>
  a.x < b.x + b.width + ROOM &&
  b.x < a.x + a.width + ROOM &&
  a.y < b.y + b.height + ROOM &&
  b.y < a.y + a.height + ROOM;

/** The free place nearest to a place; the place itself if none is free. */
const freePlace = (wanted: Stage, taken: readonly Stage[], room: Size): Stage => {
  let best: Stage | undefined;
  let nearest = Number.POSITIVE_INFINITY;
  const reach = (size: number, at: number, way: 1 | -1, own: number) =>
    Math.floor((way < 0 ? at : size - own - at) / STEP);
  for (let i = -reach(room.width, wanted.x, -1, 0); i <= reach(room.width, wanted.x, 1, wanted.width); i++)
    for (let j = -reach(room.height, wanted.y, -1, 0); j <= reach(room.height, wanted.y, 1, wanted.height); j++) {
      const distance = i * i + j * j;
      if (distance >= nearest) continue;
      const place = { ...wanted, x: wanted.x + i * STEP, y: wanted.y + j * STEP };
      if (taken.some((other) => meets(place, other))) continue;
      [best, nearest] = [place, distance];
    }
  return best ?? wanted;
};

/**
 * Lays candidates out: noise from left to right by its logarithm, separation from bottom to top. Pictures that would lie
 * over each other move aside; `point` is where they belong.
 * @param shape width over height of the pictures
 */
export const layMap = (points: readonly MapPoint[], room: Size, shape: number): WallMap => {
  if (points.length === 0) return { places: [], noise: [], separation: [] };
  const size = sizeOf(points.length, room, shape);
  const noiseOf = (noise: number) => Math.log(Math.max(NO_NOISE, noise));
  const across = axisOf(points.map(({ noise }) => noiseOf(noise)));
  const up = axisOf(points.map(({ separation }) => separation));
  const xOf = (noise: number) => size.width / 2 + shareOf(across, noiseOf(noise)) * (room.width - size.width);
  const yOf = (separation: number) =>
    room.height - size.height / 2 - shareOf(up, separation) * (room.height - size.height);
  const places: MapPlace[] = [];
  for (const { id, noise, separation } of [...points].sort(
    (a, b) => a.noise - b.noise || b.separation - a.separation,
  )) {
    const point = { x: xOf(noise), y: yOf(separation) };
    const wanted = { x: point.x - size.width / 2, y: point.y - size.height / 2, ...size };
    places.push({ id, point, ...freePlace(wanted, places, room) });
  }
  return {
    places,
    noise: noiseTicks(Math.exp(across.low), Math.exp(across.high)).map((value) => ({ value, at: xOf(value) })),
    separation: steps(up.low, up.high).map((value) => ({ value, at: yOf(value) })),
  };
};
