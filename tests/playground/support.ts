import { executeServerCommand, sendKeys } from '@web/test-runner-commands';
import axe from 'axe-core';
import type { LitElement } from 'lit';
import { LinewashError } from '../../lib/plane/errors.ts';
import type { Histogram } from '../../lib/web/histogram.ts';
import type { Preview } from '../../lib/web/preview.ts';
import page from '../../playground/page.css?inline';
import { useEngine } from '../../playground/state/engine.ts';
import type { PageMaster } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { equal } from './assert.ts';

// Elements are tested without a worker: every mix looks like the picture that the test has put on screen, and whatever
// else they ask for is cancelled, which no one reports.
const answer = async (name: string): Promise<never> => {
  const picture = $picture.get();
  if (name === 'preview' && picture !== undefined) return picture as never;
  throw new LinewashError({ tag: 'cancelled', message: 'no worker here' });
};
useEngine({ call: answer as never, fail() {} });

/** The page's colours and letters, and a place of a fixed size for what fills its surroundings. */
const sheet = new CSSStyleSheet();
sheet.replaceSync(`${page} lw-picture { width: 600px; height: 440px; }`);

/** Puts an element on the page, alone, and waits until it is drawn. */
export const mount = async <E extends LitElement>(name: string, properties: Partial<E> = {}): Promise<E> => {
  document.documentElement.lang = 'en';
  document.title = 'test';
  document.body.replaceChildren();
  document.adoptedStyleSheets = [sheet];
  const main = document.createElement('main');
  const element = Object.assign(document.createElement(name), properties) as E;
  main.append(element);
  document.body.append(main);
  await settled(element);
  return element;
};

/** Waits for the element and the elements inside it, those aside that are not loaded. */
export const settled = async (element: LitElement): Promise<void> => {
  await element.updateComplete;
  const inner = [...element.shadowRoot!.querySelectorAll('*')].filter(
    (e) => e.tagName.startsWith('LW-') && e.shadowRoot,
  );
  for (const child of inner) await settled(child as LitElement);
};

/** Waits until something is so. */
export const until = async (condition: () => boolean): Promise<void> => {
  for (let i = 0; i < 2400 && !condition(); i++) await new Promise((resolve) => setTimeout(resolve, 25));
  if (!condition()) throw new Error(`waited in vain for ${condition}`);
};

/** Looks into shadow trees: `find(element, 'lw-number', 'input')`. */
export const find = <E extends Element>(element: Element, ...path: readonly string[]): E =>
  path.reduce<Element>((at, selector) => {
    const found = at.shadowRoot!.querySelector(selector);
    if (found === null) throw new Error(`there is no ${selector} in ${at.tagName}`);
    return found;
  }, element) as E;

/** Fails on anything that axe finds wrong with an element on its own. */
export const clean = async (element: Element): Promise<void> => {
  // An element alone has no heading above it and no landmarks around it.
  const rules = { region: { enabled: false }, 'page-has-heading-one': { enabled: false } };
  const { violations } = await axe.run(element, { rules });
  equal(
    violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`),
    [],
    'axe',
  );
};

/** Presses a key, with Shift held down where asked: `Shift+ArrowUp`. */
export const press = async (keys: string): Promise<void> => {
  const key = keys.replace('Shift+', '');
  if (key !== keys) await sendKeys({ down: 'Shift' });
  await sendKeys({ press: key });
  if (key !== keys) await sendKeys({ up: 'Shift' });
};

/** One thing a screen reader meets. */
export interface Spoken {
  readonly role: string;
  readonly name: string;
  readonly value?: string | number;
  readonly [property: string]: unknown;
}

/** What a screen reader meets on the page, in order. */
export const spoken = async (...roles: readonly string[]): Promise<Spoken[]> => {
  const tree = (await executeServerCommand('accessibility-tree')) as Spoken[];
  // Chromium keeps numbers of the tree as float32.
  const all = tree.map((node) =>
    typeof node.value === 'number' ? { ...node, value: Number(node.value.toPrecision(6)) } : node,
  );
  return roles.length === 0 ? all : all.filter(({ role }) => roles.includes(role));
};

/** Roles and names of what a screen reader meets. */
export const names = async (...roles: readonly string[]): Promise<string[]> =>
  (await spoken(...roles)).map(({ role, name }) => `${role} ${name}`);

export const master = (line: string, more: Partial<PageMaster> = {}): PageMaster => ({
  id: `id-${line}`,
  file: `field-${line}.fits`,
  width: 60,
  height: 40,
  type: 'u16',
  facts: { filter: line, hours: 5, from: { filter: 'FILTER' } },
  warnings: [],
  from: new Blob(),
  line,
  reason: { kind: 'header', keyword: 'FILTER', value: line },
  ...more,
});

export const histogram = (): Histogram => ({
  level: 100,
  unit: 10,
  low: -2,
  high: 6,
  counts: Uint32Array.from({ length: 160 }, (_, i) => Math.round(1e5 * Math.exp(-(((i - 40) / 12) ** 2))) + 1),
});

/** A picture of S, H and O in which every pixel is (200, 100, 50). */
export const preview = (width = 60, height = 40): Preview => {
  const data = new Uint8ClampedArray(width * height * 4);
  for (let i = 0; i < data.length; i += 4) data.set([200, 100, 50, 255], i);
  const matrix = [
    [0, 1, 0],
    [0.25, 0, 0.75],
    [0, 0, 1],
  ];
  const channels = ['S', 'H', 'O'];
  return {
    width,
    height,
    data,
    space: 'srgb',
    warnings: [],
    full: { width, height },
    plain: { channels, matrix },
    settled: {
      channels: channels.map((name) => ({
        name,
        background: 100,
        black: -20,
        white: 900,
        stretch: { curve: 'bias', a: 0.8 },
      })),
      matrix,
      mixIn: 'display',
      space: 'srgb',
      highlights: 'ratio',
      gamut: 'chroma',
    },
  };
};
