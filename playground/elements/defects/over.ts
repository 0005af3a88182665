import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { drawDefects } from '../../model/draw-defects.ts';
import { $defects } from '../../state/defects.ts';
import { $frame, type Frame } from '../../state/view.ts';
import { CanvasOver } from '../canvas-over.ts';

/** Marks over the picture where masters have defects. */
@customElement('lw-defects-over')
export class DefectsOver extends CanvasOver {
  constructor() {
    super();
    watch(this, $defects, $frame);
  }

  protected override draw(context: CanvasRenderingContext2D, ratio: number, frame: Frame): void {
    drawDefects(context, ratio, frame, $defects.get() ?? []);
  }
}
