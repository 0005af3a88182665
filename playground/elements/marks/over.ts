import { html, LitElement } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { drawMarks } from '../../model/draw-marks.ts';
import { $kinds, $marked } from '../../state/marks.ts';
import { $frame } from '../../state/view.ts';
import { overlay } from '../../styles/overlay.ts';

/** Patterns over the pixels that the mix cannot show as it asks for them. */
@customElement('lw-marks-over')
export class MarksOver extends LitElement {
  static override styles = overlay;

  @query('canvas') private canvas!: HTMLCanvasElement;

  constructor() {
    super();
    watch(this, $marked, $kinds, $frame);
  }

  override render() {
    return html`<canvas aria-hidden="true"></canvas>`;
  }

  override updated(): void {
    const [frame, found] = [$frame.get(), $marked.get()];
    const ratio = devicePixelRatio;
    if (frame === undefined) return;
    const { canvas } = this;
    // Setting the size clears the canvas.
    canvas.width = Math.round(frame.view.width * ratio);
    canvas.height = Math.round(frame.view.height * ratio);
    if (found === undefined) return;
    const box = found.box ?? { x: 0, y: 0, ...frame.full };
    drawMarks(canvas.getContext('2d')!, ratio, found.marked, $kinds.get(), { ...frame, box });
  }
}
