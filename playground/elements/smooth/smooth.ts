import { html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import type { SettledSmooth } from '../../../lib/recipe/settle/settled.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { noiseLeft } from '../../../lib/smooth/noise-model.ts';
import { watch } from '../../controllers/watch.ts';
import { usedLines } from '../../model/columns.ts';
import { showNumber } from '../../model/number.ts';
import { smoothsLine, withGuide, withSmoothedLines, withSmoothing } from '../../model/smooth-choices.ts';
import { $alone } from '../../state/alone.ts';
import { UNSMOOTHED } from '../../state/compare.ts';
import { $picture } from '../../state/picture.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $beforeAfter, $smoothed, stepRemoved } from '../../state/smooth.ts';
import { controls } from '../../styles/controls.ts';
import { sliders } from '../../styles/sliders.ts';
import { text } from '../../text-smooth.ts';
import { toggleAgainst } from '../compare/against.ts';
import '../number/number.ts';

import { styles } from './smooth.styles.ts';

/** How much noise is taken from weak lines, what was found of it, and looks at the difference. */
@customElement('lw-smooth')
export class Smooth extends LitElement {
  static override styles = [controls, sliders, styles];

  constructor() {
    super();
    watch(this, $recipe, $picture, $alone, $beforeAfter);
  }

  override render() {
    const recipe = $recipe.get();
    const written = recipe.smooth?.strength ?? 0;
    const strength = typeof written === 'number' ? written : ($picture.get()?.plain.smooth?.strength ?? 0);
    const settled = $smoothed.get();
    return html`<div class="slider">
        <span>${text.strength}</span>
        <input
          type="range"
          aria-label=${text.strength}
          aria-describedby="about"
          min="0"
          max="1"
          step="0.01"
          .value=${String(strength)}
          @input=${(event: Event) => set(Number((event.target as HTMLInputElement).value))}
        />
        <lw-number
          label=${text.strength}
          .value=${strength}
          min="0"
          max="1"
          @lw-number=${({ detail }: CustomEvent<number>) => set(detail)}
        ></lw-number>
      </div>
      <p class="soft small" id="about">${text.about}</p>
      ${typeof written === 'string' ? html`<p class="soft small">${text.knobs(written)}</p>` : ''}
      ${settled === undefined || !written ? '' : this.found(settled)} ${written ? this.more(recipe, settled) : ''}`;
  }

  /** What was found, and looks at what it changes. */
  private found(settled: SettledSmooth) {
    const { lines, guide, noise, scales, strength } = settled;
    const left = (line: string) => `${Math.round(100 * noiseLeft(scales, noise[line]!.neighbours, strength))} %`;
    return html`<div class="buttons">
        <button type="button" aria-pressed=${$beforeAfter.get()} title=${text.compareOf} @click=${() => toggleAgainst(UNSMOOTHED)}>
          ${text.compare}
        </button>
        <button
          type="button"
          aria-pressed=${$alone.get()?.removed === true}
          title=${text.removedOf}
          @click=${stepRemoved}
        >
          ${text.removed}
        </button>
      </div>
      <p class="small">${text.is(lines, guide)}</p>
      ${lines.map((line) => {
        const { variance, neighbours } = noise[line]!;
        const sigma = String(Number(Math.sqrt(variance).toPrecision(3)));
        return html`<p class="soft small">
          ${text.noise(line, sigma, showNumber(Number(neighbours.toFixed(2)), 2))} ${text.left(line, left(line))}
        </p>`;
      })}`;
  }

  private more(recipe: WrittenRecipe, settled: SettledSmooth | undefined) {
    const used = usedLines(recipe);
    const { guide } = recipe.smooth ?? {};
    const choose = (event: Event) => {
      const { value } = event.target as HTMLSelectElement;
      changeRecipe(withGuide($recipe.get(), value === '' ? undefined : value), text.steps.guide);
    };
    const others = used.filter((line) => line !== (guide ?? settled?.guide));
    return html`<details>
      <summary>${text.more}</summary>
      <label class="guide"
        >${text.guide}<select @change=${choose}>
          <option value="" .selected=${guide === undefined}>
            ${text.strongest(guide === undefined ? settled?.guide : undefined)}
          </option>
          ${used.map((line) => html`<option value=${line} .selected=${line === guide}>${line}</option>`)}
        </select></label
      >
      <fieldset class="lines">
        <legend>${text.lines}</legend>
        ${others.map((line) => this.line(recipe, others, line))}
      </fieldset>
    </details>`;
  }

  /** At least one line stays: a strength of 0 smooths none. */
  private line(recipe: WrittenRecipe, others: readonly string[], line: string) {
    const chosen = others.filter((other) => smoothsLine(recipe, other));
    const on = chosen.includes(line);
    const toggle = () => {
      const next = others.filter((other) => (other === line ? !on : chosen.includes(other)));
      const all = next.length === others.length;
      changeRecipe(withSmoothedLines($recipe.get(), all ? undefined : next), text.steps.lines);
    };
    return html`<label
      ><input type="checkbox" .checked=${on} ?disabled=${on && chosen.length === 1} @change=${toggle} />${line}</label
    >`;
  }
}

const set = (strength: number): void =>
  changeRecipe(withSmoothing($recipe.get(), strength), text.steps.strength, 'smooth strength');
