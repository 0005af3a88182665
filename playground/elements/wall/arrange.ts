import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { $pinned } from '../../state/candidates.ts';
import { $drawingSheet, $pinnedOnly, printSheet, saveSheet } from '../../state/sheet.ts';
import { $order, ORDERS, type Order } from '../../state/wall.ts';
import { $cropped } from '../../state/wall-crop.ts';
import { orderBy } from '../../state/wall-figures.ts';
import { controls } from '../../styles/controls.ts';
import { wallText as text } from '../../text-wall.ts';

/** What the wall is ordered by, and which part its pictures show. */
@customElement('lw-wall-arrange')
export class WallArrange extends LitElement {
  static override styles = [
    controls,
    css`
      :host {
        display: grid;
        gap: 6px;
        padding: 6px 0 4px;
      }
      select {
        width: 100%;
      }
      .sheet {
        display: flex;
        flex-wrap: wrap;
        gap: 6px;
      }
      label.crop {
        display: flex;
        gap: 7px;
        align-items: start;
      }
      input[type='checkbox'] {
        margin-top: 3px;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $order, $cropped, $drawingSheet, $pinnedOnly, $pinned);
  }

  override render() {
    const order = $order.get();
    return html`<label
        >${text.order}
        <select aria-describedby="about" @change=${(event: Event) =>
          orderBy((event.target as HTMLSelectElement).value as Order)}>
          ${ORDERS.map((name) => html`<option value=${name} ?selected=${name === order}>${text.orders[name]}</option>`)}
        </select></label
      >
      <p class="soft" id="about" ?hidden=${order === 'listed'}>${text.about[order]}</p>
      <label class="crop"
        ><input type="checkbox" .checked=${$cropped.get()} @change=${() => $cropped.set(!$cropped.get())} />
        ${text.crop}</label
      >
      ${
        $pinned.get().length === 0
          ? ''
          : html`<label class="crop"
              ><input
                type="checkbox"
                .checked=${$pinnedOnly.get()}
                @change=${() => $pinnedOnly.set(!$pinnedOnly.get())}
              />
              ${text.pinnedOnly}</label
            >`
      }
      ${this.sheet()}`;
  }

  private sheet() {
    const drawing = $drawingSheet.get();
    if (drawing !== undefined)
      return html`<span id="drawing">${text.drawing}</span>
        <progress aria-labelledby="drawing" max="1" .value=${drawing.done}></progress>
        <button type="button" @click=${() => drawing.cancel()}>${text.cancel}</button>`;
    return html`<div class="sheet">
      <button type="button" @click=${saveSheet}>${text.sheet}</button>
      <button type="button" @click=${printSheet}>${text.print}</button>
    </div>`;
  }
}
