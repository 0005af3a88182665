import type { ScreenPicture } from '../../lib/web/screen.ts';

const made = new WeakMap<ScreenPicture, OffscreenCanvas>();

/** The picture as something a canvas can draw, pixel for pixel in its own colour space. */
export const canvasOf = (picture: ScreenPicture): OffscreenCanvas => {
  const before = made.get(picture);
  if (before !== undefined) return before;
  const canvas = new OffscreenCanvas(picture.width, picture.height);
  const colorSpace = picture.space;
  const context = canvas.getContext('2d', { colorSpace })!;
  context.putImageData(new ImageData(picture.data, picture.width, picture.height, { colorSpace }), 0, 0);
  made.set(picture, canvas);
  return canvas;
};
