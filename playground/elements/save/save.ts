import { html, LitElement } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { pictureBytes } from '../../model/picture-bytes.ts';
import { $cover, $crop, setCrop } from '../../state/crop.ts';
import { $inLibrary, $library, keepInLibrary, removeFromLibrary } from '../../state/library.ts';
import { copyCommand, copyLink } from '../../state/link.ts';
import { $picture } from '../../state/picture.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $legend, $saving, SAVE_KINDS, type SaveKind, save, takesLegend } from '../../state/saving.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import { text as keeping } from '../../text-keeping.ts';
import { notLoaded } from '../tools/take.ts';
import { styles } from './save.styles.ts';

/** Saves the full-size picture, or the recipe alone. */
@customElement('lw-save')
export class SavePanel extends LitElement {
  static override styles = [controls, styles];

  @state() private kind: SaveKind = SAVE_KINDS[0]!;

  constructor() {
    super();
    watch(this, $saving, $picture, $recipe, $library, $crop, $cover, $legend);
  }

  override render() {
    const saving = $saving.get();
    const whole = $picture.get()?.full;
    // What is cut away needs no room.
    const full = ($crop.get() ? $cover.get()?.box : undefined) ?? whole;
    const { kind } = this;
    const own = $inLibrary.get();
    const picture = kind.sample !== undefined;
    const possible = saving === undefined && (!picture || full !== undefined);
    const pixels = full === undefined ? 0 : full.width * full.height;
    return html`<h2>${text.save.title}</h2>
      <label
        >${keeping.name}
        <input
          type="text"
          maxlength="120"
          aria-label=${keeping.nameOf}
          placeholder=${keeping.unnamed}
          .value=${$recipe.get().name ?? ''}
          @change=${this.rename}
      /></label>
      <label
        >${text.save.kind}
        <select @change=${this.choose}>
          ${SAVE_KINDS.map(
            ({ id }) =>
              html`<option value=${id} .selected=${id === kind.id}>
                ${text.save.kinds[id as keyof typeof text.save.kinds]}
              </option>`,
          )}
        </select></label
      >
      ${
        picture && full !== undefined
          ? html`<p class="soft">
              ${text.save.size(full.width, full.height, pictureBytes(pixels, kind))}. ${text.save.carries}
            </p>`
          : ''
      }
      ${picture ? this.crop() : ''} ${takesLegend(kind) ? this.legend() : ''}
      <button type="button" class="main" ?disabled=${!possible} @click=${() => save(kind, pixels)}>
        ${picture ? text.save.button : text.save.recipeButton}
      </button>
      <div class="copies">
        <button type="button" @click=${copyLink}>${text.link.copy}</button>
        <button type="button" @click=${copyCommand}>${text.link.command}</button>
        ${
          own < 0
            ? html`<button type="button" @click=${keepInLibrary}>${keeping.keepIt}</button>`
            : html`<button type="button" @click=${() => removeFromLibrary(own)}>${keeping.remove}</button>`
        }
      </div>
      ${
        saving === undefined
          ? ''
          : html`<div class="work">
              <span id="work">${text.save.progress(saving.file)}</span>
              <progress aria-labelledby="work" max="1" .value=${saving.done}></progress>
              <button type="button" @click=${() => saving.cancel()}>${text.save.cancel}</button>
            </div>`
      }`;
  }

  /** The frame over the picture is loaded with the first crop. */
  override updated(): void {
    if ($crop.get()) import('../crop/over.ts').catch(notLoaded);
  }

  private crop() {
    const cropped = $crop.get();
    const cover = $cover.get();
    return html`<label
        ><input type="checkbox" .checked=${cropped} @change=${() => setCrop(!cropped)} />${text.save.crop}</label
      >
      ${cropped && cover ? html`<p class="soft">${cover.box ? cover.warnings.join(' ') : text.save.cropWhole}</p>` : ''}`;
  }

  private legend() {
    return html`<label
      ><input
        type="checkbox"
        .checked=${$legend.get()}
        @change=${() => $legend.set(!$legend.get())}
      />${keeping.legend}</label
    >`;
  }

  private rename(event: Event): void {
    const name = (event.target as HTMLInputElement).value.trim();
    const { name: _, ...rest } = $recipe.get();
    changeRecipe(name === '' ? rest : { ...rest, name }, keeping.setName);
  }

  private choose(event: Event): void {
    const { value } = event.target as HTMLSelectElement;
    this.kind = SAVE_KINDS.find(({ id }) => id === value)!;
  }
}
