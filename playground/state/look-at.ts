import type { Camera, Point } from '../model/camera.ts';
import { $alone } from './alone.ts';
import { $lines } from './masters.ts';
import { $camera, $frame } from './view.ts';

/** Shows the master of a line alone, with a point of the picture in the middle of what no panel covers. */
export const lookAt = (line: string, { x, y }: Point, scaleOf: (frame: { camera: Camera }) => number): void => {
  const id = $lines.get()[line];
  const frame = $frame.get();
  if (id === undefined || frame === undefined) return;
  $alone.set({ line, id });
  const { view, open } = frame;
  const scale = scaleOf(frame);
  $camera.set({
    scale,
    x: x - (open.x + open.width / 2 - view.width / 2) / scale,
    y: y - (open.y + open.height / 2 - view.height / 2) / scale,
  });
};
