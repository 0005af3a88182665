import { css, html, LitElement, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { drawScope } from '../../model/draw-scope.ts';
import { $cloud } from '../../state/finish.ts';
import { $picture } from '../../state/picture.ts';
import { $surround } from '../../state/view.ts';
import { text } from '../../text-finish.ts';

/** Where the colours of the picture lie: hue by direction, chroma by distance from grey. */
@customElement('lw-scope')
export class Scope extends LitElement {
  static override styles = css`
    canvas {
      display: block;
      width: 100%;
      max-width: 260px;
      aspect-ratio: 1;
      margin-inline: auto;
    }
  `;

  constructor() {
    super();
    watch(this, $cloud, $picture, $surround);
  }

  override render() {
    return $cloud.get() === undefined
      ? nothing
      : html`<canvas role="img" aria-label=${text.scopeOf} title=${text.scopeOf}></canvas>`;
  }

  override updated(): void {
    const [cloud, picture] = [$cloud.get(), $picture.get()];
    const canvas = this.renderRoot.querySelector('canvas');
    if (canvas && cloud && picture) drawScope(canvas, cloud, picture.settled);
  }
}
