import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import { watch } from '../../controllers/watch.ts';
import { $masters, $onSamples, $opening } from '../../state/masters.ts';
import { $stars } from '../../state/stars.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import '../line/line.ts';
import '../open/open.ts';
import { notLoaded } from '../tools/take.ts';

/** The open masters, the way to open others, and what is being read. */
@customElement('lw-lines')
export class LinesPanel extends LitElement {
  static override styles = [
    controls,
    css`
      .invite {
        margin: 6px 0 0;
      }
      lw-open {
        margin-block: 8px 12px;
      }
      lw-line {
        border-top: 1px solid var(--line);
      }
      .stars {
        padding-block: 10px;
        border-top: 1px solid var(--line);
      }
      summary {
        min-height: 24px;
        font-weight: 600;
        cursor: pointer;
      }
      @media (pointer: coarse) {
        summary {
          min-height: 40px;
        }
      }
      .work {
        display: grid;
        gap: 6px;
        margin-bottom: 12px;
      }
      .work button {
        justify-self: start;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $masters, $onSamples, $opening, $stars);
  }

  override render() {
    const masters = $masters.get();
    const work = $opening.get();
    return html`<h2>${text.lines.title}</h2>
      <p class="invite soft">${$onSamples.get() ? text.app.invite : ''} ${text.app.private}</p>
      <lw-open></lw-open>
      ${
        work === undefined
          ? ''
          : html`<div class="work">
              <span id="work">${work.words}</span>
              <progress aria-labelledby="work" max="1" .value=${work.done}></progress>
              <button type="button" @click=${() => work.cancel()}>${text.lines.cancel}</button>
            </div>`
      }
      ${$onSamples.get() ? '' : html`<lw-fit></lw-fit><lw-defects></lw-defects>`}
      ${masters.length === 0 && work === undefined ? html`<p class="soft">${text.lines.none}</p>` : ''}
      ${repeat(
        masters,
        ({ id }) => id,
        (master) => html`<lw-line .master=${master}></lw-line>`,
      )}
      <details class="stars" ?open=${$stars.get() !== undefined} @toggle=${() => void import('../stars/stars.ts').catch(notLoaded)}>
        <summary>${text.stars.title}</summary>
        <lw-stars></lw-stars>
      </details>`;
  }

  /** The samples are known to fit; what looks at other masters is loaded with the first of them. */
  override updated(): void {
    if (!$onSamples.get()) void import('../fit/fit.ts').catch(() => {});
  }
}
