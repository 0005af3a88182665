import { html, LitElement } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { DASHES, drawShifts } from '../../model/draw-shifts.ts';
import { exaggeration } from '../../model/shifts.ts';
import { $hiddenShifts, $shifts } from '../../state/shifts.ts';
import { $frame } from '../../state/view.ts';
import { overlay } from '../../styles/overlay.ts';

/** Arrows over the picture from where the reference has a place to where a line has it. */
@customElement('lw-shifts-over')
export class ShiftsOver extends LitElement {
  static override styles = overlay;

  @query('canvas') private canvas!: HTMLCanvasElement;

  constructor() {
    super();
    watch(this, $shifts, $hiddenShifts, $frame);
  }

  override render() {
    return html`<canvas aria-hidden="true"></canvas>`;
  }

  override updated(): void {
    const frame = $frame.get();
    if (frame === undefined) return;
    const { canvas } = this;
    const ratio = devicePixelRatio;
    // Setting the size clears the canvas.
    canvas.width = Math.round(frame.view.width * ratio);
    canvas.height = Math.round(frame.view.height * ratio);
    const lines = ($shifts.get() ?? []).map((line, i) => ({ ...line, dash: DASHES[i % DASHES.length]! }));
    const shown = lines.filter(({ line }) => !$hiddenShifts.get().includes(line));
    const factor = exaggeration(lines, frame.full.width);
    drawShifts(canvas.getContext('2d')!, ratio, frame, shown, factor);
  }
}
