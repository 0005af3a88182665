import { html, LitElement } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { paintRejected } from '../../model/draw-rejected.ts';
import { $rejected } from '../../state/rejected.ts';
import { $rejectedShown } from '../../state/rejected-shown.ts';
import { $frame } from '../../state/view.ts';
import { overlay } from '../../styles/overlay.ts';

/** Pixels that combining rejected, over the picture, in the colour of the master they were left out of. */
@customElement('lw-rejected-over')
export class RejectedOver extends LitElement {
  static override styles = overlay;

  @query('canvas') private canvas!: HTMLCanvasElement;

  constructor() {
    super();
    watch(this, $rejected, $rejectedShown, $frame);
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
    const found = $rejected.get();
    if (found === undefined || found.line !== $rejectedShown.get()) return;
    const context = canvas.getContext('2d')!;
    const pixels = context.createImageData(canvas.width, canvas.height);
    paintRejected(
      pixels,
      ratio,
      frame,
      found.masters.map(({ mask }) => mask),
    );
    context.putImageData(pixels, 0, 0);
  }
}
