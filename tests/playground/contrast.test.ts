import { setViewport } from '@web/test-runner-commands';
import '../../playground/elements/app/app.ts';
import '../../playground/elements/choices/choices.ts';
import '../../playground/elements/hours/hours.ts';
import '../../playground/elements/stars/stars.ts';
import '../../playground/elements/wall/arrange.ts';
import type { LitElement } from 'lit';
import { take } from '../../playground/elements/tools/take.ts';
import { $arrival } from '../../playground/state/arrival.ts';
import { $masters, $onSamples } from '../../playground/state/masters.ts';
import { $messages, say } from '../../playground/state/messages.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $tools, TOOLS } from '../../playground/state/tools.ts';
import { $drawer, $surround, SURROUNDS } from '../../playground/state/view.ts';
import { $wall } from '../../playground/state/wall.ts';
import { equal, ok } from './assert.ts';
import { master, mount, preview, settled } from './support.ts';

type Rgba = readonly [number, number, number, number];

const paint = new OffscreenCanvas(1, 1).getContext('2d', { willReadFrequently: true })!;
/** A computed CSS colour, however it is written. */
const rgba = (colour: string): Rgba => {
  paint.clearRect(0, 0, 1, 1);
  paint.fillStyle = colour;
  paint.fillRect(0, 0, 1, 1);
  const [r, g, b, a] = paint.getImageData(0, 0, 1, 1).data;
  return [r!, g!, b!, a! / 255];
};

const over = ([r, g, b, a]: Rgba, [R, G, B]: Rgba): Rgba => [
  a * r + (1 - a) * R,
  a * g + (1 - a) * G,
  a * b + (1 - a) * B,
  1,
];

/** Relative luminance and contrast ratio as WCAG 2.2 defines them. */
const luminance = ([r, g, b]: Rgba): number => {
  const [x, y, z] = [r, g, b].map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
  return 0.2126 * x! + 0.7152 * y! + 0.0722 * z!;
};
const contrast = (one: Rgba, other: Rgba): number => {
  const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (high! + 0.05) / (low! + 0.05);
};

/** All elements below one, through shadow trees. */
const below = (root: Element | ShadowRoot): Element[] =>
  [...root.querySelectorAll('*')].flatMap((e) => [e, ...(e.shadowRoot ? below(e.shadowRoot) : [])]);

const parent = (element: Element): Element | null => {
  const node = element.assignedSlot ?? element.parentNode;
  return node instanceof ShadowRoot ? node.host : (node as Element | null);
};

/** What is painted behind an element by those around it. */
const behind = (element: Element): Rgba => {
  const layers: Rgba[] = [];
  for (let at = parent(element); at instanceof Element; at = parent(at)) {
    const colour = rgba(getComputedStyle(at).backgroundColor);
    layers.unshift(colour);
    if (colour[3] === 1) break;
  }
  return layers.reduce((under, layer) => over(layer, under), [255, 255, 255, 1] as Rgba);
};

const SIDES = ['Top', 'Right', 'Bottom', 'Left'] as const;

/** How a control stands out by its border, or by what fills it; undefined where it has no border on all sides. */
const borderContrast = (control: Element): number | undefined => {
  const style = getComputedStyle(control);
  const around = behind(control);
  const sides = SIDES.map((side) => {
    const [width, line, colour] = [
      style[`border${side}Width`],
      style[`border${side}Style`],
      rgba(style[`border${side}Color`]),
    ];
    return Number.parseFloat(width) > 0 && line !== 'none' && colour[3] > 0
      ? contrast(over(colour, around), around)
      : undefined;
  });
  if (sides.includes(undefined)) return undefined;
  const fill = contrast(over(rgba(style.backgroundColor), around), around);
  return Math.max(fill, Math.min(...(sides as number[])));
};

const kindOf = (control: Element): string => {
  const tag = control.localName;
  if (tag !== 'input') return tag;
  return control.getAttribute('role') ?? control.getAttribute('type') ?? 'text';
};

const describeControl = (control: Element): string => {
  const host = (control.getRootNode() as ShadowRoot).host?.localName;
  const name = control.getAttribute('aria-label') ?? control.textContent?.trim().slice(0, 30);
  return `${host} ${kindOf(control)} ${control.className} ${name}`;
};

const isVisible = (element: Element): boolean =>
  element.checkVisibility({ visibilityProperty: true }) && element.getBoundingClientRect().width > 1;

describe('controls', () => {
  let app: LitElement;
  before(async () => {
    await setViewport({ width: 1440, height: 900 });
    $masters.set([master('S'), master('H'), master('O')]);
    $onSamples.set(false);
    $picture.set(preview());
    $wall.set({ sho: preview(), hoo: preview() });
    say({ topic: 'a', kind: 'note', words: 'a note', action: { words: 'Act', act: () => {} } });
    app = await mount('lw-app');
    for (const tool of TOOLS) {
      take(tool);
      await customElements.whenDefined(`lw-${tool}`);
    }
    await settled(app);
  });
  after(() => {
    $tools.set([]);
    $drawer.set('mix');
    $surround.set('dark');
    $arrival.set(undefined);
    $messages.set([]);
  });

  /** All controls that the page shows with every part of it open, whichever drawer they are in. */
  const eachControl = async (look: (controls: Element[]) => void): Promise<void> => {
    for (const drawer of ['mix', 'hours'] as const) {
      $drawer.set(drawer);
      await settled(app);
      for (const details of below(app.shadowRoot!).filter((e) => e.localName === 'details'))
        (details as HTMLDetailsElement).open = true;
      await new Promise((resolve) => setTimeout(resolve, 300));
      await settled(app);
      look(below(app.shadowRoot!).filter((e) => e.matches('button, select, input, textarea') && isVisible(e)));
    }
  };

  for (const surround of SURROUNDS)
    it(`have borders of at least 3:1 against what surrounds them: ${surround}`, async () => {
      $surround.set(surround);
      const weak: string[] = [];
      const kinds = new Map<string, number>();
      await eachControl((controls) => {
        for (const control of controls) {
          const ratio = borderContrast(control);
          if (ratio === undefined) continue;
          kinds.set(kindOf(control), (kinds.get(kindOf(control)) ?? 0) + 1);
          if (ratio < 3) weak.push(`${describeControl(control)}: ${ratio.toFixed(2)}`);
        }
      });
      for (const kind of ['button', 'select', 'text', 'spinbutton', 'checkbox', 'radio'])
        ok((kinds.get(kind) ?? 0) > 0, `there is a ${kind} with a border among ${[...kinds]}`);
      equal(weak, []);
    });

  for (const surround of SURROUNDS)
    it(`that are fields have a border at all: ${surround}`, async () => {
      $surround.set(surround);
      const bare: string[] = [];
      await eachControl((controls) => {
        // A colour field is the colour itself, drawn as a swatch.
        for (const control of controls)
          if (!['button', 'range', 'color'].includes(kindOf(control)) && borderContrast(control) === undefined)
            bare.push(describeControl(control));
      });
      equal(bare, []);
    });

  for (const surround of SURROUNDS)
    it(`that are off differ from those that are not by at least 1.6:1: ${surround}`, async () => {
      $surround.set(surround);
      // Without S many recipes of the wall are off, without a picture saving is, without steps undo is.
      $masters.set([master('H'), master('O')]);
      $picture.set(undefined);
      const weak: string[] = [];
      let found = 0;
      await eachControl((controls) => {
        const on = controls.find((e) => e.localName === 'select')!;
        const enabled = rgba(getComputedStyle(on).color);
        for (const control of controls.filter((e) => e.matches(':disabled'))) {
          // What is missing or on screen is said in letters that can be read; the name of what is off looks so.
          const texts = [control, ...control.querySelectorAll(':not(.blank, .mark)')].filter((e) =>
            [...e.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.textContent!.trim() !== ''),
          );
          for (const text of texts) {
            found++;
            const ratio = contrast(over(rgba(getComputedStyle(text).color), behind(text)), enabled);
            if (ratio < 1.6) weak.push(`${describeControl(control)}: ${ratio.toFixed(2)}`);
          }
        }
      });
      ok(found > 3, `some controls are off: ${found}`);
      equal(weak, []);
      $masters.set([master('S'), master('H'), master('O')]);
      $picture.set(preview());
    });
});
