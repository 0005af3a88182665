/**
 * Two display values laid over each other as two projected pictures would be: 1 − (1 − a)(1 − b).
 * W3C Compositing and Blending Level 1, section 10.1.3. Stays in [0, 1] for inputs in [0, 1]; NaN gives NaN.
 */
export const screen = (backdrop: number, source: number): number => backdrop + source - backdrop * source;
