import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import type { Suggestion } from '../../../lib/recipe/suggest/suggest.ts';
import { watch } from '../../controllers/watch.ts';
import { sameMix } from '../../model/columns.ts';
import { $lines } from '../../state/masters.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $suggesting, $suggestions, clearSuggestions, suggest } from '../../state/suggestions.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-suggestions.ts';

/** Mixes computed from the masters, each with its reason; they hang on the wall meanwhile. */
@customElement('lw-suggestions')
export class SuggestionsPanel extends LitElement {
  static override styles = [
    controls,
    css`
      ul {
        list-style: none;
        margin: 10px 0;
        padding: 0;
        display: grid;
        gap: 12px;
      }
      .head {
        display: flex;
        gap: 8px;
        align-items: center;
        justify-content: space-between;
      }
      summary {
        min-height: 24px;
        cursor: pointer;
      }
      button.suggest {
        width: 100%;
      }
      .use {
        width: 100%;
        text-align: start;
      }
      .use[aria-pressed='true'] {
        font-weight: 600;
        border-color: var(--accent);
      }
      .why,
      .figures {
        margin-top: 4px;
        font-size: 12px;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $suggestions, $suggesting, $recipe, $lines);
  }

  override render() {
    const working = $suggesting.get();
    const found = $suggestions.get();
    if (working !== undefined)
      return html`<p role="status">${text.working}</p>
        <button type="button" @click=${() => working.cancel()}>${text.cancel}</button>`;
    if (found === undefined)
      return html`<button type="button" class="suggest" ?disabled=${Object.keys($lines.get()).length < 2} @click=${suggest}>
        ${text.suggest}
      </button>`;
    return html`<div class="head">
        <p role="status">${text.hung(found.suggestions.length)}</p>
        <button type="button" @click=${clearSuggestions}>${text.clear}</button>
      </div>
      <details>
        <summary>${text.reasons}</summary>
        <ul aria-label=${text.label}>
          ${found.suggestions.map((suggestion) => this.suggestion(suggestion))}
        </ul>
        ${
          found.leftOut?.length
            ? html`<p class="soft">${text.leftOut}</p>
                <ul class="soft">
                  ${found.leftOut.map((words) => html`<li class="why">${words}</li>`)}
                </ul>`
            : ''
        }
      </details>`;
  }

  private suggestion({ id, recipe, why, apart, gain, screenNoise }: Suggestion) {
    const name = recipe.name ?? id;
    return html`<li>
      <button
        type="button"
        class="use"
        aria-label=${text.use(name)}
        aria-pressed=${sameMix(recipe, $recipe.get())}
        @click=${() => changeRecipe(recipe, text.chose(name))}
      >
        ${name}
      </button>
      <p class="why">${why}</p>
      <p class="figures soft">${text.figures(apart?.toFixed(3), gain.toFixed(2), screenNoise.toFixed(2))}</p>
    </li>`;
  }
}
