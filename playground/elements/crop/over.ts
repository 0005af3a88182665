import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { toView } from '../../model/camera.ts';
import { $cover } from '../../state/crop.ts';
import { $frame } from '../../state/view.ts';

/** What a crop cuts away is dimmed, what it leaves has a frame. */
@customElement('lw-crop-over')
export class CropOver extends LitElement {
  static override styles = css`
    :host {
      position: absolute;
      inset: 0;
      overflow: hidden;
      pointer-events: none;
    }
    div {
      position: absolute;
      outline: 1px solid #fff;
      box-shadow: 0 0 0 9999px color-mix(in srgb, var(--ground) 78%, transparent);
    }
  `;

  constructor() {
    super();
    watch(this, $cover, $frame);
  }

  override render() {
    return $cover.get()?.box ? html`<div></div>` : '';
  }

  override updated(): void {
    const [frame, box] = [$frame.get(), $cover.get()?.box];
    const element = this.renderRoot.querySelector('div');
    if (frame === undefined || box === undefined || element === null) return;
    const at = toView(frame.camera, frame.view, box);
    element.style.translate = `${at.x}px ${at.y}px`;
    element.style.width = `${box.width * frame.camera.scale}px`;
    element.style.height = `${box.height * frame.camera.scale}px`;
  }
}
