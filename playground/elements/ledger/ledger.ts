import { html, LitElement, nothing, svg } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import type { Ledger } from '../../../lib/hours/ledger.ts';
import type { Quantity } from '../../../lib/hours/outputs.ts';
import { watch } from '../../controllers/watch.ts';
import { showNoise, showPercent, showSnr } from '../../model/hours-figures.ts';
import { $answer } from '../../state/hours.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-hours.ts';
import { styles } from './ledger.styles.ts';

const SHOWN: readonly Quantity[] = ['red', 'green', 'blue', 'luminance', 'colour'];

/** Widths of a letter and of the room around words, in pixels. */
const LETTER = 6.2;
const AROUND = 5;

const hasRoom = (width: number, words: string): boolean => width >= LETTER * words.length + AROUND;

/** What the mix costs in noise, a row for each colour, as a bar whose parts are the lines that bring it. */
@customElement('lw-ledger')
export class LedgerTable extends LitElement {
  static override styles = [controls, styles];

  /** Width of a bar in pixels: words that have no room in their part are left out. */
  @state() private width = 0;
  private resized = new ResizeObserver(() => this.measure());

  constructor() {
    super();
    watch(this, $answer);
  }

  override connectedCallback(): void {
    super.connectedCallback();
    this.resized.observe(this);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.resized.disconnect();
  }

  /** Columns that come and go change the width of the bars, not of the element. */
  override updated(): void {
    this.measure();
  }

  private measure(): void {
    this.width = this.renderRoot.querySelector('svg')?.getBoundingClientRect().width ?? 0;
  }

  override render() {
    const answer = $answer.get();
    if (answer === undefined) return nothing;
    const { ledger, warnings } = answer;
    const { box, smoothed } = ledger;
    return html`<table>
        <caption>${box ? text.ledger.atBox : text.ledger.atSky}</caption>
        <thead>
          <tr>
            <td></td>
            <th scope="col">${text.ledger.unit}</th>
            ${smoothed && !box ? html`<th scope="col">${text.ledger.smoothed}</th>` : ''}
            ${box ? html`<th scope="col">${text.ledger.snr}</th><th scope="col">${text.ledger.snrOfMean}</th>` : ''}
            <th scope="col" class="bars">${text.ledger.from}</th>
          </tr>
        </thead>
        <tbody>
          ${SHOWN.map((quantity) => this.row(ledger, quantity))}
        </tbody>
      </table>
      ${smoothed ? html`<p class="soft">${box ? `${text.ledger.unsmoothed} ` : ''}${text.ledger.split}${box ? '' : ` ${smoothed.how}`}</p>` : ''}
      ${warnings.length === 0 ? '' : html`<ul class="notes soft">${warnings.map((words) => html`<li>${words}</li>`)}</ul>`}`;
  }

  private row({ lines, background, box, smoothed }: Ledger, quantity: Quantity) {
    const { noise, shares } = box ?? background;
    const parts = lines.map((line, i) => ({ line, share: shares[quantity][i]! })).filter(({ share }) => share > 0);
    const words = parts.map(({ line, share }) => text.ledger.share(line, showPercent(share))).join(', ');
    return html`<tr>
      <th scope="row">${text.ledger.quantities[quantity as keyof typeof text.ledger.quantities]}</th>
      <td>${showNoise(noise[quantity])}</td>
      ${smoothed && !box ? html`<td>${showNoise(smoothed.background.noise[quantity])}</td>` : ''}
      ${box ? html`<td>${showSnr(box.snr[quantity])}</td><td>${showSnr(box.snrOfMean[quantity])}</td>` : ''}
      <td class="bars">
        <span class="hidden">${words || text.ledger.none}</span>${bar(parts, this.width)}
      </td>
    </tr>`;
  }
}

interface Part {
  readonly line: string;
  readonly share: number;
}

/** Parts side by side, the largest in a tone of its own; the words beside it say the same. */
const bar = (parts: readonly Part[], width: number) => {
  const most = Math.max(...parts.map(({ share }) => share));
  let from = 0;
  return html`<svg aria-hidden="true">
    ${parts.map(({ line, share }) => {
      const start = from;
      from += share;
      const words = text.ledger.share(line, showPercent(share));
      const shown = [words, line].find((text) => hasRoom(share * width, text)) ?? '';
      return svg`<g>
        <title>${words}</title>
        <rect class=${share === most ? 'most' : 'rest'} x=${percent(start)} width=${percent(share)} y="0.5" height="21" />
        <text class=${share === most ? 'on' : ''} x=${percent(start + share / 2)} y="11">${shown}</text>
      </g>`;
    })}
  </svg>`;
};

const percent = (share: number): string => `${(100 * share).toFixed(3)}%`;
