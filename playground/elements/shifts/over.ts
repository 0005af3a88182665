import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { DASHES, drawShifts } from '../../model/draw-shifts.ts';
import { exaggeration } from '../../model/shifts.ts';
import { $hiddenShifts, $shifts } from '../../state/shifts.ts';
import { $frame, type Frame } from '../../state/view.ts';
import { CanvasOver } from '../canvas-over.ts';

/** Arrows over the picture from where the reference has a place to where a line has it. */
@customElement('lw-shifts-over')
export class ShiftsOver extends CanvasOver {
  constructor() {
    super();
    watch(this, $shifts, $hiddenShifts, $frame);
  }

  protected override draw(context: CanvasRenderingContext2D, ratio: number, frame: Frame): void {
    const lines = ($shifts.get() ?? []).map((line, i) => ({ ...line, dash: DASHES[i % DASHES.length]! }));
    const shown = lines.filter(({ line }) => !$hiddenShifts.get().includes(line));
    drawShifts(context, ratio, frame, shown, exaggeration(lines, frame.full.width));
  }
}
