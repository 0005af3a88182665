import { css, html, LitElement, nothing } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import type { HoursAnswer } from '../../../lib/web/hours.ts';
import { watch } from '../../controllers/watch.ts';
import { drawHours, type HoursPlot, ROOM } from '../../model/draw-hours.ts';
import { showHours, showPercent } from '../../model/hours-figures.ts';
import { LITTLE, littleFrom } from '../../model/slow-hour.ts';
import { $answer, $plan, $until, setMore } from '../../state/hours.ts';
import { $surround } from '../../state/view.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-hours.ts';
import '../number/number.ts';

/** A slider's thumb, whose middle is the value, stays inside its track: that much the track is longer than the plot. */
const THUMB = 16;

/** Noise against hours to come, with the slider of those hours as its axis; told in sentences too. */
@customElement('lw-hours-curve')
export class HoursCurves extends LitElement {
  static override styles = [
    controls,
    css`
      canvas {
        display: block;
        width: 100%;
        height: 168px;
      }
      .more:not([hidden]) {
        display: grid;
        grid-template-columns: minmax(0, 1fr) ${ROOM.right - THUMB / 2}px;
        align-items: center;
        padding-inline-start: ${ROOM.left - THUMB / 2}px;
      }
      input {
        appearance: none;
        width: 100%;
        height: 28px;
        margin: 0;
        background: linear-gradient(var(--line), var(--line)) no-repeat center / 100% 2px;
      }
      input::-webkit-slider-thumb {
        appearance: none;
        width: ${THUMB}px;
        height: ${THUMB}px;
        border: 0;
        border-radius: 50%;
        background: var(--ink);
      }
      input::-moz-range-thumb {
        width: ${THUMB}px;
        height: ${THUMB}px;
        border: 0;
        border-radius: 50%;
        background: var(--ink);
      }
      .hours {
        display: flex;
        align-items: center;
        gap: 4px;
        padding-inline-start: 6px;
      }
      lw-number {
        flex: 1;
        min-width: 0;
      }
      output {
        display: block;
        min-height: 3em;
      }
      @media (pointer: coarse) {
        input {
          height: 40px;
        }
      }
    `,
  ];

  @query('canvas') private canvas!: HTMLCanvasElement | null;
  private resized = new ResizeObserver(() => this.draw());
  private seen: HTMLCanvasElement | null = null;

  constructor() {
    super();
    watch(this, $answer, $plan, $until, $surround);
  }

  override render() {
    const answer = $answer.get();
    if (answer?.plan === undefined) return nothing;
    const until = $until.get();
    const { more } = $plan.get();
    // How many hours an SNR takes is found, not chosen.
    const chosen = answer.plan.advice.goal !== 'snr';
    return html`<canvas role="img" aria-label=${tell(answer)}></canvas>
      <div class="more" ?hidden=${!chosen}>
        <input
          type="range"
          aria-label=${text.hours.more}
          aria-valuetext=${text.hours.moreOf(showHours(more))}
          min="0"
          max=${until}
          step=${until > 50 ? 1 : 0.5}
          .value=${String(more)}
          @input=${(event: Event) => setMore(Number((event.target as HTMLInputElement).value))}
        />
        <span class="hours">
          <lw-number
            label=${text.hours.moreTyped}
            .value=${more}
            min="0"
            max="10000"
            step="0.5"
            @lw-number=${(event: CustomEvent<number>) => setMore(event.detail)}
          ></lw-number
          >${text.hours.unit}</span
        >
      </div>
      <output>${chosen || answer.plan.advice.allocation?.clock ? gain(answer) : ''} ${little(answer)}</output>`;
  }

  override updated(): void {
    if (this.canvas !== this.seen) {
      this.resized.disconnect();
      if (this.canvas !== null) this.resized.observe(this.canvas);
      this.seen = this.canvas;
    }
    this.draw();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.resized.disconnect();
    this.seen = null;
  }

  private draw(): void {
    const plot = plotOf($answer.get());
    if (this.canvas !== null && plot !== undefined) drawHours(this.canvas, plot);
  }
}

/** The curves over the noise of the present. */
const plotOf = (answer: HoursAnswer | undefined): HoursPlot | undefined => {
  const { advice, curves } = answer?.plan ?? {};
  if (advice?.allocation === undefined || curves === undefined) return undefined;
  const now = nowOf(answer!);
  const relative = curves.map(({ line, points }) => ({
    ...(line === undefined ? {} : { line }),
    points: points.map(({ hours, noise }) => ({ hours, noise: now > 0 ? noise / now : 1 })),
  }));
  const then = now > 0 ? advice.future!.noise[advice.quantity] / now : 1;
  const little = littleOf(answer!);
  return { curves: relative, until: curves[0]!.points.at(-1)!.hours, more: advice.allocation.clock, then, little };
};

/** Hours to come after which one more brings little, in the best split. */
const littleOf = ({ plan }: HoursAnswer): number | undefined => {
  const best = plan?.curves?.find(({ line }) => line === undefined);
  return best && littleFrom(best.points);
};

const nowOf = ({ ledger, plan }: HoursAnswer): number => (ledger.box ?? ledger.background).noise[plan!.advice.quantity];

/** What the curves show, for those who do not see them. */
const tell = (answer: HoursAnswer): string => {
  const { until, curves } = plotOf(answer)!;
  const ends = curves.map(({ line, points }) => text.hours.end(line, showPercent(points.at(-1)!.noise)));
  return text.hours.describe(
    text.ledger.quantities[answer.plan!.advice.quantity as 'luminance'],
    showHours(until),
    ends,
  );
};

/** What the plan brings, and what equal shares would. */
const gain = (answer: HoursAnswer): string => {
  const { allocation, future, equal, quantity } = answer.plan!.advice;
  if (allocation === undefined || !(allocation.clock > 0)) return text.hours.noGain;
  const now = nowOf(answer);
  const fall = (noise: number) => showPercent(now > 0 ? 1 - noise / now : 0);
  const words = { hours: showHours(allocation.clock), quantity: text.ledger.quantities[quantity as 'luminance'] };
  return text.hours.gain({ ...words, best: fall(future!.noise[quantity]), equal: fall(equal!.noise[quantity]) });
};

/** From where on one more hour brings little. */
const little = (answer: HoursAnswer): string => {
  const from = littleOf(answer);
  if (from === undefined) return '';
  return text.hours.little(from > 0 ? showHours(from) : undefined, showPercent(LITTLE));
};
