import { quantise } from '../colour/encode.ts';
import { SPACES } from '../colour/spaces.ts';
import type { Plane } from '../plane/plane.ts';
import type { Settled } from '../recipe/settled.ts';
import { kernelFor } from './kernel-for.ts';

/** Pixels for a screen: red, green, blue, alpha with 8 bits each, top first; alpha 0 where a used line has no data. */
export interface PreviewPicture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray<ArrayBuffer>;
  /** The space in which a screen shows the numbers as they are meant; linear light is shown as sRGB. */
  readonly space: 'srgb' | 'display-p3';
}

/**
 * The mix of small planes in memory, at once: the kernel that writes pictures, with 8 bits a colour. Planes are those of
 * the channels *after* preparation, all of one size.
 * @throws RangeError where a settled channel has no plane, or sizes differ: defects of the caller.
 */
export const renderPreview = (planes: ReadonlyMap<string, Plane>, settled: Settled): PreviewPicture => {
  const inputs = settled.channels.map(({ name }) => planeOf(planes, name));
  const { width, height } = inputs[0]!;
  if (inputs.some((plane) => plane.width !== width || plane.height !== height))
    throw new RangeError('the planes differ in size');
  const samples = inputs.map(({ data }) => data);
  const count = width * height;
  const data = new Uint8ClampedArray(count * 4);
  if (settled.space === 'srgb-linear') {
    const light = new Uint16Array(count * 4);
    kernelFor(settled, { sample: 'u16', bands: 4 })(samples, count, light);
    encodeLight(light, data);
  } else kernelFor(settled, { sample: 'u8', bands: 4 })(samples, count, new Uint8Array(data.buffer));
  return { width, height, data, space: settled.space === 'display-p3' ? 'display-p3' : 'srgb' };
};

const planeOf = (planes: ReadonlyMap<string, Plane>, name: string): Plane => {
  const plane = planes.get(name);
  if (plane === undefined) throw new RangeError(`channel ${name} has no plane`);
  return plane;
};

let codes: Uint8Array | undefined;

/** Linear light of 16 bits to sRGB of 8: one step of the former is at most a twentieth of one of the latter. */
const encodeLight = (light: Uint16Array, data: Uint8ClampedArray): void => {
  codes ??= Uint8Array.from({ length: 65536 }, (_, v) => quantise(SPACES.srgb.encode(v / 65535), 255));
  for (let i = 0; i < light.length; i += 4) {
    data[i] = codes[light[i]!]!;
    data[i + 1] = codes[light[i + 1]!]!;
    data[i + 2] = codes[light[i + 2]!]!;
    data[i + 3] = light[i + 3]! >> 8;
  }
};
