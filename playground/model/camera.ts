/** Width and height in any unit. */
export interface Size {
  readonly width: number;
  readonly height: number;
}

export interface Point {
  readonly x: number;
  readonly y: number;
}

/** What part of the picture is seen: the picture point at the middle of the view, and view pixels per picture pixel. */
export interface Camera {
  readonly x: number;
  readonly y: number;
  readonly scale: number;
}

const LARGEST_SCALE = 32;

/** The part of a view that nothing lies over, in its pixels. */
export type Stage = Point & Size;

const wholeOf = (view: Size): Stage => ({ x: 0, y: 0, ...view });

/** How far the middle of the stage lies from that of the view. */
const shiftOf = (view: Size, stage: Stage): Point => ({
  x: stage.x + stage.width / 2 - view.width / 2,
  y: stage.y + stage.height / 2 - view.height / 2,
});

/** The whole picture in the middle of the stage, as large as that allows. */
export const fitCamera = (view: Size, picture: Size, stage = wholeOf(view)): Camera => {
  const scale = Math.min(stage.width / picture.width, stage.height / picture.height);
  const shift = shiftOf(view, stage);
  return { x: picture.width / 2 - shift.x / scale, y: picture.height / 2 - shift.y / scale, scale };
};

/** The camera kept useful: one to one is always in reach, and some picture always in the middle of the stage. */
export const limit = (camera: Camera, view: Size, picture: Size, stage = wholeOf(view)): Camera => {
  const least = Math.min(fitCamera(view, picture, stage).scale, 1) / 4;
  const scale = Math.min(LARGEST_SCALE, Math.max(least, camera.scale));
  const shift = shiftOf(view, stage);
  const within = (at: number, side: number, off: number) => Math.min(side, Math.max(0, at + off / scale)) - off / scale;
  return { x: within(camera.x, picture.width, shift.x), y: within(camera.y, picture.height, shift.y), scale };
};

/** The picture point under a view point. */
export const toPicture = (camera: Camera, view: Size, point: Point): Point => ({
  x: camera.x + (point.x - view.width / 2) / camera.scale,
  y: camera.y + (point.y - view.height / 2) / camera.scale,
});

/** The view point over a picture point. */
export const toView = (camera: Camera, view: Size, point: Point): Point => ({
  x: (point.x - camera.x) * camera.scale + view.width / 2,
  y: (point.y - camera.y) * camera.scale + view.height / 2,
});

/**
 * Zooms so that the picture point under `point` stays there. Where the picture is given, no farther than its limits: a
 * scale that is cut afterwards would move the point.
 */
export const zoomAt = (
  camera: Camera,
  view: Size,
  point: Point,
  factor: number,
  picture?: Size,
  stage?: Stage,
): Camera => {
  const fixed = toPicture(camera, view, point);
  const wanted = { ...camera, scale: camera.scale * factor };
  const { scale } = picture ? limit(wanted, view, picture, stage) : wanted;
  return {
    x: fixed.x - (point.x - view.width / 2) / scale,
    y: fixed.y - (point.y - view.height / 2) / scale,
    scale,
  };
};

/** The camera that shows at the view point `to` what was at `from`. */
export const carry = (camera: Camera, from: Point, to: Point): Camera => panBy(camera, to.x - from.x, to.y - from.y);

export const panBy = (camera: Camera, dx: number, dy: number): Camera => ({
  ...camera,
  x: camera.x - dx / camera.scale,
  y: camera.y - dy / camera.scale,
});

/** The whole picture pixels that are at least partly in view, or in a part of it; nothing where none is. */
export const visibleBox = (
  camera: Camera,
  view: Size,
  picture: Size,
  part = wholeOf(view),
): (Point & Size) | undefined => {
  const low = toPicture(camera, view, part);
  const high = toPicture(camera, view, { x: part.x + part.width, y: part.y + part.height });
  const x = Math.max(0, Math.floor(low.x));
  const y = Math.max(0, Math.floor(low.y));
  const width = Math.min(picture.width, Math.ceil(high.x)) - x;
  const height = Math.min(picture.height, Math.ceil(high.y)) - y;
  return width > 0 && height > 0 ? { x, y, width, height } : undefined;
};
