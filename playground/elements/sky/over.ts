import { css, html, LitElement } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { drawBlocks } from '../../model/draw-blocks.ts';
import { drawPicture } from '../../model/draw-picture.ts';
import { $sky } from '../../state/sky.ts';
import { $frame } from '../../state/view.ts';
import { overlay } from '../../styles/overlay.ts';

/** One line in the place of the mix, with the blocks that its background surface rests on. */
@customElement('lw-sky-over')
export class SkyOver extends LitElement {
  static override styles = [
    overlay,
    css`
      canvas.whole {
        background: var(--ground);
      }
    `,
  ];

  @query('canvas') private canvas!: HTMLCanvasElement;

  constructor() {
    super();
    watch(this, $sky, $frame);
  }

  override render() {
    return html`<canvas aria-hidden="true" class=${$sky.get() ? 'whole' : ''}></canvas>`;
  }

  override updated(): void {
    const [frame, sky] = [$frame.get(), $sky.get()];
    if (frame === undefined) return;
    const { canvas } = this;
    const ratio = devicePixelRatio;
    // Setting the size clears the canvas.
    canvas.width = Math.round(frame.view.width * ratio);
    canvas.height = Math.round(frame.view.height * ratio);
    if (sky === undefined) return;
    const context = canvas.getContext('2d')!;
    drawPicture(context, ratio, frame.view, frame.camera, [sky.layer]);
    // The picture of a surface shows its blocks itself.
    if (sky.layer.picture !== sky.view.picture) drawBlocks(context, ratio, frame, sky.view);
  }
}
