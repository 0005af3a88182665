import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import type { KnobEntry } from '../../../lib/recipe/written/schema.ts';
import { watch } from '../../controllers/watch.ts';
import { withKnob } from '../../model/columns.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import '../number/number.ts';

/** The named numbers of a recipe, each with a slider and a field; nothing where it has none. */
@customElement('lw-knobs')
export class Knobs extends LitElement {
  static override styles = [
    controls,
    css`
      .knob {
        display: grid;
        grid-template-columns: minmax(0, 1fr) 72px;
        gap: 0 8px;
        align-items: center;
      }
      .name {
        grid-column: 1 / -1;
      }
      input {
        width: 100%;
        margin: 0;
        accent-color: var(--soft);
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $recipe);
  }

  override render() {
    return Object.entries($recipe.get().knobs ?? {}).map(([name, knob]) => this.knob(name, knob));
  }

  private knob(name: string, { value, min = 0, max = 1, about }: KnobEntry) {
    const set = (to: number) => changeRecipe(withKnob($recipe.get(), name, to), text.mix.setKnob(name), `knob ${name}`);
    return html`<div class="knob">
      <span class="name">${name} ${about ? html`<span class="soft">${about}</span>` : ''}</span>
      <input
        type="range"
        aria-label=${name}
        min=${min}
        max=${max}
        step=${(max - min) / 200}
        .value=${String(value)}
        @input=${(event: Event) => set(Number((event.target as HTMLInputElement).value))}
      />
      <lw-number
        label=${name}
        .value=${value}
        min=${min}
        max=${max}
        @lw-number=${(event: CustomEvent<number>) => set(event.detail)}
      ></lw-number>
    </div>`;
  }
}
