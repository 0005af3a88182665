import { html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import type { CurveName } from '../../../lib/stretch/curves.ts';
import { watch } from '../../controllers/watch.ts';
import { type Choice, choicesOf, withKey } from '../../model/choices.ts';
import { channelsOf } from '../../model/columns.ts';
import { curveChoices, curveOf, rangeOf, withBlack, withCurve, withWhite } from '../../model/curves.ts';
import { skyTarget, withSkyTarget } from '../../model/sky-target.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-choices.ts';
import { text as finishText } from '../../text-finish.ts';
import { text as smoothText } from '../../text-smooth.ts';
import { text as starsText } from '../../text-stars-own.ts';
import '../finish/finish.ts';
import '../number/number.ts';
import '../own-stars/own-stars.ts';
import '../smooth/smooth.ts';
import { styles } from './choices.styles.ts';

interface Field {
  readonly label: string;
  readonly value: number | undefined;
  readonly range: readonly [min: number, max: number, step: number];
  readonly unit?: string;
  write(recipe: WrittenRecipe, value: number): WrittenRecipe;
}

/** Everything of a recipe besides weights, knobs and colours, in the order in which a pixel meets it. */
@customElement('lw-choices')
export class Choices extends LitElement {
  static override styles = [controls, styles];

  constructor() {
    super();
    watch(this, $recipe);
  }

  override render() {
    const recipe = $recipe.get();
    const { sky, mixing, colours } = choicesOf(recipe);
    const { black, white } = rangeOf(recipe);
    return html`${this.group(text.parts.sky, sky, [
      { label: text.black, value: black, range: [-100, 100, 0.1], unit: text.blackUnit, write: withBlack },
      { label: text.white, value: white, range: [50, 100, 0.01], write: withWhite },
    ])}
      <fieldset>
        <legend>${starsText.title}</legend>
        <lw-own-stars></lw-own-stars>
      </fieldset>
      <fieldset>
        <legend>${smoothText.title}</legend>
        <lw-smooth></lw-smooth>
      </fieldset>
      <fieldset>
        <legend>${text.parts.curves}</legend>
        ${this.curves(recipe)}
      </fieldset>
      ${this.group(text.parts.mixing, mixing, [
        {
          label: text.greenLimit,
          value: recipe.greenLimit ?? 0,
          range: [0, 1, 0.01],
          write: (before, value) => withKey(before, 'greenLimit', value),
        },
      ])}
      <fieldset>
        <legend>${finishText.title}</legend>
        <lw-finish></lw-finish>
      </fieldset>
      ${this.group(text.parts.colours, colours, [])}`;
  }

  private group(title: string, choices: readonly Choice[], fields: readonly Field[]) {
    return html`<fieldset>
      <legend>${title}</legend>
      ${choices.map((choice) => this.choice(choice))} ${fields.map((field) => this.field(field))}
    </fieldset>`;
  }

  private choice({ key, label, options, read, write }: Choice) {
    const now = read($recipe.get());
    const choose = (event: Event) => {
      const { value } = event.target as HTMLSelectElement;
      changeRecipe(write($recipe.get(), value), text.set(label));
    };
    return html`<label class="choice"
      >${label}<select data-key=${key} @change=${choose}>
        ${options.map(({ value, words }) => html`<option value=${value} .selected=${value === now}>${words}</option>`)}
      </select></label
    >`;
  }

  private field({ label, value, range: [min, max, step], unit, write }: Field) {
    if (value === undefined) return '';
    const change = ({ detail }: CustomEvent<number>) =>
      changeRecipe(write($recipe.get(), detail), text.set(label), label);
    return html`<div class="choice">
      <span>${label}</span>
      <span class="typed"
        ><lw-number label=${label} .value=${value} min=${min} max=${max} step=${step} @lw-number=${change}></lw-number
        >${unit}</span
      >
    </div>`;
  }

  /** In light one curve serves all lines. */
  private curves(recipe: WrittenRecipe) {
    const lines = recipe.mixIn === 'light' ? ['*'] : channelsOf(recipe);
    return html`<table>
      <thead>
        <tr>
          <th scope="col">${text.line}</th>
          <th scope="col">${text.curveTitle}</th>
          <th scope="col">${text.targetTitle}</th>
        </tr>
      </thead>
      <tbody>
        ${lines.map((line) => this.curve(recipe, line))}
      </tbody>
    </table>`;
  }

  private curve(recipe: WrittenRecipe, line: string) {
    const name = line === '*' ? text.all : line;
    const now = curveOf(recipe, line).curve ?? 'bias';
    const target = line === '*' ? curveOf(recipe, line).background : skyTarget(recipe, line);
    const choose = (event: Event) => {
      const curve = (event.target as HTMLSelectElement).value as CurveName;
      changeRecipe(withCurve($recipe.get(), line, curve), text.set(text.curve(name)));
    };
    const aim = ({ detail }: CustomEvent<number>) =>
      changeRecipe(withSkyTarget($recipe.get(), line, detail), text.set(text.target(name)), `sky ${line}`);
    return html`<tr>
      <th scope="row">${name}</th>
      <td>
        <select aria-label=${text.curve(name)} @change=${choose}>
          ${curveChoices(recipe, line).map(
            (curve) => html`<option value=${curve} .selected=${curve === now}>${text.curves[curve]}</option>`,
          )}
        </select>
      </td>
      <td>
        ${
          target === undefined
            ? text.fixed
            : html`<lw-number
                label=${text.target(name)}
                .value=${target}
                min="0.001"
                max="0.9"
                @lw-number=${aim}
              ></lw-number>`
        }
      </td>
    </tr>`;
  }
}
