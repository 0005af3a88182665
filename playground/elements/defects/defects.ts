import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import type { Defect } from '../../../lib/check/defects.ts';
import { howSure, whatOf, whereOf } from '../../../lib/check/words.ts';
import { watch } from '../../controllers/watch.ts';
import { $defects, $lookingForDefects, lookForDefects, showDefect } from '../../state/defects.ts';
import { $defectsShown } from '../../state/defects-shown.ts';
import { $lines } from '../../state/masters.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-defects.ts';
import './over.ts';

/** More are not listed; the plainest come first. */
const MOST = 12;

/** Trails, columns, seams and spots in the masters: looked for when asked, listed, marked and shown one by one. */
@customElement('lw-defects')
export class Defects extends LitElement {
  static override styles = [
    controls,
    css`
      :host {
        display: block;
        margin-bottom: 14px;
      }
      ul {
        list-style: none;
        display: grid;
        gap: 8px;
        margin: 8px 0;
        padding: 0 0 0 8px;
        border-inline-start: 2px solid var(--alert);
        font-size: 12px;
        overflow-wrap: anywhere;
      }
      label {
        display: flex;
        gap: 6px;
        align-items: center;
        min-height: 24px;
      }
      p {
        margin: 6px 0;
      }
      li button {
        margin-top: 4px;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $defects, $lookingForDefects, $defectsShown, $lines, $recipe);
  }

  override render() {
    const looking = $lookingForDefects.get();
    const found = $defects.get();
    if (looking)
      return html`<p role="status">${text.looking}</p>
        <button type="button" @click=${looking.cancel}>${text.stop}</button>`;
    return html`<button
        type="button"
        title=${text.lookOf}
        ?disabled=${Object.keys($lines.get()).length === 0}
        @click=${() => void lookForDefects()}
      >
        ${text.look}
      </button>
      ${found === undefined ? '' : found.length === 0 ? html`<p role="status">${text.none}</p>` : this.list(found)}`;
  }

  /** Spots can be filled; what is filled can be left again. */
  private fill(found: readonly Defect[]) {
    const { spots, ...rest } = $recipe.get();
    if (spots === undefined && !found.some(({ kind }) => kind === 'spots')) return '';
    const change = (event: Event) =>
      (event.target as HTMLInputElement).checked
        ? changeRecipe({ ...rest, spots: 'fill' }, text.fillStep)
        : changeRecipe(rest, text.keepStep);
    return html`<label title=${text.fillOf}
      ><input type="checkbox" .checked=${spots !== undefined} @change=${change} />${text.fill}</label
    >`;
  }

  private list(found: readonly Defect[]) {
    const rest = found.length - MOST;
    return html`<ul aria-label=${text.title}>
        ${found.slice(0, MOST).map(
          (defect) => html`<li>
            ${text.found(defect.channel, whatOf(defect))}<br />
            <span class="soft">${whereOf(defect)}, ${howSure(defect)}</span><br />
            <button
              type="button"
              aria-label=${`${text.showOf(defect.channel)}: ${whatOf(defect)}`}
              title=${text.showOf(defect.channel)}
              @click=${() => showDefect(defect)}
            >
              ${text.show}
            </button>
          </li>`,
        )}
      </ul>
      ${rest > 0 ? html`<p class="soft">${text.more(rest)}</p>` : ''}
      ${this.fill(found)}
      <label
        ><input
          type="checkbox"
          .checked=${$defectsShown.get()}
          @change=${(event: Event) => $defectsShown.set((event.target as HTMLInputElement).checked)}
        />${text.over}</label
      >`;
  }
}
