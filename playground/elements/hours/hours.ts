import { html, LitElement } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { showHours } from '../../model/hours-figures.ts';
import { $answer, $goal, $looking, $more, HOURS_GOALS } from '../../state/hours.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-hours.ts';
import '../ledger/ledger.ts';
import './curve.ts';
import './outlook.ts';
import './split.ts';
import { styles } from './hours.styles.ts';

/** What the mix on screen costs in noise, and where the next hours should go. */
@customElement('lw-hours')
export class HoursPanel extends LitElement {
  static override styles = [controls, styles];

  /** Pictures are made only for those who look at them. */
  @state() private open = false;

  constructor() {
    super();
    watch(this, $answer, $goal, $looking, $more);
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
          ${this.goals()} ${planned ? html`<lw-hours-curve></lw-hours-curve>` : ''}
        </div>
        <div class="part">
          <h2>${text.hours.splitTitle}</h2>
          <lw-hours-split></lw-hours-split>
          <p class="caution soft">${text.hours.caution} ${text.hours.limits}</p>
        </div>
      </div>
      ${planned ? this.outlook() : ''}`;
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
            .checked=${goal === $goal.get()}
            @change=${() => $goal.set(goal)}
          />${text.ledger.quantities[goal]}</label
        >`,
      )}
    </fieldset>`;
  }

  private outlook() {
    return html`<details @toggle=${(event: Event) => {
      this.open = (event.target as HTMLDetailsElement).open;
    }}>
      <summary>${text.outlook.title(showHours($more.get()))}</summary>
      ${this.open ? html`<lw-outlook></lw-outlook>` : ''}
    </details>`;
  }
}
