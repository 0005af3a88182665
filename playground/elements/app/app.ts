import { html, LitElement } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { keyAct } from '../../model/keys.ts';
import { $arrival } from '../../state/arrival.ts';
import { openDropped } from '../../state/files.ts';
import { $targets, redoChange, undoChange } from '../../state/history.ts';
import { $keysShown } from '../../state/keys.ts';
import { $away, $wideWall, PANELS, type Panel, togglePanel } from '../../state/panels.ts';
import { $printed } from '../../state/printing.ts';
import { $seasonShown } from '../../state/season-shown.ts';
import { $tally } from '../../state/tally.ts';
import { $drawer, DRAWERS, type Drawer } from '../../state/view.ts';
import { text } from '../../text.ts';
import '../choices/more.ts';
import '../lines/lines.ts';
import '../messages/messages.ts';
import '../picture/picture.ts';
import '../recipe-choice/recipe-choice.ts';
import '../save/save.ts';
import '../surround/surround.ts';
import { notLoaded } from '../tools/take.ts';
import '../wall/wall.ts';
import '../weights/warnings.ts';
import '../weights/weights.ts';
import { actByKey } from './act-by-key.ts';
import { styles } from './app.styles.ts';

/**
 * The page: the picture beneath everything, panels around it that can be put away without moving it; below it one
 * drawer at a time when narrow.
 */
@customElement('lw-app')
export class App extends LitElement {
  static override styles = styles;

  @state() private dragging = false;
  @state() private narrow = false;
  private width = matchMedia('(max-width: 800px)');

  constructor() {
    super();
    watch(this, $drawer, $printed, $away, $wideWall, $arrival, $keysShown, $tally, $targets, $seasonShown);
  }

  override connectedCallback(): void {
    super.connectedCallback();
    this.measure();
    this.width.addEventListener('change', this.measure);
    window.addEventListener('keydown', this.press);
    for (const type of ['dragover', 'dragleave', 'drop'] as const) window.addEventListener(type, this.drag);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.width.removeEventListener('change', this.measure);
    window.removeEventListener('keydown', this.press);
    for (const type of ['dragover', 'dragleave', 'drop'] as const) window.removeEventListener(type, this.drag);
  }

  override render() {
    const sheet = $printed.get();
    return html`<header>
        <h1>${text.app.title}</h1>
        ${this.narrow ? '' : this.panels()}
        <lw-targets></lw-targets>
        <lw-surround></lw-surround>
      </header>
      <main class="picture">
        <lw-picture></lw-picture>
      </main>
      <lw-messages></lw-messages>
      ${this.tabs()}
      <section class="lines ${this.away('lines')}" aria-label=${text.lines.title} tabindex="-1">
        <lw-lines></lw-lines>
      </section>
      <section class="bench ${this.away('mix', 'save')} ${this.wideHours ? 'away' : ''}" aria-label=${text.mix.title}>
        <div class="mix ${this.away('mix')}">
          <lw-recipe-choice></lw-recipe-choice>
          <lw-weights></lw-weights>
          <lw-more-choices></lw-more-choices>
          <lw-mix-warnings></lw-mix-warnings>
        </div>
        <lw-save class=${this.away('save')}></lw-save>
      </section>
      ${
        $drawer.get() === 'hours'
          ? html`<section class="hours ${this.shut('bench')}" aria-label=${text.app.hours}><lw-hours></lw-hours></section>`
          : ''
      }
      <section class="wall ${this.away('wall')} ${$wideWall.get() && !this.narrow ? 'wide' : ''}" aria-label=${text.wall.title}>
        <lw-wall .strip=${!this.narrow && !$wideWall.get()}></lw-wall>
      </section>
      <lw-arrival></lw-arrival>
      <lw-keys></lw-keys>
      <lw-tally></lw-tally>
      ${$seasonShown.get() ? html`<lw-season></lw-season>` : ''}
      ${this.dragging ? html`<div class="letgo">${text.app.drop}</div>` : ''}
      ${sheet ? html`<img class="sheet" src=${sheet} alt=${text.print.sheet} @load=${printed} />` : ''}`;
  }

  /** A narrow page shows one of all its parts below the picture, a wide one the mix or the hours. */
  private tabs() {
    const wide: readonly Drawer[] = ['mix', 'hours'];
    const current = this.narrow || this.wideHours ? $drawer.get() : 'mix';
    return html`<nav class=${this.shut('bench')} aria-label=${text.app.drawersLabel}>
      ${(this.narrow ? DRAWERS : wide).map(
        (drawer) => html`<button
          type="button"
          aria-current=${current === drawer}
          @click=${() => $drawer.set(drawer)}
        >
          ${text.app.drawers[drawer]}
        </button>`,
      )}
    </nav>`;
  }

  private get wideHours(): boolean {
    return !this.narrow && $drawer.get() === 'hours';
  }

  override updated(): void {
    this.toggleAttribute('paper', $printed.get() !== undefined);
    if ($drawer.get() === 'hours') void loadHours();
    if ($arrival.get() !== undefined) import('../arrival/arrival.ts').catch(notLoaded);
    this.toggleAttribute('season', $seasonShown.get());
    if ($seasonShown.get()) import('../season/season.ts').catch(notLoaded);
    if ($tally.get() !== undefined) import('../tally/tally.ts').catch(notLoaded);
    if ($targets.get() !== undefined) import('../targets/targets.ts').catch(notLoaded);
    if ($keysShown.get()) import('../keys/keys.ts').catch(notLoaded);
  }

  private away(...drawers: Drawer[]): string {
    if (this.narrow) return drawers.includes($drawer.get()) ? '' : 'away';
    const [drawer] = drawers;
    return drawer === 'lines' || drawer === 'wall' ? this.shut(drawer) : this.shut('bench');
  }

  private shut(panel: Panel): string {
    return !this.narrow && $away.get().includes(panel) ? 'away' : '';
  }

  private panels() {
    return html`<div class="panels" role="group" aria-label=${text.app.panelsLabel}>
      ${PANELS.map(
        (panel) => html`<button
          type="button"
          aria-pressed=${!$away.get().includes(panel)}
          @click=${() => togglePanel(panel)}
        >
          ${text.app.panels[panel]}
        </button>`,
      )}
      <button type="button" class="keys" title=${text.app.keysOf} @click=${() => $keysShown.set(true)}>${text.app.keys}</button>
    </div>`;
  }

  private measure = (): void => {
    this.narrow = this.width.matches;
  };

  private press = (event: KeyboardEvent): void => {
    const act = keyAct(event);
    if (act !== undefined) {
      event.preventDefault();
      actByKey(act);
      return;
    }
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    // A field keeps its own undo while text in it is edited.
    if (key === 'z' && !event.shiftKey) undoChange();
    else if ((key === 'z' && event.shiftKey) || key === 'y') redoChange();
    else return;
    event.preventDefault();
  };

  private drag = (event: DragEvent): void => {
    if (!event.dataTransfer?.types.includes('Files')) return;
    event.preventDefault();
    this.dragging = event.type === 'dragover';
    if (event.type === 'drop') void openDropped(event.dataTransfer);
  };
}

/** The panel of hours is loaded when it is first opened. */
const loadHours = (): Promise<unknown> => import('../hours/hours.ts').catch(notLoaded);

/** Prints once the sheet is there, and then lets go of it. */
const printed = (): void => {
  window.print();
  const address = $printed.get();
  $printed.set(undefined);
  if (address !== undefined) URL.revokeObjectURL(address);
};
