import { css, html, LitElement, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { $targets } from '../../state/history.ts';
import { $targetsShown } from '../../state/target-wall.ts';
import { switchTarget } from '../../state/targets.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-targets.ts';
import { notLoaded } from '../tools/take.ts';

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
    watch(this, $targets, $targetsShown);
  }

  override render() {
    const { current, all } = $targets.get() ?? { current: '', all: [] };
    if (all.length < 2) return nothing;
    return html`<label
      >${text.label}
      <select @change=${(event: Event) => switchTarget((event.target as HTMLSelectElement).value)}>
        ${all.map(({ name }) => html`<option .value=${name} .selected=${name === current}>${name}</option>`)}
      </select></label
      ><button type="button" @click=${showWall}>${text.all}</button>
      ${$targetsShown.get() ? html`<lw-target-wall></lw-target-wall>` : ''}`;
  }
}

/** Shows all targets; the element that does is loaded when it is first asked for. */
const showWall = (): void => {
  $targetsShown.set(true);
  import('../target-wall/target-wall.ts').catch(notLoaded);
};
