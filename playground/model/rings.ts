import type { ListedStars } from '../../lib/web/star-list.ts';
import { type Camera, type Point, type Size, type Stage, toView } from './camera.ts';
import { strokeOutlined } from './outline.ts';

/** More rings than these, or than one for so many square pixels of the view, would hide the picture. */
const MOST_RINGS = 2000;
const ROOM = 400;

/** Radius of a ring in widths of a star, and the least in view pixels. */
const WIDE = 1.5;
const LEAST = 5;

const STROKE = { width: 1.2, rim: 2.6 };

interface Seen {
  readonly view: Size;
  readonly camera: Camera;
}

/** The middle of a star's pixel; pixels of the picture reach from whole number to whole number. */
const placeOf = ({ x, y }: Pick<ListedStars, 'x' | 'y'>, star: number): Point => ({
  x: x[star]! + 0.5,
  y: y[star]! + 0.5,
});

/**
 * The most prominent stars in the part of the view that no panel lies over, by their places in the list, and how many are there.
 */
export const starsInView = (
  list: ListedStars,
  { view, camera, open }: Seen & { readonly open: Stage },
  most = Math.min(MOST_RINGS, Math.ceil((open.width * open.height) / ROOM)),
): { readonly ringed: readonly number[]; readonly inView: number } => {
  const ringed: number[] = [];
  let inView = 0;
  for (let star = 0; star < list.count; star++) {
    const at = toView(camera, view, placeOf(list, star));
    const [right, down] = [at.x - open.x, at.y - open.y];
    if (right < 0 || down < 0 || right > open.width || down > open.height) continue;
    inView++;
    if (ringed.length < most) ringed.push(star);
  }
  return { ringed, inView };
};

/** Draws a ring around each of these stars. */
export const drawRings = (
  context: CanvasRenderingContext2D,
  ratio: number,
  { view, camera }: Seen,
  list: ListedStars,
  stars: readonly number[],
): void => {
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  const width = Math.max(...list.lines.map(({ fwhm }) => fwhm), 0);
  const radius = Math.max(LEAST, WIDE * width * camera.scale);
  strokeOutlined(context, STROKE, () => {
    for (const star of stars) {
      const { x, y } = toView(camera, view, placeOf(list, star));
      context.moveTo(x + radius, y);
      context.arc(x, y, radius, 0, 2 * Math.PI);
    }
  });
};
