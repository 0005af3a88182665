// What the kernel knows of each input channel. The numbers come from `load-plan.ts` by way of the setters in index.ts.

export const MAX_CHANNELS: i32 = 8;
/** Pixels worked on at a time: all planes of a block stay in the first-level cache. */
export const BLOCK: i32 = 1024;

/** How samples lie in memory. */
export const FLOAT32: i32 = 0;
export const UINT16: i32 = 1;
export const INT16: i32 = 2;
export const UINT8: i32 = 3;
export const INT8: i32 = 4;
export const UINT32: i32 = 5;
export const INT32: i32 = 6;
export const FLOAT64: i32 = 7;

export const LINEAR: i32 = 0;
export const BIAS: i32 = 1;
export const TABLE: i32 = 2;

/** A curve from [0, 1] to [0, 1]; also the transfer functions, whose tables reach further. */
@unmanaged
export class Curve {
  kind: i32;
  /** Bias: t / (a + b · (t · sign + shift)); the form that cancels nothing for this parameter. */
  a: f32;
  b: f32;
  sign: f32;
  shift: f32;
  /** Table: pairs (value, slope) by the upper bits of the float32; see `table.ts`. */
  table: usize;
  bits: i32;
  base: i32;
  last: i32;
}

@unmanaged
export class Channel {
  /** Address of the strip's topmost row and the step to the row below it, negative where rows are stored upwards. */
  input: usize;
  step: i32;
  type: i32;
  bigEndian: bool;
  /** True where levels are applied in float64: float32 does not hold the values, or the curve is steep. */
  wide: bool;
  /** True where physical values are float32, whatever they are computed in. */
  rounded: bool;
  /** True where physical values are not simply the stored ones. */
  scaled: bool;
  zero: f64;
  scale: f64;
  /** The stored integer that means "no data"; NaN for none. */
  blank: f64;
  /** Background + black as a float64 and as the sum of two float32. */
  offset: f64;
  high: f32;
  low: f32;
  /** 1 / (white − black). */
  inverse: f64;
}

const channels = memory.data(MAX_CHANNELS * 128, 8);
const curves = memory.data((MAX_CHANNELS + 3) * 64, 8);

@inline
export function channelAt(c: i32): Channel {
  return changetype<Channel>(channels + <usize>(c * 128));
}

/** Curves 0…7 belong to the channels. */
@inline
export function curveAt(c: i32): Curve {
  return changetype<Curve>(curves + <usize>(c * 64));
}

export const INTENSITY: i32 = MAX_CHANNELS;
export const DECODE: i32 = MAX_CHANNELS + 1;
export const ENCODE: i32 = MAX_CHANNELS + 2;

/** Stretched channels of a block; room for float64 where the mix needs it. */
const planes = memory.data(MAX_CHANNELS * BLOCK * 8, 16);
/** Physical values of one channel of a block. */
export const physical = memory.data(BLOCK * 8, 16);
/** The mixed colours of a block. */
export const red = memory.data(BLOCK * 4, 16);
export const green = memory.data(BLOCK * 4, 16);
export const blue = memory.data(BLOCK * 4, 16);

@inline
export function planeAt(c: i32): usize {
  return planes + <usize>(c * BLOCK * 8);
}
