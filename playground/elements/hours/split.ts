import { html, LitElement, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import type { HoursAdvice } from '../../../lib/hours/advice.ts';
import type { Exposure } from '../../../lib/hours/exposure.ts';
import type { PlannedNight } from '../../../lib/hours/plan/nights.ts';
import { watch } from '../../controllers/watch.ts';
import { showHours, showPercent } from '../../model/hours-figures.ts';
import { $answer, setSpent } from '../../state/hours.ts';
import { $masters } from '../../state/masters.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-hours.ts';
import '../number/number.ts';
import { styles } from './split.styles.ts';

/** Hours of each line so far, what one hour more of it alone brings, and its share of the hours to come. */
@customElement('lw-hours-split')
export class HoursSplit extends LitElement {
  static override styles = [controls, styles];

  constructor() {
    super();
    watch(this, $answer, $masters);
  }

  override render() {
    const answer = $answer.get();
    if (answer === undefined) return nothing;
    const { exposures, plan } = answer;
    return html`<table>
        <caption class="hidden">${text.hours.splitCaption}</caption>
        <thead>
          <tr>
            <th scope="col">${text.hours.line}</th>
            <th scope="col">${text.hours.spent}</th>
            ${
              plan
                ? html`<th scope="col">${text.hours.oneMore}</th>
                    <th scope="col">${text.hours.add}</th>`
                : ''
            }
          </tr>
        </thead>
        <tbody>
          ${exposures.map((exposure, i) => this.row(exposure, i, plan?.advice))}
        </tbody>
      </table>
      ${plan?.nights ? nightByNight(plan.nights) : ''}
      ${plan ? this.steps(plan.advice) : html`<p role="status">${text.hours.unknown(unknownOf(exposures))}</p>`}`;
  }

  private row(exposure: Exposure, index: number, advice: HoursAdvice | undefined) {
    const { name, hours = 0, sub } = exposure;
    const share = advice?.allocation?.shares[index];
    return html`<tr>
      <th scope="row">${name}</th>
      <td class="spent">
        <lw-number
          label=${text.hours.spentOn(name)}
          .value=${hours}
          min="0"
          max="10000"
          step="0.5"
          @lw-number=${(event: CustomEvent<number>) => setSpent(name, event.detail)}
        ></lw-number>
        <span class="from soft">${this.source(exposure)}</span>
      </td>
      ${
        advice && share
          ? html`<td>${text.hours.fall(showPercent(advice.nextHour[index]!))}</td>
              <td class="add">
                <span class="added">${share.added > 0 ? text.hours.plus(showHours(share.added)) : text.hours.nothingAdded}</span>
                <span class="soft">${share.subs && sub ? text.hours.subs(share.subs, sub) : ''}</span>
              </td>`
          : ''
      }
    </tr>`;
  }

  /** Where the hours come from, and the way back to the header's. */
  private source({ name, from }: Exposure) {
    if (from === 'header') return text.hours.fromHeader;
    const header = $masters.get().find(({ line }) => line === name)?.facts.hours;
    if (header === undefined) return from === 'given' ? text.hours.typed : text.hours.notInHeader;
    return html`<button type="button" @click=${() => setSpent(name, undefined)}>
      ${text.hours.toHeader(showHours(header))}
    </button>`;
  }

  /** How long until the feature stands out, where one is marked. */
  private steps({ steps }: HoursAdvice) {
    if (steps === undefined) return '';
    return html`<ul class="steps soft">
      ${steps.map(({ snr, allocation }) => {
        const clock = allocation && (allocation.clock === 0 ? text.hours.reached : showHours(allocation.clock));
        return html`<li>${text.hours.snrStep(snr, clock ?? text.hours.outOfReach)}</li>`;
      })}
    </ul>`;
  }
}

const unknownOf = (exposures: readonly Exposure[]): string[] =>
  exposures.filter(({ hours }) => hours === undefined || !(hours > 0)).map(({ name }) => name);

/** What each night is for; nights that are alike are told once. */
const nightByNight = (nights: readonly PlannedNight[]) => {
  const groups: { first: string; last: string; words: string }[] = [];
  for (const { date, blocks } of nights) {
    const words = blocks.map(blockWords).join(', ') || text.nights.nothing;
    const before = groups.at(-1);
    if (before?.words === words) before.last = date;
    else groups.push({ first: date, last: date, words });
  }
  return html`<h3>${text.nights.title}</h3>
    <dl class="nights">
      ${groups.map(
        ({ first, last, words }) =>
          html`<div><dt>${first === last ? text.nights.one(first) : text.nights.several(first, last)}</dt><dd>${words}</dd></div>`,
      )}
    </dl>`;
};

const blockWords = ({ line, hours, subs }: PlannedNight['blocks'][number]): string =>
  text.nights.block(line, showHours(hours), subs);
