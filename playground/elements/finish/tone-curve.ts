import { css, html, LitElement, svg } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { points as curveKind } from '../../../lib/stretch/points.ts';
import { watch } from '../../controllers/watch.ts';
import { lightnessCounts } from '../../model/colour-cloud.ts';
import { addedPoint, movedPoint, type TonePoint, withTone } from '../../model/finish-choices.ts';
import { $cloud, $tonePoints } from '../../state/finish.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-finish.ts';

/** Sides of the plot in its own units, and how many parts its curve and its histogram are drawn of. */
const [WIDE, HIGH, STEPS, BINS] = [240, 120, 60, 60];
/** A step of the keys. */
const STEP = 0.01;
const WAYS: Readonly<Record<string, TonePoint>> = {
  ArrowLeft: [-STEP, 0],
  ArrowRight: [STEP, 0],
  ArrowUp: [0, STEP],
  ArrowDown: [0, -STEP],
};

/** The curve over lightness on the histogram of the picture: points are dragged, added by a click and moved by keys. */
@customElement('lw-tone-curve')
export class ToneCurve extends LitElement {
  static override styles = [
    controls,
    css`
      .plot {
        position: relative;
        border: 1px solid var(--line);
        touch-action: none;
        cursor: crosshair;
      }
      svg {
        display: block;
        width: 100%;
        height: 120px;
      }
      .counts {
        fill: var(--faint);
      }
      .straight {
        stroke: var(--line);
      }
      .curve {
        fill: none;
        stroke: var(--ink);
        stroke-width: 1.5;
      }
      path,
      line {
        vector-effect: non-scaling-stroke;
      }
      .point {
        position: absolute;
        width: 24px;
        height: 24px;
        margin: -12px;
        cursor: move;
        touch-action: none;
      }
      .point::after {
        content: '';
        position: absolute;
        inset: 7px;
        border: 1.5px solid var(--ink);
        border-radius: 50%;
        background: var(--ground);
      }
      .point:focus-visible {
        outline: 2px solid var(--accent);
        outline-offset: -2px;
      }
      .buttons {
        display: flex;
        flex-wrap: wrap;
        gap: 6px;
        margin-top: 6px;
      }
    `,
  ];

  @query('.plot') private plot!: HTMLElement;
  /** The point in the hand. */
  @state() private held: number | undefined;

  constructor() {
    super();
    watch(this, $tonePoints, $cloud);
  }

  override render() {
    const points = $tonePoints.get();
    return html`<div class="plot" @pointerdown=${this.press} @pointermove=${this.drag} @pointerup=${this.drop} @pointercancel=${this.drop}>
        <svg viewBox="0 0 ${WIDE} ${HIGH}" preserveAspectRatio="none" role="img" aria-label=${text.toneOf(points.length)}>
          <path class="counts" d=${this.counts(points)}></path>
          <line class="straight" x1="0" y1=${HIGH} x2=${WIDE} y2="0"></line>
          ${svg`<path class="curve" d=${curvePath(points)}></path>`}
        </svg>
        ${points.map(([x, y], i) => this.point(x, y, i))}
      </div>
      <div class="buttons">
        <button type="button" ?disabled=${points.length >= 8} @click=${this.add}>${text.add}</button>
        <button type="button" title=${text.straightOf} ?disabled=${points.length === 0} @click=${() => set([])}>
          ${text.straight}
        </button>
      </div>`;
  }

  override updated(): void {
    const points = $tonePoints.get();
    for (const element of this.renderRoot.querySelectorAll<HTMLElement>('.point')) {
      const [x, y] = points[Number(element.dataset.point)]!;
      element.style.left = `${100 * x}%`;
      element.style.top = `${100 * (1 - y)}%`;
    }
  }

  private point(x: number, y: number, i: number) {
    return html`<div
      class="point"
      role="slider"
      tabindex="0"
      aria-label=${text.pointName(i + 1)}
      aria-valuemin="0"
      aria-valuemax="1"
      aria-valuenow=${y}
      aria-valuetext=${text.point(x.toFixed(2), y.toFixed(2))}
      data-point=${i}
      @keydown=${(event: KeyboardEvent) => this.key(event, i)}
    ></div>`;
  }

  /** The lightness of the picture before the curve: it stays where it is while the curve is bent. */
  private counts(points: readonly TonePoint[]): string {
    const cloud = $cloud.get();
    if (cloud === undefined) return '';
    const shown = lightnessCounts(cloud, 4 * BINS);
    const curve = curveKind.curve({ points });
    const counts = new Float64Array(BINS);
    // Each bin before the curve holds what lies between the two lightnesses that its ends become.
    for (let i = 0, at = 0; i < BINS; i++) {
      const end = i === BINS - 1 ? shown.length : curve((i + 1) / BINS) * shown.length;
      for (; at < end; at++) counts[i]! += shown[at]!;
    }
    const most = Math.sqrt(Math.max(1, ...counts.subarray(1)));
    const height = (count: number) => HIGH * (1 - Math.min(1, (0.9 * Math.sqrt(count)) / most));
    const steps = [...counts].map((count, i) => `V${height(count).toFixed(1)}H${(((i + 1) * WIDE) / BINS).toFixed(1)}`);
    return `M0 ${HIGH}${steps.join('')}V${HIGH}Z`;
  }

  private placeOf(event: PointerEvent): TonePoint {
    const box = this.plot.getBoundingClientRect();
    return [(event.clientX - box.left) / box.width, 1 - (event.clientY - box.top) / box.height];
  }

  private press(event: PointerEvent): void {
    if (event.button !== 0) return;
    const { point } = (event.target as HTMLElement).dataset;
    this.plot.setPointerCapture(event.pointerId);
    if (point !== undefined) {
      this.held = Number(point);
      (event.target as HTMLElement).focus();
      return;
    }
    const before = $tonePoints.get();
    const at = this.placeOf(event);
    const added = before.length >= 8 ? before : addedPoint(before, at);
    if (added.length === before.length) return;
    this.held = before.filter(([x]) => x < at[0]).length;
    set(added);
  }

  private drag(event: PointerEvent): void {
    if (this.held === undefined || !$tonePoints.get()[this.held]) return;
    set(movedPoint($tonePoints.get(), this.held, this.placeOf(event)));
  }

  private drop(): void {
    this.held = undefined;
  }

  private key(event: KeyboardEvent, i: number): void {
    const points = $tonePoints.get();
    if (event.key === 'Delete' || event.key === 'Backspace') set(points.filter((_, k) => k !== i));
    else if (WAYS[event.key] !== undefined) {
      const [dx, dy] = WAYS[event.key]!;
      const by = event.shiftKey ? 5 : 1;
      const [x, y] = points[i]!;
      set(movedPoint(points, i, [x + by * dx, y + by * dy]));
    } else return;
    event.preventDefault();
  }

  /** In the widest gap, on the curve. */
  private add(): void {
    const points = $tonePoints.get();
    const ends = [0, ...points.map(([x]) => x), 1];
    const gaps = ends.slice(1).map((x, i) => x - ends[i]!);
    const i = gaps.indexOf(Math.max(...gaps));
    const x = ends[i]! + gaps[i]! / 2;
    set(addedPoint(points, [x, curveKind.curve({ points })(x)]));
  }
}

const curvePath = (points: readonly TonePoint[]): string => {
  const curve = curveKind.curve({ points });
  const place = (i: number) => `${((i * WIDE) / STEPS).toFixed(1)} ${(HIGH * (1 - curve(i / STEPS))).toFixed(2)}`;
  return `M${Array.from({ length: STEPS + 1 }, (_, i) => place(i)).join('L')}`;
};

const set = (points: readonly TonePoint[]): void =>
  changeRecipe(withTone($recipe.get(), points), text.steps.tone, 'tone');
