import { css, html, LitElement } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { SettledChannel } from '../../../lib/recipe/settle/settled.ts';
import type { Histogram } from '../../../lib/web/histogram.ts';
import { watch } from '../../controllers/watch.ts';
import { drawHistogram } from '../../model/draw-histogram.ts';
import { showMeasured } from '../../model/number.ts';
import { $surround } from '../../state/view.ts';
import { text } from '../../text.ts';

/** How often values occur (logarithmic, upwards) and where the curve shows them; spoken as a sentence. */
@customElement('lw-histogram')
export class HistogramView extends LitElement {
  static override styles = css`
    canvas {
      display: block;
      width: 100%;
      height: 92px;
    }
  `;

  @property() line = '';
  @property({ attribute: false }) histogram: Histogram | undefined;
  @property({ attribute: false }) settled: SettledChannel | undefined;
  @query('canvas') private canvas!: HTMLCanvasElement;

  private resized = new ResizeObserver(() => this.draw());

  constructor() {
    super();
    watch(this, $surround);
  }

  override render() {
    return html`<canvas role="img" aria-label=${this.summary()} title=${this.summary()}></canvas>`;
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
