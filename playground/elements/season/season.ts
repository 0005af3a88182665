import { html, LitElement, nothing } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import type { PlannedNight } from '../../../lib/hours/plan/nights.ts';
import { watch } from '../../controllers/watch.ts';
import { showHours, showPercent } from '../../model/hours-figures.ts';
import { MOST } from '../../model/season-wish.ts';
import { $targets } from '../../state/history.ts';
import { $masters } from '../../state/masters.ts';
import { $recipe } from '../../state/recipe.ts';
import {
  $season,
  $seasonPlan,
  $seasonWork,
  changeSeason,
  type PlannedSeason,
  saveSeason,
  seasonTargets,
  setDark,
  setSeasonNights,
} from '../../state/season.ts';
import { $seasonShown } from '../../state/season-shown.ts';
import { controls } from '../../styles/controls.ts';
import { dialog } from '../../styles/dialog.ts';
import { text } from '../../text-season.ts';
import { text as targetsText } from '../../text-targets.ts';
import { styles } from './season.styles.ts';
import { date, number, targetPlan, whole } from './target-plan.ts';

/** Nights to come, split over all targets: what the user says about them, and what follows night by night. */
@customElement('lw-season')
export class SeasonPlan extends LitElement {
  static override styles = [controls, dialog, styles];

  @query('dialog') private dialog!: HTMLDialogElement | null;

  constructor() {
    super();
    watch(this, $season, $seasonPlan, $seasonWork, $targets, $masters, $recipe);
  }

  override render() {
    const plan = $seasonPlan.get();
    return html`<dialog aria-labelledby="title" @close=${() => $seasonShown.set(false)}>
      <h2 id="title">${text.title}</h2>
      <p class="soft">${text.about($recipe.get().name ?? targetsText.ownMix)}</p>
      <div class="wishes">${this.nights()}</div>
      <div class="wishes scroll" tabindex="0" role="region" aria-label=${text.targets}>${targets()}</div>
      <div class="plan" role="status">${plan === undefined ? this.waiting() : planned(plan)}</div>
      <p class="soft">${text.caution}</p>
      <div class="row buttons">
        <button type="button" ?disabled=${!plan?.nights.length} @click=${saveSeason}>${text.save}</button>
        <button type="button" ?disabled=${!plan?.nights.length} @click=${() => window.print()}>${text.print}</button>
        <button type="button" autofocus @click=${() => this.dialog?.close()}>${text.close}</button>
      </div>
    </dialog>`;
  }

  private nights() {
    const { nights, change, overhead } = $season.get();
    const [first] = nights;
    return html`<div class="row">
      <label>${text.first} ${date(text.first, first?.date, (day) => day && setSeasonNights(day, nights.length))}</label>
      <label>${text.count} ${whole(text.count, nights.length, MOST.nights, (n) => setSeasonNights(first!.date, Math.max(1, n)))}</label>
      <label>${text.dark} ${number(text.dark, first?.dark ?? 0, MOST.dark, (dark) => setDark(dark))}</label>
      <label>${text.change} ${whole(text.change, change, MOST.change, (minutes) => changeSeason({ change: minutes }))}</label>
      <label>${text.overhead} ${whole(text.overhead, overhead, MOST.overhead, (seconds) => changeSeason({ overhead: seconds }))}</label>
    </div>`;
  }

  private waiting() {
    const done = $seasonWork.get();
    return html`<p class="soft">${done === undefined ? nothing : text.working(done)}</p>`;
  }

  override updated(): void {
    if (this.dialog?.open === false) this.dialog.showModal();
  }
}

const targets = () =>
  html`<table>
    <thead>
      <tr>
        ${[text.target, text.goal, text.up, text.from, text.to, text.cap].map((word) => html`<th scope="col">${word}</th>`)}
      </tr>
    </thead>
    <tbody>
      ${seasonTargets().map(targetPlan)}
    </tbody>
  </table>`;

const planned = (plan: PlannedSeason) => html`<ul>
    ${plan.targets.map((target) => html`<li>${gained(target)}</li>`)}
    ${plan.left.map(({ name, missing }) => html`<li>${text.left(name, missing)}</li>`)}
    ${plan.warnings.map((warning) => html`<li>${warning}</li>`)}
  </ul>
  ${plan.nights.length === 0 ? html`<p>${text.none}</p>` : nightTable(plan.nights)}`;

const gained = ({ name, before, after, lines, snr }: PlannedSeason['targets'][number]): string => {
  const added = lines.filter((line) => line.added > 0).map((line) => text.line(line.name, showHours(line.added)));
  const gain = text.gain(name, showPercent(before > 0 ? 1 - after / before : 0), added);
  if (snr === undefined) return gain;
  const [was, is, wanted] = [snr.before, snr.after, snr.wanted].map((n) => String(Number(n.toPrecision(3))));
  return `${gain} ${text.reach(name, was!, is!, wanted!)}`;
};

const nightTable = (nights: readonly PlannedNight[]) => {
  const { night, target, line, subs, hours } = text.head;
  return html`<h3>${text.plan}</h3>
    <div class="scroll" tabindex="0" role="region" aria-label=${text.plan}>
      <table>
        <thead>
          <tr>
            ${[night, text.darkHead, target, line].map((word) => html`<th scope="col">${word}</th>`)}
            ${[subs, hours].map((word) => html`<th scope="col" class="number">${word}</th>`)}
          </tr>
        </thead>
        ${nights.map((one) => html`<tbody>${rowsOf(one)}</tbody>`)}
      </table>
    </div>`;
};

const rowsOf = ({ date: day, dark, blocks }: PlannedNight) => {
  const rows = Math.max(1, blocks.length);
  const head = html`<th scope="rowgroup" rowspan=${rows}>${day}</th>
    <td rowspan=${rows}>${number(text.darkOf(day), dark, MOST.dark, (hours) => setDark(hours, day))}</td>`;
  if (blocks.length === 0) return html`<tr>${head}<td colspan="4" class="soft">${text.free}</td></tr>`;
  return blocks.map(
    ({ target, line, subs, hours }, i) => html`<tr>
      ${i === 0 ? head : nothing}
      <td>${target}</td>
      <td>${line}</td>
      <td class="number">${subs ?? '–'}</td>
      <td class="number">${hours.toFixed(2)}</td>
    </tr>`,
  );
};
