import { css, html, LitElement } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { Box } from '../../../lib/plane/box.ts';
import type { Preview } from '../../../lib/web/preview.ts';
import { watch } from '../../controllers/watch.ts';
import type { Size } from '../../model/camera.ts';
import { canvasOf } from '../../model/canvas.ts';
import { $seen } from '../../state/eyes.ts';

/** The middle of a picture as a wide band; decoration beside its name. */
@customElement('lw-band')
export class Band extends LitElement {
  static override styles = css`
    canvas {
      display: block;
      width: 100%;
      aspect-ratio: 5 / 2;
      background: var(--panel);
    }
  `;

  @property({ attribute: false }) picture: Preview | undefined;
  /** The part of the masters that is shown, in the band's shape; the middle of all of it where there is none. */
  @property({ attribute: false }) crop: Box | undefined;
  @query('canvas') private canvas!: HTMLCanvasElement;

  constructor() {
    super();
    watch(this, $seen);
  }

  override render() {
    return html`<canvas width="480" height="192" aria-hidden="true"></canvas>`;
  }

  override updated(): void {
    const { canvas, picture, crop } = this;
    const context = canvas.getContext('2d', { colorSpace: picture?.space ?? 'srgb' })!;
    context.clearRect(0, 0, canvas.width, canvas.height);
    if (picture === undefined) return;
    const shrunk = picture.width / picture.full.width;
    const { x, y, width, height } = crop
      ? { x: crop.x * shrunk, y: crop.y * shrunk, width: crop.width * shrunk, height: crop.height * shrunk }
      : middleOf(picture, canvas.width / canvas.height);
    context.imageSmoothingEnabled = width > canvas.width / 2;
    context.imageSmoothingQuality = 'high';
    context.drawImage(canvasOf($seen.get()(picture)), x, y, width, height, 0, 0, canvas.width, canvas.height);
  }
}

/** The largest part of a shape in the middle of a picture. */
const middleOf = (picture: Size, shape: number): Box => {
  const width = Math.min(picture.width, picture.height * shape);
  const height = width / shape;
  return { x: (picture.width - width) / 2, y: (picture.height - height) / 2, width, height };
};
