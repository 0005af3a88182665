import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import type { SettledChannel } from '../../../lib/recipe/settle/settled.ts';
import { axisOf, type Histogram, valueAt } from '../../../lib/web/histogram.ts';
import { watch } from '../../controllers/watch.ts';
import { drawHistogram } from '../../model/draw-histogram.ts';
import { HANDLES, type Handle, handleValues, withHandle } from '../../model/levels.ts';
import { showMeasured } from '../../model/number.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $surround } from '../../state/view.ts';
import { text } from '../../text.ts';
import { styles } from './histogram.styles.ts';

/** A step of the keys as a share of the axis. */
const STEP = 0.004;

/**
 * How often values occur (logarithmic, upwards) and where the curve shows them; spoken as a sentence. Black, middle and
 * white are taken hold of on it.
 */
@customElement('lw-histogram')
export class HistogramView extends LitElement {
  static override styles = styles;

  @property() line = '';
  @property({ attribute: false }) histogram: Histogram | undefined;
  @property({ attribute: false }) settled: SettledChannel | undefined;
  @query('canvas') private canvas!: HTMLCanvasElement;
  /** The handle in the hand, and the value that it is held at. */
  @state() private held: { readonly handle: Handle; readonly value: number } | undefined;

  private resized = new ResizeObserver(() => this.draw());

  constructor() {
    super();
    watch(this, $surround, $recipe);
  }

  override render() {
    const values = this.settled === undefined ? {} : handleValues($recipe.get(), this.settled);
    return html`<div class="plot">
        <canvas role="img" aria-label=${this.summary()} title=${this.summary()}></canvas>
        ${HANDLES.map((handle) => this.handle(handle, values[handle]))}
      </div>
      <p class="values" aria-hidden="true">
        ${this.settled === undefined ? nothing : HANDLES.map((handle) => this.value(handle, values[handle]))}
      </p>`;
  }

  private value(handle: Handle, value: number | undefined) {
    if (value === undefined) return html`<span></span>`;
    return html`<span><span class="soft">${text.histogram.handles[handle]}</span> ${showMeasured(this.heldOr(handle, value))}</span>`;
  }

  /** Under the hand a handle stands where it is held, however long the mix takes. */
  private heldOr(handle: Handle, value: number): number {
    return this.held?.handle === handle ? this.held.value : value;
  }

  private handle(handle: Handle, value: number | undefined) {
    if (value === undefined || this.histogram === undefined) return nothing;
    const now = this.heldOr(handle, value);
    return html`<div
      class="handle ${handle}"
      role="slider"
      tabindex="0"
      aria-label=${text.histogram.handleOf(text.histogram.handles[handle], this.line)}
      aria-valuenow=${now}
      aria-valuetext=${showMeasured(now)}
      data-handle=${handle}
      @pointerdown=${this.grip}
      @pointermove=${this.drag}
      @pointerup=${this.drop}
      @pointercancel=${this.drop}
      @keydown=${this.step}
    ></div>`;
  }

  override firstUpdated(): void {
    this.resized.observe(this.canvas);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.resized.disconnect();
  }

  override updated(): void {
    this.draw();
    const { histogram } = this;
    if (histogram === undefined || this.settled === undefined) return;
    const values = handleValues($recipe.get(), this.settled);
    for (const element of this.renderRoot.querySelectorAll<HTMLElement>('.handle')) {
      const handle = element.dataset.handle as Handle;
      const u = axisOf(histogram, this.heldOr(handle, values[handle] ?? 0));
      const share = (u - histogram.low) / (histogram.high - histogram.low);
      element.style.left = `${100 * Math.min(1, Math.max(0, share))}%`;
    }
  }

  private set(handle: Handle, value: number): void {
    const words = text.histogram.handleOf(text.histogram.handles[handle], this.line);
    changeRecipe(withHandle($recipe.get(), this.settled!, handle, value), words, `${handle} ${this.line}`);
  }

  private handleAt(event: Event): Handle {
    return (event.currentTarget as HTMLElement).dataset.handle as Handle;
  }

  private grip(event: PointerEvent): void {
    if (event.button !== 0) return;
    const element = event.currentTarget as HTMLElement;
    element.setPointerCapture(event.pointerId);
    const handle = this.handleAt(event);
    this.held = { handle, value: Number(element.getAttribute('aria-valuenow')) };
  }

  private drag(event: PointerEvent): void {
    const { histogram, held } = this;
    if (held === undefined || histogram === undefined) return;
    const box = this.canvas.getBoundingClientRect();
    const share = Math.min(1, Math.max(0, (event.clientX - box.left) / box.width));
    const value = valueAt(histogram, histogram.low + share * (histogram.high - histogram.low));
    this.held = { ...held, value };
    this.set(held.handle, value);
  }

  private drop(): void {
    this.held = undefined;
  }

  private step(event: KeyboardEvent): void {
    const { histogram } = this;
    const ways: Record<string, number> = {
      ArrowLeft: -1,
      ArrowDown: -1,
      ArrowRight: 1,
      ArrowUp: 1,
      PageDown: -10,
      PageUp: 10,
    };
    const way = ways[event.key];
    if (way === undefined || histogram === undefined) return;
    event.preventDefault();
    const handle = this.handleAt(event);
    const now = handleValues($recipe.get(), this.settled!)[handle]!;
    const by = way * (event.shiftKey ? 10 : 1) * STEP * (histogram.high - histogram.low);
    this.set(handle, valueAt(histogram, axisOf(histogram, now) + by));
  }

  private summary(): string {
    if (this.settled === undefined) return text.histogram.plain(this.line);
    const { background, black, white, stretch } = this.settled;
    const [low, high] = [showMeasured(background + black), showMeasured(background + white)];
    return text.histogram.describe(this.line, low, high, stretch.curve, this.settled);
  }

  private draw(): void {
    if (this.histogram !== undefined) drawHistogram(this.canvas, this.histogram, this.settled);
  }
}
