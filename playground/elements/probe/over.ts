import { css, html, LitElement, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { type Point, toView } from '../../model/camera.ts';
import { inFirst } from '../../model/cells.ts';
import { snap } from '../../model/draw-picture.ts';
import { $held, $spot } from '../../state/probe.ts';
import { $frame, type Frame } from '../../state/view.ts';

/** A press that moves no farther than this is a click. */
const STILL = 3;
/** The mark is never smaller than this, so that it can be seen around one small pixel. */
const SMALLEST = 11;

/** Follows pointer and arrow keys over the picture and marks the pixel that is looked at. */
@customElement('lw-probe-over')
export class ProbeOver extends LitElement {
  static override styles = css`
    :host {
      position: absolute;
      z-index: 2;
      inset: 0;
      overflow: hidden;
      pointer-events: none;
    }
    .mark {
      box-sizing: border-box;
      position: absolute;
      border: 1px solid #fff;
      outline: 1px solid #000;
      box-shadow: inset 0 0 0 1px #000;
    }
    .held {
      border-width: 2px;
    }
  `;

  private view: HTMLElement | undefined;
  private pressed: Point | undefined;

  constructor() {
    super();
    watch(this, $spot, $held, $frame);
  }

  override connectedCallback(): void {
    super.connectedCallback();
    this.view = this.parentElement ?? undefined;
    for (const [type, listener] of this.listeners) this.view?.addEventListener(type, listener, { capture: true });
    // A keyboard has no pointer: it begins in the middle of what is open.
    const frame = $frame.get();
    if ($spot.get() !== undefined || frame === undefined) return;
    const { x, y, width, height } = frame.open;
    this.look({ x: x + width / 2, y: y + height / 2 });
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    for (const [type, listener] of this.listeners) this.view?.removeEventListener(type, listener, { capture: true });
  }

  override render() {
    const [spot, frame] = [$spot.get(), $frame.get()];
    if (spot === undefined || frame === undefined) return nothing;
    return html`<div class="mark ${$held.get() ? 'held' : ''}"></div>`;
  }

  override updated(): void {
    const mark = this.renderRoot.querySelector<HTMLElement>('.mark');
    const [spot, frame] = [$spot.get(), $frame.get()];
    if (mark === null || spot === undefined || frame === undefined) return;
    const corner = this.corner(frame);
    const { scale } = frame.camera;
    const size = Math.max(SMALLEST, scale + 4);
    const left = corner.x + (spot.x + 0.5) * scale - size / 2;
    const top = corner.y + (spot.y + 0.5) * scale - size / 2;
    mark.style.width = mark.style.height = `${size}px`;
    mark.style.translate = `${left}px ${top}px`;
  }

  /** Where the picture's first pixel is drawn. */
  private corner({ camera, view }: Frame): Point {
    const { x, y } = toView(camera, view, { x: 0, y: 0 });
    return { x: snap(x, devicePixelRatio), y: snap(y, devicePixelRatio) };
  }

  private look(at: Point): void {
    const frame = $frame.get();
    if (frame === undefined) return;
    const corner = this.corner(frame);
    const { scale } = frame.camera;
    this.place(Math.floor((at.x - corner.x) / scale), Math.floor((at.y - corner.y) / scale));
  }

  private place(x: number, y: number): void {
    const { full } = $frame.get()!;
    if (x >= 0 && y >= 0 && x < full.width && y < full.height) $spot.set({ x, y });
  }

  private pointOf = (event: MouseEvent): Point => {
    const box = this.view!.getBoundingClientRect();
    // Mixes that stand side by side show the same pixels: any of them can be pointed at.
    return inFirst($frame.get()?.cells ?? [], { x: event.clientX - box.left, y: event.clientY - box.top });
  };

  private move = (event: PointerEvent): void => {
    if (!$held.get() && event.buttons === 0) this.look(this.pointOf(event));
  };

  private down = (event: PointerEvent): void => {
    this.pressed = event.button === 0 && event.isPrimary ? this.pointOf(event) : undefined;
  };

  /** A click holds the pixel under it, or lets go; a finger, which cannot hover, just looks where it taps. */
  private up = (event: PointerEvent): void => {
    const [from, to] = [this.pressed, this.pointOf(event)];
    this.pressed = undefined;
    if (from === undefined || Math.hypot(to.x - from.x, to.y - from.y) > STILL) return;
    if (event.pointerType === 'mouse') $held.set(!$held.get());
    if (event.pointerType !== 'mouse' || $held.get()) this.look(to);
  };

  private press = (event: KeyboardEvent): void => {
    if (event.target !== this.view || event.ctrlKey || event.metaKey || event.altKey) return;
    const frame = $frame.get();
    if (frame === undefined) return;
    if (event.key === 'Enter') return void this.claim(event, () => $held.set(!$held.get()));
    const steps: Record<string, Point> = {
      ArrowLeft: { x: -1, y: 0 },
      ArrowRight: { x: 1, y: 0 },
      ArrowUp: { x: 0, y: -1 },
      ArrowDown: { x: 0, y: 1 },
    };
    const step = steps[event.key];
    const spot = $spot.get();
    // Held, the pixel stays and the keys move the picture as always.
    if (step === undefined || spot === undefined || $held.get()) return;
    // One pixel of the picture, or of the screen where that is more.
    const size = Math.max(1, Math.round(1 / frame.camera.scale)) * (event.shiftKey ? 10 : 1);
    this.claim(event, () => this.place(spot.x + step.x * size, spot.y + step.y * size));
  };

  private claim(event: Event, act: () => void): void {
    event.preventDefault();
    event.stopImmediatePropagation();
    act();
  }

  private readonly listeners: readonly [string, EventListener][] = [
    ['pointermove', this.move as EventListener],
    ['pointerdown', this.down as EventListener],
    ['pointerup', this.up as EventListener],
    ['keydown', this.press as EventListener],
  ];
}
