import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import type { MarkName } from '../../../lib/work/marks.ts';
import { watch } from '../../controllers/watch.ts';
import { patternOf } from '../../model/draw-marks.ts';
import { percentOf } from '../../model/percent.ts';
import { $kinds, $marked, MARK_NAMES } from '../../state/marks.ts';
import { controls } from '../../styles/controls.ts';
import { strip } from '../../styles/strip.ts';
import { toolsText } from '../../text-tools.ts';
import './over.ts';
import './tones.ts';

const text = toolsText.marks;

/** A histogram of what is on screen; which marks are shown over it, with their patterns and how much of the picture has each. */
@customElement('lw-marks')
export class Marks extends LitElement {
  static override styles = [
    controls,
    strip,
    css`
      canvas {
        width: 28px;
        height: 16px;
        border: 1px solid var(--line);
        background: #808080;
      }
      fieldset {
        flex: 1 1 260px;
        display: grid;
        gap: 2px;
      }
      fieldset label {
        justify-content: start;
        min-height: 24px;
        display: grid;
        grid-template-columns: auto auto auto;
        gap: 0 8px;
        align-items: center;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $marked, $kinds);
  }

  override render() {
    const shown = $kinds.get();
    return html`<section aria-label=${text.label}>
      <lw-tones></lw-tones>
      <fieldset>
        <legend class="hidden">${text.label}</legend>
        ${MARK_NAMES.map(
          (name) => html`<label title=${text.about[name]}
            ><input type="checkbox" .checked=${shown.includes(name)} @change=${() => toggle(name)} />
            <canvas data-name=${name} aria-hidden="true"></canvas>
            <span>${text.kinds[name]} <span class="soft">${share(name)}</span></span></label
          >`,
        )}
      </fieldset>
      <lw-stars-note></lw-stars-note>
    </section>`;
  }

  override firstUpdated(): void {
    for (const canvas of this.renderRoot.querySelectorAll('canvas')) {
      canvas.width = 28 * devicePixelRatio;
      canvas.height = 16 * devicePixelRatio;
      const context = canvas.getContext('2d')!;
      context.fillStyle = context.createPattern(
        patternOf(canvas.dataset.name as MarkName, devicePixelRatio),
        'repeat',
      )!;
      context.fillRect(0, 0, canvas.width, canvas.height);
    }
  }
}

const toggle = (name: MarkName): void => {
  const shown = $kinds.get();
  $kinds.set(MARK_NAMES.filter((other) => (other === name) !== shown.includes(other)));
};

const share = (name: MarkName): string => {
  const found = $marked.get();
  if (found === undefined) return text.counting;
  const part = found.marked.share[name];
  const percent = percentOf(part);
  return found.box === undefined ? text.share(percent) : text.part(percent);
};
