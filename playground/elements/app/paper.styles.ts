import { css } from 'lit';

/** On paper: the picture, its name and its weights; or the wall alone where that is printed. */
export const paper = css`
  @media print {
    :host {
      display: block;
      height: auto;
      overflow: visible;
    }
    header > :not(h1),
    .panels,
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
      border: 0;
    }
    .sheet {
      display: block;
      width: 100%;
      max-height: 96vh;
      object-fit: contain;
    }
    :host([paper]) > :not(.sheet),
    :host([season]) > :not(lw-season) {
      display: none;
    }
  }
`;
