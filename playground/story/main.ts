import { html, render } from 'lit';
import { chooseSurround, SURROUNDS } from '../state/view.ts';
import { showStories } from './story.ts';

/** The same page in a window of a phone's width. */
const phone = () =>
  html`<iframe title="At 400 pixels" width="400" height=${innerHeight - 20} src="story.html"></iframe>`;

const bar = () => html`<nav aria-label="How the elements are shown">
  ${SURROUNDS.map((name) => html`<button type="button" @click=${() => chooseSurround(name)}>${name}</button> `)}
  <a href="story.html?phone">at 400 pixels</a>
</nav>`;

if (location.search === '?phone') render(phone(), document.body);
else {
  const [head, stories] = [document.createElement('div'), document.createElement('div')];
  document.body.append(head, stories);
  // The bar stands in the frame's parent alone: a frame takes the surround that was chosen there.
  if (window.top === window) render(bar(), head);
  showStories(stories);
}
