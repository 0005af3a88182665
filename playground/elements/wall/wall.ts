import { html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import { CATALOGUE, type CatalogueEntry } from '../../../lib/palettes/catalogue.ts';
import type { Preview } from '../../../lib/web/service.ts';
import { watch } from '../../controllers/watch.ts';
import { missingLines } from '../../model/columns.ts';
import { $lines } from '../../state/masters.ts';
import { $entry, changeRecipe } from '../../state/recipe.ts';
import { $wall } from '../../state/wall.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import '../band/band.ts';
import { styles } from './wall.styles.ts';

/** Every catalogue recipe on the masters that are open, one below the other like strips of paint. */
@customElement('lw-wall')
export class Wall extends LitElement {
  static override styles = [controls, styles];

  constructor() {
    super();
    watch(this, $wall, $entry, $lines);
  }

  override render() {
    const wall = $wall.get();
    return html`<div class="head"><h2>${text.wall.title}</h2><span class="soft">${text.wall.about}</span></div>
      <ul>
        ${repeat(
          CATALOGUE,
          ({ id }) => id,
          (entry) => this.item(entry, wall[entry.id]),
        )}
      </ul>`;
  }

  private item({ id, recipe }: CatalogueEntry, picture: Preview | undefined) {
    const current = $entry.get()?.id === id;
    const missing = missingLines(recipe, Object.keys($lines.get()));
    const name = recipe.name ?? id;
    const use = () => changeRecipe(recipe, text.recipe.chose(name));
    return html`<li class=${current ? 'current' : ''}>
      <button type="button" aria-pressed=${current} ?disabled=${missing.length > 0} @click=${use}>
        ${
          missing.length > 0
            ? html`<span class="blank">${text.recipe.needs(missing)}</span>`
            : html`<lw-band .picture=${picture}></lw-band>`
        }
        <span class="name">${name}${current ? html`<span class="mark">${text.wall.current}</span>` : ''}</span>
      </button>
    </li>`;
  }
}
