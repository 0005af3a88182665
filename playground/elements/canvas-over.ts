import { type CSSResultGroup, html, LitElement, type TemplateResult } from 'lit';
import { query } from 'lit/decorators.js';
import { $frame, type Frame } from '../state/view.ts';
import { overlay } from '../styles/overlay.ts';

/** A canvas over the picture, as fine as the screen. It is cleared and drawn again after each change that its element watches. */
export abstract class CanvasOver extends LitElement {
  static override styles: CSSResultGroup = overlay;

  @query('canvas') private canvas!: HTMLCanvasElement;

  override render(): TemplateResult {
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
    this.draw(canvas.getContext('2d')!, ratio, frame);
  }

  /** @param ratio pixels of the canvas to a CSS pixel */
  protected abstract draw(context: CanvasRenderingContext2D, ratio: number, frame: Frame): void;
}
