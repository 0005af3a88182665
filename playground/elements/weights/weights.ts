import { html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { BALANCE_NAMES, BALANCES, type BalanceName } from '../../../lib/mix/balance.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { watch } from '../../controllers/watch.ts';
import { columnsOf, plainWeight, weightOf, withWeight } from '../../model/columns.ts';
import { showNumber } from '../../model/number.ts';
import { $lines } from '../../state/masters.ts';
import { $picture, $swatches } from '../../state/picture.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import '../knobs/knobs.ts';
import '../line-colour/line-colour.ts';
import '../number/number.ts';
import { styles } from './weights.styles.ts';

interface Cell {
  readonly weight: number;
  /** Its part of all weights of the row, 0…1. */
  readonly share: number;
  /** As the recipe has it: a number, an expression, or nothing where it follows from a colour. */
  readonly written: number | string | undefined;
}

/** The weights as the matrix they are: rows red, green, blue; a column for each line, headed by the colour it gets. */
@customElement('lw-weights')
export class WeightsTable extends LitElement {
  static override styles = [controls, styles];

  constructor() {
    super();
    watch(this, $recipe, $lines, $picture);
  }

  override render() {
    const recipe = $recipe.get();
    const columns = columnsOf(recipe, Object.keys($lines.get()));
    return html`<table>
        <caption class="hidden">${text.mix.caption}</caption>
        <col class="name" />
        ${columns.map(() => html`<col class="weight" />`)}
        <col class="total" />
        <thead>
          <tr>
            <td></td>
            ${columns.map((line) => this.head(line))}
            <th scope="col" class="sum">${text.mix.sum}</th>
          </tr>
        </thead>
        <tbody>
          ${text.mix.rows.map((name, row) => this.row(recipe, columns, name, row))}
        </tbody>
      </table>
      <div class="foot">
        ${this.balance(recipe)}
        <lw-knobs></lw-knobs>
      </div>
`;
  }

  private head(line: string) {
    const absent = !(line in $lines.get());
    const name = html`<span class="line">${line}${absent ? html` <span class="absent">${text.mix.noMaster}</span>` : ''}</span>`;
    return html`<th scope="col" id="line-${line}" aria-label=${absent ? `${line}, ${text.mix.noMaster}` : line}>
      ${name}
      <lw-line-colour
        line=${line}
        .swatch=${$swatches.get()[line]}
        .entry=${$recipe.get().lines?.[line]}
      ></lw-line-colour>
    </th>`;
  }

  private row(recipe: WrittenRecipe, columns: readonly string[], name: string, row: number) {
    const plain = $picture.get()?.plain;
    const written = columns.map((line) => weightOf(recipe, row, line));
    const weights = written.map((w, c) => (typeof w === 'number' ? w : plainWeight(plain, row, columns[c]!)));
    const whole = weights.reduce((sum, w) => sum + Math.abs(w), 0) || 1;
    const sum = weights.reduce((a, b) => a + b, 0);
    return html`<tr>
      <th scope="row">${name}</th>
      ${columns.map((line, c) =>
        this.cell(recipe, row, line, {
          weight: weights[c]!,
          share: Math.abs(weights[c]!) / whole,
          written: written[c],
        }),
      )}
      <th class="sum" scope="row" aria-label="${text.mix.sum} ${showNumber(sum)}">${showNumber(Number(sum.toFixed(4)))}</th>
    </tr>`;
  }

  private cell(recipe: WrittenRecipe, row: number, line: string, { weight, share, written }: Cell) {
    const name = text.mix.rows[row]!;
    const change = (event: CustomEvent<number>) =>
      changeRecipe(
        withWeight(recipe, $picture.get()?.plain, row, line, event.detail),
        text.mix.setWeight(line, name),
        `weight ${row} ${line}`,
      );
    return html`<td>
      <lw-number .value=${weight} label=${text.mix.cell(line, name)} @lw-number=${change}></lw-number>
      <svg class="bar" aria-hidden="true" preserveAspectRatio="none" viewBox="0 0 100 2">
        <rect class="way" width="100" height="2" /><rect class="share" width=${100 * share} height="2" />
      </svg>
      ${typeof written === 'string' ? html`<span class="expression">${written}</span>` : ''}
    </td>`;
  }

  private balance(recipe: WrittenRecipe) {
    const current = recipe.balance ?? 'as-written';
    const choose = (event: Event) => {
      const balance = (event.target as HTMLSelectElement).value as BalanceName;
      // This balance needs to know which values become white: all at full strength, until a recipe says otherwise.
      const white = balance === 'white' && { white: recipe.white ?? { '*': 1 } };
      changeRecipe({ ...recipe, ...white, balance }, text.mix.setBalance);
    };
    return html`<label
        >${text.mix.balance}
        <select @change=${choose}>
          ${BALANCE_NAMES.filter((name) => name !== 'equal-light' || recipe.mixIn === 'light').map(
            (name) => html`<option value=${name} .selected=${name === current}>${text.mix.balances[name]}</option>`,
          )}
        </select></label
      >
      <span class="soft">${BALANCES[current].about}</span>`;
  }
}
