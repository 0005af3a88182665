import { html, LitElement } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { keyed } from 'lit/directives/keyed.js';
import { repeat } from 'lit/directives/repeat.js';
import { gestures } from '../../controllers/gestures.ts';
import { watch } from '../../controllers/watch.ts';
import {
  type Camera,
  fitCamera,
  limit,
  type Point,
  panBy,
  type Size,
  type Stage,
  visibleBox,
  zoomAt,
} from '../../model/camera.ts';
import { drawPicture, type Layer } from '../../model/draw-picture.ts';
import { middleOf, openRoom, stageOf } from '../../model/room.ts';
import { $aloneLayers } from '../../state/alone.ts';
import { $crop } from '../../state/crop.ts';
import { $detail, wantDetail } from '../../state/detail.ts';
import { $seen } from '../../state/eyes.ts';
import { $opening } from '../../state/masters.ts';
import { $away } from '../../state/panels.ts';
import { $busy, $picture } from '../../state/picture.ts';
import { $recipe } from '../../state/recipe.ts';
import { $wideGamut, canvasSpace } from '../../state/screen.ts';
import { $tools } from '../../state/tools.ts';
import { $camera, $frame, $surround } from '../../state/view.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import '../alone/alone.ts';
import '../tools/tools.ts';
import { styles } from './picture.styles.ts';

const ZOOM_STEP = 1.25;
const PAN_STEP = 60;

/** The mix, large: pan, zoom, fit, one to one. */
@customElement('lw-picture')
export class PictureView extends LitElement {
  static override styles = [controls, styles];

  @query('.view') private view!: HTMLElement;
  @query('.stage') private stageElement!: HTMLElement;
  @query('canvas') private canvas!: HTMLCanvasElement;

  /** Whether a narrow page shows the row of tools. */
  @state() private open = false;

  private moves = gestures(this, {
    twice: (at) => this.zoomTwice(at),
    pan: (dx, dy) => this.move(panBy(this.camera, dx, dy)),
    zoom: (at, factor) => this.move(zoomAt(this.camera, this.size, at, factor, this.full, this.stage)),
  });
  private resized = new ResizeObserver(() => this.requestUpdate());

  constructor() {
    super();
    watch(
      this,
      $picture,
      $detail,
      $camera,
      $busy,
      $recipe,
      $surround,
      $opening,
      $seen,
      $tools,
      $crop,
      $away,
      $aloneLayers,
      $wideGamut,
    );
  }

  override render() {
    const full = this.full;
    const name = $recipe.get().name ?? text.recipe.own;
    const label = full ? text.picture.describe(name, full.width, full.height) : text.picture.none;
    return html`<div class="view" tabindex="0" role="group" aria-label=${this.viewLabel} @keydown=${this.press}>
        ${keyed(canvasSpace($picture.get()), html`<canvas role="img" aria-label=${label} aria-busy=${$busy.get()}></canvas>`)}
        <div class="stage">${full === undefined ? html`<p class="empty soft">${this.waiting()}</p>` : ''}</div>
        ${full === undefined ? '' : html`${$crop.get() ? html`<lw-crop-over></lw-crop-over>` : ''}${this.parts('-over')}`}
      </div>
      <lw-alone></lw-alone>
      <div class="edge">
      <div class="strips">${this.parts('')}</div>
      <div class="bar ${this.open ? '' : 'shut'}">
        <button type="button" @click=${() => this.fit()}>${text.picture.fit}</button>
        <button type="button" @click=${() => this.oneToOne()}>${text.picture.pixels}</button>
        <button type="button" aria-label=${text.picture.farther} title=${text.picture.farther} @click=${() => this.zoom(1 / ZOOM_STEP)}>−</button>
        <button type="button" aria-label=${text.picture.closer} title=${text.picture.closer} @click=${() => this.zoom(ZOOM_STEP)}>+</button>
        <output aria-label=${text.picture.zoomLabel}>${this.percent()}</output>
        <button type="button" class="tools" aria-expanded=${this.open} @click=${this.toggle}>
          ${text.picture.tools}
        </button>
        <span class="gap"></span>
        <lw-tools></lw-tools>
        <span class="name soft">${full ? text.picture.size(full.width, full.height) : label}</span>
      </div>
      </div>`;
  }

  private toggle(): void {
    this.open = !this.open;
  }

  private get viewLabel(): string {
    const probing = $tools.get().includes('probe');
    return [`${text.picture.label}.`, ...(probing ? [text.picture.probeKeys] : []), text.picture.keys].join(' ');
  }

  /** What the tools that are out lay over the picture or put below it; each is drawn once it is loaded. */
  private made: Record<string, HTMLElement> = {};
  private parts(ending: '' | '-over') {
    const part = (name: string) => {
      this.made[name] ??= document.createElement(name);
      return this.made[name];
    };
    return repeat(
      $tools.get(),
      (tool) => tool,
      (tool) => part(`lw-${tool}${ending}`),
    );
  }

  override firstUpdated(): void {
    this.moves.attach(this.view);
    // The first report brings the zoom, which needs the size of the view.
    for (const element of [this.view, this.stageElement]) this.resized.observe(element);
  }

  override updated(): void {
    const { full, size, canvas } = this;
    const picture = $picture.get();
    const ratio = devicePixelRatio;
    const context = canvas.getContext('2d', { colorSpace: canvasSpace(picture) })!;
    const [width, height] = [Math.round(size.width * ratio), Math.round(size.height * ratio)];
    // Setting the size clears the canvas even where it stays the same.
    if (canvas.width !== width || picture === undefined) canvas.width = width;
    if (canvas.height !== height) canvas.height = height;
    if (picture === undefined || full === undefined) return void $frame.set(undefined);
    const seen = $seen.get();
    const layers: Layer[] = [{ picture: seen(picture), box: { x: 0, y: 0, ...full } }];
    const detail = $detail.get();
    if (detail !== undefined) layers.push({ picture: seen(detail.picture), box: detail.box });
    const alone = $aloneLayers.get().map(({ picture, box }) => ({ picture: seen(picture), box }));
    drawPicture(context, ratio, size, this.camera, alone.length > 0 ? alone : layers);
    this.askForDetail(picture.width / full.width);
    const frame = { view: size, camera: this.camera, full, open: this.free };
    if (JSON.stringify(frame) !== JSON.stringify($frame.get())) $frame.set(frame);
  }

  /** What stands in the place of a picture. */
  private waiting(): string {
    const work = $opening.get();
    if (work !== undefined) return text.picture.step(work.words, work.done);
    return $busy.get() ? text.picture.working : text.picture.none;
  }

  /** Asks for full-size pixels where the screen shows more of them than the picture has. */
  private asked = '';
  private askForDetail(shrunk: number): void {
    const needed = shrunk < 1 && this.camera.scale * devicePixelRatio > shrunk * 1.02;
    const box = needed ? visibleBox(this.camera, this.size, this.full!, this.free) : undefined;
    const key = JSON.stringify([box, $recipe.get(), $picture.get()?.settled]);
    if (key === this.asked) return;
    this.asked = key;
    wantDetail(box);
  }

  private get size(): Size {
    return { width: this.view?.clientWidth || 1, height: this.view?.clientHeight || 1 };
  }

  private get full(): Size | undefined {
    return $picture.get()?.full;
  }

  private get camera(): Camera {
    const full = this.full ?? { width: 1, height: 1 };
    return limit($camera.get() ?? fitCamera(this.size, full, this.stage), this.size, full, this.stage);
  }

  private move(camera: Camera): void {
    if (this.full !== undefined) $camera.set(limit(camera, this.size, this.full, this.stage));
  }

  private zoom(factor: number): void {
    this.move(zoomAt(this.camera, this.size, this.middle, factor, this.full, this.stage));
  }

  /** One to one at the point, or all of the picture again from there on. */
  private zoomTwice(at: Point): void {
    const pixels = 1 / devicePixelRatio;
    if (this.camera.scale >= pixels * 0.999) return void this.fit();
    this.move(zoomAt(this.camera, this.size, at, pixels / this.camera.scale, this.full, this.stage));
  }

  private get middle(): Point {
    return middleOf(this.free);
  }

  private get stage(): Stage {
    return stageOf(this.stageElement, this.size);
  }

  private get free(): Stage {
    return openRoom(this.stage, this.size, $away.get());
  }

  /** All of the picture in what is open; where panels have their usual places, it stays there whatever the window does. */
  private fit(): void {
    $camera.set($away.get().length === 0 || !this.full ? undefined : fitCamera(this.size, this.full, this.free));
  }

  private oneToOne(): void {
    this.zoom(1 / devicePixelRatio / this.camera.scale);
  }

  private percent(): string {
    if (this.full === undefined || this.view === null) return '';
    const percent = this.camera.scale * devicePixelRatio * 100;
    return text.picture.zoom(percent < 10 ? percent.toFixed(1) : percent.toFixed(0));
  }

  private press(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const step = event.shiftKey ? PAN_STEP * 4 : PAN_STEP;
    const acts: Record<string, () => void> = {
      ArrowLeft: () => this.move(panBy(this.camera, step, 0)),
      ArrowRight: () => this.move(panBy(this.camera, -step, 0)),
      ArrowUp: () => this.move(panBy(this.camera, 0, step)),
      ArrowDown: () => this.move(panBy(this.camera, 0, -step)),
      '+': () => this.zoom(ZOOM_STEP),
      '=': () => this.zoom(ZOOM_STEP),
      '-': () => this.zoom(1 / ZOOM_STEP),
      '0': () => this.fit(),
      '1': () => this.oneToOne(),
    };
    const act = acts[event.key];
    if (act === undefined) return;
    event.preventDefault();
    act();
  }
}
