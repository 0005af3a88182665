import { createRegistrar } from '../../../lib/measure/registration/register.ts';
import type { Registered } from '../../../lib/measure/registration/report.ts';
import { closeMasters, openMasters } from '../../../lib/node/masters/masters.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import type { Plane, PlaneSource } from '../../../lib/plane/plane.ts';
import { isWide } from '../../../lib/plane/strips.ts';
import type { Planted } from './planted.ts';

/** A master as a picture in memory. */
export const planeOf = async (file: string): Promise<Plane> => {
  const [master] = await openMasters({ A: file });
  const { source } = master!;
  const { width, height } = source;
  const values = isWide(source) ? new Float64Array(width * height) : new Float32Array(width * height);
  await source.readRows(0, height, values);
  await closeMasters([master!]);
  return { width, height, data: Float32Array.from(values) };
};

export const registerPair = (a: PlaneSource, b: PlaneSource) => createRegistrar(a)(b);

export const registerPlanes = (a: Plane, b: Plane) => registerPair(planeSource('a', a), planeSource('b', b));

/** Largest distance, over corners and centre, between where an answer puts a point and where it was planted. */
export const errorOf = (found: Registered, planted: Planted, { width, height }: Plane): number => {
  const vector = (angle: number, scale: number) => {
    const turn = (angle * Math.PI) / 180;
    return [scale * Math.cos(turn), scale * Math.sin(turn)] as const;
  };
  const [a, b] = vector(found.rotation, found.scale);
  const [pa, pb] = vector(planted.angle ?? 0, planted.scale ?? 1);
  const errors = [-width / 2, 0, width / 2].flatMap((x) =>
    [-height / 2, 0, height / 2].map((y) =>
      Math.hypot(
        found.dx - (planted.dx ?? 0) + (a - pa) * x - (b - pb) * y,
        found.dy - (planted.dy ?? 0) + (b - pb) * x + (a - pa) * y,
      ),
    ),
  );
  return Math.max(...errors);
};
