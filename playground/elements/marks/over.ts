import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { drawMarks } from '../../model/draw-marks.ts';
import { $kinds, $marked } from '../../state/marks.ts';
import { $frame, type Frame } from '../../state/view.ts';
import { CanvasOver } from '../canvas-over.ts';

/** Patterns over the pixels that the mix cannot show as it asks for them. */
@customElement('lw-marks-over')
export class MarksOver extends CanvasOver {
  constructor() {
    super();
    watch(this, $marked, $kinds, $frame);
  }

  protected override draw(context: CanvasRenderingContext2D, ratio: number, frame: Frame): void {
    const found = $marked.get();
    if (found === undefined) return;
    const box = found.box ?? { x: 0, y: 0, ...frame.full };
    drawMarks(context, ratio, found.marked, $kinds.get(), { ...frame, box });
  }
}
