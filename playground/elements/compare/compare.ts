import { html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { $against, $chosen, $comparable, $flick, $other, labelOf } from '../../state/compare.ts';
import { changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { strip } from '../../styles/strip.ts';
import { text as pageText } from '../../text.ts';
import { toolsText } from '../../text-tools.ts';
import './over.ts';

const text = toolsText.compare;

/** Which mix stands against the one on screen, and a quick look at all of it. */
@customElement('lw-compare')
export class Compare extends LitElement {
  static override styles = [controls, strip];

  constructor() {
    super();
    watch(this, $against, $comparable, $other);
  }

  override render() {
    const against = $against.get();
    if (against === undefined) return html`<section aria-label=${text.label}><p>${text.none}</p></section>`;
    return html`<section aria-label=${text.label}>
      <label
        ><span class="soft">${text.with}</span>
        <select @change=${(event: Event) => $chosen.set((event.target as HTMLSelectElement).value)}>
          ${$comparable
            .get()
            .map(
              (other) =>
                html`<option value=${other.id} ?selected=${other.id === against.id}>${labelOf(other)}</option>`,
            )}
        </select></label
      >
      <button
        type="button"
        aria-describedby="key"
        @pointerdown=${this.begin}
        @pointerup=${this.end}
        @pointercancel=${this.end}
        @keydown=${this.press}
        @keyup=${this.end}
        @blur=${this.end}
      >
        ${text.flick}
      </button>
      <button type="button" @click=${() => this.use()}>${text.use}</button>
      <span class="soft keys" id="key">${$other.get().length === 0 ? text.working : text.flickKey}</span>
    </section>`;
  }

  private use(): void {
    const against = $against.get()!;
    changeRecipe(against.recipe, pageText.recipe.chose(labelOf(against)));
  }

  private begin(event: PointerEvent): void {
    if (event.button !== 0) return;
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    $flick.set(true);
  }

  private press(event: KeyboardEvent): void {
    if (event.key === ' ' || event.key === 'Enter') $flick.set(true);
  }

  private end(): void {
    $flick.set(false);
  }
}
