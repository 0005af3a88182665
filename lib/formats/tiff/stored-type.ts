import { BYTES_PER_SAMPLE, type SampleType } from '../../plane/plane.ts';

/** How a TIFF stores one sample: as any master may, or as an unsigned integer of 64 bits. */
export type StoredType = SampleType | 'u64';

/** Bytes of one stored sample. */
export const STORED_BYTES: Readonly<Record<StoredType, number>> = { ...BYTES_PER_SAMPLE, u64: 8 };

/** The least and the largest stored value of each integer type; those of 64 bits as float64 rounds them. */
export const STORED_RANGE: Readonly<Partial<Record<StoredType, readonly [least: number, most: number]>>> = {
  u8: [0, 255],
  u16: [0, 65535],
  u32: [0, 2 ** 32 - 1],
  u64: [0, 2 ** 64],
  i8: [-128, 127],
  i16: [-32768, 32767],
  i32: [-(2 ** 31), 2 ** 31 - 1],
  i64: [-(2 ** 63), 2 ** 63],
};

/** The type of the values as they are read: float64 where no sample type holds them better. */
export const readType = (type: StoredType): SampleType => (type === 'u64' ? 'f64' : type);
