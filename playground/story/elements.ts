import { histogram, master, preview } from './examples.ts';

// Whatever is an element is loaded, those too that the page loads when they are first used.
import.meta.glob('../elements/**/*.ts', { eager: true });

/** How an element stands in its story. */
export interface Story {
  /** What its owner hands it; everything else comes from the state of the page. */
  readonly properties?: Readonly<Record<string, unknown>>;
  /** Whether it lies over the picture, or fills what it is given. */
  readonly fills?: boolean;
}

const column = preview().settled.channels[1];
const fills: Story = { fills: true };
const plain: Story = {};

/** Every element of the page but the page itself, `lw-app`, and an example of what it is handed. */
export const STORIES: Readonly<Record<string, Story>> = {
  'lw-alone': fills,
  'lw-arrival': fills,
  'lw-band': { fills: true, properties: { picture: preview() } },
  'lw-box': plain,
  'lw-box-over': fills,
  'lw-choices': plain,
  'lw-compare': plain,
  'lw-compare-over': fills,
  'lw-crop-over': fills,
  'lw-defects': plain,
  'lw-defects-over': fills,
  'lw-faint': { properties: { line: 'H' } },
  'lw-faint-over': fills,
  'lw-finish': plain,
  'lw-fit': plain,
  'lw-histogram': { properties: { line: 'H', histogram: histogram(), settled: column } },
  'lw-hold': plain,
  'lw-hold-over': fills,
  'lw-hours': plain,
  'lw-hours-curve': plain,
  'lw-hours-limits': plain,
  'lw-hours-split': plain,
  'lw-hues': plain,
  'lw-keys': fills,
  'lw-knobs': plain,
  'lw-ledger': plain,
  'lw-line': { properties: { master: master('H') } },
  'lw-line-colour': { properties: { line: 'H', swatch: [255, 0, 0] } },
  'lw-lines': plain,
  'lw-marks': plain,
  'lw-marks-over': fills,
  'lw-messages': plain,
  'lw-mix-warnings': plain,
  'lw-more-choices': plain,
  'lw-number': { properties: { value: 0.25, label: 'weight' } },
  'lw-open': plain,
  'lw-outlook': plain,
  'lw-own-stars': plain,
  'lw-picture': fills,
  'lw-probe': plain,
  'lw-probe-over': fills,
  'lw-recipe-choice': plain,
  'lw-rejected': { properties: { line: 'H' } },
  'lw-rejected-over': fills,
  'lw-rings-over': fills,
  'lw-save': plain,
  'lw-scope': plain,
  'lw-season': fills,
  'lw-shifts': plain,
  'lw-shifts-over': fills,
  'lw-sky': plain,
  'lw-sky-over': fills,
  'lw-smooth': plain,
  'lw-stars': plain,
  'lw-stars-note': plain,
  'lw-suggestions': plain,
  'lw-surround': plain,
  'lw-tally': fills,
  'lw-target-wall': fills,
  'lw-targets': plain,
  'lw-tone-curve': plain,
  'lw-tones': plain,
  'lw-tools': plain,
  'lw-wall': { properties: { strip: true } },
  'lw-wall-arrange': plain,
  'lw-wall-map': fills,
  'lw-weights': plain,
};
