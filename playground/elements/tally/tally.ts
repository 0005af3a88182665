import { html, LitElement, nothing } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { KNOWN_LINES } from '../../../lib/measure/filters.ts';
import type { Tally, TallyLine, TallyTarget } from '../../../lib/tally/tally.ts';
import { watch } from '../../controllers/watch.ts';
import { $filters, copyTally, nameFilter } from '../../state/counting.ts';
import { $tally } from '../../state/tally.ts';
import { controls } from '../../styles/controls.ts';
import { dialog } from '../../styles/dialog.ts';
import { text } from '../../text-tally.ts';
import { styles } from './tally.styles.ts';

/** Subs and hours of each target, counted from the headers of a dropped folder. */
@customElement('lw-tally')
export class TallyTable extends LitElement {
  static override styles = [controls, dialog, styles];

  @query('dialog') private dialog!: HTMLDialogElement | null;

  constructor() {
    super();
    watch(this, $tally, $filters);
  }

  override render() {
    const tally = $tally.get();
    if (tally === undefined) return nothing;
    const { targets, left, notes } = tally;
    return html`<dialog aria-labelledby="title" @close=${() => $tally.set(undefined)}>
      <h2 id="title">${text.title}</h2>
      ${targets.length === 0 ? html`<p>${text.nothing}</p>` : table(targets)}
      <p class="soft">${text.left(left.calibration, left.masters)}</p>
      ${filters(tally)}
      ${
        notes.length === 0
          ? nothing
          : html`<details>
              <summary>${text.notes} (${notes.length})</summary>
              <ul>
                ${notes.map((note) => html`<li>${note}</li>`)}
              </ul>
            </details>`
      }
      <div class="buttons">
        <button type="button" autofocus @click=${() => copyTally('line')}>${text.copy}</button>
        <button type="button" @click=${() => copyTally('night')}>${text.copyNights}</button>
        <button type="button" @click=${() => this.dialog?.close()}>${text.close}</button>
      </div>
    </dialog>`;
  }

  override updated(): void {
    if (this.dialog?.open === false) this.dialog.showModal();
  }
}

const table = (targets: readonly TallyTarget[]) => {
  const { target, line, subs, hours, nights, lengths, dates } = text.head;
  return html`<div class="scroll" tabindex="0" role="region" aria-labelledby="title">
    <table>
      <thead>
        <tr>
          <th scope="col">${target}</th>
          <th scope="col">${line}</th>
          <th scope="col" class="number">${subs}</th>
          <th scope="col" class="number">${hours}</th>
          <th scope="col" class="number">${nights}</th>
          <th scope="col">${lengths}</th>
          <th scope="col">${dates}</th>
        </tr>
      </thead>
      ${targets.map(
        (one) => html`<tbody>
          ${one.lines.map((own, i) => row(own, i === 0 ? one : undefined, one.lines.length))}
        </tbody>`,
      )}
    </table>
  </div>`;
};

/** A line to choose for each filter whose name says none, and for those that have got one. */
const filters = ({ unnamed }: Tally) => {
  const given = $filters.get();
  const subs = new Map(Object.keys(given).map((filter) => [filter, 0]));
  for (const { filter } of unnamed) subs.set(filter, (subs.get(filter) ?? 0) + 1);
  if (subs.size === 0) return nothing;
  return html`<section aria-labelledby="filters">
    <h3 id="filters">${text.filters}</h3>
    <p class="soft">${text.filtersAbout}</p>
    ${[...subs].sort().map(
      ([filter, count]) => html`<label
        >${text.filter(filter, count)}
        <select
          aria-label=${text.lineOf(filter)}
          @change=${(event: Event) => nameFilter(filter, (event.target as HTMLSelectElement).value)}
        >
          ${['', ...KNOWN_LINES].map(
            (line) =>
              html`<option .value=${line} .selected=${line === (given[filter] ?? '')}>${line || text.noLine}</option>`,
          )}
        </select></label
      >`,
    )}
  </section>`;
};

const row = (own: TallyLine, target: TallyTarget | undefined, rows: number) => html`<tr>
  ${target ? html`<th scope="rowgroup" rowspan=${rows}>${target.target || text.noName}</th>` : nothing}
  <td>${own.line}</td>
  <td class="number">${own.subs}</td>
  <td class="number">${Number(own.hours.toFixed(2))}</td>
  <td class="number">${own.nights}</td>
  <td>${text.lengths(own.lengths)}</td>
  <td>${own.first === undefined ? '–' : `${own.first} – ${own.last}`}</td>
</tr>`;
