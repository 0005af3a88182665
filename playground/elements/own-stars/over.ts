import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { drawRings } from '../../model/rings.ts';
import { $ringed } from '../../state/own-stars.ts';
import { $frame, type Frame } from '../../state/view.ts';
import { CanvasOver } from '../canvas-over.ts';

/** Rings over the picture around the stars that were found. */
@customElement('lw-rings-over')
export class RingsOver extends CanvasOver {
  constructor() {
    super();
    watch(this, $ringed, $frame);
  }

  protected override draw(context: CanvasRenderingContext2D, ratio: number, frame: Frame): void {
    const found = $ringed.get();
    if (found) drawRings(context, ratio, frame, found.listed, found.ringed);
  }
}
