import { css, html } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { drawBlocks } from '../../model/draw-blocks.ts';
import { drawPicture } from '../../model/draw-picture.ts';
import { $sky } from '../../state/sky.ts';
import { $frame, type Frame } from '../../state/view.ts';
import { overlay } from '../../styles/overlay.ts';
import { CanvasOver } from '../canvas-over.ts';

/** One line in the place of the mix, with the blocks that its background surface rests on. */
@customElement('lw-sky-over')
export class SkyOver extends CanvasOver {
  static override styles = [
    overlay,
    css`
      canvas.whole {
        background: var(--ground);
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $sky, $frame);
  }

  override render() {
    return html`<canvas aria-hidden="true" class=${$sky.get() ? 'whole' : ''}></canvas>`;
  }

  protected override draw(context: CanvasRenderingContext2D, ratio: number, frame: Frame): void {
    const sky = $sky.get();
    if (sky === undefined) return;
    drawPicture(context, ratio, frame.view, frame.camera, [sky.layer]);
    // The picture of a surface shows its blocks itself.
    if (sky.layer.picture !== sky.view.picture) drawBlocks(context, ratio, frame, sky.view);
  }
}
