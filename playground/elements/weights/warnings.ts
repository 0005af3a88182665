import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { $picture } from '../../state/picture.ts';
import { controls } from '../../styles/controls.ts';

/** What is to be said of the mix on screen. Last of its panel: it comes and goes without moving a control. */
@customElement('lw-mix-warnings')
export class MixWarnings extends LitElement {
  static override styles = [
    controls,
    css`
      :host {
        display: grid;
        gap: 8px;
      }
      p {
        padding-inline-start: 8px;
        border-inline-start: 2px solid var(--alert);
        font-size: 12px;
        overflow-wrap: anywhere;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $picture);
  }

  override render() {
    return ($picture.get()?.warnings ?? []).map((warning) => html`<p>${warning}</p>`);
  }
}
