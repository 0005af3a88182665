import { css, html, LitElement, svg } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { DASHES } from '../../model/draw-shifts.ts';
import { exaggeration, type ShiftedLine } from '../../model/shifts.ts';
import { $together } from '../../state/fit.ts';
import { $lines } from '../../state/masters.ts';
import { $hiddenShifts, $shifts, $unknownShifts } from '../../state/shifts.ts';
import { $frame } from '../../state/view.ts';
import { controls } from '../../styles/controls.ts';
import { strip } from '../../styles/strip.ts';
import { toolsText } from '../../text-tools.ts';
import './over.ts';

const text = toolsText.shifts;

/** Whose arrows are shown, how far each line lies off in numbers, and by how much the arrows are lengthened. */
@customElement('lw-shifts')
export class Shifts extends LitElement {
  static override styles = [
    controls,
    strip,
    css`
      svg {
        width: 28px;
        height: 16px;
        background: #808080;
      }
      path {
        fill: none;
        stroke: #fff;
        stroke-width: 1.6;
      }
      .about {
        flex-basis: 100%;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $shifts, $unknownShifts, $hiddenShifts, $frame, $lines);
  }

  override render() {
    return html`<section aria-label=${text.label}>${this.body()}</section>`;
  }

  private body() {
    if (Object.keys($lines.get()).length < 2) return html`<p>${text.one}</p>`;
    const lines = $shifts.get();
    if (lines === undefined) return html`<p role="status">${text.looking}</p>`;
    const hidden = $hiddenShifts.get();
    const factor = exaggeration(lines, $frame.get()?.full.width ?? 1);
    return html`<fieldset>
        <legend class="hidden">${text.label}</legend>
        ${lines.map(
          (line, i) => html`<label class="choice"
            ><input type="checkbox" .checked=${!hidden.includes(line.line)} @change=${() => toggle(line.line)} />
            ${arrow(DASHES[i % DASHES.length]!)}
            <span>${numbers(line)}</span></label
          >`,
        )}
      </fieldset>
      ${$unknownShifts.get().map(({ line, reason }) => html`<p>${text.unknown(line, reason)}</p>`)}
      ${lines.length === 0 ? '' : html`<p class="about soft">${text.about(lines[0]!.reference, factor)}</p>`}`;
  }
}

const toggle = (line: string): void => {
  const hidden = $hiddenShifts.get();
  $hiddenShifts.set(hidden.includes(line) ? hidden.filter((other) => other !== line) : [...hidden, line]);
};

/** A line's fit in figures, as measured. */
const numbers = ({ line, reference, shifts, most }: ShiftedLine): string => {
  const found = $together.get()!.registration.find(({ channel }) => channel === line);
  if (found?.status !== 'found') return '';
  const { dx, dy, rotation, scale } = found;
  const used = shifts.filter((shift) => shift.used).length;
  return text.numbers(line, reference, { dx, dy, rotation, growth: 100 * (scale - 1), most, used });
};

const arrow = (dash: readonly number[]) => html`<svg viewBox="0 0 28 16" aria-hidden="true">
  ${svg`<path d="M4 8H24" stroke-dasharray=${dash.join(' ')} /><path d="M18 4L24 8L18 12" />`}
</svg>`;
