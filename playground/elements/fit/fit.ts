import { css, html, LitElement } from 'lit';
import { customElement } from 'lit/decorators.js';
import { CATALOGUE } from '../../../lib/palettes/catalogue.ts';
import { watch } from '../../controllers/watch.ts';
import { evenRecipe, missingLines, usedLines } from '../../model/columns.ts';
import { curveOf, withCurve } from '../../model/curves.ts';
import { masterFaults } from '../../model/master-faults.ts';
import { type Repair, repairs } from '../../model/repairs.ts';
import { $together, $weak } from '../../state/fit.ts';
import { $lines, $masters, $reports } from '../../state/masters.ts';
import { chooseLine, exchangeLines } from '../../state/opening.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text-fit.ts';
import { take } from '../tools/take.ts';
import '../defects/defects.ts';

/** Something that speaks against the masters, and what can be done about it at once. */
interface Fault {
  readonly words: string;
  readonly button?: string;
  readonly act?: () => void;
}

/** What speaks against the masters, each with what to do about it; nothing where they are fine. */
@customElement('lw-fit')
export class MastersFit extends LitElement {
  static override styles = [
    controls,
    css`
      ul {
        list-style: none;
        display: grid;
        gap: 10px;
        margin: 6px 0 14px;
        padding: 0 0 0 8px;
        border-inline-start: 2px solid var(--alert);
        font-size: 12px;
        overflow-wrap: anywhere;
      }
      button {
        display: block;
        margin-top: 4px;
      }
    `,
  ];

  constructor() {
    super();
    watch(this, $together, $weak, $reports, $recipe, $lines);
  }

  override render() {
    const misfits = repairs($together.get()?.misfits ?? [], Object.keys($lines.get()));
    const faults: Fault[] = [
      ...misfits.map(({ words, repair }) => ({ words, button: repair.words, act: () => mend(repair) })),
      ...faintLines(),
      ...measuredFaults(),
    ];
    return html`<div role="status">
      ${
        faults.length === 0
          ? ''
          : html`<h2>${text.title}</h2>
              <ul>
                ${faults.map(
                  ({ words, button, act }) =>
                    html`<li>
                      ${words}${button ? html`<button type="button" @click=${act}>${button}</button>` : ''}
                    </li>`,
                )}
              </ul>`
      }
    </div>
`;
  }
}

const mend = (repair: Repair): void => {
  if (repair.kind === 'shifts') take('shifts');
  if (repair.kind === 'exchange') exchangeLines(...repair.lines);
  if (repair.kind === 'shifts' || repair.kind === 'exchange') return;
  const [from, to] = repair.kind === 'give' ? [repair.from, repair.line] : [repair.line, ''];
  const master = $masters.get().find(({ line }) => line === from);
  if (master !== undefined) chooseLine(master.id, to);
};

/** A line of nothing but noise is worth leaving out of the mix where two others hold more. */
const faintLines = (): Fault[] => {
  const weak = $weak.get();
  const strong = Object.keys($lines.get()).filter((line) => !weak.includes(line));
  const line = usedLines($recipe.get()).find((used) => weak.includes(used));
  if (line === undefined || strong.length < 2) return [];
  const act = () => {
    const entry = CATALOGUE.find(({ recipe }) => missingLines(recipe, strong).length === 0);
    const recipe = entry?.recipe ?? { ...evenRecipe(strong), name: text.twoName(strong) };
    changeRecipe(recipe, recipe.name ?? text.two(strong));
  };
  return [{ words: text.faint(line, strong), button: text.two(strong), act }];
};

/** What the measured numbers of each line say. */
const measuredFaults = (): Fault[] => {
  const recipe = $recipe.get();
  return Object.values($reports.get()).flatMap(({ measured }) => {
    const { name, file } = measured;
    const { saturated, stretched } = masterFaults(measured);
    const found: Fault[] = [];
    if (saturated !== undefined) found.push({ words: text.saturated(file, `${(100 * saturated).toPrecision(2)} %`) });
    const act = () => changeRecipe(withCurve($recipe.get(), name, 'linear'), text.straightened(name));
    if (stretched && curveOf(recipe, name).curve !== 'linear')
      found.push({ words: text.stretched(file), button: text.straight, act });
    return found;
  });
};
