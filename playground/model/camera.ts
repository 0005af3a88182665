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

/** The whole picture, as large as the view allows. */
export const fitCamera = (view: Size, picture: Size): Camera => ({
  x: picture.width / 2,
  y: picture.height / 2,
  scale: Math.min(view.width / picture.width, view.height / picture.height),
});

/** The camera kept useful: one to one is always in reach, and some picture always in the middle of the view. */
export const limit = (camera: Camera, view: Size, picture: Size): Camera => ({
  x: Math.min(picture.width, Math.max(0, camera.x)),
  y: Math.min(picture.height, Math.max(0, camera.y)),
  scale: Math.min(LARGEST_SCALE, Math.max(Math.min(fitCamera(view, picture).scale, 1) / 4, camera.scale)),
});

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
export const zoomAt = (camera: Camera, view: Size, point: Point, factor: number, picture?: Size): Camera => {
  const fixed = toPicture(camera, view, point);
  const wanted = { ...camera, scale: camera.scale * factor };
  const { scale } = picture ? limit(wanted, view, picture) : wanted;
  return {
    x: fixed.x - (point.x - view.width / 2) / scale,
    y: fixed.y - (point.y - view.height / 2) / scale,
    scale,
  };
};

export const panBy = (camera: Camera, dx: number, dy: number): Camera => ({
  ...camera,
  x: camera.x - dx / camera.scale,
  y: camera.y - dy / camera.scale,
});

/** The whole picture pixels that are at least partly in view; nothing where none is. */
export const visibleBox = (camera: Camera, view: Size, picture: Size): (Point & Size) | undefined => {
  const low = toPicture(camera, view, { x: 0, y: 0 });
  const high = toPicture(camera, view, { x: view.width, y: view.height });
  const x = Math.max(0, Math.floor(low.x));
  const y = Math.max(0, Math.floor(low.y));
  const width = Math.min(picture.width, Math.ceil(high.x)) - x;
  const height = Math.min(picture.height, Math.ceil(high.y)) - y;
  return width > 0 && height > 0 ? { x, y, width, height } : undefined;
};
