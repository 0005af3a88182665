import { html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { scalesUpTo } from '../../../lib/faint/scales.ts';
import type { FaintView } from '../../../lib/web/faint.ts';
import { watch } from '../../controllers/watch.ts';
import { cssOfScale } from '../../model/draw-faint.ts';
import { showPercent } from '../../model/hours-figures.ts';
import { showMeasured } from '../../model/number.ts';
import {
  $faint,
  $faintChosen,
  $faintMap,
  $faintWish,
  $lookingForFaint,
  lookForFaint,
  planForFaint,
  showFaint,
  showFaintFeature,
} from '../../state/faint.ts';
import { $faintShown } from '../../state/faint-shown.ts';
import { $lines } from '../../state/masters.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-faint.ts';
import '../number/number.ts';
import { styles } from './faint.styles.ts';
import './over.ts';

/** More are not listed; what stands out most comes first. */
const MOST = 12;
/** The largest scale that can be asked for, in pixels. */
const LARGEST = 256;

/** What stands out of the noise of a line: outlined, listed with the hours it takes, and what cannot be told. */
@customElement('lw-faint')
export class FaintPanel extends LitElement {
  static override styles = [controls, styles];

  @property() line = '';
  private followed: number | undefined;

  constructor() {
    super();
    watch(this, $faint, $faintChosen, $faintMap, $faintShown, $faintWish, $lookingForFaint, $lines);
  }

  override render() {
    const { line } = this;
    const found = $faint.get()[line];
    return html`<p class="soft">${text.about}</p>
      ${this.wish()} ${this.look(found !== undefined)} ${found ? this.answer(found) : ''}`;
  }

  private wish() {
    const { falseBlobs, largest } = $faintWish.get();
    return html`<div class="wish">
      <span title=${text.falseBlobsOf}>${text.falseBlobs}</span>
      <lw-number
        label=${text.falseBlobs}
        .value=${falseBlobs}
        min="0.01"
        max="1000"
        step="1"
        digits="0"
        @lw-number=${({ detail }: CustomEvent<number>) => wish({ falseBlobs: detail })}
      ></lw-number>
      <span id="largest">${text.largest}</span>
      <select
        aria-labelledby="largest"
        @change=${(event: Event) => wish({ largest: Number((event.target as HTMLSelectElement).value) })}
      >
        ${scalesUpTo(LARGEST).map(
          (scale) => html`<option value=${scale} .selected=${scale === largest}>${text.pixels(scale)}</option>`,
        )}
      </select>
    </div>`;
  }

  private look(again: boolean) {
    const looking = $lookingForFaint.get();
    if (looking?.line === this.line)
      return html`<progress aria-label=${text.looking(this.line)} max="1" .value=${looking.done}></progress>
        <button type="button" @click=${looking.cancel}>${text.stop}</button>`;
    return html`<button
      type="button"
      aria-label=${again ? text.againIn(this.line) : text.lookIn(this.line)}
      ?disabled=${!(this.line in $lines.get())}
      @click=${() => void lookForFaint(this.line)}
    >
      ${again ? text.again : text.look}
    </button>`;
  }

  private answer(found: FaintView) {
    const { features, falseBlobs, stars } = found;
    const rest = features.length - MOST;
    return html`<p role="status">${text.found(features.length, falseBlobs, stars)}</p>
      ${this.views()}
      ${
        features.length === 0
          ? ''
          : html`<ul class="features" aria-label=${text.list(this.line)}>
              ${features.slice(0, MOST).map((_, i) => this.feature(found, i))}
            </ul>`
      }
      ${rest > 0 ? html`<p class="soft">${text.more(rest)}</p>` : ''} ${scaleTable(found)}
      ${
        found.limits.length === 0
          ? ''
          : html`<h3>${text.limits}</h3>
              <ul class="limits">
                ${found.limits.map((words) => html`<li>${text.limit(words)}</li>`)}
              </ul>`
      }`;
  }

  private views() {
    const shown = $faintShown.get() === this.line;
    const toggle = (act: (on: boolean) => void) => (event: Event) => act((event.target as HTMLInputElement).checked);
    return html`<div>
      <label
        ><input
          type="checkbox"
          .checked=${shown}
          @change=${toggle((on) => showFaint(this.line, on))}
        />${text.over}</label
      >
      <label
        ><input
          type="checkbox"
          .checked=${$faintMap.get()}
          ?disabled=${!shown}
          @change=${toggle((on) => $faintMap.set(on))}
        />${text.map}</label
      >
      ${shown && $faintMap.get() ? html`<p class="soft">${text.mapKey}</p>` : ''}
    </div>`;
  }

  private feature({ features, hours: so }: FaintView, i: number) {
    const { scale, ratio, hours, outline } = features[i]!;
    const chosen = $faintShown.get() === this.line && $faintChosen.get() === i;
    const until = hours.map(
      (to) => `${text.to(to.aim)} ${to.hours <= (so ?? 0) ? text.reached : text.hours(to.hours, to.least, to.most)}`,
    );
    return html`<li data-scale=${scale} aria-current=${chosen}>
      ${text.feature(i + 1, scale)}, ${text.above(ratio)}<br />
      ${until.length === 0 ? html`<span class="soft">${text.noHours}</span>` : until.join('; ')}
      <div class="buttons">
        <button type="button" aria-label=${text.showOf(i + 1)} @click=${() => showFaintFeature(this.line, i)}>
          ${text.show}
        </button>
        <button
          type="button"
          aria-label=${text.planOf(i + 1)}
          @click=${() => planForFaint({ box: features[i]!.box, outline })}
        >
          ${text.plan}
        </button>
      </div>
    </li>`;
  }

  override updated(): void {
    for (const element of this.renderRoot.querySelectorAll<HTMLElement>('[data-scale]')) {
      const colour = cssOfScale(Number(element.dataset.scale));
      element.style[element.classList.contains('swatch') ? 'background' : 'borderColor'] = colour;
    }
    const chosen = $faintShown.get() === this.line ? $faintChosen.get() : undefined;
    if (chosen !== this.followed && chosen !== undefined)
      this.renderRoot.querySelector('[aria-current=true]')?.scrollIntoView({ block: 'nearest' });
    this.followed = chosen;
  }
}

const wish = (part: Partial<ReturnType<typeof $faintWish.get>>): void =>
  $faintWish.set({ ...$faintWish.get(), ...part });

/** Bright and dark by scale: as many of both in the sky can mean uneven light. */
const scaleTable = ({ scales }: FaintView) => {
  const { scale, bright, dark, known, least } = text.head;
  return html`<table>
    <caption>${text.scales}</caption>
    <thead>
      <tr>
        ${[scale, bright, dark, known, least].map((name) => html`<th scope="col">${name}</th>`)}
      </tr>
    </thead>
    <tbody>
      ${scales.map(
        (of) => html`<tr>
          <th scope="row"><span class="swatch" data-scale=${of.scale}></span>${text.pixels(of.scale)}</th>
          <td>${of.bright}</td>
          <td>${of.dark}</td>
          <td>${showPercent(of.known)}</td>
          <td>${of.known > 0 ? showMeasured(of.least) : '–'}</td>
        </tr>`,
      )}
    </tbody>
  </table>`;
};
