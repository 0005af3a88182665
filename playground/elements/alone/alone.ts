import { css, html, LitElement, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { $alone, type Alone } from '../../state/alone.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import { comparedText } from '../../text-compared.ts';

/** What is looked at alone in the place of the mix, and the way back. */
@customElement('lw-alone')
export class AloneNote extends LitElement {
  static override styles = [
    controls,
    css`
      div {
        position: absolute;
        left: calc(var(--left, 0px) + 12px);
        top: 10px;
        display: flex;
        gap: 10px;
        align-items: center;
        max-width: calc(100% - var(--left, 0px) - var(--right, 0px) - 24px);
        padding: 4px 6px 4px 12px;
        background: var(--panel);
        border: 1px solid var(--line);
        overflow-wrap: anywhere;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $alone);
  }

  override render() {
    const alone = $alone.get();
    if (alone === undefined) return nothing;
    return html`<div role="status">
      <span>${wordsOf(alone)}</span>
      <button type="button" @click=${() => $alone.set(undefined)}>${text.alone.back}</button>
    </div>`;
  }
}

const wordsOf = ({ line, file, removed, mask }: Alone): string => {
  if (mask) return comparedText.mask;
  return removed ? comparedText.removedFrom(line) : text.alone.shown(line, file);
};
