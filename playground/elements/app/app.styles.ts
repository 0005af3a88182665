import { css } from 'lit';
import { narrow } from './narrow.styles.ts';
import { paper } from './paper.styles.ts';

const wide = css`
  /* The room that panels take, whether they are out or not: the picture is fitted to what they leave. */
  :host {
    --left: 236px;
    --right: 340px;
    --foot: 130px;
    position: relative;
    display: grid;
    grid-template: auto auto minmax(0, 1fr) var(--foot) / var(--left) minmax(0, 1fr) var(--right);
    grid-template-areas: 'head head head' 'lines stage tabs' 'lines stage bench' 'lines wall bench';
    height: 100dvh;
    overflow: hidden;
  }
  header {
    grid-area: head;
    z-index: 2;
    display: flex;
    flex-wrap: wrap;
    gap: 4px 24px;
    align-items: center;
    padding: 6px 16px;
    background: var(--ground);
    border-bottom: 1px solid var(--line);
  }
  h1 {
    margin: 0;
    font-size: 16px;
    font-weight: 600;
    letter-spacing: 0.01em;
  }
  .panels {
    display: flex;
    gap: 4px;
  }
  .panels button {
    font: inherit;
    color: var(--soft);
    background: none;
    border: 1px solid transparent;
    border-radius: 2px;
    min-height: 28px;
    padding: 2px 10px;
    cursor: pointer;
  }
  .panels button[aria-pressed='true'] {
    color: var(--ink);
    border-color: var(--edge);
  }
  lw-surround {
    margin-inline-start: auto;
  }
  .picture {
    grid-area: 2 / 1 / -1 / -1;
    display: grid;
    min-width: 0;
    min-height: 0;
  }
  .lines,
  .wall,
  .bench,
  .hours,
  nav {
    z-index: 1;
    min-width: 0;
    min-height: 0;
    background: var(--ground);
    scrollbar-width: thin;
    scrollbar-color: var(--line) transparent;
  }
  .lines {
    grid-area: lines;
    overflow-y: auto;
    padding: 12px 12px 20px;
    border-inline-end: 1px solid var(--line);
  }
  .wall {
    grid-area: wall;
    border-top: 1px solid var(--line);
  }
  .wall.wide {
    grid-area: 2 / 1 / -1 / 3;
    z-index: 2;
    border-top: 0;
  }
  /* Slips over the upper edge of the picture: no message changes its size or covers a control. */
  lw-messages {
    grid-area: stage;
    align-self: start;
    z-index: 3;
    margin: 10px 12px 0;
    max-width: 620px;
  }
  .bench,
  .hours {
    grid-area: bench;
    border-inline-start: 1px solid var(--line);
  }
  .hours {
    overflow-y: auto;
    padding: 12px 16px 16px;
  }
  .bench {
    display: grid;
    grid-template-rows: minmax(0, 1fr) auto;
  }
  .mix {
    display: grid;
    gap: 14px;
    align-content: start;
    min-width: 0;
    overflow-y: auto;
    padding: 12px 16px;
    scrollbar-width: thin;
    scrollbar-color: var(--line) transparent;
  }
  lw-save {
    padding: 10px 16px 14px;
    border-top: 1px solid var(--line);
  }
  nav {
    grid-area: tabs;
    display: flex;
    gap: 20px;
    padding-inline: 16px;
    border-bottom: 1px solid var(--line);
    border-inline-start: 1px solid var(--line);
  }
  nav button {
    font: inherit;
    color: var(--soft);
    background: none;
    border: 0;
    border-bottom: 2px solid transparent;
    margin-bottom: -1px;
    min-height: 34px;
    padding: 2px 0 0;
    cursor: pointer;
  }
  nav button:hover {
    color: var(--ink);
  }
  nav button[aria-current='true'] {
    color: var(--ink);
    font-weight: 600;
    border-color: var(--accent);
  }
  button:focus-visible {
    outline: 2px solid var(--accent);
    outline-offset: 1px;
  }
  .letgo {
    position: fixed;
    inset: 12px;
    display: grid;
    place-items: center;
    border: 2px dashed var(--accent);
    background: color-mix(in srgb, var(--ground) 80%, transparent);
    font-size: 20px;
    pointer-events: none;
    z-index: 5;
  }
  @media (max-width: 1180px) {
    :host {
      --left: 208px;
      --right: 312px;
      --foot: 130px;
    }
  }
  @media (prefers-reduced-motion: no-preference) {
    .letgo {
      transition: opacity 0.15s;
    }
  }
`;

const always = css`
  .away {
    display: none;
  }
  .sheet {
    display: none;
  }
`;

export const styles = [wide, narrow, always, paper];
