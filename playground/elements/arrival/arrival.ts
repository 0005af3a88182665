import { css, html, LitElement, nothing } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { $arrival, PLACES } from '../../state/arrival.ts';
import { controls } from '../../styles/controls.ts';
import { dialog } from '../../styles/dialog.ts';
import { text } from '../../text-arrival.ts';

/** Asks what masters are that came for lines that are taken. */
@customElement('lw-arrival')
export class ArrivalQuestion extends LitElement {
  static override styles = [
    controls,
    dialog,
    css`
      .files {
        color: var(--soft);
        overflow-wrap: anywhere;
      }
      .ways {
        display: grid;
        gap: 10px;
      }
      .ways > div {
        display: grid;
        grid-template-columns: 190px 1fr;
        gap: 4px 12px;
        align-items: center;
      }
      @media (max-width: 560px) {
        .ways > div {
          grid-template-columns: 1fr;
        }
      }
    `,
  ];

  @query('dialog') private dialog!: HTMLDialogElement | null;

  constructor() {
    super();
    watch(this, $arrival);
  }

  override render() {
    const asked = $arrival.get();
    if (asked === undefined) return nothing;
    const { files, lines, answer } = asked;
    return html`<dialog aria-labelledby="question" @cancel=${() => answer(undefined)}>
      <h2 id="question">${text.question(lines)}</h2>
      <p class="files">${files.join(', ')}</p>
      <div class="ways">
        ${PLACES.map(
          (place) => html`<div>
            <button type="button" aria-describedby=${place} @click=${() => answer(place)}>${text.places[place]}</button>
            <span class="soft" id=${place}>${text.about[place](lines)}</span>
          </div>`,
        )}
      </div>
      <button type="button" @click=${() => answer(undefined)}>${text.none}</button>
    </dialog>`;
  }

  override updated(): void {
    if (this.dialog?.open === false) this.dialog.showModal();
  }
}
