import {
  type Camera,
  carry,
  fitCamera,
  limit,
  type Point,
  panBy,
  type Size,
  type Stage,
  zoomAt,
} from '../../model/camera.ts';
import { cellsOf, inFirst } from '../../model/cells.ts';
import { middleOf, openRoom, stageOf } from '../../model/room.ts';
import { $away } from '../../state/panels.ts';
import { $picture } from '../../state/picture.ts';
import { $camera, $cellCount } from '../../state/view.ts';

const ZOOM_STEP = 1.25;
const PAN_STEP = 60;
/** Room at the foot of cells for the strip of the tool that compares: it floats over the view of a wide page. */
const STRIP = 54;

/** How the picture is seen: the rooms of its view, the camera, and what moves that. */
export class Sight {
  constructor(
    private readonly view: () => HTMLElement | null,
    private readonly stageElement: () => HTMLElement | null,
  ) {}

  get size(): Size {
    const view = this.view();
    return { width: view?.clientWidth || 1, height: view?.clientHeight || 1 };
  }

  get full(): Size | undefined {
    return $picture.get()?.full;
  }

  /** The cells in which mixes stand side by side, that of the one on screen first; all that is open where it is alone. */
  get cells(): Stage[] {
    const { full, size, usual } = this;
    const free = openRoom(usual, size, $away.get());
    const count = $cellCount.get();
    if (count === 1 || full === undefined) return [free];
    const floats = usual.height < size.height;
    return cellsOf({ ...free, height: free.height - (floats ? STRIP : 0) }, count, full);
  }

  /** What is open to the mix on screen. */
  get free(): Stage {
    return this.cells[0]!;
  }

  /**
   * The camera for the view. What is kept has the picture in the middle of the stage: cells take that to their own middle,
   * so that they come and go without moving what is looked at.
   */
  get camera(): Camera {
    const { size, stage, usual } = this;
    const full = this.full ?? { width: 1, height: 1 };
    const kept = $camera.get();
    const there = kept && carry(kept, middleOf(usual), middleOf(stage));
    return limit(there ?? fitCamera(size, full, stage), size, full, stage);
  }

  move(camera: Camera): void {
    const { full, size, stage, usual } = this;
    if (full === undefined) return;
    $camera.set(carry(limit(camera, size, full, stage), middleOf(stage), middleOf(usual)));
  }

  pan(dx: number, dy: number): void {
    this.move(panBy(this.camera, dx, dy));
  }

  /** Zooms at a point of any cell. */
  zoom(factor: number, at = middleOf(this.free)): void {
    this.move(zoomAt(this.camera, this.size, inFirst(this.cells, at), factor, this.full, this.stage));
  }

  closer(): void {
    this.zoom(ZOOM_STEP);
  }

  farther(): void {
    this.zoom(1 / ZOOM_STEP);
  }

  /** All of the picture in what is open; where panels have their usual places, it stays there whatever the window does. */
  fit(): void {
    const { full } = this;
    const usual = $away.get().length === 0 || $cellCount.get() > 1 || !full;
    $camera.set(usual ? undefined : fitCamera(this.size, full, this.free));
  }

  oneToOne(at?: Point): void {
    this.zoom(1 / devicePixelRatio / this.camera.scale, at);
  }

  /** One to one at the point, or all of the picture again from there on. */
  twice(at: Point): void {
    if (this.camera.scale >= 0.999 / devicePixelRatio) this.fit();
    else this.oneToOne(at);
  }

  /** Screen pixels a pixel of the masters, in percent. */
  get percent(): number {
    return this.camera.scale * devicePixelRatio * 100;
  }

  press(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const step = event.shiftKey ? PAN_STEP * 4 : PAN_STEP;
    const acts: Record<string, () => void> = {
      ArrowLeft: () => this.pan(step, 0),
      ArrowRight: () => this.pan(-step, 0),
      ArrowUp: () => this.pan(0, step),
      ArrowDown: () => this.pan(0, -step),
      '+': () => this.closer(),
      '=': () => this.closer(),
      '-': () => this.farther(),
      '0': () => this.fit(),
      '1': () => this.oneToOne(),
    };
    const act = acts[event.key];
    if (act === undefined) return;
    event.preventDefault();
    act();
  }

  /** What panels leave when all are out. */
  private get usual(): Stage {
    return stageOf(this.stageElement(), this.size);
  }

  /** What the picture is fitted to. */
  private get stage(): Stage {
    return $cellCount.get() > 1 ? this.free : this.usual;
  }
}
