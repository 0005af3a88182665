import { css, html, LitElement } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { openFiles } from '../../state/files.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';

/** The button that opens files; dropping them anywhere on the page does the same. */
@customElement('lw-open')
export class OpenButton extends LitElement {
  static override styles = [
    controls,
    css`
      input {
        display: none;
      }
    `,
  ];

  @query('input') private input!: HTMLInputElement;

  override render() {
    return html`<button type="button" @click=${() => this.input.click()}>${text.app.choose}</button>
      <input
        type="file"
        multiple
        accept=".fits,.fit,.fts,.fz,.gz,.tif,.tiff,.json"
        aria-label=${text.app.choose}
        @change=${this.chosen}
      />`;
  }

  private chosen(): void {
    void openFiles([...(this.input.files ?? [])]);
    // The same file can then be chosen again.
    this.input.value = '';
  }
}
