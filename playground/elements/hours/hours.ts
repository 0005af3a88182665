import { html, LitElement } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { showHours } from '../../model/hours-figures.ts';
import { MOST } from '../../model/plan.ts';
import { $boxKind, $drawing } from '../../state/box.ts';
import { AFTER_HOURS, standsAgainst } from '../../state/compare.ts';
import { $answer, $looking, $plan, changePlan, HOURS_GOALS } from '../../state/hours.ts';
import { $later } from '../../state/later.ts';
import { $seasonShown } from '../../state/season-shown.ts';
import '../../state/tell-later.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-hours.ts';
import { toggleAgainst } from '../compare/against.ts';
import '../ledger/ledger.ts';
import '../number/number.ts';
import { take } from '../tools/take.ts';
import './curve.ts';
import './limits.ts';
import './outlook.ts';
import './split.ts';
import { styles } from './hours.styles.ts';

const $showsLater = standsAgainst(AFTER_HOURS);

/** What the mix on screen costs in noise, and where the next hours should go. */
@customElement('lw-hours')
export class HoursPanel extends LitElement {
  static override styles = [controls, styles];

  /** Pictures are made only for those who look at them. */
  @state() private open = false;

  constructor() {
    super();
    watch(this, $answer, $looking, $plan, $later, $showsLater);
  }

  override render() {
    const answer = $answer.get();
    if (answer === undefined) return this.waiting();
    const planned = answer.plan !== undefined;
    return html`<div class="parts">
        <div class="part">
          <h2>${text.ledger.title}</h2>
          <lw-ledger></lw-ledger>
        </div>
        <div class="part">
          <h2>${text.hours.title}</h2>
          ${this.goals()} ${planned ? html`<lw-hours-curve></lw-hours-curve>` : ''} ${this.inPicture()}
          <details class="limits">
            <summary>${text.limits.title}</summary>
            <lw-hours-limits></lw-hours-limits>
          </details>
          <button type="button" class="mark" @click=${() => $seasonShown.set(true)}>${text.hours.season}</button>
        </div>
        <div class="part">
          <h2>${text.hours.splitTitle}</h2>
          <lw-hours-split></lw-hours-split>
          <p class="caution soft">${text.hours.caution} ${text.hours.limits}</p>
        </div>
      </div>
      ${planned ? this.outlook() : ''}`;
  }

  /** Hours on the clock that the plan comes to. */
  private get planned(): number {
    const { goal, more } = $plan.get();
    const clock = $answer.get()?.plan?.advice.allocation?.clock;
    return goal === 'snr' ? (clock ?? more) : more;
  }

  private waiting() {
    const done = $looking.get();
    return html`<h2>${text.hours.title}</h2>
      <p class="soft" role="status">${done === undefined ? text.hours.nothing : text.hours.looking(done)}</p>`;
  }

  private goals() {
    return html`<fieldset>
      <legend>${text.hours.goal}</legend>
      ${HOURS_GOALS.map(
        (goal) => html`<label
          ><input
            type="radio"
            name="goal"
            .checked=${goal === $plan.get().goal}
            @change=${() => changePlan({ goal }, text.steps.goal)}
          />${text.goals[goal]}</label
        >`,
      )}
      ${this.snr()}
    </fieldset>
    ${this.reach()}`;
  }

  private snr() {
    const { goal, snr } = $plan.get();
    if (goal !== 'snr') return '';
    return html`<lw-number
      .label=${text.goal.label}
      .value=${snr}
      .min=${0.1}
      .max=${MOST.snr}
      .step=${0.5}
      .digits=${1}
      @lw-number=${({ detail }: CustomEvent<number>) => changePlan({ snr: detail }, text.steps.snr, 'snr')}
    ></lw-number>`;
  }

  /** What the SNR takes, or what keeps it from being planned for. */
  private reach() {
    const { goal, snr, feature } = $plan.get();
    if (goal !== 'snr') return '';
    if (feature === undefined)
      return html`<p role="status">${text.goal.needsBox}</p>
        <button type="button" class="mark" @click=${markFeature}>${text.goal.mark}</button>`;
    const { advice, fault } = $answer.get()?.plan ?? {};
    if (fault) return html`<p role="status">${fault.words}</p>`;
    if (advice?.goal !== 'snr' || advice.allocation === undefined) return '';
    const { clock } = advice.allocation;
    const wanted = String(Number(snr.toFixed(1)));
    return html`<p role="status">${clock > 0 ? text.goal.needs(showHours(clock), wanted) : text.goal.there(wanted)}</p>`;
  }

  /** Sets the mix against the estimate of it after the planned hours. */
  private inPicture() {
    if (!($later.get()?.hours ?? 0)) return '';
    return html`<button
      type="button"
      aria-pressed=${$showsLater.get()}
      title=${text.hours.inPictureOf}
      @click=${() => toggleAgainst(AFTER_HOURS)}
    >
      ${text.hours.inPicture}
    </button>`;
  }

  private outlook() {
    return html`<details @toggle=${(event: Event) => {
      this.open = (event.target as HTMLDetailsElement).open;
    }}>
      <summary>${text.outlook.title(showHours(this.planned))}</summary>
      ${this.open ? html`<lw-outlook></lw-outlook>` : ''}
    </details>`;
  }
}

/** Lets the feature be drawn on the picture. */
const markFeature = (): void => {
  $boxKind.set('feature');
  take('box');
  $drawing.set(true);
};
