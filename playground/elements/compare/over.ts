import { html, LitElement, nothing } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { keyed } from 'lit/directives/keyed.js';
import { watch } from '../../controllers/watch.ts';
import { carry } from '../../model/camera.ts';
import { drawInto, drawPicture } from '../../model/draw-picture.ts';
import { $against, $flick, $inCells, $others, $split, type Compared, labelOf } from '../../state/compare.ts';
import { $seen } from '../../state/eyes.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $wideGamut, canvasSpace } from '../../state/screen.ts';
import { $cellCount, $frame, type Frame } from '../../state/view.ts';
import { controls } from '../../styles/controls.ts';
import { text as pageText } from '../../text.ts';
import { toolsText } from '../../text-tools.ts';
import { styles } from './over.styles.ts';

const text = toolsText.compare;

/**
 * Other mixes under the camera of the picture: one over its right part, up to an edge that can be moved, or each in a cell
 * of its own.
 */
@customElement('lw-compare-over')
export class CompareOver extends LitElement {
  static override styles = [controls, styles];

  @query('canvas') private canvas!: HTMLCanvasElement | null;
  private view: HTMLElement | undefined;

  constructor() {
    super();
    watch(this, $others, $against, $inCells, $split, $flick, $frame, $seen, $recipe, $wideGamut);
  }

  override connectedCallback(): void {
    super.connectedCallback();
    this.view = this.parentElement ?? undefined;
    this.view?.addEventListener('keydown', this.press);
    this.view?.addEventListener('keyup', this.lift);
    window.addEventListener('blur', this.lift);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.view?.removeEventListener('keydown', this.press);
    this.view?.removeEventListener('keyup', this.lift);
    window.removeEventListener('blur', this.lift);
    $flick.set(false);
    $cellCount.set(1);
  }

  override render() {
    const against = $against.get();
    if (against.length === 0) return nothing;
    const space = canvasSpace($others.get().find((layers) => layers.length > 0)?.[0]?.picture);
    return html`${keyed(space, html`<canvas aria-hidden="true"></canvas>`)}
      ${$inCells.get() ? this.cells(against) : this.edge(against[0]!)}`;
  }

  /** The name of each mix in its cell, and a button that makes it the mix. */
  private cells(against: readonly Compared[]) {
    return html`<div class="cell">
        <span class="tag">${text.mix($recipe.get().name ?? pageText.recipe.own)}</span>
      </div>
      ${against.map((other, i) => {
        const name = labelOf(other);
        return html`<div class="cell" role="group" aria-label=${text.cell(i + 2, name)}>
          <span class="tag">${name}</span>
          <button
            type="button"
            aria-label=${text.useOf(name)}
            @pointerdown=${(event: Event) => event.stopPropagation()}
            @click=${() => changeRecipe(other.recipe, pageText.recipe.chose(name))}
          >
            ${text.use}
          </button>
          ${$others.get()[i]!.length === 0 ? html`<span class="tag">${text.working}</span>` : nothing}
        </div>`;
      })}`;
  }

  private edge(other: Compared) {
    const name = $recipe.get().name ?? pageText.recipe.own;
    const otherName = labelOf(other);
    const percent = Math.round(100 * $split.get());
    return html`<div class="names" aria-hidden="true" ?hidden=${$flick.get()}><span>${name}</span><span>${otherName}</span></div>
      <div
        class="edge"
        role="slider"
        tabindex="0"
        aria-label=${text.edge(name, otherName)}
        aria-valuemin="0"
        aria-valuemax="100"
        aria-valuenow=${percent}
        aria-valuetext=${text.where(percent, name, otherName)}
        ?hidden=${$flick.get()}
        @pointerdown=${this.grip}
        @pointermove=${this.drag}
        @pointerup=${this.drop}
        @pointercancel=${this.drop}
        @keydown=${this.step}
      ></div>`;
  }

  override updated(): void {
    const count = $inCells.get() ? 1 + $against.get().length : 1;
    if (count !== $cellCount.get()) $cellCount.set(count);
    const { canvas } = this;
    if (canvas === null) return;
    const frame = $frame.get();
    const whole = $others.get();
    this.place(frame);
    const ratio = devicePixelRatio;
    const [width, height] = frame ? [frame.view.width * ratio, frame.view.height * ratio] : [1, 1];
    const context = canvas.getContext('2d', { colorSpace: canvasSpace(whole.flat()[0]?.picture) })!;
    if (canvas.width !== Math.round(width)) canvas.width = Math.round(width);
    if (canvas.height !== Math.round(height)) canvas.height = Math.round(height);
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, canvas.width, canvas.height);
    if (frame === undefined) return;
    const see = $seen.get();
    const others = whole.map((layers) => layers.map(({ picture, box }) => ({ picture: see(picture), box })));
    const { view, camera, cells } = frame;
    if (!$inCells.get()) drawPicture(context, ratio, view, camera, others[0]!);
    for (const [i, cell] of cells.entries())
      if (i > 0) drawInto(context, ratio, view, carry(camera, cells[0]!, cell), others[i - 1] ?? [], cell);
  }

  /** Puts the edge, or the cells, where the frame has them. */
  private place(frame: Frame | undefined): void {
    const { x = 0, width: room = 0 } = frame?.open ?? {};
    const split = $inCells.get() || $flick.get() ? '0px' : `${x + room * $split.get()}px`;
    this.style.setProperty('--split', split);
    this.style.setProperty('--open-left', `${x}px`);
    this.style.setProperty('--open-right', `${(frame?.view.width ?? 0) - x - room}px`);
    this.toggleAttribute('cells', $inCells.get());
    for (const [i, element] of this.renderRoot.querySelectorAll<HTMLElement>('.cell').entries()) {
      const cell = frame?.cells[i];
      element.hidden = cell === undefined;
      if (cell === undefined) continue;
      element.style.translate = `${cell.x}px ${cell.y}px`;
      element.style.width = `${cell.width}px`;
      element.style.height = `${cell.height}px`;
    }
  }

  private moveTo(share: number): void {
    $split.set(Math.min(1, Math.max(0, share)));
  }

  private gripped = false;
  private grip(event: PointerEvent): void {
    // The edge moves, not the picture under it.
    event.stopPropagation();
    if (event.button !== 0) return;
    this.gripped = true;
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
  }
  private drag(event: PointerEvent): void {
    if (!this.gripped) return;
    event.stopPropagation();
    const { x, width } = $frame.get()!.open;
    this.moveTo((event.clientX - this.getBoundingClientRect().left - x) / width);
  }
  private drop(): void {
    this.gripped = false;
  }

  private step(event: KeyboardEvent): void {
    const size = event.shiftKey ? 0.1 : 0.01;
    const now = $split.get();
    const to: Record<string, number> = {
      ArrowLeft: now - size,
      ArrowDown: now - size,
      ArrowRight: now + size,
      ArrowUp: now + size,
      PageDown: now - 0.1,
      PageUp: now + 0.1,
      Home: 0,
      End: 1,
    };
    const share = to[event.key];
    if (share === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    this.moveTo(Math.round(share * 100) / 100);
  }

  private press = (event: KeyboardEvent): void => {
    if (event.key !== ' ' || $inCells.get()) return;
    event.preventDefault();
    $flick.set(true);
  };

  private lift = (event: Event): void => {
    if (!(event instanceof KeyboardEvent) || event.key === ' ') $flick.set(false);
  };
}
