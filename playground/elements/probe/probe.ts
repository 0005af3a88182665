import { html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import type { ProbeAnswer } from '../../../lib/work/probe.ts';
import { watch } from '../../controllers/watch.ts';
import { showMeasured } from '../../model/number.ts';
import { beyond, cssOf, probeJson, sharesOf, showPart } from '../../model/probe-figures.ts';
import { $candidates } from '../../state/candidates.ts';
import { $masters } from '../../state/masters.ts';
import { report, say } from '../../state/messages.ts';
import { $held, $linked, $probe } from '../../state/probe.ts';
import { $recipe } from '../../state/recipe.ts';
import { $tools } from '../../state/tools.ts';
import { controls } from '../../styles/controls.ts';
import { toolsText } from '../../text-tools.ts';
import './over.ts';
import { styles } from './probe.styles.ts';

const text = toolsText.probe;

/** What the pixel under the probe is made of, and what it becomes. */
@customElement('lw-probe')
export class Probe extends LitElement {
  static override styles = [controls, styles];

  constructor() {
    super();
    watch(this, $probe, $held, $linked, $candidates, $tools);
  }

  override render() {
    const answer = $probe.get();
    // Beside the tool that holds colours one row must do: what lines bring is not asked there.
    const brief = $tools.get().includes('hold');
    return html`<section aria-label=${text.label} class=${brief ? 'brief' : ''}>
      ${answer === undefined ? html`<p class="soft">${text.hint}</p>` : brief ? this.row(answer) : this.found(answer)}
    </section>`;
  }

  private row(answer: ProbeAnswer) {
    const { noise: _, ...shown } = answer;
    const outside = answer.colour !== undefined && verdict(answer) !== text.inside;
    return html`${this.colour(shown)}${this.holding()}
      <p class="state">${answer.colour === undefined || outside ? verdict(answer) : ''}</p>
      ${this.said(answer)}`;
  }

  private holding() {
    return html`<button type="button" aria-pressed=${$held.get()} @click=${() => $held.set(!$held.get())}>
      ${$held.get() ? text.held : text.hold}
    </button>`;
  }

  private said(answer: ProbeAnswer) {
    return html`<p class="hidden" role="status">${text.said(text.at(answer.x, answer.y), spokenColour(answer))}</p>`;
  }

  private found(answer: ProbeAnswer) {
    return html`<div class="parts">
        ${this.table(answer)}
        <div class="result">
          ${this.colour(answer)}
          <p class="state">${verdict(answer)}</p>
          <div class="acts">
            ${this.holding()}
            <button type="button" @click=${() => copy(answer)}>${text.copy}</button>
          </div>
        </div>
      </div>
      <details ?open=${$linked.get()} @toggle=${(event: Event) => $linked.set((event.target as HTMLDetailsElement).open)}>
        <summary>${text.linked}</summary>
        ${$linked.get() ? this.others(answer) : ''}
      </details>
      ${this.said(answer)}`;
  }

  private table(answer: ProbeAnswer) {
    const shares = [0, 1, 2].map((band) => sharesOf(answer, band));
    return html`<table>
      <caption class="hidden">${text.caption}</caption>
      <thead>
        <tr>
          <th scope="col">${text.line}</th>
          <th scope="col">${text.value}</th>
          <th scope="col">${text.strength}</th>
          ${text.colours.map((colour) => html`<th scope="col">${colour}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${answer.lines.map(
          ({ name, value, strength, brings }, i) => html`<tr>
            <th scope="row">${name}</th>
            <td>${Number.isFinite(value) ? showMeasured(value) : text.noData}</td>
            <td>${Number.isFinite(strength) ? showPart(strength) : ''}</td>
            ${brings.map((v, band) => html`<td>${Number.isFinite(v) ? part(v, shares[band]![i]!) : ''}</td>`)}
          </tr>`,
        )}
        ${
          answer.mixed === undefined
            ? ''
            : html`<tr class="sum">
              <th scope="row">${text.mixed}</th>
              <td></td>
              <td></td>
              ${answer.mixed.map((v) => html`<td>${showPart(v)}</td>`)}
            </tr>`
        }
      </tbody>
    </table>`;
  }

  private colour({ x, y, colour, noise }: ProbeAnswer) {
    return html`<div class="patch"></div>
      <dl>
        <dt>${text.pixel}</dt>
        <dd>${text.at(x, y)}</dd>
        ${
          colour === undefined
            ? ''
            : html`<dt>${text.shown}</dt>
            <dd class="rgb">${text.rgb(colour.rgb.map(showPart))}</dd>
            <dt>${text.oklch}</dt>
            <dd>${text.oklchOf(showPart(colour.oklch[0]), showPart(colour.oklch[1]), colour.oklch[2].toFixed(0))}</dd>`
        }
        ${
          noise === undefined
            ? ''
            : html`<dt title=${text.noiseFrom}>${text.noise}</dt>
            <dd>${text.rgb(noise.map(showPart))}</dd>`
        }
      </dl>`;
  }

  private others({ others }: ProbeAnswer) {
    const named = new Map($candidates.get().map(({ id, recipe }) => [id, recipe.name ?? id]));
    return html`<ul>
      ${others.map(
        ({ id, colour }) => html`<li>
          <span class="small patch" data-id=${id}></span>${named.get(id)}
          <span class="soft">${colour === undefined ? text.noData : text.rgb(colour.rgb.map(showPart))}</span>
        </li>`,
      )}
    </ul>`;
  }

  /** Colours are set on the elements: the page's security policy allows no style in the text. */
  override updated(): void {
    const answer = $probe.get();
    for (const patch of this.renderRoot.querySelectorAll<HTMLElement>('.patch')) {
      const { id } = patch.dataset;
      const colour = id === undefined ? answer?.colour : answer?.others.find((other) => other.id === id)?.colour;
      patch.style.background = colour === undefined ? 'none' : cssOf(colour, answer!.space);
    }
  }
}

const part = (value: number, share: number) =>
  share === 0
    ? showPart(value)
    : html`${showPart(value)} <span class="share">${text.share(`${Math.round(100 * share)} %`)}</span>`;

const namesOf = (bands: readonly number[]): string[] => bands.map((band) => text.colours[band]!);

const verdict = (answer: ProbeAnswer): string => {
  if (answer.colour === undefined) return text.undefined;
  const { outside, full } = beyond(answer);
  const words = [
    ...(outside.length > 0 ? [text.outside(namesOf(outside))] : []),
    ...(full.length > 0 ? [text.full(namesOf(full))] : []),
  ];
  return words.length > 0 ? words.join(' ') : text.inside;
};

const spokenColour = (answer: ProbeAnswer): string =>
  answer.colour === undefined
    ? text.undefined
    : answer.colour.rgb.map((v, band) => `${text.colours[band]} ${showPart(v)}`).join(', ');

const copy = async (answer: ProbeAnswer): Promise<void> => {
  const masters = $masters.get().filter(({ line }) => line !== '');
  const about = {
    recipe: $recipe.get().name,
    masters: Object.fromEntries(masters.map(({ line, file }) => [line, file])),
  };
  try {
    await navigator.clipboard.writeText(probeJson(answer, about));
    say({ topic: 'copy', kind: 'note', words: text.copied });
  } catch (error) {
    report('copy', error);
  }
};
