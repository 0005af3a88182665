import { html, LitElement, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { $stars } from '../../state/stars.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-stars.ts';

/** Where only the mix below the stars is shown: a quiet line that says so, while stars are laid over. */
@customElement('lw-stars-note')
export class StarsNote extends LitElement {
  static override styles = controls;

  constructor() {
    super();
    watch(this, $stars);
  }

  override render() {
    return $stars.get() === undefined ? nothing : html`<p class="soft">${text.below}</p>`;
  }
}
