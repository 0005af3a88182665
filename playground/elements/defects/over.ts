import { html, LitElement } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { drawDefects } from '../../model/draw-defects.ts';
import { $defects } from '../../state/defects.ts';
import { $frame } from '../../state/view.ts';
import { overlay } from '../../styles/overlay.ts';

/** Marks over the picture where masters have defects. */
@customElement('lw-defects-over')
export class DefectsOver extends LitElement {
  static override styles = overlay;

  @query('canvas') private canvas!: HTMLCanvasElement;

  constructor() {
    super();
    watch(this, $defects, $frame);
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
    drawDefects(canvas.getContext('2d')!, ratio, frame, $defects.get() ?? []);
  }
}
