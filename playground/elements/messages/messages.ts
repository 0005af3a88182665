import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import { watch } from '../../controllers/watch.ts';
import { $messages, type Message, unsay } from '../../state/messages.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';

/** What happened, in words; faults are spoken at once, notes when the reader is done. */
@customElement('lw-messages')
export class Messages extends LitElement {
  static override styles = [
    controls,
    css`
      .message {
        display: flex;
        gap: 4px 8px;
        align-items: start;
        padding: 8px 12px;
        margin-top: 6px;
        background: var(--panel);
        border: 1px solid var(--line);
        border-inline-start: 3px solid var(--faint);
        overflow-wrap: anywhere;
      }
      .message > div {
        flex: 1;
      }
      .message p {
        white-space: pre-line;
      }
      .fault {
        border-color: var(--alert);
      }
      .advice {
        color: var(--soft);
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $messages);
  }

  override render() {
    const messages = $messages.get();
    const some = (kind: Message['kind']) =>
      repeat(
        messages.filter((message) => message.kind === kind),
        ({ topic }) => topic,
        (message) => this.message(message),
      );
    return html`<div role="alert" aria-label=${text.messages.label}>${some('fault')}</div>
      <div role="status">${some('note')}</div>`;
  }

  private message({ topic, kind, words, advice, action }: Message) {
    return html`<div class="message ${kind}">
      <div>
        <p>${words}</p>
        ${advice ? html`<p class="advice">${advice}</p>` : ''}
      </div>
      ${action ? html`<button type="button" @click=${action.act}>${action.words}</button>` : ''}
      <button type="button" @click=${() => unsay(topic)}>${text.messages.dismiss}</button>
    </div>`;
  }
}
