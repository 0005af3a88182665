import { css, html, LitElement, nothing } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { KEYS } from '../../model/keys.ts';
import { $keysShown } from '../../state/keys.ts';
import { controls } from '../../styles/controls.ts';
import { dialog } from '../../styles/dialog.ts';
import { text } from '../../text-keys.ts';

type Row = readonly [keys: readonly string[], words: string];

/** All keys of the page. */
@customElement('lw-keys')
export class KeyList extends LitElement {
  static override styles = [
    controls,
    dialog,
    css`
      dl {
        display: grid;
        grid-template-columns: max-content 1fr;
        gap: 5px 16px;
        margin: 8px 0 0;
      }
      dt {
        display: flex;
        gap: 4px;
      }
      dd {
        margin: 0;
        align-self: center;
      }
      h3 {
        margin: 0;
        font-size: 13px;
        font-weight: 400;
      }
      kbd {
        min-width: 22px;
        padding: 1px 6px;
        font: inherit;
        text-align: center;
        border: 1px solid var(--edge);
        border-radius: 2px;
      }
    `,
  ];

  @query('dialog') private dialog!: HTMLDialogElement | null;

  constructor() {
    super();
    watch(this, $keysShown);
  }

  override render() {
    if (!$keysShown.get()) return nothing;
    const control = /mac/i.test(navigator.platform) ? '⌘' : 'Ctrl';
    const page: Row[] = [
      ...Object.entries(KEYS).map(([key, act]): Row => [[key.toUpperCase()], text.acts[act]]),
      [[control, 'Z'], text.undo],
      [[control, 'Y'], text.redo],
    ];
    return html`<dialog aria-labelledby="title" @close=${() => $keysShown.set(false)}>
      <h2 id="title">${text.title}</h2>
      ${list(text.page, page)} ${list(text.picture, text.pictureKeys)}
      <p class="soft">${text.pointer}</p>
      ${list(text.fields, text.fieldKeys)}
      <button type="button" @click=${() => this.dialog?.close()}>${text.close}</button>
    </dialog>`;
  }

  override updated(): void {
    if (this.dialog?.open === false) this.dialog.showModal();
  }
}

const list = (title: string, rows: readonly Row[]) => html`<div>
  <h3 class="soft">${title}</h3>
  <dl>
    ${rows.map(
      ([keys, words]) => html`<dt>${keys.map((key) => html`<kbd>${key}</kbd>`)}</dt>
        <dd>${words}</dd>`,
    )}
  </dl>
</div>`;
