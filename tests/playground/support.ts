import { executeServerCommand, sendKeys } from '@web/test-runner-commands';
import axe from 'axe-core';
import type { LitElement } from 'lit';
import { LinewashError } from '../../lib/plane/errors.ts';
import page from '../../playground/page.css?inline';
import { useEngine } from '../../playground/state/engine.ts';
import { $picture } from '../../playground/state/picture.ts';
import { equal } from './assert.ts';

// Elements are tested without a worker: every mix looks like the picture that the test has put on screen, and whatever
// else they ask for is cancelled, which no one reports.
export const withoutWorker = async (name: string): Promise<never> => {
  // A test may set the masters first, and the picture after them.
  await undefined;
  const picture = $picture.get();
  if (name === 'preview' && picture !== undefined) return picture as never;
  throw new LinewashError({ tag: 'cancelled', message: 'no worker here' });
};
useEngine({ call: withoutWorker as never, fail() {} });

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

export { histogram, master, preview } from '../../playground/story/examples.ts';
