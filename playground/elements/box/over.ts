import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import type { Box } from '../../../lib/plane/box.ts';
import { watch } from '../../controllers/watch.ts';
import { boxBetween, nameOffset } from '../../model/boxes.ts';
import { type Point, toPicture, toView } from '../../model/camera.ts';
import { $boxes, $boxKind, $drawing, type BoxKind, putBox, SINGLE_KINDS, SMALLEST } from '../../state/box.ts';
import { $surfaceBoxes, SURFACE_KINDS } from '../../state/surface-boxes.ts';
import { $frame } from '../../state/view.ts';
import { toolsText } from '../../text-tools.ts';

/** CSS pixels between a box and its name. */
const NAME_GAP = 3;

interface Shown {
  readonly kind: BoxKind;
  readonly name: string;
  readonly box: Box;
}

/** The boxes over the picture, and where a new one is drawn. */
@customElement('lw-box-over')
export class BoxOver extends LitElement {
  static override styles = css`
    :host {
      position: absolute;
      z-index: 1;
      inset: 0;
      overflow: hidden;
      pointer-events: none;
    }
    .drawing {
      position: absolute;
      inset: 0;
      pointer-events: auto;
      touch-action: none;
      cursor: crosshair;
    }
    .box {
      position: absolute;
      border: 1px solid #fff;
      outline: 1px solid #000;
    }
    .feature {
      border-style: dashed;
    }
    .exclude {
      border-style: dotted;
    }
    .name {
      position: absolute;
      inset-inline-start: 0;
      bottom: 100%;
      margin-bottom: ${NAME_GAP}px;
      padding: 0 6px;
      white-space: nowrap;
      color: var(--ink);
      background: var(--panel);
    }
  `;

  /** The box that is being drawn. */
  @state() private fresh: Box | undefined;
  private from: Point | undefined;

  constructor() {
    super();
    watch(this, $boxes, $surfaceBoxes, $boxKind, $drawing, $frame);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    $drawing.set(false);
  }

  private get shown(): Shown[] {
    const { kinds, numbered } = toolsText.box;
    const drawn = this.fresh && { kind: $boxKind.get(), box: this.fresh };
    const boxes = $boxes.get();
    const single = SINGLE_KINDS.flatMap((kind) => {
      const box = drawn?.kind === kind ? drawn.box : boxes[kind];
      return box ? [{ kind, name: kinds[kind], box }] : [];
    });
    const listed = SURFACE_KINDS.flatMap((kind) => {
      const all = [...$surfaceBoxes.get()[kind], ...(drawn?.kind === kind ? [drawn.box] : [])];
      return all.map((box, i) => ({ kind, name: numbered(kinds[kind], i + 1), box }));
    });
    return [...single, ...listed];
  }

  override render() {
    return html`${this.shown.map(
      ({ kind, name }) => html`<div class="box ${kind}"><span class="name">${name}</span></div>`,
    )}
    ${
      $drawing.get()
        ? html`<div
          class="drawing"
          @pointerdown=${this.press}
          @pointermove=${this.move}
          @pointerup=${this.lift}
          @pointercancel=${this.cancel}
        ></div>`
        : nothing
    }`;
  }

  override updated(): void {
    const frame = $frame.get();
    if (frame === undefined) return;
    const { shown } = this;
    for (const [i, element] of this.renderRoot.querySelectorAll<HTMLElement>('.box').entries()) {
      const { box } = shown[i]!;
      const at = toView(frame.camera, frame.view, box);
      element.style.translate = `${at.x}px ${at.y}px`;
      element.style.width = `${box.width * frame.camera.scale}px`;
      element.style.height = `${box.height * frame.camera.scale}px`;
      const name = element.firstElementChild as HTMLElement;
      const size = { width: name.offsetWidth, height: name.offsetHeight + NAME_GAP };
      const offset = nameOffset({ ...at, width: element.offsetWidth, height: element.offsetHeight }, size, frame.view);
      name.style.translate = `${offset.x}px ${offset.y}px`;
    }
  }

  private pointOf(event: PointerEvent): Point {
    const { left, top } = this.getBoundingClientRect();
    const frame = $frame.get()!;
    return toPicture(frame.camera, frame.view, { x: event.clientX - left, y: event.clientY - top });
  }

  private press(event: PointerEvent): void {
    // The picture stays where it is.
    event.stopPropagation();
    if (event.button !== 0 || !event.isPrimary || $frame.get() === undefined) return;
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    this.from = this.pointOf(event);
  }

  private move(event: PointerEvent): void {
    if (this.from === undefined || !event.isPrimary) return;
    event.stopPropagation();
    this.fresh = boxBetween(this.from, this.pointOf(event), $frame.get()!.full, SMALLEST);
  }

  private lift(event: PointerEvent): void {
    this.move(event);
    const { fresh } = this;
    this.cancel();
    if (fresh === undefined) return;
    $drawing.set(false);
    putBox($boxKind.get(), fresh);
  }

  private cancel(): void {
    this.from = undefined;
    this.fresh = undefined;
  }
}
