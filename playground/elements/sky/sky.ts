import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { showMeasured } from '../../model/number.ts';
import { $lines } from '../../state/masters.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $sky, $skyLine, $skyView, $tried, $wish, chooseSkyLine, SKY_VIEWS, TRIED } from '../../state/sky.ts';
import { controls } from '../../styles/controls.ts';
import { strip } from '../../styles/strip.ts';
import { toolsText } from '../../text-tools.ts';
import './over.ts';

const text = toolsText.sky;

/** Which line is looked at and what of it, its surface in numbers, and the way to take that off. */
@customElement('lw-sky')
export class Sky extends LitElement {
  static override styles = [
    controls,
    strip,
    css`
      .about {
        flex-basis: 100%;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $sky, $skyLine, $skyView, $wish, $lines, $recipe);
  }

  override render() {
    const line = $skyLine.get();
    const shown = $skyView.get();
    const value = (event: Event) => (event.target as HTMLSelectElement).value;
    return html`<section aria-label=${text.label}>
      <label
        ><span class="soft">${text.line}</span>
        <select @change=${(event: Event) => chooseSkyLine(value(event))}>
          ${Object.keys($lines.get()).map((name) => html`<option value=${name} .selected=${name === line}>${name}</option>`)}
        </select></label
      >
      <fieldset>
        <legend class="hidden">${text.show}</legend>
        ${SKY_VIEWS.map(
          (view) => html`<label class="choice"
            ><input type="radio" name="view" .checked=${view === shown} @change=${() => $skyView.set(view)} />
            ${text.views[view]}</label
          >`,
        )}
      </fieldset>
      ${this.order()} ${this.numbers()}
    </section>`;
  }

  /** While the recipe takes no surface off, orders can be tried; a button makes the one on screen the recipe's. */
  private order() {
    if ($recipe.get().background?.model === 'surface') return html`<span class="soft">${text.taken}</span>`;
    const order = $tried.get();
    const choose = (event: Event) =>
      $tried.set(TRIED.find((one) => String(one) === (event.target as HTMLSelectElement).value)!);
    const take = () => changeRecipe({ ...$recipe.get(), background: $wish.get() }, text.step);
    return html`<label
        ><span class="soft">${text.order}</span>
        <select @change=${choose}>
          ${TRIED.map((n) => html`<option value=${n} .selected=${n === order}>${text.orders[n]}</option>`)}
        </select></label
      >
      <button type="button" @click=${take}>${text.take}</button>`;
  }

  private numbers() {
    const view = $sky.get()?.view;
    if (view === undefined) return html`<p class="about soft" role="status">${text.looking}</p>`;
    const used = view.blocks.filter((block) => block.used).length;
    const scatter = [showMeasured(view.rms), showMeasured(view.pixelNoise)] as const;
    const known = Number.isFinite(view.uncertainty) ? showMeasured(view.uncertainty) : undefined;
    const words = `${text.numbers(view.line, used, view.blocks.length, ...scatter)} ${text.certainty(view.order, known)}`;
    return html`<p class="about" role="status">${words}</p>
      ${view.warnings.map((warning) => html`<p class="about">${warning}</p>`)}
      <p class="about soft">${text.about[$skyView.get()]}</p>`;
  }
}
