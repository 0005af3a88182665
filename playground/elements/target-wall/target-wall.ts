import { html, LitElement, nothing } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { $pinned } from '../../state/candidates.ts';
import { $targets } from '../../state/history.ts';
import { $recipe } from '../../state/recipe.ts';
import {
  $drawingTargets,
  $targetPictures,
  $targetsShown,
  saveTargetSheet,
  sheetRecipes,
  type TargetPicture,
} from '../../state/target-wall.ts';
import { switchTarget } from '../../state/targets.ts';
import { controls } from '../../styles/controls.ts';
import { dialog } from '../../styles/dialog.ts';
import { text } from '../../text-targets.ts';
import '../band/band.ts';
import { styles } from './target-wall.styles.ts';

/** All targets by the mix on screen, in small: a click shows one large. */
@customElement('lw-target-wall')
export class TargetWall extends LitElement {
  static override styles = [controls, dialog, styles];

  @query('dialog') private dialog!: HTMLDialogElement | null;

  constructor() {
    super();
    watch(this, $targets, $targetsShown, $targetPictures, $recipe, $drawingTargets, $pinned);
  }

  override render() {
    const targets = $targets.get();
    if (!$targetsShown.get() || targets === undefined) return nothing;
    return html`<dialog aria-labelledby="title" @close=${() => $targetsShown.set(false)}>
      <h2 id="title">${text.wallTitle($recipe.get().name ?? text.ownMix)}</h2>
      <ul>
        ${targets.all.map(({ name }) => this.item(name, name === targets.current))}
      </ul>
      <p class="soft">${text.sheetAbout(sheetRecipes().map(({ caption }) => caption))}</p>
      <div class="buttons">${this.sheet()}<button type="button" @click=${this.close}>${text.close}</button></div>
    </dialog>`;
  }

  private item(name: string, current: boolean) {
    const found = $targetPictures.get()?.find((one) => one.name === name);
    return html`<li>
      <button type="button" class="use" aria-pressed=${current} @click=${() => this.choose(name)}>
        ${pictureOf(found)}
        <span class="name"><span>${name}</span>${current ? html`<span class="soft">${text.onScreen}</span>` : ''}</span>
      </button>
    </li>`;
  }

  private sheet() {
    const drawing = $drawingTargets.get();
    if (drawing === undefined)
      return html`<button type="button" @click=${() => void saveTargetSheet()}>${text.saveSheet}</button>`;
    return html`<progress aria-label=${text.saveSheet} max="1" .value=${drawing.done}></progress>
      <button type="button" @click=${() => drawing.cancel()}>${text.cancel}</button>`;
  }

  private choose(name: string): void {
    switchTarget(name);
    this.close();
  }

  private close(): void {
    this.dialog?.close();
  }

  override updated(): void {
    if (this.dialog?.open === false) this.dialog.showModal();
  }
}

/** The picture of a target, or why there is none. */
const pictureOf = (found: TargetPicture | undefined) => {
  if (found?.picture) return html`<lw-band .picture=${found.picture}></lw-band>`;
  const words = found === undefined ? text.mixing : (found.fault ?? text.lacks(found.missing));
  return html`<span class="blank">${words}</span>`;
};
