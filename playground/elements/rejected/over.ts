import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { paintRejected } from '../../model/draw-rejected.ts';
import { $rejected } from '../../state/rejected.ts';
import { $rejectedShown } from '../../state/rejected-shown.ts';
import { $frame, type Frame } from '../../state/view.ts';
import { CanvasOver } from '../canvas-over.ts';

/** Pixels that combining rejected, over the picture, in the colour of the master they were left out of. */
@customElement('lw-rejected-over')
export class RejectedOver extends CanvasOver {
  constructor() {
    super();
    watch(this, $rejected, $rejectedShown, $frame);
  }

  protected override draw(context: CanvasRenderingContext2D, ratio: number, frame: Frame): void {
    const found = $rejected.get();
    if (found === undefined || found.line !== $rejectedShown.get()) return;
    const { width, height } = context.canvas;
    const pixels = context.createImageData(width, height);
    paintRejected(
      pixels,
      ratio,
      frame,
      found.masters.map(({ mask }) => mask),
    );
    context.putImageData(pixels, 0, 0);
  }
}
