import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { $surround, chooseSurround, SURROUNDS } from '../../state/view.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';

/** The grey that the picture is judged against, or the dim red for the telescope. */
@customElement('lw-surround')
export class SurroundChoice extends LitElement {
  static override styles = [
    controls,
    css`
      fieldset {
        display: flex;
        gap: 12px;
        align-items: center;
        margin: 0;
        padding: 0;
        border: 0;
      }
      legend {
        float: inline-start;
        padding: 0;
        margin-inline-end: 12px;
        color: var(--soft);
      }
      label {
        display: flex;
        gap: 5px;
        align-items: center;
        min-height: 28px;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $surround);
  }

  override render() {
    return html`<fieldset>
      <legend>${text.app.surround}</legend>
      ${SURROUNDS.map(
        (name) => html`<label
          ><input
            type="radio"
            name="surround"
            .checked=${name === $surround.get()}
            @change=${() => chooseSurround(name)}
          />${text.app.surrounds[name]}</label
        >`,
      )}
    </fieldset>`;
  }
}
