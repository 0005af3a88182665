import { css } from 'lit';

/** On a phone: the picture above, one drawer below it. */
export const narrow = css`
  @media (max-width: 800px) {
    :host {
      --left: 0px;
      --right: 0px;
      --foot: 0px;
      grid-template: auto minmax(44dvh, auto) auto minmax(0, 1fr) / minmax(0, 1fr);
      grid-template-areas: 'head' 'stage' 'tabs' 'drawer';
    }
    header {
      padding: 8px 14px 4px;
      border: 0;
    }
    .picture {
      grid-area: stage;
    }
    nav {
      display: grid;
      grid-template-columns: repeat(5, 1fr);
      gap: 0;
      padding: 0;
      border: 0;
      border-bottom: 1px solid var(--line);
    }
    nav button {
      border-bottom-width: 3px;
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
      overflow-y: auto;
      padding: 14px;
      border: 0;
    }
    .bench {
      display: block;
    }
    .mix {
      padding: 0;
      overflow: visible;
    }
    lw-save {
      padding: 0;
      border: 0;
    }
  }
`;
