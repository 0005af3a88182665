import { html, LitElement } from 'lit';
import { customElement, query, state } from 'lit/decorators.js';
import { keyed } from 'lit/directives/keyed.js';
import { repeat } from 'lit/directives/repeat.js';
import { gestures } from '../../controllers/gestures.ts';
import { watch } from '../../controllers/watch.ts';
import { type Size, type Stage, visibleBox } from '../../model/camera.ts';
import { drawPicture, type Layer } from '../../model/draw-picture.ts';
import { $aloneLayers } from '../../state/alone.ts';
import { $crop } from '../../state/crop.ts';
import { $defectsShown } from '../../state/defects-shown.ts';
import { $detail, wantDetail } from '../../state/detail.ts';
import { $seen } from '../../state/eyes.ts';
import { $faintShown } from '../../state/faint-shown.ts';
import { $masters, $opening } from '../../state/masters.ts';
import { $away } from '../../state/panels.ts';
import { $busy, $picture } from '../../state/picture.ts';
import { $recipe } from '../../state/recipe.ts';
import { $rejectedShown } from '../../state/rejected-shown.ts';
import { $ringsShown } from '../../state/rings.ts';
import { $wideGamut, canvasSpace } from '../../state/screen.ts';
import { $tools } from '../../state/tools.ts';
import { $camera, $cellCount, $frame, $surround } from '../../state/view.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import '../alone/alone.ts';
import '../tools/tools.ts';
import { styles } from './picture.styles.ts';
import { Sight } from './sight.ts';

/** The mix, large: pan, zoom, fit, one to one. */
@customElement('lw-picture')
export class PictureView extends LitElement {
  static override styles = [controls, styles];

  @query('.view') private view!: HTMLElement;
  @query('.stage') private stageElement!: HTMLElement;
  @query('canvas') private canvas!: HTMLCanvasElement;

  /** Whether a narrow page shows the row of tools. */
  @state() private open = false;

  private sight = new Sight(
    () => this.view,
    () => this.stageElement,
  );
  private moves = gestures(this, {
    twice: (at) => this.sight.twice(at),
    pan: (dx, dy) => this.sight.pan(dx, dy),
    zoom: (at, factor) => this.sight.zoom(factor, at),
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
      $masters,
      $seen,
      $tools,
      $crop,
      $away,
      $aloneLayers,
      $ringsShown,
      $defectsShown,
      $faintShown,
      $rejectedShown,
      $wideGamut,
      $cellCount,
    );
  }

  override render() {
    const full = this.sight.full;
    const name = $recipe.get().name ?? text.recipe.own;
    const label = full ? text.picture.describe(name, full.width, full.height) : text.picture.none;
    return html`<div class="view" tabindex="0" role="group" aria-label=${this.viewLabel} @keydown=${(event: KeyboardEvent) => this.sight.press(event)}>
        ${keyed(canvasSpace($picture.get()), html`<canvas role="img" aria-label=${label} aria-busy=${$busy.get()}></canvas>`)}
        <div class="stage">${full === undefined ? html`<p class="empty soft">${this.waiting()}</p>` : ''}</div>
        ${full === undefined ? '' : html`${$crop.get() ? html`<lw-crop-over class="over"></lw-crop-over>` : ''}${$ringsShown.get() ? html`<lw-rings-over class="over"></lw-rings-over>` : ''}${$defectsShown.get() ? html`<lw-defects-over class="over"></lw-defects-over>` : ''}${$faintShown.get() ? html`<lw-faint-over class="over"></lw-faint-over>` : ''}${$rejectedShown.get() ? html`<lw-rejected-over class="over"></lw-rejected-over>` : ''}${this.parts('-over')}`}
      </div>
      <lw-alone></lw-alone>
      <div class="edge">
      <div class="strips">${this.parts('')}</div>
      <div class="bar ${this.open ? '' : 'shut'}">
        <button type="button" @click=${() => this.sight.fit()}>${text.picture.fit}</button>
        <button type="button" @click=${() => this.sight.oneToOne()}>${text.picture.pixels}</button>
        <button type="button" aria-label=${text.picture.farther} title=${text.picture.farther} @click=${() => this.sight.farther()}>−</button>
        <button type="button" aria-label=${text.picture.closer} title=${text.picture.closer} @click=${() => this.sight.closer()}>+</button>
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
      const made = this.made[name] ?? document.createElement(name);
      this.made[name] = made;
      made.classList.toggle('over', ending === '-over' && name !== 'lw-compare-over');
      return made;
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
    const { canvas } = this;
    const { full, size, camera, cells } = this.sight;
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
    const [free] = cells;
    drawPicture(context, ratio, size, camera, alone.length > 0 ? alone : layers, cells.length > 1 ? free : undefined);
    this.view.style.setProperty('--mix-cell', cells.length > 1 ? insetOf(free!, size) : 'none');
    this.askForDetail(picture.width / full.width);
    const frame = { view: size, camera, full, open: free!, cells };
    if (JSON.stringify(frame) !== JSON.stringify($frame.get())) $frame.set(frame);
  }

  /** What stands in the place of a picture. */
  private waiting(): string {
    const work = $opening.get();
    if (work !== undefined) return text.picture.step(work.words, work.done);
    if ($busy.get()) return text.picture.working;
    const unnamed = $masters.get().length > 0 && $masters.get().every(({ line }) => line === '');
    return unnamed ? text.picture.noLines : text.picture.none;
  }

  /** Asks for full-size pixels where the screen shows more of them than the picture has. */
  private asked = '';
  private askForDetail(shrunk: number): void {
    const { camera, size, full, free } = this.sight;
    const needed = shrunk < 1 && camera.scale * devicePixelRatio > shrunk * 1.02;
    const box = needed ? visibleBox(camera, size, full!, free) : undefined;
    const key = JSON.stringify([box, $recipe.get(), $picture.get()?.settled]);
    if (key === this.asked) return;
    this.asked = key;
    wantDetail(box);
  }

  private percent(): string {
    if (this.sight.full === undefined || this.view === null) return '';
    const { percent } = this.sight;
    return text.picture.zoom(percent < 10 ? percent.toFixed(1) : percent.toFixed(0));
  }
}

/** A part of the view, to clip by. */
const insetOf = ({ x, y, width, height }: Stage, view: Size): string =>
  `inset(${y}px ${view.width - x - width}px ${view.height - y - height}px ${x}px)`;
