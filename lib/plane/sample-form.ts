import type { RawRows, Samples, SampleType } from './plane.ts';

/** How samples lie in a kernel's memory, and the type of their physical values. */
export interface SampleForm extends Pick<RawRows, 'type' | 'bigEndian' | 'zero' | 'scale' | 'blank'> {
  readonly physical: SampleType;
}

/** The numbers by which the kernels know sample types; they read no others. */
export const SAMPLE_CODE: Readonly<Partial<Record<SampleType, number>>> = {
  f32: 0,
  u16: 1,
  i16: 2,
  u8: 3,
  i8: 4,
  u32: 5,
  i32: 6,
  f64: 7,
};

/** Whether kernels can read samples of this type as they are stored. */
export const canDecode = (type: SampleType): boolean => SAMPLE_CODE[type] !== undefined;

/** The form of stored rows. */
export const rawForm = (raw: RawRows, physical: SampleType): SampleForm => {
  const { type, bigEndian, zero, scale, blank } = raw;
  return { type, bigEndian, zero, scale, blank, physical };
};

/** The form of physical values in memory. WebAssembly is little-endian, and so is every machine that runs it. */
export const memoryForm = (samples: Samples): SampleForm => {
  const type = samples instanceof Float64Array ? 'f64' : 'f32';
  return { type, physical: type, bigEndian: false, zero: 0, scale: 1, blank: undefined };
};

/** Whether physical values differ from stored ones. */
export const isScaled = ({ zero, scale, blank }: SampleForm): boolean =>
  zero !== 0 || scale !== 1 || blank !== undefined;
