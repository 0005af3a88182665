import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { toView } from '../../model/camera.ts';
import { $places } from '../../state/held-places.ts';
import { $frame } from '../../state/view.ts';

/** Numbers at the places whose colours are held. */
@customElement('lw-hold-over')
export class HoldOver extends LitElement {
  static override styles = css`
    :host {
      position: absolute;
      z-index: 1;
      inset: 0;
      overflow: hidden;
      pointer-events: none;
    }
    .place {
      position: absolute;
      min-width: 16px;
      padding: 0 3px;
      border: 1px solid #fff;
      outline: 1px solid #000;
      background: #000;
      color: #fff;
      font-size: 12px;
      line-height: 16px;
      text-align: center;
    }
  `;

  constructor() {
    super();
    watch(this, $places, $frame);
  }

  override render() {
    return html`${$places.get().map((_, i) => html`<span class="place" aria-hidden="true">${i + 1}</span>`)}`;
  }

  override updated(): void {
    const frame = $frame.get();
    if (frame === undefined) return;
    for (const [i, mark] of this.renderRoot.querySelectorAll<HTMLElement>('.place').entries()) {
      const { x, y } = $places.get()[i]!;
      // Beside the pixel, which stays to be seen.
      const at = toView(frame.camera, frame.view, { x: x + 1, y: y + 1 });
      mark.style.translate = `${at.x + 3}px ${at.y + 3}px`;
    }
  }
}
