import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import type { Viewer } from '../../../lib/colour/statistics.ts';
import { watch } from '../../controllers/watch.ts';
import { $eyes, chooseEyes, EYES } from '../../state/eyes.ts';
import { $tools, putBack, TOOLS, type Tool } from '../../state/tools.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import { take } from './take.ts';

/** What can be laid over the picture, and whose eyes it is seen through. */
@customElement('lw-tools')
export class Tools extends LitElement {
  static override styles = [
    controls,
    css`
      :host {
        display: flex;
        flex-wrap: wrap;
        gap: 6px;
        align-items: center;
      }
      select {
        max-width: 13ch;
      }
      /* One row beside the panels. */
      @media (min-width: 801px) {
        :host {
          gap: 5px;
        }
        button {
          padding-inline: 7px;
        }
        select {
          max-width: 80px;
        }
      }
      @media (min-width: 801px) and (max-width: 1180px) {
        :host {
          display: contents;
        }
      }
      button[aria-pressed='true'] {
        color: var(--on-accent);
        background: var(--accent);
        border-color: var(--accent);
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $tools, $eyes);
  }

  override render() {
    const out = $tools.get();
    return html`${TOOLS.map(
      (tool) => html`<button type="button" aria-pressed=${out.includes(tool)} @click=${() => this.toggle(tool)}>
        ${text.tools[tool]}
      </button>`,
    )}
    <select aria-label=${text.tools.eyes} @change=${(event: Event) =>
      void chooseEyes((event.target as HTMLSelectElement).value as Viewer)}>
      ${EYES.map((eyes) => html`<option value=${eyes} ?selected=${eyes === $eyes.get()}>${text.tools.seenBy[eyes]}</option>`)}
    </select>`;
  }

  private toggle(tool: Tool): void {
    if ($tools.get().includes(tool)) putBack(tool);
    else take(tool);
  }
}
