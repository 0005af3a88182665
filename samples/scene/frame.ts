import type { Misfit } from './options.ts';

/** Where one line's picture lies in the scene. */
export interface Frame {
  readonly width: number;
  readonly height: number;
  /** Pixels to one scene unit. */
  readonly unit: number;
  /** Scene point (u right, v down, origin at the centre of the full frame) seen at pixel centre (x, y). */
  toScene(x: number, y: number): [u: number, v: number];
  /** Pixel position at which scene point (u, v) is seen; whole numbers are pixel centres. */
  toPixel(u: number, v: number): [x: number, y: number];
  /**
   * Position on the sensor, −1 to 1 over its width and height, of pixel (x, y): sky light does not turn with the stars.
   * `turned` degrees is how far the camera was turned, clockwise, before its master was put back into place.
   */
  toSky(x: number, y: number, turned?: number): [su: number, sv: number];
}

/** The frame of a line with its misfit. */
export const frameOf = (fullWidth: number, fullHeight: number, misfit: Misfit = {}): Frame => {
  const { dx = 0, dy = 0, angle = 0, crop = {} } = misfit;
  const { left = 0, right = 0, top = 0, bottom = 0 } = crop;
  const unit = fullHeight / 2;
  const cx = (fullWidth - 1) / 2;
  const cy = (fullHeight - 1) / 2;
  const cos = Math.cos((angle * Math.PI) / 180);
  const sin = Math.sin((angle * Math.PI) / 180);
  return {
    width: fullWidth - left - right,
    height: fullHeight - top - bottom,
    unit,
    toScene(x, y) {
      const px = x + left - cx - dx;
      const py = y + top - cy - dy;
      return [(cos * px + sin * py) / unit, (cos * py - sin * px) / unit];
    },
    toPixel(u, v) {
      const px = u * unit;
      const py = v * unit;
      return [cos * px - sin * py + cx + dx - left, sin * px + cos * py + cy + dy - top];
    },
    toSky(x, y, turned = 0) {
      const px = x + left - cx;
      const py = y + top - cy;
      if (turned === 0) return [px / (fullWidth / 2), py / (fullHeight / 2)];
      const c = Math.cos((turned * Math.PI) / 180);
      const s = Math.sin((turned * Math.PI) / 180);
      return [(c * px + s * py) / (fullWidth / 2), (c * py - s * px) / (fullHeight / 2)];
    },
  };
};

/**
 * Which pixels a night covered whose camera was turned by `angle` degrees about the centre: 1 inside, 0 outside.
 * Rows top first.
 */
export const turnedCoverage = (frame: Frame, angle: number, fullWidth: number, fullHeight: number): Uint8Array => {
  const cos = Math.cos((angle * Math.PI) / 180);
  const sin = Math.sin((angle * Math.PI) / 180);
  const covered = new Uint8Array(frame.width * frame.height);
  for (let y = 0; y < frame.height; y++)
    for (let x = 0; x < frame.width; x++) {
      const [su, sv] = frame.toSky(x, y);
      const px = (su * fullWidth) / 2;
      const py = (sv * fullHeight) / 2;
      const inside = Math.abs(cos * px + sin * py) <= fullWidth / 2 && Math.abs(cos * py - sin * px) <= fullHeight / 2;
      covered[y * frame.width + x] = inside ? 1 : 0;
    }
  return covered;
};
