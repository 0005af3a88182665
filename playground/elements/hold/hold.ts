import { html, LitElement } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { formatHex } from '../../../lib/colour/colour-text.ts';
import { decodeRgb, oklchOf } from '../../../lib/colour/convert.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import type { Triple } from '../../../lib/plane/linear.ts';
import type { LargeWeight } from '../../../lib/recipe/suggest/hold.ts';
import type { HeldLines } from '../../../lib/work/hold.ts';
import { watch } from '../../controllers/watch.ts';
import { $places, type Place } from '../../state/held-places.ts';
import {
  $heldMix,
  $mostPlaces,
  $solved,
  $solving,
  addPlace,
  applyHeld,
  removePlace,
  setColour,
} from '../../state/hold.ts';
import { $held, $probe } from '../../state/probe.ts';
import { controls } from '../../styles/controls.ts';
import { strip } from '../../styles/strip.ts';
import { text } from '../../text-hold.ts';
import { styles } from './hold.styles.ts';
import './over.ts';

/** A picker knows hex codes alone: one as chroma and hue, which keep the brightness of the place. */
const withoutLightness = (hex: string): string => {
  const code = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255) as unknown as Triple;
  const [, chroma, hue] = oklchOf(decodeRgb(code, SPACES.srgb), SPACES.srgb);
  return `${chroma.toFixed(3)}@${hue.toFixed(0)}`;
};

/** Places of the picture and the colours that they are to have; what it costs, and the weights that follow. */
@customElement('lw-hold')
export class Hold extends LitElement {
  static override styles = [controls, strip, styles];

  /** Whether a picked colour gives chroma and hue alone. */
  @state() private keepsBrightness = true;

  constructor() {
    super();
    watch(this, $places, $solved, $heldMix, $solving, $probe, $held, $mostPlaces);
  }

  override render() {
    const places = $places.get();
    const ready = $held.get() && $probe.get()?.colour !== undefined && places.length < $mostPlaces.get();
    return html`<section aria-label=${text.label}>
      <button type="button" ?disabled=${!ready} @click=${addPlace}>${text.add}</button>
      ${places.length === 0 ? html`<p class="soft">${text.hint}</p>` : this.list(places)}
    </section>`;
  }

  private list(places: readonly Place[]) {
    return html`<label
        ><input
          type="checkbox"
          .checked=${this.keepsBrightness}
          @change=${(event: Event) => {
            this.keepsBrightness = (event.target as HTMLInputElement).checked;
          }}
        />
        ${text.bright}</label
      >
      <button type="button" class="apply" ?disabled=${$heldMix.get() === undefined} @click=${applyHeld}>
        ${text.apply}
      </button>
      <ol aria-label=${text.list}>
        ${places.map((place, i) => this.place(place, i))}
      </ol>
      ${this.outcome()}`;
  }

  private place({ x, y, colour }: Place, index: number) {
    const name = text.place(index);
    const solved = $solved.get();
    const found = solved?.mix.places[index];
    return html`<li title=${text.at(x, y)}>
      <span aria-hidden="true">${index + 1}</span><span class="hidden">${text.at(x, y)}</span>
      <input
        type="color"
        aria-label=${text.pick(name)}
        .value=${found === undefined ? '#808080' : formatHex(found.wanted, SPACES[solved!.mix.space])}
        @change=${(event: Event) => this.pick(index, (event.target as HTMLInputElement).value)}
      />
      <input
        type="text"
        spellcheck="false"
        autocomplete="off"
        aria-label=${text.colour(name)}
        .value=${colour}
        @change=${(event: Event) => setColour(index, (event.target as HTMLInputElement).value)}
      />
      <span class="left">${found === undefined ? '' : found.left < 0.001 ? text.met : text.missed(found.left.toFixed(3))}</span>
      <button
        type="button"
        aria-label=${text.removeOne(name)}
        title=${text.removeOne(name)}
        @click=${() => removePlace(index)}
      >
        ×
      </button>
    </li>`;
  }

  private pick(index: number, hex: string): void {
    setColour(index, this.keepsBrightness ? withoutLightness(hex) : hex);
  }

  /** Only what is up to date is told, and can be applied. */
  private outcome() {
    const mix = $heldMix.get();
    return html`<p class="outcome" role="status" tabindex="0">${mix ? costs(mix) : $solving.get() ? text.working : ''}</p>`;
  }
}

const costs = ({ price, conflicts, large }: HeldLines): string =>
  [
    text.price(price.toFixed(2)),
    ...conflicts.map(({ place, like, cosine }) =>
      text.conflict(text.place(place), text.place(like), cosine.toFixed(4)),
    ),
    ...(large === undefined ? [] : [largeWords(large)]),
  ].join(' ');

const largeWords = ({ channel, colour, weight }: LargeWeight): string =>
  text.large(channel, colour, weight.toFixed(2), Math.abs(weight).toFixed(1));
