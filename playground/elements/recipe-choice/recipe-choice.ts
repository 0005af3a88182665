import { html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { CATALOGUE, catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { watch } from '../../controllers/watch.ts';
import { $history, redoChange, undoChange } from '../../state/history.ts';
import { $inLibrary, $library } from '../../state/library.ts';
import { $entry, $recipe, changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import { text as keeping } from '../../text-keeping.ts';
import { styles } from './recipe-choice.styles.ts';

/** Marks the library's entries among the values of the list: no catalogue name has a colon. */
const OWN = 'own:';

/** Which recipe is on screen, what it is about, and the way back. */
@customElement('lw-recipe-choice')
export class RecipeChoice extends LitElement {
  static override styles = [controls, styles];

  constructor() {
    super();
    watch(this, $history, $library);
  }

  override render() {
    const recipe = $recipe.get();
    const entry = $entry.get();
    const { past, present, future } = $history.get();
    const next = future[0];
    return html`<label
        >${text.recipe.label}
        <select @change=${this.choose}>
          ${entry === undefined && $inLibrary.get() < 0 ? html`<option value="" .selected=${true}>${this.ownName()}</option>` : ''}
          ${CATALOGUE.map(
            ({ id, recipe: { name } }) =>
              html`<option value=${id} .selected=${id === entry?.id}>${name ?? id}</option>`,
          )}
          ${this.library()}
        </select></label
      >
      <div class="steps">
        ${this.step(text.mix.undo, past.length > 0, text.mix.undoWhat(present.label), undoChange)}
        ${this.step(text.mix.redo, next !== undefined, text.mix.redoWhat(next?.label ?? ''), redoChange)}
      </div>
      <p class="about soft">${entry === undefined ? text.recipe.changed : recipe.about}</p>`;
  }

  /** The user's own recipes, below those that come with the page. */
  private library() {
    const library = $library.get();
    if (library.length === 0) return '';
    const at = $entry.get() === undefined ? $inLibrary.get() : -1;
    return html`<optgroup label=${keeping.library}>
      ${library.map(({ name }, i) => html`<option value=${OWN + i} .selected=${i === at}>${name ?? ''}</option>`)}
    </optgroup>`;
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
    const { value } = event.target as HTMLSelectElement;
    const own = value.startsWith(OWN) ? $library.get()[Number(value.slice(OWN.length))] : undefined;
    const recipe = own ?? catalogueRecipe(value);
    if (recipe !== undefined) changeRecipe(recipe, text.recipe.chose(recipe.name ?? ''));
  }
}
