import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { type Point, toPicture } from '../../model/camera.ts';
import { drawFaint, featureAt } from '../../model/draw-faint.ts';
import { drawInto } from '../../model/draw-picture.ts';
import { $faint, $faintChosen, $faintMap } from '../../state/faint.ts';
import { $faintShown } from '../../state/faint-shown.ts';
import { $frame, type Frame } from '../../state/view.ts';
import { CanvasOver } from '../canvas-over.ts';

/** A press that moves farther, in CSS pixels, moves the picture and chooses nothing. */
const STILL = 4;

/** Outlines of what stands out of a line, over the picture or over the map. A click into one chooses it. */
@customElement('lw-faint-over')
export class FaintOver extends CanvasOver {
  private pressed: Point | undefined;
  private view: HTMLElement | null = null;

  constructor() {
    super();
    watch(this, $faint, $faintShown, $faintChosen, $faintMap, $frame);
  }

  // The overlay lets everything through: the view below hears of presses, which also move the picture.
  override connectedCallback(): void {
    super.connectedCallback();
    this.view = this.parentElement;
    this.view?.addEventListener('pointerdown', this.press);
    this.view?.addEventListener('click', this.choose);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.view?.removeEventListener('pointerdown', this.press);
    this.view?.removeEventListener('click', this.choose);
  }

  private get shown() {
    return $faint.get()[$faintShown.get() ?? ''];
  }

  protected override draw(context: CanvasRenderingContext2D, ratio: number, frame: Frame): void {
    const { shown } = this;
    if (shown === undefined) return;
    const { width, height, picture, features } = shown;
    if ($faintMap.get())
      drawInto(context, ratio, frame.view, frame.camera, [{ picture, box: { x: 0, y: 0, width, height } }], {
        x: 0,
        y: 0,
        ...frame.view,
      });
    drawFaint(context, ratio, frame, features, $faintChosen.get());
  }

  private press = ({ clientX: x, clientY: y }: PointerEvent): void => {
    this.pressed = { x, y };
  };

  private choose = ({ clientX, clientY }: MouseEvent): void => {
    const frame = $frame.get();
    const { pressed, shown } = this;
    if (frame === undefined || shown === undefined || pressed === undefined) return;
    if (Math.hypot(clientX - pressed.x, clientY - pressed.y) > STILL) return;
    const { left, top } = this.getBoundingClientRect();
    const point = toPicture(frame.camera, frame.view, { x: clientX - left, y: clientY - top });
    $faintChosen.set(featureAt(shown.features, point));
  };
}
