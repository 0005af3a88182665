import type { Defect, Point } from '../../lib/check/defects.ts';
import { type Camera, type Size, toView } from './camera.ts';
import { crossPath, strokeOutlined } from './outline.ts';

const SURE = { width: 1.2, rim: 2.6 };
const POSSIBLE = { ...SURE, dash: [6, 5] };
/** How far lines run beside a trail or column, and the half side of the mark of a spot, in view pixels. */
const [BESIDE, SPOT] = [6, 5];

/** Two lines beside a long defect, so that it can be seen between them; a cross on every spot. */
export const drawDefects = (
  context: CanvasRenderingContext2D,
  ratio: number,
  { view, camera }: { readonly view: Size; readonly camera: Camera },
  defects: readonly Defect[],
): void => {
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  const at = ([x, y]: Point) => toView(camera, view, { x: x + 0.5, y: y + 0.5 });
  for (const defect of defects)
    strokeOutlined(context, defect.certainty === 'sure' ? SURE : POSSIBLE, () => {
      if (defect.kind === 'spots') {
        for (const place of defect.places ?? []) crossPath(context, at(place), SPOT);
        return;
      }
      const [from, to] = [at(defect.from), at(defect.to)];
      const length = Math.hypot(to.x - from.x, to.y - from.y) || 1;
      const far = BESIDE + ((defect.width ?? 1) * camera.scale) / 2;
      const [dx, dy] = [(-(to.y - from.y) / length) * far, ((to.x - from.x) / length) * far];
      for (const side of [1, -1]) {
        context.moveTo(from.x + side * dx, from.y + side * dy);
        context.lineTo(to.x + side * dx, to.y + side * dy);
      }
    });
};
