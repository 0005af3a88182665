import type { SurfaceView } from '../../lib/web/surface.ts';
import { type Camera, type Size, toView } from './camera.ts';
import { crossPath, strokeOutlined } from './outline.ts';

/** Marks the blocks that a surface rests on with a dot, those rejected with a cross, each with a dark rim. */
export const drawBlocks = (
  context: CanvasRenderingContext2D,
  ratio: number,
  { view, camera }: { readonly view: Size; readonly camera: Camera },
  { blocks, size }: Pick<SurfaceView, 'blocks' | 'size'>,
): void => {
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  const arm = Math.min(6, Math.max(1.5, (size * camera.scale) / 5));
  for (const { x, y, used } of blocks) {
    const at = toView(camera, view, { x, y });
    if (at.x < -arm || at.y < -arm || at.x > view.width + arm || at.y > view.height + arm) continue;
    strokeOutlined(context, { width: 1.2, rim: 3 }, () => {
      if (used) context.arc(at.x, at.y, Math.max(0.6, arm / 3), 0, 2 * Math.PI);
      else crossPath(context, at, arm);
    });
  }
};
