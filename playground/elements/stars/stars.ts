import { css, html, LitElement } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import type { CurveName } from '../../../lib/stretch/curves.ts';
import { watch } from '../../controllers/watch.ts';
import {
  STAR_CURVES,
  starsOf,
  withStarBlack,
  withStarCurve,
  withStarLevel,
  withStarWhite,
  withStrength,
} from '../../model/star-choices.ts';
import { say } from '../../state/messages.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $stars, isLaidOver, layStars, layWaiting, removeStars } from '../../state/stars.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-stars.ts';
import { text as ownText } from '../../text-stars-own.ts';
import '../number/number.ts';
import './note.ts';

/** The picture of the stars that is laid over the mix, and how. */
@customElement('lw-stars')
export class StarsPanel extends LitElement {
  static override styles = [
    controls,
    css`
      :host {
        display: grid;
        gap: 6px;
        justify-items: start;
      }
      input[type='file'] {
        display: none;
      }
      .choice {
        display: grid;
        grid-template-columns: minmax(0, 1fr) minmax(0, 1fr);
        gap: 0 8px;
        align-items: center;
        width: 100%;
        color: var(--soft);
      }
      .choice select {
        width: 100%;
        min-width: 0;
      }
      .choice lw-number {
        width: 76px;
        color: var(--ink);
      }
      .typed {
        display: flex;
        gap: 6px;
        align-items: center;
      }
      .files {
        overflow-wrap: anywhere;
      }
      .buttons {
        display: flex;
        flex-wrap: wrap;
        gap: 6px;
      }
      .small {
        font-size: 12px;
      }
    `,
  ];

  @query('input') private input!: HTMLInputElement;

  constructor() {
    super();
    watch(this, $stars, $recipe);
  }

  override render() {
    const stars = $stars.get();
    return html`<p class="soft small">${text.about}</p>
      ${stars === undefined ? '' : html`<p class="files">${fileWords(stars.files)}</p>`}
      ${stars?.warnings.map((words) => html`<p class="soft small">${text.noted(words)}</p>`)}
      <div class="buttons">
        <button type="button" @click=${() => this.input.click()}>
          ${stars === undefined ? text.choose : text.other}
        </button>
        ${stars === undefined ? '' : html`<button type="button" @click=${removeStars}>${text.remove}</button>`}
      </div>
      <input
        type="file"
        multiple
        accept=".fits,.fit,.fts,.fz,.gz,.tif,.tiff"
        aria-label=${text.choose}
        @change=${this.chosen}
      />
      ${stars === undefined ? '' : this.laid($recipe.get())}`;
  }

  private laid(recipe: WrittenRecipe) {
    if (isLaidOver(recipe)) return this.choices(recipe);
    return html`<p class="soft small">${ownText.waiting}</p>
      <button type="button" @click=${layWaiting}>${ownText.layOver}</button>`;
  }

  private choices(recipe: WrittenRecipe) {
    const { strength, curve, level, black, white } = starsOf(recipe);
    return html`${number(text.strength, strength, [0, 1, 0.01], withStrength)}
      ${select(text.curve, curve ?? '', ['', ...STAR_CURVES], text.curves, (before, value) =>
        withStarCurve(before, value === '' ? undefined : (value as CurveName)),
      )}
      ${curve === 'linear' ? '' : number(text.level, level, [0.001, 0.9, 0.01], withStarLevel)}
      ${select(text.black, black === undefined ? '' : 'noise', ['', 'noise'], text.blacks, (before, value) =>
        withStarBlack(before, value === '' ? undefined : 3),
      )}
      ${black === undefined ? '' : number(text.blackBy, black, [-100, 100, 0.1], withStarBlack, text.blackUnit)}
      ${select(text.white, white === undefined ? '' : 'percentile', ['', 'percentile'], text.whites, (before, value) =>
        withStarWhite(before, value === '' ? undefined : 99.9),
      )}
      ${white === undefined ? '' : number(text.whiteAt, white, [50, 100, 0.01], withStarWhite)}
      <p class="soft small">${text.below}</p>`;
  }

  private chosen(): void {
    const files = [...(this.input.files ?? [])];
    this.input.value = '';
    if (files.length === 1 || files.length === 3) void layStars(files);
    else say({ topic: 'stars', kind: 'fault', words: text.number });
  }
}

const fileWords = (files: readonly File[]): string => {
  const names = files.map(({ name }) => name);
  return names.length === 3 ? text.order(names) : names.join();
};

const select = (
  label: string,
  now: string,
  values: readonly string[],
  words: Readonly<Record<string, string>>,
  write: (recipe: WrittenRecipe, value: string) => WrittenRecipe,
) => {
  const choose = (event: Event) =>
    changeRecipe(write($recipe.get(), (event.target as HTMLSelectElement).value), text.step(label));
  return html`<label class="choice"
    >${label}<select @change=${choose}>
      ${values.map((value) => html`<option value=${value} .selected=${value === now}>${words[value]}</option>`)}
    </select></label
  >`;
};

const number = (
  label: string,
  value: number,
  [min, max, step]: readonly [number, number, number],
  write: (recipe: WrittenRecipe, value: number) => WrittenRecipe,
  unit = '',
) => {
  const change = ({ detail }: CustomEvent<number>) =>
    changeRecipe(write($recipe.get(), detail), text.step(label), `stars ${label}`);
  return html`<div class="choice">
    <span>${label}</span>
    <span class="typed"
      ><lw-number .label=${label} .value=${value} .min=${min} .max=${max} .step=${step} @lw-number=${change}></lw-number
      >${unit}</span
    >
  </div>`;
};
