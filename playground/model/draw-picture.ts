import type { Box } from '../../lib/plane/box.ts';
import type { ScreenPicture } from '../../lib/web/screen.ts';
import type { Camera, Size, Stage } from './camera.ts';
import { toView } from './camera.ts';
import { canvasOf } from './canvas.ts';

/** A rendered picture and the box of the masters that it shows. */
export interface Layer {
  readonly picture: ScreenPicture;
  readonly box: Box;
}

/** A place in the view on the nearest whole device pixel, so that one to one really is. */
export const snap = (place: number, ratio: number): number => Math.round(place * ratio) / ratio;

/**
 * Draws layers one over the other as the camera sees them; pixels stay hard edged above one to one.
 * @param room the part of the view that is drawn into; all of it where there is none
 */
export const drawPicture = (
  context: CanvasRenderingContext2D,
  ratio: number,
  view: Size,
  camera: Camera,
  layers: readonly Layer[],
  room?: Stage,
): void => {
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  context.clearRect(0, 0, view.width, view.height);
  drawInto(context, ratio, view, camera, layers, room ?? { x: 0, y: 0, ...view });
};

/** The same into a part of the view, all else as it is. */
export const drawInto = (
  context: CanvasRenderingContext2D,
  ratio: number,
  view: Size,
  camera: Camera,
  layers: readonly Layer[],
  room: Stage,
): void => {
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  context.save();
  context.beginPath();
  const [left, top] = [snap(room.x, ratio), snap(room.y, ratio)];
  context.rect(left, top, snap(room.x + room.width, ratio) - left, snap(room.y + room.height, ratio) - top);
  context.clip();
  for (const { picture, box } of layers) {
    const from = toView(camera, view, box);
    const perPixel = (camera.scale * ratio * box.width) / picture.width;
    context.imageSmoothingEnabled = perPixel < 2 && !Number.isInteger(perPixel);
    context.imageSmoothingQuality = 'high';
    context.drawImage(
      canvasOf(picture),
      snap(from.x, ratio),
      snap(from.y, ratio),
      box.width * camera.scale,
      box.height * camera.scale,
    );
  }
  context.restore();
};
