import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { keyed } from 'lit/directives/keyed.js';
import type { HoursAdvice } from '../../../lib/hours/advice.ts';
import type { HoursPictures } from '../../../lib/web/hours-pictures.ts';
import { watch } from '../../controllers/watch.ts';
import { canvasOf } from '../../model/canvas.ts';
import { showHours } from '../../model/hours-figures.ts';
import { $answer } from '../../state/hours.ts';
import { $outlook, PART } from '../../state/outlook.ts';
import { $wideGamut, canvasSpace } from '../../state/screen.ts';
import { $camera } from '../../state/view.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-hours.ts';

const KINDS = ['back', 'now', 'smooth'] as const satisfies readonly (keyof HoursPictures)[];

/** Hard pixels, large enough to see noise. Nothing is ever made smaller: noise in a smaller picture is less noise. */
const SCALE = 2;

/** What the planned hours are worth in pixels, as far as that can be shown honestly. */
@customElement('lw-outlook')
export class Outlook extends LitElement {
  static override styles = [
    controls,
    css`
      .pictures {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(min(100%, 240px), 1fr));
        gap: 16px 24px;
        margin-top: 10px;
      }
      figure {
        margin: 0;
        max-width: ${SCALE * PART.width}px;
      }
      .frame {
        overflow: hidden;
        height: ${SCALE * PART.height}px;
      }
      canvas {
        display: block;
        width: ${SCALE * PART.width}px;
        image-rendering: pixelated;
      }
      figcaption {
        margin-top: 6px;
        font-size: 12px;
      }
      figcaption strong {
        display: block;
        font-size: 13px;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $outlook, $answer, $camera, $wideGamut);
  }

  override render() {
    const advice = $answer.get()?.plan?.advice;
    return html`<p class="soft">${$camera.get() === undefined ? text.outlook.faint : text.outlook.middle} ${text.outlook.about}</p>
      <div class="pictures">
        ${KINDS.map(
          (kind) => html`<figure>
            <div class="frame">
              ${keyed(canvasSpace($outlook.get()?.[kind]), html`<canvas class=${kind} width=${PART.width} height=${PART.height} role="img" aria-label=${text.outlook.picture[kind]}></canvas>`)}
            </div>
            <figcaption><strong>${text.outlook.name[kind]}</strong> <span class="soft">${this.caption(kind, advice)}</span></figcaption>
          </figure>`,
        )}
      </div>`;
  }

  private caption(kind: (typeof KINDS)[number], advice: HoursAdvice | undefined): string {
    if (kind !== 'back') return text.outlook.caption[kind];
    const shares = advice?.allocation?.shares ?? [];
    const spent = $answer.get()?.exposures ?? [];
    const hours = shares.flatMap(({ name, added }, i) => {
      const now = spent[i]?.hours ?? 0;
      return added > 0 && now > 0 ? [text.outlook.hoursBack(name, showHours(now ** 2 / (now + added)))] : [];
    });
    return text.outlook.caption.back(hours);
  }

  override updated(): void {
    const pictures = $outlook.get();
    for (const kind of KINDS) {
      const canvas = this.renderRoot.querySelector<HTMLCanvasElement>(`canvas.${kind}`)!;
      const picture = pictures?.[kind];
      if (picture === undefined) continue;
      canvas.width = picture.width;
      canvas.height = picture.height;
      canvas.style.width = `${SCALE * picture.width}px`;
      canvas.getContext('2d', { colorSpace: canvasSpace(picture) })!.drawImage(canvasOf(picture), 0, 0);
    }
  }
}
