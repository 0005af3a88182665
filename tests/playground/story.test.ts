import { setViewport } from '@web/test-runner-commands';
import axe from 'axe-core';
import type { LitElement } from 'lit';
import page from '../../playground/page.css?inline';
import { chooseSurround, SURROUNDS } from '../../playground/state/view.ts';
import { STORIES } from '../../playground/story/elements.ts';
import { showStories } from '../../playground/story/story.ts';
import { equal, ok } from './assert.ts';
import { settled } from './support.ts';

const sources = import.meta.glob('../../playground/elements/**/*.ts', {
  query: '?raw',
  import: 'default',
  eager: true,
}) as Record<string, string>;

const elements = Object.values(sources).flatMap((source) =>
  [...source.matchAll(/customElement\('([^']+)'\)/g)].map(([, name]) => name!),
);

const shown = () => [...document.querySelectorAll<LitElement>('.stories .frame > *')];

const drawn = async (): Promise<void> => {
  for (let i = 0; i < 3; i++) {
    await new Promise((resolve) => setTimeout(resolve, 50));
    for (const element of shown()) await settled(element);
  }
};

describe('the story of each element', () => {
  before(async () => {
    document.documentElement.lang = 'en';
    document.title = 'stories';
    document.body.replaceChildren();
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(page);
    document.adoptedStyleSheets = [sheet];
    showStories(document.body);
    await drawn();
  });

  it('is told of every element but the page itself', () => {
    ok(elements.length > 40, 'elements are found');
    equal(Object.keys(STORIES), elements.filter((name) => name !== 'lw-app').sort());
  });

  it('shows something', () => {
    const empty = shown().filter(
      (element) => ![...element.shadowRoot!.querySelectorAll('*')].some((e) => e.getBoundingClientRect().height > 8),
    );
    equal(
      empty.map(({ localName }) => localName),
      [],
    );
  });

  for (const surround of SURROUNDS)
    it(`can be read in the ${surround} surround, and is no wider than a phone there`, async () => {
      chooseSurround(surround);
      await setViewport({ width: 1200, height: 800 });
      await drawn();
      equal(await faults(), []);
      await setViewport({ width: 400, height: 800 });
      await drawn();
      equal(tooWide(), []);
    });
});

/** What axe finds; an element on its own has no page around it. */
const faults = async (): Promise<string[]> => {
  const { violations } = await axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] });
  return violations.flatMap(({ id, nodes }) => nodes.map(({ target }) => `${id}: ${target.join(' ')}`));
};

/** Elements that reach beyond their frame. */
const tooWide = (): string[] =>
  shown().flatMap((element) => {
    const frame = element.parentElement!;
    return frame.scrollWidth > frame.clientWidth
      ? [`${element.localName}: ${frame.scrollWidth} of ${frame.clientWidth}`]
      : [];
  });
