import { css, html, LitElement } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { say } from '../../state/messages.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';

/** The way to all further choices, which are loaded when it is first opened. */
@customElement('lw-more-choices')
export class MoreChoices extends LitElement {
  static override styles = [
    controls,
    css`
      details {
        padding-top: 6px;
        border-top: 1px solid var(--line);
      }
      summary {
        width: max-content;
        min-height: 24px;
        cursor: pointer;
      }
      @media (pointer: coarse) {
        summary {
          min-height: 40px;
        }
      }
    `,
  ];

  @state() private open = false;

  override render() {
    return html`<details @toggle=${this.toggle}>
      <summary>${text.mix.more}</summary>
      ${this.open ? html`<lw-choices></lw-choices>` : ''}
    </details>`;
  }

  private toggle(event: Event): void {
    this.open = (event.target as HTMLDetailsElement).open;
    if (!this.open) return;
    import('./choices.ts').catch(() =>
      say({ topic: 'choices', kind: 'fault', words: text.app.notLoaded, advice: text.app.notLoadedAdvice }),
    );
  }
}
