import { css, html, LitElement } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import { keyed } from 'lit/directives/keyed.js';
import type { Box } from '../../../lib/plane/box.ts';
import type { Preview } from '../../../lib/web/preview.ts';
import { watch } from '../../controllers/watch.ts';
import { canvasOf } from '../../model/canvas.ts';
import { $seen } from '../../state/eyes.ts';
import { $wideGamut, canvasSpace } from '../../state/screen.ts';

/** Longest side in pixels. */
const LONGEST = 480;

/** A picture of the wall in its own shape, or a part of it; decoration beside its name. */
@customElement('lw-band')
export class Band extends LitElement {
  static override styles = css`
    canvas {
      display: block;
      width: var(--band-width, 100%);
      height: var(--band-height, auto);
      object-fit: contain;
      background: var(--panel);
    }
  `;

  @property({ attribute: false }) picture: Preview | undefined;
  /** The part of the masters that is shown; all of it where there is none. */
  @property({ attribute: false }) crop: Box | undefined;
  @query('canvas') private canvas!: HTMLCanvasElement;

  constructor() {
    super();
    watch(this, $seen, $wideGamut);
  }

  override render() {
    const canvas = html`<canvas width="480" height="320" aria-hidden="true"></canvas>`;
    return keyed(canvasSpace(this.picture), canvas);
  }

  override updated(): void {
    const { canvas, picture, crop } = this;
    const context = canvas.getContext('2d', { colorSpace: canvasSpace(picture) })!;
    if (picture === undefined) return void context.clearRect(0, 0, canvas.width, canvas.height);
    const shrunk = picture.width / picture.full.width;
    const { x, y, width, height } = crop
      ? { x: crop.x * shrunk, y: crop.y * shrunk, width: crop.width * shrunk, height: crop.height * shrunk }
      : { x: 0, y: 0, width: picture.width, height: picture.height };
    const side = LONGEST / Math.max(width, height);
    // Setting the size clears the canvas.
    canvas.width = Math.max(1, Math.round(width * side));
    canvas.height = Math.max(1, Math.round(height * side));
    context.imageSmoothingEnabled = width > canvas.width / 2;
    context.imageSmoothingQuality = 'high';
    context.drawImage(canvasOf($seen.get()(picture)), x, y, width, height, 0, 0, canvas.width, canvas.height);
  }
}
