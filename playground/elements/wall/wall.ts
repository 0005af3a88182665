import { html, LitElement } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import { watch } from '../../controllers/watch.ts';
import { missingLines, sameMix } from '../../model/columns.ts';
import { inOrder } from '../../model/wall-order.ts';
import { $candidates, $hung, $pinned, type Candidate, hangUp, pin } from '../../state/candidates.ts';
import { $chosen, toggleChosen } from '../../state/chosen.ts';
import { $seen } from '../../state/eyes.ts';
import { $lines } from '../../state/masters.ts';
import { $wideWall } from '../../state/panels.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $tools } from '../../state/tools.ts';
import { $figures, $mapped, $order, $part, $sharp, $wall, want } from '../../state/wall.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import '../band/band.ts';
import '../suggestions/suggestions.ts';
import { notLoaded, take } from '../tools/take.ts';
import { styles } from './wall.styles.ts';

/** A map in less room than this could not be read. */
const MAP_WIDTH = 420;

/** Mixes of the masters that are open: in a row at the foot of a wide page, or over all of it. */
@customElement('lw-wall')
export class Wall extends LitElement {
  static override styles = [controls, styles];

  /** Whether it is one row that scrolls sideways. */
  @property({ type: Boolean, reflect: true }) strip = false;

  /** Mixes are made when their place comes into view. */
  private seen = new IntersectionObserver((entries) =>
    want(...entries.filter((e) => e.isIntersecting).map(({ target }) => (target as HTMLElement).dataset.id!)),
  );

  @query('.hung') private hung!: HTMLElement;
  /** Whether a map has room. */
  @state() private roomy = false;
  // What follows from a size changes sizes: it waits for the next frame.
  private resized = new ResizeObserver(() =>
    requestAnimationFrame(() => {
      this.roomy = this.hung.clientWidth >= MAP_WIDTH;
    }),
  );

  constructor() {
    super();
    watch(
      this,
      $wall,
      $recipe,
      $lines,
      $candidates,
      $pinned,
      $order,
      $figures,
      $part,
      $sharp,
      $seen,
      $wideWall,
      $tools,
      $chosen,
      $mapped,
    );
  }

  override render() {
    const shown = inOrder($candidates.get(), $pinned.get(), $order.get(), $figures.get());
    return html`<div class="side">
        <div class="head">
          <h2>${text.wall.title}</h2>
          <button type="button" class="map" title=${text.wall.mapOf} aria-pressed=${this.shows} @click=${this.toggleMap}>
            ${text.wall.map}
          </button>
          <button type="button" class="widen" aria-pressed=${$wideWall.get()} @click=${() => $wideWall.set(!$wideWall.get())}>
            ${$wideWall.get() ? text.wall.narrow : text.wall.widen}
          </button>
        </div>
        <div class="acts">
          <lw-suggestions></lw-suggestions>
          <button type="button" class="keep" @click=${keep}>${text.wall.keep}</button>
        </div>
        <details @toggle=${() => void import('./arrange.ts').catch(notLoaded)}>
          <summary>${text.wall.arrange}</summary>
          <lw-wall-arrange></lw-wall-arrange>
        </details>
        <lw-stars-note></lw-stars-note>
      </div>
      <div class="hung">${this.shows && this.roomy ? html`<lw-wall-map></lw-wall-map>` : this.rows(shown)}</div>`;
  }

  private rows(shown: readonly Candidate[]) {
    return html`<p class="soft note" role="status">${this.shows ? text.wall.noRoom : ''}</p>
      <ul>
        ${repeat(
          shown,
          ({ id }) => id,
          (candidate) => this.item(candidate),
        )}
      </ul>`;
  }

  /** Whether the map is asked for: a row at the foot of the page is none. */
  private get shows(): boolean {
    return $mapped.get() && !this.strip;
  }

  private toggleMap(): void {
    const shown = this.shows;
    $mapped.set(!shown);
    if (!shown && this.strip) $wideWall.set(true);
  }

  override firstUpdated(): void {
    this.resized.observe(this.hung);
  }

  override updated(): void {
    if (this.shows && this.roomy) import('./map.ts').catch(notLoaded);
    for (const item of this.renderRoot.querySelectorAll('li')) this.seen.observe(item);
  }

  private item({ id, recipe }: Candidate) {
    const current = sameMix(recipe, $recipe.get());
    const missing = missingLines(recipe, Object.keys($lines.get()));
    const name = recipe.name ?? text.recipe.own;
    return html`<li class=${current ? 'current' : ''} data-id=${id}>
      <button
        type="button"
        class="use"
        aria-pressed=${current}
        ?disabled=${missing.length > 0}
        @click=${() => changeRecipe(recipe, text.recipe.chose(name))}
      >
        ${
          missing.length > 0
            ? html`<span class="blank">${text.recipe.needs(missing)}</span>`
            : html`<lw-band
              .picture=${$sharp.get()[id] ?? $wall.get()[id]}
              .crop=${$sharp.get()[id] ? undefined : $part.get()}
            ></lw-band>`
        }
        <span class="name" title=${name}><span class="words">${name}</span>${current ? html`<span class="mark">${text.wall.current}</span>` : ''}</span>
      </button>
      ${missing.length > 0 ? '' : this.foot(id, name)}
    </li>`;
  }

  private foot(id: string, name: string) {
    const pinned = $pinned.get().includes(id);
    const hung = $hung.get().some((candidate) => candidate.id === id);
    const pinWord = pinned ? (hung ? text.wall.takeDown : text.wall.unpin) : text.wall.pin;
    return html`<div class="foot">
      <span class="figure">${this.figure(id)}</span>
      <button
        type="button"
        aria-pressed=${$tools.get().includes('compare') && $chosen.get().includes(id)}
        aria-label=${text.wall.act(text.wall.compare, name)}
        @click=${() => compare(id)}
      >
        ${text.wall.compare}
      </button>
      <button type="button" aria-label=${text.wall.act(pinWord, name)} @click=${() => pin(id, !pinned)}>${pinWord}</button>
    </div>`;
  }

  private figure(id: string): string {
    const order = $order.get();
    const value = order === 'listed' ? undefined : $figures.get()[id]?.[order];
    if (order === 'listed' || value === undefined) return '';
    return text.wall.figures[order](value);
  }
}

/** Pins the mix on screen as a variant of what it was made from. */
const keep = (): void => {
  const recipe = $recipe.get();
  const name = recipe.name ?? text.recipe.own;
  hangUp(recipe, (number) => text.wall.variant(name, number));
};

/** Sets a candidate against the mix, beside those that stand there, or takes it away. */
const compare = (id: string): void => {
  if ($tools.get().includes('compare')) {
    toggleChosen(id);
    return;
  }
  $chosen.set([id]);
  take('compare');
};
