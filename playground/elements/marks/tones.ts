import { css, html, LitElement, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import { watch } from '../../controllers/watch.ts';
import { drawTone } from '../../model/draw-tones.ts';
import { percentOf } from '../../model/percent.ts';
import type { Tones } from '../../model/tones.ts';
import { $tones } from '../../state/tones.ts';
import { $surround } from '../../state/view.ts';
import { controls } from '../../styles/controls.ts';
import { toolsText } from '../../text-tools.ts';

const text = toolsText.tones;

/** How the picture on screen uses the range of each colour, and how much of it is cut off at either end. */
@customElement('lw-tones')
export class TonesOf extends LitElement {
  static override styles = [
    controls,
    css`
      table {
        border-collapse: collapse;
      }
      th,
      td {
        min-width: 7ch;
        padding: 0 0 0 10px;
        font-weight: 400;
        line-height: 19px;
        text-align: end;
        white-space: nowrap;
      }
      th:first-child {
        min-width: 0;
        padding: 0;
        text-align: start;
      }
      thead th {
        color: var(--soft);
      }
      .plot {
        width: 190px;
        min-width: 0;
      }
      canvas {
        display: block;
        width: 100%;
        height: 18px;
        border-bottom: 1px solid var(--line);
      }
      @media (max-width: 480px) {
        .plot {
          width: 108px;
        }
        th,
        td {
          padding-inline-start: 6px;
        }
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $tones, $surround);
  }

  override render() {
    const tones = $tones.get();
    if (tones === undefined) return nothing;
    return html`<table>
      <caption class="hidden">${text.caption(tones.part)}</caption>
      <thead>
        <tr>
          <th scope="col">${text.of(tones.part)}</th>
          <td class="plot"></td>
          <th scope="col" title=${text.about.none}>${text.none}</th>
          <th scope="col" title=${text.about.middle}>${text.middle}</th>
          <th scope="col" title=${text.about.full}>${text.full}</th>
        </tr>
      </thead>
      <tbody>
        ${rowsOf(tones).map(
          ({ none, median, full }, i) => html`<tr>
            <th scope="row">${text.rows[i]}</th>
            <td class="plot"><canvas aria-hidden="true"></canvas></td>
            <td>${percentOf(none)}</td>
            <td>${median.toFixed(2)}</td>
            <td>${percentOf(full)}</td>
          </tr>`,
        )}
      </tbody>
    </table>`;
  }

  override updated(): void {
    const tones = $tones.get();
    if (tones === undefined) return;
    const rows = rowsOf(tones);
    const most = Math.max(...rows.map(({ counts }) => Math.max(...counts)));
    for (const [i, canvas] of this.renderRoot.querySelectorAll('canvas').entries()) drawTone(canvas, rows[i]!, most);
  }
}

const rowsOf = ({ colours, luminance }: Tones) => [...colours, luminance];
