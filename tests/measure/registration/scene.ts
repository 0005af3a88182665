import { planeSource } from '../../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../../lib/plane/plane.ts';
import { drawMaster, type Line, type LineTruth, type SceneOptions, sceneTruth } from '../../../samples/scene/index.ts';

/** A drawn master as a source; pixels without data are undefined. */
export const sourceOf = (truth: LineTruth, noiseSeed = 1): PlaneSource => {
  const drawn = drawMaster(truth, noiseSeed);
  const data = Float32Array.from(drawn, (value) => (value === 0 ? Number.NaN : value));
  return planeSource(`${truth.line}.fits`, { width: truth.width, height: truth.height, data });
};

/** The lines of a scene as sources by line. */
export const sceneSources = (options: Partial<SceneOptions> = {}): Record<Line, PlaneSource> => {
  const { S, H, O } = sceneTruth(options);
  return { S: sourceOf(S), H: sourceOf(H), O: sourceOf(O) };
};
