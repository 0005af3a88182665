import { html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { CATALOGUE, catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { watch } from '../../controllers/watch.ts';
import { $entry, $history, $recipe, changeRecipe, redoChange, undoChange } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import { styles } from './recipe-choice.styles.ts';

/** Which recipe is on screen, what it is about, and the way back. */
@customElement('lw-recipe-choice')
export class RecipeChoice extends LitElement {
  static override styles = [controls, styles];

  constructor() {
    super();
    watch(this, $history);
  }

  override render() {
    const recipe = $recipe.get();
    const entry = $entry.get();
    const { past, present, future } = $history.get();
    const next = future[0];
    return html`<label
        >${text.recipe.label}
        <select @change=${this.choose}>
          ${entry === undefined ? html`<option value="" .selected=${true}>${this.ownName()}</option>` : ''}
          ${CATALOGUE.map(
            ({ id, recipe: { name } }) =>
              html`<option value=${id} .selected=${id === entry?.id}>${name ?? id}</option>`,
          )}
        </select></label
      >
      <div class="steps">
        ${this.step(text.mix.undo, past.length > 0, text.mix.undoWhat(present.label), undoChange)}
        ${this.step(text.mix.redo, next !== undefined, text.mix.redoWhat(next?.label ?? ''), redoChange)}
      </div>
      ${recipe.about && entry !== undefined ? html`<p class="about soft">${recipe.about}</p>` : ''}`;
  }

  private step(word: string, possible: boolean, what: string, act: () => void) {
    const label = possible ? what : word;
    return html`<button type="button" ?disabled=${!possible} aria-label=${label} title=${label} @click=${act}>${word}</button>`;
  }

  private ownName(): string {
    const { name } = $recipe.get();
    return name === undefined ? text.recipe.own : text.recipe.ownWas(name);
  }

  private choose(event: Event): void {
    const recipe = catalogueRecipe((event.target as HTMLSelectElement).value);
    if (recipe !== undefined) changeRecipe(recipe, text.recipe.chose(recipe.name ?? ''));
  }
}
