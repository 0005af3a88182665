import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { curveOf, withCurve } from '../../model/curves.ts';
import { masterFaults } from '../../model/master-faults.ts';
import { $misfits } from '../../state/fit.ts';
import { $lines, $reports } from '../../state/masters.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { fitText as text } from '../../text-suggestions.ts';

/** What speaks against the masters, each with what to do about it; nothing where they are fine. */
@customElement('lw-fit')
export class MastersFit extends LitElement {
  static override styles = [
    controls,
    css`
      ul {
        list-style: none;
        display: grid;
        gap: 10px;
        margin: 6px 0 14px;
        padding: 0 0 0 8px;
        border-inline-start: 2px solid var(--alert);
        font-size: 12px;
        overflow-wrap: anywhere;
      }
      button {
        display: block;
        margin-top: 4px;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $misfits, $reports, $recipe, $lines);
  }

  override render() {
    const faults = [...($misfits.get() ?? []), ...this.measured()];
    return html`<div role="status">
      ${
        faults.length === 0
          ? ''
          : html`<h2>${text.title}</h2>
              <ul>
                ${faults.map((fault) => html`<li>${fault}</li>`)}
              </ul>`
      }
    </div>`;
  }

  /** What the measured numbers of each line say. */
  private measured() {
    const recipe = $recipe.get();
    return Object.values($reports.get()).flatMap(({ measured }) => {
      const { name, file } = measured;
      const { saturated, stretched } = masterFaults(measured);
      const found: unknown[] = [];
      if (saturated !== undefined) found.push(text.saturated(file, `${(100 * saturated).toPrecision(2)} %`));
      if (stretched && curveOf(recipe, name).curve !== 'linear')
        found.push(
          html`${text.stretched(file)}
            <button type="button" @click=${() => this.straighten(name)}>${text.straight}</button>`,
        );
      return found;
    });
  }

  private straighten(line: string): void {
    changeRecipe(withCurve($recipe.get(), line, 'linear'), text.straightened(line));
  }
}
