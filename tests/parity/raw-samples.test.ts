import { describe, expect, it } from 'vitest';
import { BYTES_PER_SAMPLE, type SampleType } from '../../lib/plane/plane.ts';
import type { SampleForm } from '../../lib/plane/sample-form.ts';
import { isWide } from '../../lib/plane/strips.ts';
import { jsKernel } from '../../lib/render/js-kernel.ts';
import { createEngine } from '../../lib/render/wasm/engine.ts';
import { planKernel } from '../../lib/render/wasm/plan.ts';
import { randomNumbers, settledFor } from './settled-cases.ts';

const WIDTH = 37;
const HEIGHT = 11;
const COUNT = WIDTH * HEIGHT;

/** Stored numbers of a type, ends of the range among them. */
const storedNumbers = (type: SampleType): number[] => {
  const random = randomNumbers(5);
  const bits = 8 * BYTES_PER_SAMPLE[type];
  if (type.startsWith('f')) {
    const special = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0, -0];
    return Array.from({ length: COUNT }, (_, i) => special[i] ?? Math.fround(random() * 1.2 - 0.1));
  }
  const low = type.startsWith('u') ? 0 : -(2 ** (bits - 1));
  const high = low + 2 ** bits - 1;
  return Array.from({ length: COUNT }, (_, i) => [low, high, 0][i] ?? Math.floor(low + random() * (high - low)));
};

const WRITE: Readonly<Record<string, (view: DataView, at: number, value: number, little: boolean) => void>> = {
  u8: (view, at, value) => view.setUint8(at, value),
  i8: (view, at, value) => view.setInt8(at, value),
  u16: (view, at, value, little) => view.setUint16(at, value, little),
  i16: (view, at, value, little) => view.setInt16(at, value, little),
  u32: (view, at, value, little) => view.setUint32(at, value, little),
  i32: (view, at, value, little) => view.setInt32(at, value, little),
  f32: (view, at, value, little) => view.setFloat32(at, value, little),
  f64: (view, at, value, little) => view.setFloat64(at, value, little),
};

/** Levels that use the range of the physical values. */
const settledOver = (physical: readonly number[]) => {
  const finite = physical.filter(Number.isFinite);
  const [low, high] = [Math.min(...finite), Math.max(...finite)];
  const settled = settledFor({ curve: 'bias', a: Math.fround(0.8) });
  const background = Math.fround(low + 0.1 * (high - low));
  const levels = { background, black: 0, white: Math.fround(0.8 * (high - low)) };
  return { ...settled, channels: settled.channels.map((c) => ({ ...c, ...levels })) };
};

const check = (form: SampleForm, bottomUp: boolean): void => {
  const stored = storedNumbers(form.type);
  const physical = stored.map((v) => (v === form.blank ? Number.NaN : form.zero + form.scale * v));
  const settled = settledOver(physical);
  const input = { ...form, bottomUp };
  const size = { width: WIDTH, rows: HEIGHT };
  const engine = createEngine(planKernel(settled)!, { sample: 'u16', bands: 4 }, [input, input, input], size)!;
  const bytes = BYTES_PER_SAMPLE[form.type];
  for (const target of engine.inputs) {
    const view = new DataView(target.buffer, target.byteOffset, target.byteLength);
    for (const [i, value] of stored.entries()) {
      const row = Math.floor(i / WIDTH);
      const at = (bottomUp ? HEIGHT - 1 - row : row) * WIDTH + (i % WIDTH);
      WRITE[form.type]!(view, at * bytes, value, !form.bigEndian);
    }
  }
  engine.run(HEIGHT);
  const got = new Uint16Array(engine.output.slice().buffer);
  const samples = isWide({ type: form.physical }) ? Float64Array.from(physical) : Float32Array.from(physical);
  const wanted = new Uint16Array(COUNT * 4);
  jsKernel(settled, { sample: 'u16', bands: 4 })([samples, samples, samples], COUNT, wanted);
  for (let i = 0; i < got.length; i++) expect(Math.abs(got[i]! - wanted[i]!), `sample ${i}`).toBeLessThanOrEqual(1);
};

const plain = { zero: 0, scale: 1, blank: undefined };
const TYPES = ['u8', 'i8', 'u16', 'i16', 'u32', 'i32', 'f32', 'f64'] as const;

describe('samples as files store them', () => {
  for (const bigEndian of [false, true])
    for (const bottomUp of [false, true])
      it.each(TYPES)(`%s, ${bigEndian ? 'big' : 'little'}-endian, ${bottomUp ? 'bottom' : 'top'} first`, (type) =>
        check({ type, physical: type, bigEndian, ...plain }, bottomUp),
      );

  it('unsigned integers as FITS stores them', () => {
    check({ type: 'i16', physical: 'u16', bigEndian: true, zero: 32768, scale: 1, blank: undefined }, true);
    check({ type: 'i32', physical: 'u32', bigEndian: true, zero: 2 ** 31, scale: 1, blank: undefined }, true);
  });

  it('scaled integers, blanks, white as zero', () => {
    check({ type: 'i16', physical: 'f32', bigEndian: true, zero: 12.5, scale: 0.0371, blank: -32768 }, true);
    check({ type: 'i16', physical: 'i16', bigEndian: true, zero: 0, scale: 1, blank: 32767 }, false);
    check({ type: 'u8', physical: 'u8', bigEndian: false, zero: 0, scale: 1, blank: 0 }, false);
    check({ type: 'i32', physical: 'f64', bigEndian: true, zero: -7, scale: 1e-3, blank: 0 }, true);
    check({ type: 'u16', physical: 'u16', bigEndian: false, zero: 65535, scale: -1, blank: undefined }, false);
  });
});
