import {
  type Camera,
  fitCamera,
  limit,
  type Point,
  panBy,
  type Size,
  toPicture,
  toView,
  zoomAt,
} from '../../playground/model/camera.ts';
import { drawPicture, type Layer } from '../../playground/model/draw-picture.ts';
import { bandPart } from '../../playground/model/wall-order.ts';
import { near, ok } from './assert.ts';

const VIEW: Size = { width: 913, height: 577 };
const PICTURE: Size = { width: 6248, height: 4176 };
const GESTURES = 1000;

/** Uniform numbers, 0…1 (G. Marsaglia, Xorshift RNGs, J. Stat. Softw. 8(14), 2003). */
const uniform = (seed: number) => {
  let state = seed;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
};

/** A random gesture as the picture makes it of a pointer: the camera after it, and where a held point has gone. */
const gesture = (random: () => number, camera: Camera): { camera: Camera; from: Point; to: Point } => {
  const from = { x: random() * VIEW.width, y: random() * VIEW.height };
  if (random() < 0.5) {
    const [dx, dy] = [(random() - 0.5) * 400, (random() - 0.5) * 300];
    return { camera: panBy(camera, dx, dy), from, to: { x: from.x + dx, y: from.y + dy } };
  }
  return { camera: zoomAt(camera, VIEW, from, 1.2 ** ((random() - 0.5) * 20), PICTURE), from, to: from };
};

const isCut = (camera: Camera): boolean => JSON.stringify(limit(camera, VIEW, PICTURE)) !== JSON.stringify(camera);

describe('a thousand random gestures', () => {
  it('leave the pixel that is held under the pointer, at the limits of the zoom too', () => {
    const random = uniform(20261);
    let camera = fitCamera(VIEW, PICTURE);
    let held = 0;
    const scales: number[] = [];
    for (let i = 0; i < GESTURES; i++) {
      const { camera: moved, from, to } = gesture(random, camera);
      const pixel = toPicture(camera, VIEW, from);
      camera = limit(moved, VIEW, PICTURE);
      scales.push(camera.scale);
      // A picture that would leave the middle of the view is held back: only then does it not follow.
      if (isCut(moved)) continue;
      const now = toView(camera, VIEW, pixel);
      near(now.x, to.x, 1e-6);
      near(now.y, to.y, 1e-6);
      held++;
    }
    ok(held > GESTURES / 2, `${held} gestures were followed`);
    ok(Math.max(...scales) === 32, 'the closest zoom was reached');
    ok(scales.filter((scale) => scale === Math.min(...scales)).length > 1, 'the farthest zoom was reached');
  });

  it('show the same pixel of two mixes in the same place, from small pictures and from full-size parts', () => {
    const random = uniform(77);
    let camera = fitCamera(VIEW, PICTURE);
    for (let i = 0; i < GESTURES; i++) {
      camera = limit(gesture(random, camera).camera, VIEW, PICTURE);
      const ratio = [1, 1.5, 2][i % 3]!;
      const pixel = toPicture(camera, VIEW, { x: random() * VIEW.width, y: random() * VIEW.height });
      const whole = { picture: SMALL, box: { x: 0, y: 0, ...PICTURE } };
      const [x, y] = [Math.floor(pixel.x) - 350, Math.floor(pixel.y) - 250];
      const part = { picture: SHARP, box: { x, y, width: 700, height: 500 } };
      const [mix] = placesOf([whole], camera, ratio, pixel);
      const [other, sharp] = placesOf([whole, part], camera, ratio, pixel);
      near(other!.x, mix!.x, 0);
      near(other!.y, mix!.y, 0);
      // Each layer begins on a whole pixel of the screen: half of one either way.
      near(sharp!.x, mix!.x, 1 / ratio + 1e-6);
      near(sharp!.y, mix!.y, 1 / ratio + 1e-6);
    }
  });

  it('give all candidates on the wall one part, inside the picture and around the middle of the view', () => {
    const random = uniform(5);
    let camera = fitCamera(VIEW, PICTURE);
    for (let i = 0; i < GESTURES; i++) {
      camera = limit(gesture(random, camera).camera, VIEW, PICTURE);
      const part = bandPart(camera, VIEW, PICTURE, 2.5);
      if (part === undefined) continue;
      ok(part.x >= 0 && part.x + part.width <= PICTURE.width, 'inside, left and right');
      ok(part.y >= 0 && part.y + part.height <= PICTURE.height, 'inside, above and below');
      ok(part.x <= camera.x + 1 && camera.x - 1 <= part.x + part.width, 'around the middle');
      ok(part.y <= camera.y + 1 && camera.y - 1 <= part.y + part.height, 'around the middle');
    }
  });
});

const blank = (width: number, height: number): Layer['picture'] => ({
  width,
  height,
  data: new Uint8ClampedArray(4 * width * height),
  space: 'srgb',
});
const SMALL = blank(1600, 1069);
const SHARP = blank(700, 500);

/** Where a picture pixel lies in the view, as each layer was drawn. */
const placesOf = (layers: readonly Layer[], camera: Camera, ratio: number, pixel: Point): Point[] => {
  const places: Point[] = [];
  const drawn = [...layers];
  const context = {
    setTransform() {},
    clearRect() {},
    save() {},
    beginPath() {},
    rect() {},
    clip() {},
    restore() {},
    drawImage(_image: unknown, x: number, y: number, width: number, height: number) {
      const { box } = drawn.shift()!;
      places.push({
        x: x + ((pixel.x - box.x) / box.width) * width,
        y: y + ((pixel.y - box.y) / box.height) * height,
      });
    },
  };
  drawPicture(context as unknown as CanvasRenderingContext2D, ratio, VIEW, camera, layers);
  return places;
};
