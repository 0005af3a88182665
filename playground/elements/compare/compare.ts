import { css, html, LitElement, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { MOST_OTHERS } from '../../state/chosen.ts';
import {
  $against,
  $beside,
  $comparable,
  $flick,
  $inCells,
  $others,
  addAgainst,
  type Compared,
  labelOf,
  removeAgainst,
  setAgainst,
} from '../../state/compare.ts';
import { changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { strip } from '../../styles/strip.ts';
import { text as pageText } from '../../text.ts';
import { toolsText } from '../../text-tools.ts';
import './over.ts';

const text = toolsText.compare;

/** Which mixes stand against the one on screen and how, and a quick look at all of one. */
@customElement('lw-compare')
export class Compare extends LitElement {
  static override styles = [
    controls,
    strip,
    css`
      section {
        gap: 6px;
      }
      .choice {
        gap: 2px;
      }
      select {
        max-width: 132px;
      }
      .remove {
        padding-inline: 8px;
      }
      button[aria-pressed='true']:not(:disabled) {
        color: var(--ink);
        background: var(--panel);
        border: 1px solid var(--ink);
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $against, $comparable, $others, $beside, $inCells);
  }

  override render() {
    const against = $against.get();
    if (against.length === 0) return html`<section aria-label=${text.label}><p>${text.none}</p></section>`;
    const full = against.length >= MOST_OTHERS || against.length >= $comparable.get().length;
    return html`<section aria-label=${text.label}>
      <span class="soft" aria-hidden="true">${text.with}</span>
      ${against.map((other, i) => this.choice(other, i, against))}
      <button type="button" ?disabled=${full} @click=${addAgainst}>${text.add}</button>
      <button
        type="button"
        aria-pressed=${$inCells.get()}
        ?disabled=${against.length > 1}
        @click=${() => $beside.set(!$beside.get())}
      >
        ${text.beside}
      </button>
      ${$inCells.get() ? nothing : this.single(against[0]!)}
    </section>`;
  }

  private choice(other: Compared, place: number, against: readonly Compared[]) {
    const taken = against.flatMap(({ id }) => (id === other.id ? [] : id));
    return html`<span class="choice">
      <select
        aria-label=${text.place(place)}
        @change=${(event: Event) => setAgainst(place, (event.target as HTMLSelectElement).value)}
      >
        ${$comparable.get().map(
          (one) =>
            html`<option value=${one.id} ?selected=${one.id === other.id} ?disabled=${taken.includes(one.id)}>
              ${labelOf(one)}
            </option>`,
        )}
      </select>
      ${
        against.length === 1
          ? nothing
          : html`<button
              type="button"
              class="remove"
              aria-label=${text.remove(labelOf(other))}
              title=${text.remove(labelOf(other))}
              @click=${() => removeAgainst(other.id)}
            >
              ×
            </button>`
      }
    </span>`;
  }

  /** What only one mix has that lies over the other up to an edge. */
  private single(against: Compared) {
    return html`<button
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
      ${
        against.longer
          ? nothing
          : html`<button
              type="button"
              @click=${() => changeRecipe(against.recipe, pageText.recipe.chose(labelOf(against)))}
            >
              ${text.use}
            </button>`
      }
      <span class="soft keys" id="key">${$others.get()[0]!.length === 0 ? text.working : text.flickKey}</span>`;
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
