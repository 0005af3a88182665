import { html, LitElement } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { changesOwnStars } from '../../../lib/recipe/written/star-wish.ts';
import type { StarsOfLine } from '../../../lib/web/star-list.ts';
import { watch } from '../../controllers/watch.ts';
import { showNumber } from '../../model/number.ts';
import { type OwnStars, ownStarsOf, withStarsOf } from '../../model/own-stars.ts';
import { tintHex } from '../../model/tint.ts';
import { $alone } from '../../state/alone.ts';
import { STARS_AS_THEY_ARE } from '../../state/compare.ts';
import { $finding, $listed, $ringed, $starsBeforeAfter, stopFinding, toggleMask } from '../../state/own-stars.ts';
import { $picture } from '../../state/picture.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $ringsShown } from '../../state/rings.ts';
import { controls } from '../../styles/controls.ts';
import { sliders } from '../../styles/sliders.ts';
import { text } from '../../text-stars-own.ts';
import { toggleAgainst } from '../compare/against.ts';
import '../number/number.ts';
import '../stars/stars.ts';
import './over.ts';
import { styles } from './own-stars.styles.ts';

/** What becomes of the stars in the masters, what was found of them, and looks at them. */
@customElement('lw-own-stars')
export class OwnStarsPanel extends LitElement {
  static override styles = [controls, sliders, styles];

  /** Whether the other way, a picture of the stars, is unfolded. */
  @state() private open = false;

  constructor() {
    super();
    watch(this, $recipe, $picture, $alone, $finding, $listed, $ringed, $ringsShown, $starsBeforeAfter);
  }

  override render() {
    const recipe = $recipe.get();
    const { neutral, size } = ownStarsOf(recipe);
    return html`${slider('neutral', neutral)} ${slider('size', size)}
      <p class="soft small" id="about">${text.about}</p>
      ${neutral > 0 ? this.tint() : ''} ${this.found()} ${this.looks(changesOwnStars(recipe.stars))}
      ${shapes($listed.get()?.lines ?? [])}
      <details @toggle=${this.unfold}>
        <summary>${text.picture}</summary>
        <p class="soft small">${text.pictureWhy}</p>
        ${this.open ? html`<lw-stars></lw-stars>` : ''}
      </details>`;
  }

  private tint() {
    const { tint } = ownStarsOf($recipe.get());
    const hex = tintHex(tint, $picture.get()?.plain);
    return html`<div class="tint">
      <label
        >${text.tint}<input
          type="color"
          .value=${hex}
          @input=${(event: Event) => set({ tint: (event.target as HTMLInputElement).value }, 'tint')}
      /></label>
      <button
        type="button"
        title=${text.whiteOf}
        ?disabled=${tint === undefined}
        @click=${() => set({ tint: undefined }, 'tint')}
      >
        ${text.white}
      </button>
    </div>`;
  }

  /** How many stars there are; while they are found, how to end that. */
  private found() {
    if ($finding.get())
      return html`<p role="status">${text.finding}</p>
        <div class="buttons"><button type="button" @click=${stopFinding}>${text.stop}</button></div>`;
    const picture = $picture.get();
    if (picture === undefined || !changesOwnStars(picture.plain.stars)) return '';
    const { ownStars, channels } = picture.settled;
    const lines = channels.map(({ name }) => name);
    return html`<p role="status">${ownStars ? text.found(ownStars.count, lines) : text.none}</p>`;
  }

  private looks(changes: boolean) {
    const ringed = $ringed.get();
    return html`<div class="buttons">
        ${
          changes
            ? html`<button
                type="button"
                aria-pressed=${$starsBeforeAfter.get()}
                title=${text.compareOf}
                @click=${() => toggleAgainst(STARS_AS_THEY_ARE)}
              >
                ${text.compare}
              </button>`
            : ''
        }
        <button
          type="button"
          aria-pressed=${$ringsShown.get()}
          title=${text.ringsOf}
          @click=${() => $ringsShown.set(!$ringsShown.get())}
        >
          ${text.rings}
        </button>
        <button type="button" aria-pressed=${$alone.get()?.mask === true} title=${text.maskOf} @click=${toggleMask}>
          ${text.mask}
        </button>
      </div>
      ${ringed ? html`<p class="soft small" role="status">${text.ringed(ringed.ringed.length, ringed.inView)}</p>` : ''}`;
  }

  private unfold(event: Event): void {
    this.open = (event.target as HTMLDetailsElement).open;
  }
}

const set = (part: Partial<OwnStars>, step: 'neutral' | 'size' | 'tint'): void =>
  changeRecipe(withStarsOf($recipe.get(), part), text.steps[step], `stars ${step}`);

const slider = (key: 'neutral' | 'size', value: number) => html`<div class="slider">
  <span>${text[key]}</span>
  <input
    type="range"
    aria-label=${text[key]}
    aria-describedby="about"
    min="0"
    max="1"
    step="0.01"
    .value=${String(value)}
    @input=${(event: Event) => set({ [key]: Number((event.target as HTMLInputElement).value) }, key)}
  />
  <lw-number
    label=${text[key]}
    .value=${value}
    min="0"
    max="1"
    @lw-number=${({ detail }: CustomEvent<number>) => set({ [key]: detail }, key)}
  ></lw-number>
</div>`;

/** Below this a direction says nothing. */
const ROUND = 0.02;

const shapes = (lines: readonly StarsOfLine[]) =>
  lines.length === 0
    ? ''
    : html`<table aria-label=${text.shapes}>
        <thead>
          <tr>
            <th scope="col">${text.columns.line}</th>
            <th scope="col" title=${text.columnsOf.fwhm}>${text.columns.fwhm}</th>
            <th scope="col" title=${text.columnsOf.ellipticity}>${text.columns.ellipticity}</th>
          </tr>
        </thead>
        <tbody>
          ${lines.map(
            ({ name, fwhm, flattening, angle }) => html`<tr>
              <th scope="row">${name}</th>
              <td>${text.pixels(fwhm.toFixed(2))}</td>
              <td>
                ${flattening.toFixed(2)}
                ${flattening < ROUND ? '' : html`<span class="soft">${text.angle(showNumber(Math.round(angle), 0))}</span>`}
              </td>
            </tr>`,
          )}
        </tbody>
      </table>`;
