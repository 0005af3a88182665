import { css, html, LitElement, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { RejectedPixels } from '../../../lib/web/rejected.ts';
import { watch } from '../../controllers/watch.ts';
import { cssOfMaster } from '../../model/draw-rejected.ts';
import { $lines } from '../../state/masters.ts';
import { $findingRejected, $rejected, showLargest, showRejected } from '../../state/rejected.ts';
import { $rejectedShown } from '../../state/rejected-shown.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-rejected.ts';
import './over.ts';

/** Which pixels combining left out of the masters of a line: marked over the picture when asked, and counted. */
@customElement('lw-rejected')
export class RejectedPanel extends LitElement {
  static override styles = [
    controls,
    css`
      :host {
        display: block;
        margin-bottom: 8px;
        font-size: 12px;
      }
      p {
        margin: 6px 0;
      }
      label {
        display: flex;
        gap: 6px;
        align-items: center;
        min-height: 24px;
      }
      ul {
        list-style: none;
        display: grid;
        gap: 6px;
        margin: 6px 0;
        padding: 0;
      }
      li {
        display: grid;
        grid-template-columns: 12px 1fr auto;
        gap: 8px;
        align-items: center;
        overflow-wrap: anywhere;
      }
      svg {
        width: 12px;
        height: 12px;
      }
      rect {
        stroke: var(--ink);
      }
    `,
  ];

  @property() line = '';

  constructor() {
    super();
    watch(this, $rejected, $rejectedShown, $findingRejected, $lines);
  }

  override render() {
    const { line } = this;
    const shown = $rejectedShown.get() === line;
    const found = $rejected.get();
    return html`<p class="soft">${text.about}</p>
      <label
        ><input
          type="checkbox"
          aria-label=${text.overOf(line)}
          .checked=${shown}
          ?disabled=${!(line in $lines.get())}
          @change=${(event: Event) => void showRejected(line, (event.target as HTMLInputElement).checked)}
        />${text.over}</label
      >
      <div role="status">
        ${$findingRejected.get() === line ? html`<p>${text.finding}</p>` : ''}
        ${shown && found?.line === line ? this.list(found.masters) : ''}
      </div>`;
  }

  private list(masters: readonly RejectedPixels[]) {
    return html`<ul aria-label=${text.masters(this.line)}>
      ${masters.map(
        ({ file, pixels, largest }, k) => html`<li>
          <svg viewBox="0 0 12 12" aria-hidden="true">
            ${svg`<rect x="0.5" y="0.5" width="11" height="11" fill=${cssOfMaster(k)}></rect>`}
          </svg>
          <span>${file}: ${pixels === 0 ? text.none : text.pixels(pixels)}</span>
          ${
            largest === undefined
              ? ''
              : html`<button
                  type="button"
                  aria-label=${text.showOf(file)}
                  title=${text.showOf(file)}
                  @click=${() => showLargest(this.line, k)}
                >
                  ${text.show}
                </button>`
          }
        </li>`,
      )}
    </ul>`;
  }
}
