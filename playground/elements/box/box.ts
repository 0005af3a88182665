import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import type { Box } from '../../../lib/plane/box.ts';
import { watch } from '../../controllers/watch.ts';
import { boxBetween, withSide } from '../../model/boxes.ts';
import { toPicture } from '../../model/camera.ts';
import {
  $boxes,
  $boxKind,
  $drawing,
  BOX_KINDS,
  isSurfaceKind,
  putBox,
  type SingleKind,
  SMALLEST,
  setBox,
} from '../../state/box.ts';
import { $surfaceBoxes, type SurfaceKind, setSurfaceBox } from '../../state/surface-boxes.ts';
import { $frame } from '../../state/view.ts';
import { controls } from '../../styles/controls.ts';
import { strip } from '../../styles/strip.ts';
import { toolsText } from '../../text-tools.ts';
import '../number/number.ts';
import './over.ts';

const text = toolsText.box;
const SIDES = ['x', 'y', 'width', 'height'] as const satisfies readonly (keyof Box)[];

/** What a box is for, and its sides in numbers; it is drawn on the picture, or put in its middle and moved by these. */
@customElement('lw-box')
export class BoxTool extends LitElement {
  static override styles = [
    controls,
    strip,
    css`
      lw-number {
        width: 72px;
      }
      ol {
        flex-basis: 100%;
        max-height: 120px;
        margin: 0;
        padding-inline-start: 24px;
        overflow: auto;
      }
      ol .choice {
        display: inline-flex;
        gap: 6px;
        align-items: center;
        margin-inline-end: 10px;
      }
      .about {
        flex-basis: 100%;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $boxKind, $boxes, $surfaceBoxes, $drawing, $frame);
  }

  override render() {
    const kind = $boxKind.get();
    const drawing = $drawing.get();
    return html`<section aria-label=${text.label}>
      <fieldset>
        <legend class="hidden">${text.label}</legend>
        ${BOX_KINDS.map(
          (name) => html`<label class="choice"
            ><input type="radio" name="kind" .checked=${name === kind} @change=${() => $boxKind.set(name)} />
            ${text.kinds[name]}</label
          >`,
        )}
      </fieldset>
      <button type="button" aria-pressed=${drawing} @click=${() => $drawing.set(!drawing)}>
        ${drawing ? text.drawing : text.draw}
      </button>
      <button type="button" @click=${this.place}>${text.place}</button>
      ${isSurfaceKind(kind) ? this.list(kind) : this.one(kind)}
      <p class="about soft">${text.about[kind]}</p>
    </section>`;
  }

  private one(kind: SingleKind) {
    const box = $boxes.get()[kind];
    return box === undefined ? '' : this.sides(text.kinds[kind], text.remove, box, (next) => setBox(kind, next));
  }

  private list(kind: SurfaceKind) {
    const boxes = $surfaceBoxes.get()[kind];
    return boxes.length === 0
      ? ''
      : html`<ol aria-label=${text.kinds[kind]}>
          ${boxes.map((box, i) => {
            const name = text.numbered(text.kinds[kind], i + 1);
            return html`<li>${this.sides(name, text.removeOne(name), box, (next) => setSurfaceBox(kind, i, next))}</li>`;
          })}
        </ol>`;
  }

  /** The sides of a box in numbers, and the way to be rid of it. */
  private sides(name: string, remove: string, box: Box, write: (box: Box | undefined) => void) {
    const full = $frame.get()?.full ?? { width: 1e5, height: 1e5 };
    const most = { x: full.width - SMALLEST, y: full.height - SMALLEST, width: full.width, height: full.height };
    return html`${SIDES.map(
      (side) => html`<span class="choice"
        ><span class="soft">${text.sides[side]}</span>
        <lw-number
          .label=${text.side(name, text.sides[side])}
          .value=${box[side]}
          .min=${side === 'x' || side === 'y' ? 0 : SMALLEST}
          .max=${most[side]}
          .step=${1}
          .digits=${0}
          @lw-number=${({ detail }: CustomEvent<number>) => write(withSide(box, side, detail, full, SMALLEST))}
        ></lw-number
      ></span>`,
    )}
      <button type="button" aria-label=${remove} @click=${() => write(undefined)}>${text.remove}</button>`;
  }

  /** A fifth of what is in view, in its middle: from there keys do the rest. */
  private place(): void {
    const frame = $frame.get();
    if (frame === undefined) return;
    const { view, camera, full } = frame;
    const corner = (share: number) => toPicture(camera, view, { x: view.width * share, y: view.height * share });
    putBox($boxKind.get(), boxBetween(corner(0.4), corner(0.6), full, SMALLEST));
    $drawing.set(false);
  }
}
