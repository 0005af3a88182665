import { html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { MOST_GAIN } from '../../../lib/finish/finish.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { watch } from '../../controllers/watch.ts';
import { findsGain, withGain } from '../../model/finish-choices.ts';
import { unfinished } from '../../model/unfinished.ts';
import { UNFINISHED } from '../../state/compare.ts';
import { $finishBeforeAfter, $finished } from '../../state/finish.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { sliders } from '../../styles/sliders.ts';
import { text } from '../../text-finish.ts';
import { toggleAgainst } from '../compare/against.ts';
import '../number/number.ts';
import './hues.ts';
import './scope.ts';
import './tone-curve.ts';
import { styles } from './finish.styles.ts';

/** Tone, chroma and hues after the mix, and where its colours lie. */
@customElement('lw-finish')
export class FinishPanel extends LitElement {
  static override styles = [controls, sliders, styles];

  constructor() {
    super();
    watch(this, $recipe, $finished, $finishBeforeAfter);
  }

  override render() {
    const recipe = $recipe.get();
    return html`${this.gain(recipe)}
      <p class="soft small" id="about-chroma">${text.aboutChroma}</p>
      <h4>${text.tone}</h4>
      <lw-tone-curve></lw-tone-curve>
      <p class="soft small">${text.aboutTone}</p>
      <h4>${text.hues}</h4>
      <lw-hues></lw-hues>
      <p class="soft small">${text.aboutHues}</p>
      <h4>${text.scope}</h4>
      <lw-scope></lw-scope>
      ${unfinished(recipe) ? this.compare() : ''}`;
  }

  private gain(recipe: WrittenRecipe) {
    const written = typeof recipe.finish?.chroma === 'object' ? recipe.finish.chroma.gain : undefined;
    const found = findsGain(recipe);
    const settled = $finished.get()?.chroma?.gain;
    const gain = typeof written === 'number' ? written : found || typeof written === 'string' ? (settled ?? 1) : 1;
    return html`<div class="slider gain">
        <span>${text.chroma}</span>
        <input
          type="range"
          aria-label=${text.chroma}
          aria-describedby="about-chroma"
          min="0"
          max=${MOST_GAIN}
          step="0.01"
          .value=${String(gain)}
          @input=${(event: Event) => set(Number((event.target as HTMLInputElement).value))}
        />
        <lw-number
          label=${text.chroma}
          .value=${gain}
          min="0"
          max=${MOST_GAIN}
          @lw-number=${({ detail }: CustomEvent<number>) => set(detail)}
        ></lw-number>
        <button type="button" aria-pressed=${found} title=${text.autoOf} @click=${() => changeRecipe(withGain($recipe.get(), found ? 1 : 'auto'), text.steps.chroma)}>
          ${text.auto}
        </button>
      </div>
      ${typeof written === 'string' ? html`<p class="soft small">${text.knobs(written)}</p>` : ''}`;
  }

  private compare() {
    return html`<div class="buttons">
      <button
        type="button"
        aria-pressed=${$finishBeforeAfter.get()}
        title=${text.compareOf}
        @click=${() => toggleAgainst(UNFINISHED)}
      >
        ${text.compare}
      </button>
    </div>`;
  }
}

const set = (gain: number): void => changeRecipe(withGain($recipe.get(), gain), text.steps.chroma, 'chroma gain');
