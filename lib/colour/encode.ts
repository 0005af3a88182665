import type { OutputSample } from '../plane/picture.ts';

/** The stored number that stands for 1. */
export const SAMPLE_FULL: Readonly<Record<OutputSample, number>> = { u8: 255, u16: 65535, f32: 1 };

/** `value` limited to [0, 1]; NaN becomes 0. */
export const clampUnit = (value: number): number => (value > 0 ? Math.min(value, 1) : 0);

/** An encoded value in [0, 1] as an integer code 0 … full: floor(v · full + 0.5). Values outside are clamped, NaN is 0. */
export const quantise = (value: number, full: number): number => Math.floor(clampUnit(value) * full + 0.5);
