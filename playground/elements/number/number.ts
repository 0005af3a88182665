import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { dragNumber } from '../../controllers/drag-number.ts';
import { readNumber, showNumber, showShort, stepNumber } from '../../model/number.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import { styles } from './number.styles.ts';

/** So many characters find room in the narrowest field at full size. */
const LONG = 5;

/**
 * A number that can be typed, stepped with the arrow keys and dragged sideways.
 * Fires `lw-number` with the new value as detail.
 */
@customElement('lw-number')
export class NumberField extends LitElement {
  static override styles = [controls, styles];

  @property({ type: Number }) value = 0;
  @property({ type: Number }) min = -1000;
  @property({ type: Number }) max = 1000;
  @property({ type: Number }) step = 0.01;
  /** Decimals that are always shown. */
  @property({ type: Number }) digits = 2;
  @property() label = '';
  /** What is being typed and not a number yet. */
  @state() private typed: string | undefined;
  @state() private fault: string | undefined;
  /** All decimals are shown while they can be changed. */
  @state() private focused = false;

  private drag = dragNumber(this, {
    value: () => this.value,
    step: () => this.step,
    change: (value) => {
      this.finish();
      this.set(value);
    },
  });

  override render() {
    const shown = this.typed ?? (this.focused ? showNumber : showShort)(this.value, this.digits);
    return html`<input
        class=${shown.length > LONG ? 'long' : ''}
        type="text"
        inputmode="decimal"
        autocomplete="off"
        role="spinbutton"
        aria-label=${this.label}
        aria-valuenow=${this.value}
        aria-valuemin=${this.min}
        aria-valuemax=${this.max}
        aria-valuetext=${showNumber(this.value, this.digits)}
        aria-invalid=${this.fault === undefined ? 'false' : 'true'}
        aria-describedby=${this.fault === undefined ? nothing : 'fault'}
        .value=${shown}
        @focus=${() => {
          this.focused = true;
        }}
        @input=${(event: Event) => this.type((event.target as HTMLInputElement).value)}
        @keydown=${this.press}
        @blur=${this.leave}
        @pointerdown=${this.drag.begin}
      />${this.fault === undefined ? nothing : html`<span class="fault" id="fault" role="alert">${this.fault}</span>`}`;
  }

  /** The value before typing began, to return to where the text turns out not to be a number. */
  private untyped: number | undefined;

  private set(value: number): void {
    const inside = Math.min(this.max, Math.max(this.min, value));
    if (inside === this.value) return;
    this.value = inside;
    this.dispatchEvent(new CustomEvent<number>('lw-number', { detail: inside, bubbles: true, composed: true }));
  }

  /** Every whole number typed counts at once; what is not one is said when the field is left or Enter pressed. */
  private type(typed: string): void {
    this.untyped ??= this.value;
    this.typed = typed;
    this.fault = undefined;
    const read = readNumber(typed);
    if ('value' in read && read.value >= this.min && read.value <= this.max) this.set(read.value);
  }

  private judge(): void {
    if (this.typed === undefined) return;
    const read = readNumber(this.typed);
    if ('fault' in read) this.fault = text.number[read.fault];
    else if (read.value < this.min || read.value > this.max)
      this.fault = text.number.range(showNumber(this.min, 0), showNumber(this.max, 0));
    if (this.fault === undefined) this.finish();
    else this.set(this.untyped ?? this.value);
  }

  private finish(): void {
    this.typed = undefined;
    this.fault = undefined;
    this.untyped = undefined;
  }

  /** Leaves the field as it was before typing. */
  private revert(): void {
    this.set(this.untyped ?? this.value);
    this.finish();
  }

  private leave(): void {
    this.focused = false;
    this.judge();
    this.finish();
  }

  private move(times: number): void {
    this.finish();
    this.set(stepNumber(this.value, this.step, times));
  }

  private press(event: KeyboardEvent): void {
    const steps: Record<string, number> = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 };
    const times = steps[event.key];
    if (times !== undefined) {
      event.preventDefault();
      this.move(event.shiftKey ? times * 10 : times);
    } else if (event.key === 'Enter') {
      this.judge();
      // What is typed next stands instead.
      const input = event.target as HTMLInputElement;
      if (this.fault === undefined) void this.updateComplete.then(() => input.select());
    } else if (event.key === 'Escape') this.revert();
  }
}
