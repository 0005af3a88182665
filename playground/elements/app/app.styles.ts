import { css } from 'lit';

export const styles = css`
  :host {
    display: grid;
    grid-template: auto minmax(auto, 1fr) auto minmax(0, auto) / 276px minmax(0, 1fr) 236px;
    grid-template-areas: 'head head head' 'lines picture wall' 'lines tabs wall' 'lines bench wall';
    height: 100dvh;
    overflow: hidden;
  }
  header {
    grid-area: head;
    display: flex;
    flex-wrap: wrap;
    gap: 4px 20px;
    align-items: baseline;
    justify-content: space-between;
    padding: 10px 20px 8px;
  }
  h1 {
    margin: 0;
    font-size: 17px;
    font-weight: 600;
    letter-spacing: 0.01em;
  }
  .lines,
  .wall {
    min-height: 0;
    overflow-y: auto;
    padding: 8px 20px 20px;
    scrollbar-width: thin;
    scrollbar-color: var(--line) transparent;
  }
  .lines {
    grid-area: lines;
  }
  .wall {
    grid-area: wall;
  }
  .picture {
    grid-area: picture;
    position: relative;
    display: grid;
    grid-template-rows: minmax(auto, 1fr) auto;
    min-width: 0;
  }
  /* Slips over the upper edge of the picture: no message changes its size or covers a control. */
  lw-messages {
    position: absolute;
    z-index: 3;
    inset-inline: 12px;
    top: 12px;
    max-width: 620px;
  }
  .bench,
  .hours {
    grid-area: bench;
    max-height: max(320px, 46dvh);
    min-height: 0;
    overflow-y: auto;
    padding: 10px 0 18px;
    scrollbar-width: thin;
    scrollbar-color: var(--line) transparent;
  }
  .bench {
    display: grid;
    grid-template-columns: minmax(0, 1fr) 216px;
    gap: 16px 32px;
  }
  .hours {
    height: max(300px, 42dvh);
    max-height: 100%;
  }
  .mix {
    display: grid;
    gap: 14px;
    align-content: start;
    min-width: 0;
  }
  lw-weights {
    overflow-x: auto;
  }
  nav {
    grid-area: tabs;
    display: flex;
    gap: 20px;
    border-top: 1px solid var(--line);
  }
  nav button {
    font: inherit;
    color: var(--soft);
    background: none;
    border: 0;
    border-top: 2px solid transparent;
    margin-top: -1px;
    min-height: 32px;
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
  nav button:focus-visible {
    outline: 2px solid var(--accent);
    outline-offset: 1px;
  }
  .over .picture {
    outline: 2px solid var(--accent);
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
  @media (max-width: 1100px) {
    :host {
      grid-template-columns: 240px minmax(0, 1fr) 180px;
    }
    .bench {
      grid-template-columns: minmax(0, 1fr);
    }
  }
  @media (max-width: 800px) {
    :host {
      grid-template: auto minmax(44dvh, auto) auto minmax(0, 1fr) / minmax(0, 1fr);
      grid-template-areas: 'head' 'picture' 'tabs' 'drawer';
    }
    header {
      padding: 8px 14px 4px;
    }
    nav {
      display: grid;
      grid-template-columns: repeat(5, 1fr);
      gap: 0;
      border-bottom: 1px solid var(--line);
    }
    nav button {
      border-top: 0;
      border-bottom: 3px solid transparent;
      margin-top: 0;
      min-height: 44px;
      padding: 3px 0 0;
    }
    nav button:focus-visible {
      outline-offset: -3px;
    }
    .lines,
    .wall,
    .bench,
    .hours {
      grid-area: drawer;
      height: auto;
      max-height: none;
      padding: 14px;
    }
    .bench {
      display: block;
    }
    lw-picture {
      padding-inline: 0;
    }
  }
  @media (prefers-reduced-motion: no-preference) {
    .letgo {
      transition: opacity 0.15s;
    }
  }
  .away {
    display: none;
  }
  .sheet {
    display: none;
  }
  /* On paper: the picture, its name and its weights; or the wall alone where that is printed. */
  @media print {
    :host {
      display: block;
      height: auto;
      overflow: visible;
    }
    lw-surround,
    lw-messages,
    nav,
    .lines,
    .wall,
    .hours,
    lw-save {
      display: none;
    }
    .bench,
    .bench.away,
    .mix.away {
      display: block;
      padding-inline: 20px;
      max-height: none;
      overflow: visible;
    }
    .sheet {
      display: block;
      width: 100%;
      max-height: 96vh;
      object-fit: contain;
    }
    :host([paper]) > :not(.sheet) {
      display: none;
    }
  }
`;
