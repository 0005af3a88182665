import { css, html, LitElement } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import type { Bend } from '../../../lib/finish/finish.ts';
import { watch } from '../../controllers/watch.ts';
import { hueSums } from '../../model/colour-cloud.ts';
import { drawHues } from '../../model/draw-hues.ts';
import { allowedBend, withBends } from '../../model/finish-choices.ts';
import { $bends, $cloud } from '../../state/finish.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $surround } from '../../state/view.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-finish.ts';
import '../number/number.ts';

const BINS = 120;
const MOST = 6;
const WIDTH = 60;

/** The hues of the picture as a strip: one is taken hold of and pulled, and its numbers stand below. */
@customElement('lw-hues')
export class Hues extends LitElement {
  static override styles = [
    controls,
    css`
      .strip {
        position: relative;
        cursor: grab;
        touch-action: none;
      }
      .strip.held {
        cursor: grabbing;
      }
      canvas {
        display: block;
        width: 100%;
        height: 56px;
        border: 1px solid var(--line);
      }
      table {
        width: 100%;
        margin-top: 6px;
        border-collapse: collapse;
      }
      th {
        padding: 0 4px 2px 0;
        color: var(--soft);
        font-weight: 400;
        font-size: 12px;
        text-align: start;
      }
      td {
        padding: 0 4px 4px 0;
      }
      td:last-child {
        width: 28px;
        padding: 0 0 4px;
      }
      .remove {
        width: 28px;
        padding: 0;
      }
    `,
  ];

  @query('canvas') private canvas!: HTMLCanvasElement;
  /** The bend in the hand. */
  @state() private held: number | undefined;

  constructor() {
    super();
    watch(this, $bends, $cloud, $surround);
  }

  override render() {
    const bends = $bends.get();
    return html`<div
        class="strip ${this.held === undefined ? '' : 'held'}"
        @pointerdown=${this.press}
        @pointermove=${this.drag}
        @pointerup=${this.drop}
        @pointercancel=${this.drop}
      >
        <canvas role="img" aria-label=${text.huesOf(bends)}></canvas>
      </div>
      ${bends.length > 0 ? this.table(bends) : ''}
      <div class="buttons">
        <button type="button" ?disabled=${bends.length >= MOST} @click=${this.add}>${text.addHue}</button>
      </div>`;
  }

  private table(bends: readonly Bend[]) {
    const { fields } = text;
    return html`<table>
      <thead>
        <tr>
          ${Object.values(fields).map((name) => html`<th scope="col">${name}</th>`)}
          <td></td>
        </tr>
      </thead>
      <tbody>
        ${bends.map(
          (bend, i) => html`<tr>
            ${this.field(i, bend, 'at', [0, 360, 1])} ${this.field(i, bend, 'to', [0, 360, 1])}
            ${this.field(i, bend, 'width', [1, 180, 1])} ${this.field(i, bend, 'chroma', [0, 2, 0.01])}
            <td>
              <button
                type="button"
                class="remove"
                aria-label=${text.remove(i + 1)}
                title=${text.remove(i + 1)}
                @click=${() => set(bends.filter((_, k) => k !== i))}
              >
                ×
              </button>
            </td>
          </tr>`,
        )}
      </tbody>
    </table>`;
  }

  private field(i: number, bend: Bend, key: keyof Bend, [min, max, step]: readonly [number, number, number]) {
    const label = text.fieldOf(i + 1, text.fields[key]);
    return html`<td>
      <lw-number
        label=${label}
        .value=${bend[key]}
        min=${min}
        max=${max}
        step=${step}
        @lw-number=${({ detail }: CustomEvent<number>) => set(allowedBend($bends.get(), i, { ...bend, [key]: detail }))}
      ></lw-number>
    </td>`;
  }

  override updated(): void {
    const cloud = $cloud.get();
    drawHues(this.canvas, cloud ? hueSums(cloud, BINS) : new Float64Array(BINS), $bends.get());
  }

  private hueAt(event: PointerEvent): number {
    const box = this.canvas.getBoundingClientRect();
    return Math.round(360 * Math.min(1, Math.max(0, (event.clientX - box.left) / box.width))) % 360;
  }

  /** Near where a bend has put its hue that bend is taken, else a new one begins. */
  private press(event: PointerEvent): void {
    if (event.button !== 0) return;
    const hue = this.hueAt(event);
    const bends = $bends.get();
    const near = bends.findIndex(({ to }) => Math.abs(((hue - to + 540) % 360) - 180) < 8);
    if (near < 0 && bends.length >= MOST) return;
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    this.held = near < 0 ? bends.length : near;
    if (near < 0) this.pull(hue, hue);
  }

  private drag(event: PointerEvent): void {
    if (this.held === undefined) return;
    const bend = $bends.get()[this.held];
    if (bend !== undefined) this.pull(bend.at, this.hueAt(event));
  }

  private drop(): void {
    const { held } = this;
    this.held = undefined;
    // What was only touched moves nothing.
    const bend = held === undefined ? undefined : $bends.get()[held];
    if (bend !== undefined && bend.at === bend.to && bend.chroma === 1) set($bends.get().filter((_, k) => k !== held));
  }

  private pull(at: number, to: number): void {
    const bends = $bends.get();
    const now = bends[this.held!] ?? { at, to, width: WIDTH, chroma: 1 };
    const all = this.held! < bends.length ? bends : [...bends, now];
    set(allowedBend(all, this.held!, { ...now, to }));
  }

  /** The hue that the picture has most of. */
  private add(): void {
    const cloud = $cloud.get();
    const sums = cloud ? hueSums(cloud, BINS) : new Float64Array(BINS);
    const at = Math.round((sums.indexOf(Math.max(...sums)) * 360) / BINS);
    const bends = $bends.get();
    set(
      allowedBend([...bends, { at, to: at, width: WIDTH, chroma: 1 }], bends.length, {
        at,
        to: (at + 10) % 360,
        width: WIDTH,
        chroma: 1,
      }),
    );
  }
}

const set = (bends: readonly Bend[]): void => changeRecipe(withBends($recipe.get(), bends), text.steps.hues, 'hues');
