import { css, html, LitElement } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { ScreenPicture } from '../../../lib/web/screen.ts';
import { canvasOf } from '../../model/canvas.ts';

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

  @property({ attribute: false }) picture: ScreenPicture | undefined;
  @query('canvas') private canvas!: HTMLCanvasElement;

  override render() {
    return html`<canvas width="480" height="192" aria-hidden="true"></canvas>`;
  }

  override updated(): void {
    const { canvas, picture } = this;
    const context = canvas.getContext('2d', { colorSpace: picture?.space ?? 'srgb' })!;
    context.clearRect(0, 0, canvas.width, canvas.height);
    if (picture === undefined) return;
    const scale = Math.max(canvas.width / picture.width, canvas.height / picture.height);
    const width = canvas.width / scale;
    const height = canvas.height / scale;
    context.imageSmoothingQuality = 'high';
    context.drawImage(
      canvasOf(picture),
      (picture.width - width) / 2,
      (picture.height - height) / 2,
      width,
      height,
      0,
      0,
      canvas.width,
      canvas.height,
    );
  }
}
