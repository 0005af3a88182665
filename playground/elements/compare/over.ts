import { html, LitElement, nothing } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { keyed } from 'lit/directives/keyed.js';
import { watch } from '../../controllers/watch.ts';
import { drawPicture } from '../../model/draw-picture.ts';
import { $against, $flick, $other, $split, labelOf } from '../../state/compare.ts';
import { $seen } from '../../state/eyes.ts';
import { $recipe } from '../../state/recipe.ts';
import { $wideGamut, canvasSpace } from '../../state/screen.ts';
import { $frame } from '../../state/view.ts';
import { text as pageText } from '../../text.ts';
import { toolsText } from '../../text-tools.ts';
import { styles } from './over.styles.ts';

const text = toolsText.compare;

/** The other mix over the right part of the picture, under the same camera, up to an edge that can be moved. */
@customElement('lw-compare-over')
export class CompareOver extends LitElement {
  static override styles = styles;

  @query('canvas') private canvas!: HTMLCanvasElement | null;
  private view: HTMLElement | undefined;

  constructor() {
    super();
    watch(this, $other, $against, $split, $flick, $frame, $seen, $recipe, $wideGamut);
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
  }

  override render() {
    const other = $against.get();
    if (other === undefined) return nothing;
    const name = $recipe.get().name ?? pageText.recipe.own;
    const otherName = labelOf(other);
    const percent = Math.round(100 * $split.get());
    return html`${keyed(canvasSpace($other.get()[0]?.picture), html`<canvas aria-hidden="true"></canvas>`)}
      <div class="names" aria-hidden="true" ?hidden=${$flick.get()}><span>${name}</span><span>${otherName}</span></div>
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
    const { canvas } = this;
    if (canvas === null) return;
    const frame = $frame.get();
    const layers = $other.get();
    const { x = 0, width: room = 0 } = frame?.open ?? {};
    this.style.setProperty('--split', $flick.get() ? '0px' : `${x + room * $split.get()}px`);
    this.style.setProperty('--open-left', `${x}px`);
    this.style.setProperty('--open-right', `${(frame?.view.width ?? 0) - x - room}px`);
    const ratio = devicePixelRatio;
    const [width, height] = frame ? [frame.view.width * ratio, frame.view.height * ratio] : [1, 1];
    const context = canvas.getContext('2d', { colorSpace: canvasSpace(layers[0]?.picture) })!;
    if (canvas.width !== Math.round(width)) canvas.width = Math.round(width);
    if (canvas.height !== Math.round(height)) canvas.height = Math.round(height);
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, canvas.width, canvas.height);
    if (frame === undefined || layers.length === 0) return;
    const see = $seen.get();
    const seen = layers.map(({ picture, box }) => ({ picture: see(picture), box }));
    drawPicture(context, ratio, frame.view, frame.camera, seen);
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
    if (event.key !== ' ') return;
    event.preventDefault();
    $flick.set(true);
  };

  private lift = (event: Event): void => {
    if (!(event instanceof KeyboardEvent) || event.key === ' ') $flick.set(false);
  };
}
