import { html, LitElement, nothing, svg } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { LineColourEntry } from '../../../lib/recipe/written/schema.ts';
import { hexOf, readColourText, showColour } from '../../model/colour-text.ts';
import { cssColour, type Swatch } from '../../model/swatches.ts';
import { chooseColour } from '../../state/line-colour.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-line-colour.ts';
import { styles } from './line-colour.styles.ts';

/** The colour that a line gets alone: seen, chosen, or written as CSS or wavelength. Its column of weights follows. */
@customElement('lw-line-colour')
export class LineColour extends LitElement {
  static override styles = [controls, styles];

  @property() line = '';
  /** Undefined where the line is not used. */
  @property({ attribute: false }) swatch: Swatch | undefined;
  /** The colour as the recipe has it, where it is written by colours. */
  @property({ attribute: false }) entry: LineColourEntry | undefined;
  @state() private typed: string | undefined;
  @state() private fault: string | undefined;

  override render() {
    const { line, swatch, entry, typed, fault } = this;
    // The colour is an attribute of a drawing: a page without inline styles cannot set it otherwise.
    return html`<div class="well">
        <svg class=${swatch ? '' : 'unused'} width="100%" height="100%" aria-hidden="true">
          ${swatch ? svg`<rect width="100%" height="100%" fill=${cssColour(swatch)} />` : ''}
        </svg>
        <input
          type="color"
          aria-label=${text.pick(line)}
          title=${text.pick(line)}
          .value=${swatch ? hexOf(swatch) : '#808080'}
          @input=${(event: Event) => this.choose((event.target as HTMLInputElement).value)}
        />
      </div>
      <input
        type="text"
        spellcheck="false"
        autocomplete="off"
        aria-label=${text.write(line)}
        title=${text.hint}
        placeholder=${text.unused}
        aria-invalid=${fault === undefined ? 'false' : 'true'}
        aria-describedby=${fault === undefined ? nothing : 'fault'}
        .value=${typed ?? showColour(entry, swatch)}
        @input=${(event: Event) => this.type((event.target as HTMLInputElement).value)}
        @keydown=${this.press}
        @blur=${this.leave}
      />${fault === undefined ? nothing : html`<span class="fault" id="fault" role="alert">${fault}</span>`}`;
  }

  private type(typed: string): void {
    this.typed = typed;
    this.fault = undefined;
  }

  private async choose(entry: LineColourEntry): Promise<void> {
    this.fault = await chooseColour(this.line, entry);
    if (this.fault === undefined) this.typed = undefined;
  }

  private async judge(): Promise<void> {
    if (this.typed === undefined) return;
    const read = readColourText(this.typed);
    if ('fault' in read) this.fault = text[read.fault];
    else await this.choose(read.entry);
  }

  /** Leaving takes what was written, or shows again what stands where it is no colour. */
  private async leave(): Promise<void> {
    await this.judge();
    this.forget();
  }

  private forget(): void {
    this.typed = undefined;
    this.fault = undefined;
  }

  private press(event: KeyboardEvent): void {
    if (event.key === 'Enter') void this.judge();
    else if (event.key === 'Escape') this.forget();
  }
}
