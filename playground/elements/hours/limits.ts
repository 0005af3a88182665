import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { MOST } from '../../model/plan.ts';
import { $answer, $plan, changePlan, setCap, setMore, setNights } from '../../state/hours.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-hours.ts';
import '../number/number.ts';

/** Into how many nights the hours fall, what a change of line costs, and the most that a line gets. */
@customElement('lw-hours-limits')
export class HoursLimits extends LitElement {
  static override styles = [
    controls,
    css`
      :host {
        display: grid;
        gap: 4px;
      }
      .row {
        display: flex;
        flex-wrap: wrap;
        gap: 0 8px;
        align-items: center;
        min-height: 28px;
      }
      label {
        display: flex;
        gap: 6px;
        align-items: center;
      }
      lw-number {
        width: 64px;
      }
      @media (pointer: coarse) {
        .row,
        label {
          min-height: 40px;
        }
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $plan, $answer);
  }

  override render() {
    const { nights, more, change } = $plan.get();
    const most = MOST.hours / nights;
    return html`<div class="row">
        <span class="soft">${text.limits.nightsWord}</span>
        ${number(text.limits.nights, nights, [1, MOST.nights, 1, 0], (n) => setNights(Math.round(n)))}
        <span class="soft">${text.limits.nightsOf}</span>
        ${number(text.limits.each, more / nights, [0, most, 0.5, 1], (hours) => setMore(hours * $plan.get().nights))}
        <span>${text.hours.unit}</span>
      </div>
      <div class="row">
        <span class="soft">${text.limits.change}</span>
        ${number(text.limits.changeLabel, change, [0, MOST.change, 1, 0], (minutes) =>
          changePlan({ change: minutes }, text.steps.change, 'change'),
        )}
        <span>${text.limits.minutes}</span>
      </div>
      ${($answer.get()?.exposures ?? []).map(({ name, hours = 0 }) => this.cap(name, hours))}`;
  }

  private cap(line: string, spent: number) {
    const { caps } = $plan.get();
    const cap = caps[line];
    const toggle = () => setCap(line, cap === undefined ? Math.ceil(spent + $plan.get().more / 2) : undefined);
    return html`<div class="row">
      <label><input type="checkbox" .checked=${cap !== undefined} @change=${toggle} />${text.limits.cap(line)}</label>
      ${
        cap === undefined
          ? ''
          : html`${number(text.limits.capOf(line), cap, [0, MOST.hours, 0.5, 1], (hours) => setCap(line, hours))}
              <span>${text.limits.inAll}</span>`
      }
    </div>`;
  }
}

const number = (
  label: string,
  value: number,
  [min, max, step, digits]: readonly [number, number, number, number],
  set: (value: number) => void,
) =>
  html`<lw-number
    .label=${label}
    .value=${value}
    .min=${min}
    .max=${max}
    .step=${step}
    .digits=${digits}
    @lw-number=${({ detail }: CustomEvent<number>) => set(detail)}
  ></lw-number>`;
