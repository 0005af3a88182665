import { css, html, LitElement, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { $targets } from '../../state/history.ts';
import { switchTarget } from '../../state/targets.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-targets.ts';

/** Switches between the targets that are open. */
@customElement('lw-targets')
export class TargetSwitch extends LitElement {
  static override styles = [
    controls,
    css`
      :host {
        display: flex;
        gap: 8px;
        align-items: center;
        min-width: 0;
      }
      label {
        display: flex;
        gap: 8px;
        align-items: center;
        min-width: 0;
        color: var(--soft);
      }
      select {
        min-width: 0;
        max-width: 200px;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $targets);
  }

  override render() {
    const { current, all } = $targets.get() ?? { current: '', all: [] };
    if (all.length < 2) return nothing;
    return html`<label
      >${text.label}
      <select @change=${(event: Event) => switchTarget((event.target as HTMLSelectElement).value)}>
        ${all.map(({ name }) => html`<option .value=${name} .selected=${name === current}>${name}</option>`)}
      </select></label
    >`;
  }
}
