import { html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { KNOWN_LINES } from '../../../lib/measure/filters.ts';
import type { Combination } from '../../../lib/web/combination.ts';
import type { LineReport } from '../../../lib/web/line-reports.ts';
import { watch } from '../../controllers/watch.ts';
import { showMeasured } from '../../model/number.ts';
import { skyTarget, withSkyTarget } from '../../model/sky-target.ts';
import { $alone } from '../../state/alone.ts';
import { $combinations } from '../../state/combinations.ts';
import { $lines, $masters, $reports, type PageMaster } from '../../state/masters.ts';
import { chooseLine, joinLine, openPages, removeMaster } from '../../state/opening.ts';
import { $picture } from '../../state/picture.ts';
import { $recipe, changeRecipe } from '../../state/recipe.ts';
import { controls } from '../../styles/controls.ts';
import { text } from '../../text.ts';
import { lineText } from '../../text-line.ts';
import '../histogram/histogram.ts';
import '../number/number.ts';
import { notLoaded } from '../tools/take.ts';
import { styles } from './line.styles.ts';

/** A file name that breaks behind its words before it breaks within one. */
const breakable = (name: string) => name.split(/(?<=[\s_.-])/).map((part) => html`${part}<wbr />`);

/** Marks the choice to go together with another master of that line. */
const JOIN = '+';

const choose = (id: string, value: string): void =>
  value.startsWith(JOIN) ? joinLine(id, value.slice(JOIN.length)) : chooseLine(id, value);

/** One master: which line it is and why, what its header and its pixels say, and how its values are shown. */
@customElement('lw-line')
export class LineCard extends LitElement {
  static override styles = [controls, styles];

  @property({ attribute: false }) master!: PageMaster;

  constructor() {
    super();
    watch(this, $reports, $picture, $recipe, $masters, $combinations, $alone);
  }

  override render() {
    const { master } = this;
    const { line } = master;
    // Several masters of one line are measured together: the first stands for all.
    const first = $masters.get().find((other) => other.line === line) === master;
    const report = $reports.get()[line];
    const known = first && report?.measured.file.split(', ').includes(master.file) ? report : undefined;
    const combination = first ? $combinations.get()[line] : undefined;
    const settled = $picture.get()?.settled.channels.find(({ name }) => name === line);
    return html`<div class="head">
        ${this.choice()}
        ${line === '' ? '' : this.look(line)}
        <button type="button" aria-label=${text.lines.removeWhat(master.file)} @click=${() => removeMaster(master.id)}>
          ${text.lines.remove}
        </button>
      </div>
      <p class="file">${breakable(master.file)}</p>
      <p class="reason soft">${text.lines.reason(master.reason)}</p>
      ${combination ? this.combined(combination) : ''}
      ${
        known === undefined
          ? ''
          : html`<lw-histogram line=${line} .histogram=${known.histogram} .settled=${settled}></lw-histogram>`
      }
      ${!first || settled === undefined ? '' : this.target(line)} ${this.facts(known)}
      ${master.warnings.map((warning) => html`<p class="warning">${warning}</p>`)}
      ${first && line !== '' ? this.faint(line) : ''}
      ${this.pages()}`;
  }

  /** Looks at this line alone, or at this master where several stand for the line. */
  private look(line: string) {
    const { id, file } = this.master;
    const whole = $lines.get()[line]!;
    const single = whole === id ? { line, id } : { line, id, file };
    const shown = $alone.get()?.id === id;
    return html`<button
      type="button"
      aria-pressed=${shown}
      aria-label=${text.alone.lookAt(whole === id ? line : file)}
      @click=${() => $alone.set(shown ? undefined : single)}
    >
      ${text.alone.look}
    </button>`;
  }

  private choice() {
    const { id, line } = this.master;
    const options = [...new Set([...($recipe.get().channels ?? []), ...KNOWN_LINES, line])].filter(
      (name) => name !== '',
    );
    return html`<select
      aria-label="${text.lines.line}: ${this.master.file}"
      @change=${(event: Event) => choose(id, (event.target as HTMLSelectElement).value)}
    >
      ${options.map((name) => html`<option value=${name} .selected=${name === line}>${name}</option>`)}
      ${this.partners().map(
        (other) => html`<option value=${JOIN + other.line}>${text.lines.together(other.line, other.file)}</option>`,
      )}
      <option value="" .selected=${line === ''}>${text.lines.noLine}</option>
    </select>`;
  }

  /** The first masters of other lines, which this one could go together with. */
  private partners(): PageMaster[] {
    const { line, width, height } = this.master;
    const others = $masters.get().filter((other) => other.line !== '' && other.line !== line);
    const first = others.filter((other, i) => others.findIndex((o) => o.line === other.line) === i);
    return first.filter((other) => other.width === width && other.height === height);
  }

  private combined({ parts, gain, warnings }: Combination) {
    const shares = parts.map(({ weight }) => `${Math.round(100 * weight)} %`);
    return html`<p class="combined" role="status">${text.lines.combined(shares, gain?.toFixed(2))}</p>
      ${warnings.map((warning) => html`<p class="warning">${warning}</p>`)}
      <details @toggle=${() => void import('../rejected/rejected.ts').catch(notLoaded)}>
        <summary>${lineText.rejected}</summary>
        <lw-rejected line=${this.master.line}></lw-rejected>
      </details>`;
  }

  /** Opens the other pictures of a file that holds several, those aside that are open. */
  private pages() {
    const { others = [], file } = this.master;
    const open = $masters.get().map((master) => master.file);
    const closed = others.filter((other) => !open.includes(file + other));
    if (closed.length === 0) return '';
    return html`<button type="button" @click=${() => openPages(this.master, closed)}>
      ${text.lines.pages(closed.length)}
    </button>`;
  }

  private target(line: string) {
    const recipe = $recipe.get();
    const value = skyTarget(recipe, line);
    if (value === undefined) return '';
    const change = (event: CustomEvent<number>) =>
      changeRecipe(withSkyTarget(recipe, line, event.detail), text.lines.setTarget(line), `sky ${line}`);
    return html`<div class="target">
      <span>${text.lines.target}</span>
      <lw-number
        .value=${value}
        min="0.001"
        max="0.9"
        label=${text.lines.targetOf(line)}
        @lw-number=${change}
      ></lw-number>
    </div>`;
  }

  private faint(line: string) {
    return html`<details @toggle=${() => void import('../faint/faint.ts').catch(notLoaded)}>
      <summary>${lineText.faint}</summary>
      <lw-faint line=${line}></lw-faint>
    </details>`;
  }

  private facts(report: LineReport | undefined) {
    const { width, height, facts } = this.master;
    const entries: [string, string][] = [
      [text.lines.size, text.lines.pixels(width, height)],
      [text.lines.filter, facts.filter ?? text.lines.unknown],
      [text.lines.hours, facts.hours === undefined ? text.lines.unknown : text.lines.hoursOf(facts.hours)],
    ];
    if (report !== undefined) entries.push([text.lines.level, showMeasured(report.measured.level)]);
    if (report?.noise !== undefined) entries.push([text.lines.noise, showMeasured(report.noise)]);
    if (report !== undefined && report.measured.saturated > 0)
      entries.push([text.lines.saturated, String(report.measured.saturated)]);
    return html`<dl>
      ${entries.map(([term, value]) => html`<div><dt>${term}</dt><dd>${value}</dd></div>`)}
    </dl>`;
  }
}
