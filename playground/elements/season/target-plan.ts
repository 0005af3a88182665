import { html, nothing } from 'lit';
import { GOALS, type Goal } from '../../../lib/hours/advice.ts';
import { MOST, type TargetPlan } from '../../model/season-wish.ts';
import type { PageTarget } from '../../state/history.ts';
import { planOf, setTargetPlan } from '../../state/season.ts';
import { text } from '../../text-season.ts';
import '../number/number.ts';

/** What the user says about one target: goal, hours a night, first and last evening, and most hours. */
export const targetPlan = ({ name, boxes }: PageTarget) => {
  const plan = planOf(name);
  const set = (part: Partial<TargetPlan>) => setTargetPlan(name, part);
  return html`<tr>
    <th scope="row">${name}</th>
    <td>
      <select aria-label=${text.goalOf(name)} @change=${(event: Event) => set({ goal: textOf(event) as Goal })}>
        ${GOALS.map((goal) => html`<option .value=${goal} .selected=${goal === plan.goal}>${text.goals[goal]}</option>`)}
      </select>
      ${plan.goal === 'snr' ? number(text.snrOf(name), plan.snr, MOST.snr, (snr) => set({ snr: Math.max(0.1, snr) })) : nothing}
      ${plan.goal === 'snr' && boxes.feature === undefined ? html`<span class="soft">${text.needsBox}</span>` : nothing}
    </td>
    <td>${number(text.upOf(name), plan.up ?? MOST.dark, MOST.dark, (up) => set({ up: up < MOST.dark ? up : undefined }))}</td>
    <td>${date(text.fromOf(name), plan.from, (from) => set({ from }))}</td>
    <td>${date(text.toOf(name), plan.to, (to) => set({ to }))}</td>
    <td>${cap(name, plan.cap, (hours) => set({ cap: hours }))}</td>
  </tr>`;
};

/** No limit until one is asked for. */
const cap = (name: string, hours: number | undefined, set: (hours: number | undefined) => void) =>
  html`<span class="row"
    ><input
      type="checkbox"
      aria-label=${text.limitOf(name)}
      .checked=${hours !== undefined}
      @change=${() => set(hours === undefined ? FIRST_CAP : undefined)}
    />${hours === undefined ? nothing : number(text.capOf(name), hours, MOST.cap, set)}</span
  >`;

/** Where a limit begins. */
const FIRST_CAP = 20;

const textOf = (event: Event): string => (event.target as HTMLInputElement).value;

type Set = (value: number) => void;

export const number = (label: string, value: number, max: number, set: Set) => field(label, value, max, [0.5, 1], set);
export const whole = (label: string, value: number, max: number, set: Set) =>
  field(label, value, max, [1, 0], (n) => set(Math.round(n)));

const field = (label: string, value: number, max: number, [step, digits]: readonly [number, number], set: Set) =>
  html`<lw-number
    .label=${label}
    .value=${value}
    .min=${0}
    .max=${max}
    .step=${step}
    .digits=${digits}
    @lw-number=${({ detail }: CustomEvent<number>) => set(detail)}
  ></lw-number>`;

export const date = (label: string, value: string | undefined, set: (date: string | undefined) => void) =>
  html`<input
    type="date"
    aria-label=${label}
    .value=${value ?? ''}
    @change=${(event: Event) => set(textOf(event) || undefined)}
  />`;
