import { html, LitElement } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { drawRings } from '../../model/rings.ts';
import { $ringed } from '../../state/own-stars.ts';
import { $frame } from '../../state/view.ts';
import { overlay } from '../../styles/overlay.ts';

/** Rings over the picture around the stars that were found. */
@customElement('lw-rings-over')
export class RingsOver extends LitElement {
  static override styles = overlay;

  @query('canvas') private canvas!: HTMLCanvasElement;

  constructor() {
    super();
    watch(this, $ringed, $frame);
  }

  override render() {
    return html`<canvas aria-hidden="true"></canvas>`;
  }

  override updated(): void {
    const [frame, found] = [$frame.get(), $ringed.get()];
    if (frame === undefined) return;
    const { canvas } = this;
    const ratio = devicePixelRatio;
    // Setting the size clears the canvas.
    canvas.width = Math.round(frame.view.width * ratio);
    canvas.height = Math.round(frame.view.height * ratio);
    if (found) drawRings(canvas.getContext('2d')!, ratio, frame, found.listed, found.ringed);
  }
}
