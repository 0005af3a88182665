import { html, render } from 'lit';
import { STORIES } from './elements.ts';
import { setExamples } from './state.ts';

const sheet = new CSSStyleSheet();
sheet.replaceSync(`
  .stories { display: grid; grid-template-columns: minmax(0, 1fr); gap: 20px; padding: 12px; }
  .stories h1 { margin: 0; font-size: 16px; }
  .stories section { display: grid; grid-template-columns: minmax(0, 1fr); gap: 6px; }
  .stories h2 { margin: 0; font: inherit; color: var(--soft); }
  .frame { position: relative; max-width: 700px; padding: 12px; border: 1px dashed var(--line); overflow: hidden; }
  .frame.fills { display: grid; max-width: 600px; height: 440px; padding: 0; }
`);

/** A modal dialog would keep the reader from everything else: here it stands in its place, below its name. */
const showInPlace = (): void => {
  HTMLDialogElement.prototype.showModal = function () {
    this.open = true;
  };
};

/** Shows every element of the page on its own, below its name, in the surround of the page and as wide as the window. */
export const showStories = (into: HTMLElement): void => {
  showInPlace();
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
  setExamples();
  const parts = Object.entries(STORIES).map(([name, { fills = false, properties = {} }]) => {
    const element = Object.assign(document.createElement(name), properties);
    return html`<section aria-label=${name}>
      <h2>${name}</h2>
      <div class="frame ${fills ? 'fills' : ''}">${element}</div>
    </section>`;
  });
  render(html`<main class="stories"><h1>Elements of the page</h1>${parts}</main>`, into);
};
