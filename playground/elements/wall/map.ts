import { html, LitElement, nothing, svg } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import { watch } from '../../controllers/watch.ts';
import { missingLines, sameMix } from '../../model/columns.ts';
import { layMap, type MapPlace, pointsOf, type WallMap } from '../../model/wall-map.ts';
import { $candidates, type Candidate } from '../../state/candidates.ts';
import { $lines } from '../../state/masters.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { $figures, $part, $sharp, $wall } from '../../state/wall.ts';
import '../../state/wall-figures.ts';
import { controls } from '../../styles/controls.ts';
import { text as pageText } from '../../text.ts';
import { wallText } from '../../text-wall.ts';
import '../band/band.ts';
import { styles } from './map.styles.ts';

const text = wallText.map;
const { figures: figureWords } = pageText.wall;

const nameOf = ({ recipe }: Candidate): string => recipe.name ?? pageText.recipe.own;

/** The wall as a map: noise of the sky one way, separation of the lines the other. */
@customElement('lw-wall-map')
export class WallMapView extends LitElement {
  static override styles = [controls, styles];

  /** Width over height of the pictures, before any is known. */
  @property({ type: Number }) shape = 1.5;
  @query('.map') private map!: HTMLElement;
  @state() private room = { width: 0, height: 0 };

  private resized = new ResizeObserver(() => requestAnimationFrame(() => this.measure()));

  constructor() {
    super();
    watch(this, $wall, $figures, $candidates, $lines, $recipe, $part, $sharp);
  }

  override render() {
    const points = pointsOf(
      this.fitting.map(({ id }) => id),
      $figures.get(),
    );
    const laid = layMap(points, this.room, this.shapeOf());
    return html`<p class="end" aria-hidden="true">${text.apart}</p>
      <div class="map">
        ${this.room.width === 0 ? nothing : [this.rules(laid), this.pictures(laid)]}
      </div>
      <p class="ends" aria-hidden="true">
        <span>${text.close}<br />${text.quiet}</span><span>${text.noise}</span><span>${text.noisy}</span>
      </p>
      <p class="soft" role="status">${this.absent(points.length)}</p>`;
  }

  override firstUpdated(): void {
    this.resized.observe(this.map);
    this.measure();
  }

  /** Places are set on the elements: the page's security policy allows no style in the text. */
  override updated(): void {
    for (const item of this.renderRoot.querySelectorAll<HTMLElement & { place: MapPlace }>('li')) {
      const { x, y, width, height } = item.place;
      item.style.translate = `${x}px ${y}px`;
      item.style.width = `${width}px`;
      item.style.height = `${height}px`;
    }
  }

  private measure(): void {
    const { clientWidth: width, clientHeight: height } = this.map;
    if (width !== this.room.width || height !== this.room.height) this.room = { width, height };
  }

  /** Candidates that these masters can be mixed to. */
  private get fitting(): Candidate[] {
    const lines = Object.keys($lines.get());
    return $candidates.get().filter(({ recipe }) => missingLines(recipe, lines).length === 0);
  }

  private shapeOf(): number {
    const picture = $part.get() ?? Object.values($wall.get())[0]?.full;
    return picture ? picture.width / picture.height : this.shape;
  }

  private pictures({ places }: WallMap) {
    const named = new Map(this.fitting.map((candidate) => [candidate.id, candidate]));
    return html`<ol aria-label=${text.list}>
      ${repeat(
        places,
        ({ id }) => id,
        (place) => this.item(place, named.get(place.id)!),
      )}
    </ol>`;
  }

  private item(place: MapPlace, candidate: Candidate) {
    const { id, recipe } = candidate;
    const current = sameMix(recipe, $recipe.get());
    const { noise, separation } = $figures.get()[id]!;
    const [name, figures] = [
      nameOf(candidate),
      [figureWords.noise(noise), figureWords.separation(separation!)] as const,
    ];
    return html`<li .place=${place}>
      <button
        type="button"
        class="use ${current ? 'current' : ''}"
        aria-pressed=${current}
        aria-label=${text.item(name, ...figures)}
        title=${text.item(name, ...figures)}
        @click=${() => changeRecipe(recipe, pageText.recipe.chose(name))}
      >
        <lw-band .picture=${$sharp.get()[id] ?? $wall.get()[id]} .crop=${$sharp.get()[id] ? undefined : $part.get()}></lw-band>
        <span class="name">${name}</span>
      </button>
    </li>`;
  }

  /** Ticks of both axes, and where pictures that moved aside belong. */
  private rules({ places, noise, separation }: WallMap) {
    const { width, height } = this.room;
    return html`<svg aria-hidden="true">
      <g class="noise">
        ${noise.map(
          ({ value, at }) => svg`<line class="rule" x1=${at} x2=${at} y1="0" y2=${height}></line>
            <text x=${at} y=${height + 14}>${figureWords.noise(value)}</text>`,
        )}
      </g>
      <g class="separation">
        ${separation.map(
          ({ value, at }) => svg`<line class="rule" x1="0" x2=${width} y1=${at} y2=${at}></line>
            <text x="-5" y=${at + 4}>${value}</text>`,
        )}
      </g>
      ${places.map(({ point, x, y, width: w, height: h }) => {
        const to = { x: Math.min(x + w, Math.max(x, point.x)), y: Math.min(y + h, Math.max(y, point.y)) };
        if (to.x === point.x && to.y === point.y) return nothing;
        return svg`<line class="away" x1=${point.x} y1=${point.y} x2=${to.x} y2=${to.y}></line>
          <circle class="dot" cx=${point.x} cy=${point.y} r="2.5"></circle>`;
      })}
    </svg>`;
  }

  /** Who is not on the map, and why. */
  private absent(shown: number): string {
    const { fitting } = this;
    const figures = $figures.get();
    const waiting = fitting.filter(({ id }) => figures[id] === undefined).length;
    const single = fitting.filter(({ id }) => figures[id] && figures[id].separation === undefined).map(nameOf);
    const missing = $candidates.get().length - fitting.length;
    return [
      waiting > 0 ? text.waiting(shown, fitting.length) : '',
      single.length > 0 ? text.single(single) : '',
      missing > 0 ? text.missing(missing) : '',
    ]
      .filter((words) => words !== '')
      .join(' ');
  }
}
