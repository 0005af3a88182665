import { clampUnit, quantise } from '../../lib/colour/encode.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import { applyMatrix, type VisionName, visionMatrix } from '../../lib/colour/vision.ts';
import type { ScreenPicture } from '../../lib/web/screen.ts';

type See = (picture: ScreenPicture) => ScreenPicture;

const made = new Map<VisionName, See>();

/** Linear light in finer steps than 8 bits of it can show: the encoding is looked up. */
const STEPS = 4096;

/** Pictures as they are without one kind of cone (see `VISION_MATRICES`); computed once for each picture. */
export const seenBy = (vision: VisionName): See => {
  const before = made.get(vision);
  if (before !== undefined) return before;
  const pictures = new WeakMap<ScreenPicture, ScreenPicture>();
  const see: See = (picture) => {
    const known = pictures.get(picture);
    if (known !== undefined) return known;
    const seen = { ...picture, data: through(picture, vision) };
    pictures.set(picture, seen);
    return seen;
  };
  made.set(vision, see);
  return see;
};

const through = ({ data, space: name }: ScreenPicture, vision: VisionName): Uint8ClampedArray<ArrayBuffer> => {
  const space = SPACES[name];
  const matrix = visionMatrix(vision, space);
  const light = Float64Array.from({ length: 256 }, (_, v) => space.decode(v / 255));
  const codes = Uint8Array.from({ length: STEPS + 1 }, (_, i) => quantise(space.encode((i / STEPS) ** 2), 255));
  const out = new Uint8ClampedArray(data.length);
  const rgb = new Float64Array(3);
  for (let i = 0; i < data.length; i += 4) {
    for (let b = 0; b < 3; b++) rgb[b] = light[data[i + b]!]!;
    applyMatrix(rgb, 0, matrix);
    // Steps of the square root are fine where the encoding is steep.
    for (let b = 0; b < 3; b++) out[i + b] = codes[Math.round(Math.sqrt(clampUnit(rgb[b]!)) * STEPS)]!;
    out[i + 3] = data[i + 3]!;
  }
  return out;
};
